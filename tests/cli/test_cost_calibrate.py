"""hoistbook cost calibrate: the page, the object, the scenario it writes, and refusals with their reasons."""

import csv

import jsonschema
import pytest

from cli.cost_schemas import SCENARIO
from cli.running import assert_fits, run
from cli.schemas import FAULTS, INTERVAL, NUMBER
from hoistbook.capture.quotes import MOST_QUOTES
from hoistbook.services.demo import van_paths

VAN = van_paths()["whimbrel"]
FEW = ("--draws", 100)
HEADS = ["tag", "price", "basis", "currency", "year", "source"]
BAND = {"type": "object", "required": ["low", "high"], "properties": {"low": NUMBER, "high": NUMBER}}
CALIBRATION = {
    "type": "object",
    "required": [
        "vehicle", "currency", "year", "method", "processes", "quotes", "processes_without_quotes", "total_before",
        "total_after", "scenario_before", "scenario_after", "notes",
    ],
    "properties": {
        "processes": {"type": "array", "minItems": 1, "items": {
            "type": "object",
            "required": ["process", "quotes", "true_over_model", "before", "after", "bias", "before_rms_ln",
                         "hold_out_rms_ln", "hold_out_covered_frac", "error", "sentences"],
            "properties": {"before": BAND, "after": BAND, "bias": BAND},
        }},
        "quotes": {"type": "array", "minItems": 1, "items": {
            "type": "object",
            "required": ["row", "tag", "name", "process", "basis", "source", "price", "currency", "year", "quoted",
                         "model", "miss_ln", "before", "after"],
            "properties": {"basis": {"enum": ["make", "buy"]}, "before": INTERVAL, "after": INTERVAL},
        }},
        "total_before": INTERVAL,
        "total_after": INTERVAL,
        "scenario_before": SCENARIO,
        "scenario_after": SCENARIO,
    },
}  # fmt: skip


def table(folder, *rows):
    path = folder / "quotes.csv"
    with path.open("w", newline="", encoding="utf-8") as file:
        csv.writer(file).writerows([HEADS, *rows])
    return path


@pytest.fixture(scope="module")
def stamped():
    """Stamped parts of the van as the command lists them, at what they should cost."""
    told = run("cost", VAN, *FEW, "--json").json
    found = [
        (one["tag"], one["piece"]["value"])
        for one in told["parts"]
        if one.get("steps") and one["steps"][0]["process"] == "sheet_stamping"
    ]
    assert len(found) >= 4
    return found[:4]


def test_what_is_learned_is_told_written_and_taken(stamped, tmp_path):
    rows = [[tag, f"{1.2 * value:.4f}", "buy", "USD", 2023, "S"] for tag, value in stamped]
    quotes, mine = table(tmp_path, *rows), tmp_path / "mine.toml"
    ran = run("cost", "calibrate", VAN, quotes, *FEW, "--write", mine)
    assert ran.code == 0
    assert_fits(ran.out.partition("\nWritten:")[0])  # the path is as long as it is
    assert "No quote speaks for" in ran.plain
    told = run("cost", "calibrate", VAN, quotes, *FEW, "--json").json
    jsonschema.validate(told, CALIBRATION)
    (process,) = told["processes"]
    # first principles: quotes a fifth above what was thought pull the model up, by less than a fifth.
    assert 1.05 < process["true_over_model"] < 1.25
    assert told["scenario_before"]["digest"] != told["scenario_after"]["digest"]
    again = run("cost", VAN, *FEW, "--scenario", mine, "--json").json
    # first principles: the written scenario is the one that was told.
    assert again["total"] == told["total_after"]
    assert again["scenario"]["digest"] == told["scenario_after"]["digest"]


@pytest.mark.parametrize(
    ("row", "why"),
    [
        (["W-9999", "1", "buy", "USD", "2023", "S"], "no part 'W-9999'"),
        (["W-0105", "1", "rent", "USD", "2023", "S"], "unknown word"),
        (["W-0105", "-1", "buy", "USD", "2023", "S"], "is no price"),
        # A price per thousand pieces, one in another money, one of a whole load: none of them is for one piece.
        (["W-0105", "1e6", "buy", "USD", "2023", "S"], "more than 1,000 times off"),
        (["W-0105", "1e29", "make", "USD", "2023", "S"], "more than 1,000 times off"),
        (["W-0105", "1e-9", "make", "USD", "2023", "S"], "more than 1,000 times off"),
    ],
)
def test_a_wrong_quote_is_refused_with_its_row(row, why, tmp_path):
    ran = run("cost", "calibrate", VAN, table(tmp_path, row), *FEW, "--json")
    assert ran.code == 2
    jsonschema.validate(ran.json, FAULTS)
    (fault,) = ran.json["faults"]
    assert (fault["sheet"], fault["row"]) == ("quotes", 2)
    assert why in fault["message"]


def test_a_scenario_is_never_written_over(tmp_path):
    there = tmp_path / "mine.toml"
    there.write_text("mine")
    nowhere = tmp_path / "nowhere.toml"
    nowhere.symlink_to(tmp_path / "gone" / "mine.toml")
    taken = "is there already"
    for path, why in ((there, taken), (nowhere, taken), (tmp_path / "mine.txt", "end the name in .toml")):
        ran = run("cost", "calibrate", VAN, tmp_path / "none.csv", "--write", path)
        assert ran.code == 2
        assert why in " ".join(ran.err.split())
    assert there.read_text() == "mine"


def test_a_table_without_end_is_refused_before_it_is_worked_on(tmp_path):
    rows = [["W-0105", "1", "buy", "USD", "2023", f"S{number}"] for number in range(MOST_QUOTES + 1)]
    ran = run("cost", "calibrate", VAN, table(tmp_path, *rows), *FEW, "--json")
    assert ran.code == 2
    assert "more than 5,000 quotes" in ran.json["faults"][0]["message"]
