"""Studies from the command line: refused before freezing, shown, frozen, and said on every result."""

import pytest

from cli.running import assert_fits, run
from hoistbook.capture.study_schema import STUDY_SHEETS
from hoistbook.capture.write import write_workbook
from hoistbook.services.demo import van_paths
from test_examples import make_vans


def rows(draws="100"):
    found = make_vans.study_rows()
    found["assumptions"] = [
        {**row, "value": draws} if row["assumption"] == "draws" else row for row in found["assumptions"]
    ]
    return found


@pytest.fixture(scope="module")
def store(tmp_path_factory):
    folder = tmp_path_factory.mktemp("study")
    write_workbook(folder / "study.xlsx", rows(), STUDY_SHEETS)
    for path in (*van_paths().values(), folder / "study.xlsx"):
        ran = run("load", path, "--store", folder / "store", "--person", "Ines")
        assert ran.code == 0, ran.err
    return folder / "store"


@pytest.fixture(autouse=True)
def own_database(monkeypatch):
    monkeypatch.delenv("DATABASE_URL", raising=False)


def test_the_life_of_a_study(store, tmp_path):
    of = ("--store", store)
    refused = run("gap", "--study", "light-vans", *of)
    assert refused.code == 2
    assert "is not frozen" in " ".join(refused.err.split())

    shown = run("study", "light-vans", *of)
    assert shown.code == 0
    assert_fits(shown.out)
    for words in ("Not frozen", "what has been looked at", "LOST: T step 5", "Local law"):
        assert words in shown.plain
    found = run("study", "light-vans", *of, "--json").json
    assert found["version"]["number"] is None
    assert {row["stated_in"] for row in found["content"]} == {"the study", "the vehicle's own workbook"}
    assert found["coverage"][0]["looked_at_frac"]["value"] == pytest.approx(
        sum(
            found["coverage"][0]["by_standing"][name]["value"]
            for name in ("decision", "same", "carried over")
        )
    )

    frozen = run("freeze", "light-vans", *of, "--person", "Ines", "--json").json
    assert frozen["frozen"]["number"] == 1
    assert run("freeze", "light-vans", *of, "--person", "Ines", "--json").json["frozen"] is None
    chart = tmp_path / "walk.svg"
    gap = run("gap", "--study", "light-vans", *of, "--json", "--chart", chart).json
    assert (gap["from"], gap["to"], gap["draws"], gap["study"]["version"]) == ("W", "T", 100, 1)
    assert gap["study"]["changed"] == []
    assert "version 1" in chart.read_text()

    write_workbook(tmp_path / "study.xlsx", rows("200"), STUDY_SHEETS)
    loaded = run("load", tmp_path / "study.xlsx", *of, "--person", "Ruben", "--json").json
    assert (loaded["superseded"], loaded["added"], loaded["vanished"]) == (1, 0, 0)
    page = run("gap", "--study", "light-vans", *of, "--to", "D")
    assert_fits(page.out)
    assert "Changed after version 1 was frozen: assumptions: draws: value was 100, is 200" in page.plain
    assert "100 draws" in page.plain  # the frozen version holds
    again = run("freeze", "light-vans", *of, "--person", "Ruben")
    assert "as version 2 by Ruben" in again.plain
    assert "value was 100, is 200" in again.plain
    later = run("gap", "--study", "light-vans", *of, "--json", "--chart", chart).json
    assert (later["draws"], later["study"]["version"]) == (200, 2)
    assert any("changed after version 1 was frozen" in text for text in later["study"]["state"])
    assert "changed after version 1 was frozen" in " ".join(chart.read_text().split())


@pytest.mark.parametrize(
    ("words", "told"),
    [
        (("gap", "--study", "light-vans"), "--store DIR"),
        (("gap", "--study", "light-vans", "--duty", "us"), "--duty cannot stand beside --study"),
        (("gap", "a.xlsx", "--study", "light-vans"), "A cannot stand beside --study"),
        (("gap",), "Missing argument 'A': two vehicles A and B, or --study CODE"),
        (("gap", "a.xlsx", "b.xlsx", "--to", "D"), "--to names a vehicle of a study"),
    ],
)
def test_what_a_study_fixes_is_not_typed_beside_it(words, told):
    ran = run(*words)
    assert ran.code == 2
    assert told in " ".join(ran.err.split())


def test_no_such_study(store):
    ran = run("study", "light-van", "--store", store)
    assert ran.code == 2
    assert "did you mean 'light-vans'" in " ".join(ran.err.split())


def test_the_template_of_a_study_loads(tmp_path):
    path = tmp_path / "s.xlsx"
    assert run("template", path, "--study", "--example", "--json").json["study"] is True
    ran = run("load", path, "--store", tmp_path / "store", "--json")
    assert ran.code == 0, ran.out
    assert ran.json["study"] == "red-grey"
