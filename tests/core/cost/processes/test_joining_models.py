"""Welds, adhesive, rivets, cables, harnesses, boards and bought parts: laws, trade ranges, refusals."""

import math
import re

import pytest
from hypothesis import given
from hypothesis import strategies as st

from core.cost.processes.trial import number, operation, pace, refusal
from hoistbook.core.cost.engine import cost_parts
from hoistbook.core.cost.inputs import INPUTS
from hoistbook.core.cost.processes import PROCESSES
from hoistbook.core.cost.route import PartToCost, Step
from hoistbook.core.quantities.quantity import Quantity
from hoistbook.reference.cost import packaged_scenario

STEEL = "steel sheet, mild"
WELD = {"weld_length_m": 0.8, "weld_throat_m": 3e-3, "weld_start_count": 8.0}
CABLE = {
    "mass_kg": 1.2, "tube_length_m": 1.5, "conductor_area_m2": 50e-6, "circuit_count": 1.0, "connector_count": 2.0,
}  # fmt: skip
HARNESS = {
    "mass_kg": 4.0, "tube_length_m": 3.0, "conductor_area_m2": 0.5e-6, "circuit_count": 60.0, "connector_count": 20.0,
    "joint_count": 6.0, "clip_count": 40.0,
}  # fmt: skip
BOARD = {"mass_kg": 0.2, "board_area_m2": 0.012, "component_count": 300.0, "through_hole_count": 8.0}


def stage(one, words):
    return next(number(each.time_s) for each in one.stages if each.words == words)


def costed(steps, material=STEEL, n_draws=0, **readings):
    """Cost a made-up part of the packaged scenario: a kilogram of sheet bought as it is, and these steps on it."""
    known = {name: Quantity(value, INPUTS[name].unit) for name, value in readings.items()}
    part = PartToCost("P", "part", material, known, tuple(steps))
    found = cost_parts([part], packaged_scenario(), PROCESSES, n_draws=n_draws)
    assert not found.refused
    return found.parts["P"]


def test_a_fillet_takes_its_wire():
    one = operation(
        PROCESSES["arc_welding"], weld_length_m=0.4, weld_throat_m=3e-3, weld_start_count=1.0, gas_money_per_m3=0.0,
        wire_money_per_kg=1.0,
    )  # fmt: skip
    # computed: throat 3 mm, 400 mm of steel, yield 0.93: 30.4 g.
    assert number(one.consumables) * 1e3 == pytest.approx(30.4, abs=0.05)


def test_robot_and_hand_keep_their_arc_on_shares():
    robot, hand = (operation(PROCESSES["arc_welding"], {"by": by}, **WELD) for by in ("robot", "hand"))
    # common practice: 0.6-0.85 of a robot's time, 0.25-0.35 by hand; 6-12 and 4-7 mm/s.
    assert 0.6 < stage(robot, "arc") / pace(robot) < 0.85
    assert 0.25 < stage(hand, "arc") / pace(hand) < 0.35
    assert 6e-3 < WELD["weld_length_m"] / stage(robot, "arc") < 12e-3
    assert 4e-3 < WELD["weld_length_m"] / stage(hand, "arc") < 7e-3


def test_many_short_beads_are_paced_by_their_starts():
    few, many = (operation(PROCESSES["arc_welding"], **(WELD | {"weld_start_count": n})) for n in (4.0, 40.0))
    # common practice: 2-3 s per start. first principles: the same arc.
    assert stage(many, "arc") == stage(few, "arc")
    assert stage(many, "starts, moves, index") == pytest.approx(40 * 2.5 + 4.0)


def test_a_thick_throat_is_limited_by_what_the_arc_melts():
    one = operation(PROCESSES["arc_welding"], **(WELD | {"weld_throat_m": 8e-3}))
    # computed: f1 0.9, f2 0.5, 6 kW, 10.315 J/mm3, 64 mm2: 4.09 mm/s, below the usual 9.
    assert WELD["weld_length_m"] / stage(one, "arc") == pytest.approx(4.09e-3, rel=2e-3)


def test_a_spot_costs_what_spots_cost():
    one = operation(PROCESSES["spot_welding"], spot_count=60.0, wall_thickness_m=1.2e-3)
    # common practice: 2.5-4.5 s per spot; 0.03-0.08 USD per spot, here machine, people and tips of a station of 60.
    assert 2.5 < stage(one, "spots") / 60 < 4.5
    found = costed(
        [Step("bar_cutting"), Step("spot_welding", readings={})],
        mass_kg=1.0, diameter_m=0.03, spot_count=60.0, wall_thickness_m=1.2e-3,
    )  # fmt: skip
    spots = sum(line.value_money for line in found.lines if line.step == 2 and line.name != "set-up")
    assert 0.03 < spots / 60 < 0.08


def test_aluminium_needs_its_tips_dressed_more_often():
    steel, light = (
        operation(PROCESSES["spot_welding"], {"metal": metal}, spot_count=60.0, wall_thickness_m=1.2e-3)
        for metal in ("steel", "aluminium")
    )
    assert stage(light, "tip dressing, shared") > stage(steel, "tip dressing, shared")


def test_seams_and_beads_are_laid_within_the_trade_range():
    seam = operation(PROCESSES["laser_welding"], weld_length_m=2.0, weld_start_count=4.0)
    # common practice: 2-6 m/min; adhesive 150-400 mm/s.
    assert 2 / 60 < 2.0 / stage(seam, "beam") < 6 / 60
    bead = operation(
        PROCESSES["adhesive_bonding"], bead_length_m=4.0, bead_diameter_m=4e-3, weld_start_count=2.0
    )
    assert 0.150 < 4.0 / stage(bead, "beads") < 0.400


@given(st.floats(0.5, 20.0), st.floats(1e-3, 8e-3), st.floats(1.05, 2.0))
def test_adhesive_goes_with_length_and_the_square_of_the_bead(length, diameter, factor):
    def money(**changed):
        base = {"bead_length_m": length, "bead_diameter_m": diameter, "weld_start_count": 1.0}
        return number(operation(PROCESSES["adhesive_bonding"], **(base | changed)).consumables)

    # first principles: V = pi d^2/4 L.
    assert money(bead_length_m=factor * length) == pytest.approx(factor * money(), rel=1e-9)
    assert money(bead_diameter_m=factor * diameter) == pytest.approx(factor**2 * money(), rel=1e-9)
    # computed: epoxy of 1300 kg/m3 at 14 USD/kg, 5 % purged.
    expected = math.pi / 4 * diameter**2 * length * 1_300.0 * 1.05 * 14.0
    assert money() == pytest.approx(expected, rel=1e-9)


def test_an_own_station_costs_what_the_paint_oven_gives_free():
    free, own = (
        operation(PROCESSES["adhesive_bonding"], {"cure": cure}, bead_length_m=4.0, bead_diameter_m=4e-3)
        for cure in ("paint oven", "own station")
    )
    assert number(own.consumables) > number(free.consumables)


@pytest.mark.parametrize(
    # common practice: 2.5-4 s and 0.03-0.06 USD per rivet, 4-6 s and 0.12-0.25 USD per screw.
    ("kind", "seconds", "money"),
    [("self-piercing rivet", (2.5, 4.0), (0.03, 0.06)), ("flow-drill screw", (4.0, 6.0), (0.12, 0.25))],
)
def test_rivets_and_screws(kind, seconds, money):
    one = operation(PROCESSES["riveting"], {"kind": kind}, rivet_count=40.0, wall_thickness_m=2e-3)
    assert seconds[0] < stage(one, "joints") / 40 < seconds[1]
    assert money[0] < number(one.bought) / 40 < money[1]


@pytest.mark.parametrize(
    ("name", "reading", "base"),
    [
        ("arc_welding", "weld_length_m", WELD),
        ("spot_welding", "spot_count", {"spot_count": 10.0, "wall_thickness_m": 1e-3}),
        ("laser_welding", "weld_length_m", WELD | {"weld_length_m": 1.0}),
        ("adhesive_bonding", "bead_length_m", {"bead_length_m": 1.0, "bead_diameter_m": 3e-3}),
        ("riveting", "rivet_count", {"rivet_count": 10.0, "wall_thickness_m": 1e-3}),
        ("harness_assembly", "circuit_count", HARNESS),
        ("harness_assembly", "clip_count", HARNESS),
        ("cable_assembly", "connector_count", CABLE),
        ("cable_assembly", "circuit_count", CABLE),
    ],
)
def test_more_of_it_takes_longer(name, reading, base):
    base = {
        one: value
        for one, value in base.items()
        if one in (*PROCESSES[name].needs, *PROCESSES[name].optional)
    }
    # first principles: more work.
    more = operation(PROCESSES[name], **(base | {reading: 2.0 * base[reading]}))
    assert pace(more) > pace(operation(PROCESSES[name], **base))


def test_a_two_ended_cable_takes_its_minutes():
    one = operation(PROCESSES["cable_assembly"], material="copper wire", **CABLE)
    # common practice: 5-9 min per two-ended cable.
    assert 5.0 < pace(one) / 60 < 9.0
    # first principles: 8.96 g per mm2 and metre, and 3 % cut off.
    assert number(one.gross_kg) == pytest.approx(8.96e-3 * 50 * 1.5 * 1.03, rel=1e-9)
    # common practice: connectors make up most of it.
    assert CABLE["connector_count"] * 24.0 / number(one.bought) > 0.5
    light = operation(PROCESSES["cable_assembly"], material="aluminium wire", **CABLE)
    # from memory: densities 2703 and 8960 kg/m3.
    assert number(light.gross_kg) / number(one.gross_kg) == pytest.approx(2_703 / 8_960)


def test_a_harness_takes_its_touch_labour_per_circuit():
    one = operation(PROCESSES["harness_assembly"], {"cover": "full tape"}, "copper wire", **HARNESS)
    touch = sum(number(each.time_s) for each in one.stages)
    # common practice: 45-90 s of touch labour per circuit.
    assert 45.0 < touch / HARNESS["circuit_count"] < 90.0
    # first principles: 60 wires of 3 m, 0.5 mm2, 8.96 g per mm2 and metre, 3 % cut off.
    assert number(one.gross_kg) == pytest.approx(60 * 3.0 * 0.5 * 8.96e-3 * 1.03, rel=1e-9)


def test_a_board_is_the_sum_of_its_parameters():
    one = operation(PROCESSES["board_assembly"], material="fr4", **BOARD)
    # first principles: by hand, best estimates: 120 cm2 x (0.10 + 0.0025), 300 x 0.108, 8 x 0.89, 1.50 USD.
    assert number(one.bought) == pytest.approx(120 * 0.1025 + 300 * 0.108 + 8 * 0.89 + 1.5, rel=1e-9)


def test_a_board_is_known_to_no_better_than_two_fifths():
    found = costed([Step("board_assembly")], "fr4", 4_000, **BOARD)
    # common practice: parametric prices of boards are within 40 %.
    assert found.piece.low < 0.75 * found.piece.value
    assert found.piece.high > 1.40 * found.piece.value


@pytest.mark.parametrize("mass_kg", [0.003, 0.006, 0.030, 0.080])
def test_screws_cost_what_screws_cost(mass_kg):
    one = operation(PROCESSES["bought_part"], {"kind": "fastener"}, mass_kg=mass_kg, pieces_per_year=1e6)
    # common practice: 0.02-0.25 USD.
    assert 0.02 <= number(one.bought) <= 0.25


@given(st.floats(1e-3, 2.0), st.floats(1e3, 1e8), st.floats(1.1, 10.0))
def test_a_bought_part_is_dearer_with_mass_and_cheaper_with_volume(mass_kg, volume, factor):
    def price(**changed):
        one = operation(
            PROCESSES["bought_part"], **({"mass_kg": mass_kg, "pieces_per_year": volume} | changed)
        )
        return number(one.bought)

    assert price(mass_kg=factor * mass_kg) > price()
    # common practice: exponent -0.10 of volume.
    assert price(pieces_per_year=factor * volume) / price() == pytest.approx(factor**-0.10, rel=1e-9)


def test_a_dear_bought_part_says_that_it_has_to_be_split():
    dear = costed([Step("bought_part", {"kind": "bearing"})], "bought", mass_kg=3.0)
    cheap = costed([Step("bought_part", {"kind": "bearing"})], "bought", mass_kg=0.2)
    # common practice: bought items above 10-15 USD are split (US EPA teardown cost studies).
    assert dear.piece.value > 15.0 > cheap.piece.value
    assert any("split it into material, work, overhead and mark-up" in words for words in dear.assumed)
    assert not any("split it" in words for words in cheap.assumed)


def test_every_figure_of_a_bought_part_is_called_common_practice():
    assert {one.mark for one in PROCESSES["bought_part"].figures} == {"common practice"}


def test_what_is_not_stated_is_taken_as_usual_and_said():
    found = costed(
        [Step("harness_assembly")], "copper wire", mass_kg=4.0, circuit_count=60.0, tube_length_m=3.0
    )
    assert "cross-section of a conductor: not stated, taken as usual for harness assembly" in found.assumed
    assert "clips and grommets: none stated, taken as none" in found.assumed


@pytest.mark.parametrize(
    ("name", "changed", "why"),
    [
        ("arc_welding", WELD | {"weld_length_m": 0.0, "weld_start_count": 0.0}, "no weld is stated"),
        ("arc_welding", WELD | {"weld_throat_m": 0.02}, "several passes"),
        ("arc_welding", WELD | {"weld_start_count": 800.0}, "shorter than 2 mm each"),
        ("arc_welding aluminium", WELD, "not the metal of the part"),
        (
            "spot_welding aluminium",
            {"spot_count": 5.0, "wall_thickness_m": 2e-3},
            "not the metal of the part",
        ),
        ("spot_welding", {"spot_count": 0.0, "wall_thickness_m": 1e-3}, "no spot is stated"),
        ("spot_welding", {"spot_count": 5.0, "wall_thickness_m": 12e-3}, "does not melt a nugget"),
        ("laser_welding", {"weld_length_m": 0.0}, "no weld is stated"),
        ("laser_welding", {"weld_length_m": 1.0, "spot_m": 2e-3}, "too weak"),
        ("adhesive_bonding", {"bead_length_m": 0.0}, "no bead is stated"),
        ("riveting", {"rivet_count": 0.0, "wall_thickness_m": 1e-3}, "no joint is stated"),
        ("riveting", {"rivet_count": 3.0, "wall_thickness_m": 8e-3}, "beyond what is joined"),
        ("cable_assembly", CABLE | {"conductor_area_m2": 1e-6}, "not a high-voltage cable"),
        ("cable_assembly", CABLE | {"tube_length_m": 9.0}, "weighs more than the whole"),
        ("harness_assembly", HARNESS | {"circuit_count": 0.0}, "no circuit"),
        ("harness_assembly", HARNESS | {"mass_kg": 0.2}, "weigh more than the whole"),
        ("board_assembly", BOARD | {"component_count": 19_000.0}, "more than 100 components"),
        ("bought_part", {"mass_kg": 6.0}, "more than 5 kg"),
    ],
)
def test_what_cannot_be_is_refused(name, changed, why):
    material = "copper wire" if "tube_length_m" in changed else STEEL
    name, _, metal = name.partition(" ")
    words = refusal(PROCESSES[name], {"metal": metal} if metal else {}, material, **changed)
    assert len(words) == 1
    assert re.search(why, words[0])


def test_typical_parts_are_not_refused():
    assert refusal(PROCESSES["arc_welding"], {}, STEEL, **WELD) == []
    for name, base in (("cable_assembly", CABLE), ("harness_assembly", HARNESS), ("board_assembly", BOARD)):
        assert refusal(PROCESSES[name], {}, "copper wire", **base) == []
