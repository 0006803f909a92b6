"""hoistbook cost assembly and service: seconds that add up, reasons, cautions first."""

import jsonschema
import pytest

from cli.cost_schemas import ASSEMBLY, SERVICE
from cli.running import assert_fits, run
from cli.schemas import FAULTS
from hoistbook.services.demo import van_paths

VAN = van_paths()["whimbrel"]
DRIVE, INVERTER, HELD_BY = "drive and rear axle", "W-0719", "W-J0273"


@pytest.fixture(scope="module")
def told():
    ran = run("cost", "assembly", VAN, "--json")
    assert ran.code == 0
    return ran.json


def test_the_object_is_as_promised(told):
    jsonschema.validate(told, ASSEMBLY)


def test_seconds_add_up_by_motion_by_joint_and_by_part(told):
    normal = told["normal_s"]["value"]
    timed = [one["normal_s"]["value"] * one["share_frac"] for one in told["joints"] if one["normal_s"]]
    placed = [one["normal_s"]["value"] * one["share_frac"] for one in told["placed"]]
    # first principles: the time of a vehicle is that of its joints and of bringing its parts to their place, motion by
    # motion.
    assert sum(one["seconds"] for one in told["motions"]) == pytest.approx(normal, rel=1e-9)
    assert sum(timed) == pytest.approx(told["joining_s"]["value"], rel=1e-9)
    assert sum(placed) == pytest.approx(told["placing_s"]["value"], rel=1e-9)
    assert sum(timed) + sum(placed) == pytest.approx(normal, rel=1e-9)
    # published: 29 CFR 525.12(h)(2)(ii): an allowance of 15 %, here of normal time.
    assert told["standard_s"]["value"] == pytest.approx(1.15 * normal, rel=1e-9)


def test_the_cost_is_that_of_the_vehicle(told):
    cost = run("cost", VAN, "--draws", 100, "--json").json
    (root,) = [one for one in cost["nodes"] if not one["parent"]]
    # first principles: the assembly of a vehicle is the same, asked for alone or with its cost.
    assert root["assembly"] == pytest.approx(told["cost"]["value"], rel=1e-9)
    assert root["assembly_s"] == pytest.approx(told["standard_s"]["value"], rel=1e-9)


def test_the_page_of_a_function(told):
    ran = run("cost", "assembly", VAN, "--function", DRIVE)
    assert ran.code == 0
    assert_fits(ran.out.replace("…", ""))
    for words in (
        "of standard time", "not taken on a line", "Normal time", "allowance", "Standard time", "threaded fasteners",
        "access directions: above, below", "W-J0267", "Why a part is a part of its own", "Figures nobody stated",
        "Thread engaged",
    ):  # fmt: skip
        assert words in ran.plain
    assert "_frac" not in ran.plain


def test_motions_prints_every_joint():
    ran = run("cost", "assembly", VAN, "--function", DRIVE, "--motions")
    of_function = run("cost", "assembly", VAN, "--function", DRIVE, "--json").json
    assert all(one["joint"] in ran.plain for one in of_function["joints"] if one["normal_s"])
    assert "M16C × 14" in ran.plain


def test_replacing_a_part_says_cautions_before_anything_else():
    ran = run("cost", "service", VAN, "--part", INVERTER)
    assert ran.code == 0
    assert_fits(ran.out)
    before, _, after = ran.plain.partition("Replacing Inverter housing")
    for words in ("High voltage", "qualified", "These are reminders, no instruction"):
        assert words in before
    for words in (HELD_BY, "T45", "Added once", "igh-voltage isolation", "none is guessed"):
        assert words in after
    # common practice: what joints do not say is said with the time, not below the list of assumptions.
    assert "No obstacle is guessed" in after.partition("Way out")[0]


def test_the_times_of_a_replacement_add_up():
    told = run("cost", "service", VAN, "--part", INVERTER, "--json").json
    jsonschema.validate(told, SERVICE)
    out, back, once, whole = (
        told[f"{name}_s"]["value"] for name in ("removal", "replacement", "once", "total")
    )
    # first principles: out, back in, and what is added once.
    assert whole == pytest.approx(out + back + once, rel=1e-9)
    assert once == pytest.approx(sum(one["value"] for one in told["once"]), rel=1e-9)
    assert out == pytest.approx(told["sequence"][-1]["ends_s"], rel=1e-9)


def test_what_is_stated_of_a_removal_counts():
    free = run("cost", "service", VAN, "--part", INVERTER, "--json").json
    timed = run("cost", "service", VAN, "--part", INVERTER, "--takes", f"{HELD_BY}=300", "--json").json
    blocked = run("cost", "service", VAN, "--part", INVERTER, "--before", f"{HELD_BY}=W-0710", "--json").json
    at = {one["operation"]: one["seconds"] for one in timed["sequence"]}
    # first principles: the stated time replaces the one that was worked out; what is in the way comes off first.
    assert at[HELD_BY] == pytest.approx(300.0)
    assert blocked["removal_s"]["value"] > free["removal_s"]["value"]
    order = [one["operation"] for one in blocked["sequence"]]
    assert order.index("take off W-0710") < order.index(HELD_BY)


@pytest.mark.parametrize(
    ("words", "why"),
    [
        (("assembly", VAN, "--function", "rear axel"), "no function 'rear axel'; did you mean"),
        (("assembly", VAN, "--region", "mars"), "no region named 'mars'"),
        (("service", VAN, "--part", "W-9999"), "no part 'W-9999'"),
        (("service", VAN, "--part", "W-0755"), "no joint holds it"),
        (("service", VAN), "Missing option '--part'"),
        (("service", VAN, "--part", INVERTER, "--takes", f"{HELD_BY}=-5"), "seconds are a number above 0"),
        (("service", VAN, "--part", INVERTER, "--takes", f"{HELD_BY}=long"), "seconds are a number above 0"),
        (("service", VAN, "--part", INVERTER, "--takes", HELD_BY), "write WHAT=VALUE"),
        (
            ("service", VAN, "--part", INVERTER, "--takes", "W-J0999=5"),
            "no joint or part 'W-J0999'; did you mean",
        ),
        (("service", VAN, "--part", INVERTER, "--before", "W-J9999=W-0710"), "no joint or part 'W-J9999'"),
    ],
)
def test_what_is_wrong_is_refused_with_the_reason(words, why):
    ran = run("cost", *words, "--json")
    assert ran.code == 2
    jsonschema.validate(ran.json, FAULTS)
    assert why in ran.json["faults"][0]["message"]
