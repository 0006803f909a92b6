"""The command `infer` as scripts and people see it."""

import re

import pytest

from capture.certification_table import written
from cli.running import run

PAIR = ("Polestar 2 Single Motor", "Volvo XC40 Recharge twin")


@pytest.fixture(scope="module")
def table(tmp_path_factory):
    return written(tmp_path_factory.mktemp("rows") / "rows.csv")


def test_json_keeps_its_contract(table):
    done = run("infer", *PAIR, "--facts", str(table), "--draws", "500", "--json")
    found = done.json
    # first principles: the contract in docs/commands.md.
    assert {"parameters", "causes", "gap", "contradictions", "next_measurements", "must_be_true"} <= set(
        found
    )
    assert {"value", "low", "high", "origin", "unit"} <= set(found["parameters"][0])
    assert found["unit"] == "km"
    assert sum(cause["value"] for cause in found["causes"]) == pytest.approx(found["gap"]["value"], abs=1e-6)


def test_the_page_speaks_plainly(table):
    done = run("infer", *PAIR, "--facts", str(table), "--draws", "500", "--units", "us")
    for words in ("What must be true", "What to measure next", "another wheel", "says nothing", "local law"):
        assert words in done.plain


def test_every_share_is_printed_in_per_cent(table):
    asked = ("infer", *PAIR, "--facts", str(table), "--draws", "500")
    page, shares = (
        run(*asked).plain,
        [one for one in run(*asked, "--json").json["parameters"] if "_frac" in one["name"]],
    )
    assert len(shares) == 6
    told = page.partition("What the figures say of each vehicle")[2].partition("What must be true")[0]
    # first principles: one in a hundred is 1 %; bands here are wide enough for a tenth of a per cent to be printed.
    for one in shares:
        assert f"{100.0 * one['value']:.1f} " in told, one["name"]
    assert told.count(" %") >= 6
    assert not re.search(
        r"\b0\.[89]\d", told + page.partition("What must be true")[2].partition("What to measure")[0]
    )
    # The defaults are printed in the same unit, each once for both vehicles.
    assert page.count("89.6 ± 3 %") == 2  # driving, and braking


def test_origins_of_the_causes_are_explained(table):
    done = run(
        "infer",
        "MINI Cooper SE Hardtop 2 door",
        "Volkswagen ID.4 Pro",
        "--facts",
        str(table),
        "--draws",
        "500",
    )
    # first principles: more than twice the charge at the wall, by published range and consumption; what the assumed
    # charging efficiencies could move is a few per cent of that.
    line = next(line for line in done.out.splitlines() if line.startswith("wall energy of a charge"))
    assert line.endswith("inferred")
    assert "Inferred: published figures imply it" in done.plain


def test_a_faulty_table_is_refused_with_every_fault(tmp_path):
    path = tmp_path / "rows.csv"
    path.write_text("vehicle,source,city range [mi],battery [kWh]\nA,,200,60\n", encoding="utf-8")
    done = run("infer", "A", "B", "--facts", str(path), "--json")
    assert done.code == 2
    assert len(done.json["faults"]) == 3
