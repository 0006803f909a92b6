"""hoistbook cost scenario, processes and marks: what a cost rests on, and how a part was probably made."""

import tomllib

import jsonschema
import pytest

from cli.cost_schemas import SCENARIO
from cli.running import assert_fits, run
from cli.schemas import FAULTS
from hoistbook.core.cost.processes import PROCESSES
from hoistbook.reference.cost import packaged_scenario, read_scenario
from hoistbook.services.cost_scenario import digest
from hoistbook.services.demo import van_paths

VAN, PART = van_paths()["whimbrel"], "W-0105"


def test_what_nobody_has_looked_at_stands_first():
    ran = run("cost", "scenario")
    assert ran.code == 0
    assert_fits(ran.out)
    first = ran.plain.partition("- scenario")[0]
    assert "figures were never reviewed" in first
    for words in (
        "machines are shared",
        "USD of 2023",
        "none is live",
        "1 EUR = 1.08 USD at 2023",
        "romania",
        "epdm",
    ):
        assert words in ran.plain


def test_the_object_counts_what_it_lists():
    told = run("cost", "scenario", "--json").json
    jsonschema.validate(told, SCENARIO)
    listed = [figure for entry in told["entries"] for figure in entry["figures"]]
    # first principles: what is counted is what is listed, and each figure lies between its limits.
    assert told["figures"] == len(listed) == sum(one["figures"] for one in told["groups"])
    assert told["never_reviewed"] == sum(not one["reviewed"] for one in listed)
    assert all(one["low"] <= one["value"] <= one["high"] for one in listed)
    for rate in told["machine_rates"]:
        parts = sum(part["value"] for part in rate["parts"].values())
        # first principles: the parts of a rate add up to it.
        assert parts == pytest.approx(rate["money_per_h"]["value"], rel=1e-9)


@pytest.mark.parametrize("whole", [False, True])
def test_a_written_copy_is_the_packaged_scenario(tmp_path, whole):
    path = tmp_path / "mine.toml"
    assert run("cost", "scenario", "--write", path, *(["--whole"] if whole else [])).code == 0
    # first principles: a copy nobody changed gives the same figures.
    assert digest(read_scenario(path)) == digest(packaged_scenario())
    assert ("material" in tomllib.loads(path.read_text())) == whole


def test_a_changed_copy_changes_the_cost_and_is_said_to_be_reviewed(tmp_path):
    path = tmp_path / "mine.toml"
    run("cost", "scenario", "--write", path)
    text = path.read_text()
    text = text.replace('code = "north-america-60k"', 'code = "mine"').replace(
        "interest_frac = 0.10", "interest_frac = 0.0"
    )
    text += """
[process."spot_welding/spot_s"]
value = 6.4
low = 6.4
high = 6.4
unit = "s"
mark = "common practice"
source = "timed on our own line"
reviewed = "Bo, 2026"
"""
    path.write_text(text)
    packaged, mine = (
        run("cost", VAN, "--part", PART, "--draws", 100, *more, "--json").json
        for more in ((), ("--scenario", path))
    )
    assert mine["scenario"]["code"] == "mine"
    spots = [
        next(stage["seconds"] for stage in told["steps"][1]["stages"] if stage["name"] == "spots")
        for told in (packaged, mine)
    ]
    # first principles: twice the seconds a spot, twice the seconds of all spots (packaged: 3.2 s, common practice).
    assert spots[1] == pytest.approx(2.0 * spots[0])
    told = run("cost", "scenario", "--scenario", path, "--json").json
    assert told["never_reviewed"] == told["figures"] - 1
    assert "Bo, 2026" in run("cost", "processes", "spot_welding", "--scenario", path).plain


def test_every_process_is_listed_and_can_be_shown():
    ran = run("cost", "processes")
    assert ran.code == 0
    assert_fits(ran.out)
    assert all(name in ran.out for name in PROCESSES)
    told = run("cost", "processes", "--json").json["processes"]
    assert [one["name"] for one in told] == list(PROCESSES)


def test_a_process_by_its_title_shows_figures_with_who_says_so():
    ran = run("cost", "processes", "Sheet stamping")
    assert ran.code == 0
    assert_fits(ran.out)
    for words in (
        "sheet_stamping/fill_frac", "Must be read off the part", "progressive", "common practice", "never reviewed",
        "Refused", "What it leaves out",
    ):  # fmt: skip
        assert words in ran.plain


def test_marks_are_listed_by_the_names_they_are_stated_by():
    ran = run("cost", "marks")
    assert ran.code == 0
    assert_fits(ran.out)
    for words in (
        "Nothing was seen",
        "ejector_pins",
        "recycling_code",
        "density_kg_per_m3",
        "none was counted",
    ):
        assert words in ran.plain


def test_marks_make_probabilities_and_name_the_next_look():
    told = run("cost", "marks", "--seen", "edge_burnish", "--seen", "a magnet sticks", "--json").json
    for kind in ("processes", "materials", "candidates"):
        # first principles: probabilities add up to 1.
        assert sum(one["probability"] for one in told[kind]) == pytest.approx(1.0)
    assert told["processes"][0]["name"] == "sheet_stamping"
    rates = [one["bits_per_minute"] for one in told["next_looks"]]
    assert rates == sorted(rates, reverse=True)
    assert not {"edge_burnish", "magnet"} & {one["name"] for one in told["next_looks"]}


def test_what_the_engineer_says_overrides_the_marks():
    told = run("cost", "marks", "--seen", "edge_burnish", "--process", "press_hardening", "--json").json
    assert told["processes"][0] == {"name": "press_hardening", "words": "press-hardened", "probability": 1.0}


def test_a_part_is_costed_over_its_candidates():
    words = (
        "cost",
        "marks",
        VAN,
        "--part",
        PART,
        "--seen",
        "edge_burnish",
        "--seen",
        "magnet",
        "--draws",
        200,
    )
    told = run(*words, "--json").json["in_doubt"]
    assert sum(one["probability"] for one in told["candidates"]) == pytest.approx(1.0)
    ends = [one["piece"] for one in told["candidates"]]
    # first principles: a mixture lies between the lowest and the highest of its candidates.
    assert min(one["low"] for one in ends) <= told["piece"]["low"]
    assert told["piece"]["high"] <= max(one["high"] for one in ends)
    mean = sum(one["probability"] * one["piece"]["value"] for one in told["candidates"])
    assert told["mean"] == pytest.approx(mean)
    ran = run(*words)
    assert_fits(ran.out)
    assert "With the doubt in it" in ran.plain


@pytest.mark.parametrize(
    ("words", "why"),
    [
        (("scenario", "--region", "mars"), "no region named 'mars'"),
        (("scenario", "--whole"), "belong to --write FILE"),
        (("scenario", "--write", "mine.json"), "end the name in .toml"),
        (("scenario", "--write", "nowhere/mine.toml"), "there is no folder nowhere"),
        (("processes", "spot weldign"), "no process named 'spot weldign'; did you mean spot welding"),
        (("marks", "--seen", "ejector"), "did you mean ejector_pins"),
        (("marks", "--seen", "recycling_code"), "--read recycling_code="),
        (("marks", "--read", "recycling_code=wood"), "no outcome 'wood'; known: none, PP"),
        (("marks", "--read", "density_kg_per_m3=heavy"), "is no number"),
        (("marks", "--read", "density_kg_per_m3=7.85"), "is outside 100"),
        (("marks", "--read", "magnet"), "write WHAT=VALUE"),
        (("marks", "--seen", "magnet", "--not-seen", "magnet"), "'magnet' is given twice"),
        (("marks", "--process", "magic"), "no process named 'magic'"),
        (("marks", VAN), "VEHICLE and --part TAG together"),
        (("marks", VAN, "--part", "W-0603"), "W-0603: no route"),
    ],
)
def test_what_is_wrong_is_refused_with_the_reason(words, why):
    ran = run("cost", *words, "--json")
    assert ran.code == 2
    jsonschema.validate(ran.json, FAULTS)
    assert why in ran.json["faults"][0]["message"]


def test_a_copy_that_is_there_is_left_alone(tmp_path):
    path = tmp_path / "mine.toml"
    path.write_text("kept")
    assert run("cost", "scenario", "--write", path).code == 2
    assert path.read_text() == "kept"
    assert run("cost", "scenario", "--write", path, "--force").code == 0
    assert path.read_text() != "kept"
