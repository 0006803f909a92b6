"""The command `infer` as scripts and people see it."""

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


def test_a_faulty_table_is_refused_with_every_fault(tmp_path):
    path = tmp_path / "rows.csv"
    path.write_text("vehicle,source,city range [mi],battery [kWh]\nA,,200,60\n", encoding="utf-8")
    done = run("infer", "A", "B", "--facts", str(path), "--json")
    assert done.code == 2
    assert len(done.json["faults"]) == 3
