"""load, retire, history and results at the command line; other commands with vehicles of a store."""

import subprocess
import sys

import pytest

from capture.books import saved, sound, with_row
from cli.running import assert_fits, run
from hoistbook.services.kept import kept_or_worked_out
from hoistbook.services.pages.book import Asked, work_out
from hoistbook.services.pages.heads import head
from hoistbook.services.record import open_record
from hoistbook.store.place import close_store


@pytest.fixture
def store(tmp_path, monkeypatch):
    monkeypatch.delenv("DATABASE_URL", raising=False)
    return tmp_path / "store"


@pytest.fixture
def load(tmp_path, store):
    return lambda rows, *words: run(
        "load", saved(tmp_path, rows), "--store", store, "--person", "Ines", *words
    )


def short(rows):
    del rows["measurements"][2]
    return rows


def test_the_life_of_a_store(load, store, tmp_path):
    first = load(sound())
    assert first.code == 0
    assert "Made the store" in first.plain
    assert "Loaded Whimbrel (WHI)" in first.plain
    assert "nothing was written" in load(sound()).plain
    # The contract of the issue for scripts; 26 rows counted by hand in the sound workbook.
    again = load(with_row("measurements", value=2.75), "--json", "--note", "re-zeroed").json
    assert [again[name] for name in ("added", "superseded", "unchanged", "vanished")] == [0, 1, 25, 0]
    assert again["change"] == 2

    history = run("history", "WHI", "R1", "--store", store)
    assert history.code == 0
    assert "note: re-zeroed" in history.plain
    assert "value 2.5000 ± 0.0035 kg → 2.7500 ± 0.0035 kg" in history.plain
    assert "nothing →" not in history.plain
    assert_fits(history.out)
    assert [
        len(c["lines"]) for c in run("history", "WHI", "R1", "--store", store, "--json").json["changes"]
    ] == [1, 1]
    assert "rows: 26 added" in run("history", "Whimbrel", "--store", store).plain

    gone = load(short(with_row("measurements", value=2.75)))
    assert "still counted until retired - measurements/R3" in gone.plain
    listed = run("retire", "WHI", HOISTBOOK_STORE=str(store))
    assert "measurements/R3" in listed.plain
    retired = run("retire", "WHI", "R3", "--store", store, "--person", "Bo", "--json").json
    assert (retired["retired"][0]["name"], retired["waiting"]) == ("R3", [])
    assert "no row waits" in run("retire", "WHI", "--store", store).plain

    by_path = run("mass", tmp_path / "van.xlsx", "--json").json
    by_code = run("mass", "whi", "--store", store, "--json").json
    assert by_code == by_path
    assert run("mass", "WHI", "--store", store).out == run("mass", tmp_path / "van.xlsx").out
    kept = run("results", "WHI", "--store", store, "--json").json["results"]
    assert [(one["kind"], one["subject"]) for one in kept] == [("mass", "WHI")]
    assert (
        run("results", "--store", store, "--show", kept[0]["id"][:8]).json["value"]["parts"]
        == by_code["parts"]
    )
    assert kept[0]["id"][:8] in run("results", "--store", store).out

    load(short(with_row("measurements", value=2.5)))
    explained = run("results", "--store", store, "--explain", kept[0]["id"][:8])
    assert "The model is the same" in explained.plain
    assert "1 rows differ" not in explained.plain
    assert "1 row differs" in explained.plain
    assert "reading R1: mass of A1" in explained.plain
    assert_fits(explained.out)
    assert (
        run("results", "--store", store, "--explain", kept[0]["id"], "--json").json["model_changed"] is False
    )


def test_a_page_keeps_what_it_worked_out(load, store):
    load(sound())
    run("mass", "WHI", "--store", store)
    assert len(run("results", "--store", store, "--json").json["results"]) == 1


def test_what_pages_put_by_is_listed_only_when_asked_for(load, store):
    load(sound())
    run("mass", "WHI", "--store", store)
    record = open_record(store)
    head_of = head(record, "WHI")
    work_out(record, Asked("WHI", head_of.change, head_of.configuration().id))
    # Whatever a page may put by one day: it answers no question a person can ask again.
    kept_or_worked_out(record, "some later page", {"states": {"WHI": 1}}, dict)
    close_store()
    listed = run("results", "--store", store, "--json").json
    # first principles: one answer was asked for; the page of the vehicle puts by two pieces, the later page one.
    assert ([one["kind"] for one in listed["results"]], listed["left_out"]) == (["mass"], 3)
    printed = run("results", "WHI", "--store", store)
    assert " page " not in printed.plain
    assert "3 results that pages put by to open at once left out; --all lists all." in printed.plain
    everything = run("results", "--store", store, "--all", "--json").json
    assert (len(everything["results"]), everything["left_out"]) == (4, 0)
    assert "some later page" in run("results", "--store", store, "--all").plain
    # What is listed can be asked again: explained, or told anew by the command that asked it.
    assert run("results", "--store", store, "--explain", listed["results"][0]["id"]).code == 0


def test_a_faulty_workbook_is_refused_as_ever(load, store):
    refused = load(with_row("measurements", value="heavy"), "--json")
    assert (refused.code, refused.json["faults"][0]["column"]) == (2, "value")


@pytest.mark.parametrize(
    ("words", "said"),
    [
        (("history", "WHY"), "did you mean 'WHI'"),
        (("history", "WHI", "R9"), "nothing in the record is called 'R9'"),
        (("retire", "WHI", "R9"), "no row 'R9' waits"),
        (("retire", "WHI", "R9", "--all"), "leave the names out"),
        (("results", "--show", "ff"), "no kept result begins with 'ff'"),
        (("results", "--show", "ff", "--explain", "ff"), "not both"),
        (("mass", "nowhere"), "holds no vehicle 'nowhere'"),
    ],
)
def test_what_is_refused_is_said(load, store, words, said):
    load(sound())
    found = run(*words, "--store", store)
    assert (found.code, found.out) == (2, "")
    assert said in " ".join(found.err.split())


def test_without_a_store_the_database_library_stays_away(tmp_path):
    script = (
        "import sys\nfrom typer.testing import CliRunner\nfrom hoistbook.cli.main import app\n"
        f"ran = CliRunner().invoke(app, ['mass', {str(saved(tmp_path, sound()))!r}])\n"
        "sys.exit(ran.exit_code or 'django' in sys.modules)"
    )
    assert subprocess.run([sys.executable, "-c", script], check=False).returncode == 0


def test_a_store_is_looked_over(load, store):
    load(sound())
    whole = run("verify", "--store", store)
    assert (whole.code, "is whole: 1 change, 1 file." in whole.plain) == (0, True)
    assert_fits(whole.out)
    (kept,) = (store / "files").glob("*/*")
    data = kept.read_bytes()
    kept.unlink()
    (kept.parent / ("0" * 64)).write_bytes(b"spare")
    (store / ".store.toml.making-1").write_bytes(b"half")
    told = run("verify", "--store", store)
    assert told.code == 2
    assert "is not whole: -" in told.plain
    assert "the file is gone; load it again" in told.plain
    assert "1 file belongs to no change" in told.plain
    assert "1 half-written file is there" in told.plain
    told = run("verify", "--store", store, "--json")
    assert (told.code, told.json["spare_files"]) == (2, ["0" * 64])
    assert "is gone" in told.json["faults"][0]["message"]
    kept.write_bytes(data)
    assert run("verify", "--store", store, "--json").json["faults"] == []
