"""What does not fit together is said before any result, and what cannot be is refused."""

from dataclasses import replace

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from capture.books import saved, sound
from hoistbook.capture.read import read_teardown
from hoistbook.core.energy.resolve import resolve
from hoistbook.core.quantities.instruments import Instrument
from hoistbook.core.quantities.quantity import Quantity
from hoistbook.core.vehicle.kinds import QUANTITY_KINDS
from hoistbook.core.vehicle.records import ContentItem, Fact, MassState, Replaced, Rule
from hoistbook.reference.energy import energy_defaults
from hoistbook.services.doubts import (
    between_two_vehicles,
    negative_draws,
    within_one_vehicle,
    worded_doubts,
)
from hoistbook.services.duties import named_duty
from hoistbook.services.gap import gap_report
from hoistbook.services.replaced import bands_apart, replaced_figures
from hoistbook.services.touched import about_facts, touches, touching_remarks

from .test_gap_service import measured, report, vehicle

KWH = 3.6e6  # first principles: 1 kWh = 3.6 MJ


def with_facts(made, *facts, without=()):
    kept = tuple(f for f in made.facts if f.quantity not in without)
    return replace(made, facts=kept + facts)


@pytest.mark.parametrize(
    ("quantity", "wrong", "unit"),
    [
        ("usable_energy", 52_000 * KWH, "J"),  # 52 MWh: kWh typed where Wh were meant, or the other way round
        ("usable_energy", 0.052 * KWH, "J"),
        ("drag_area", 110.0, "m2"),  # dm² typed as m²
    ],
)
def test_a_slip_of_a_unit_is_refused_and_named(quantity, wrong, unit):
    # first principles: a thousandfold figure moves the model by far more than six times its error of some 10 %.
    x = with_facts(
        vehicle("A"),
        Fact("A-1", quantity, measured(wrong, unit, "A/slip", 0.01 * wrong)),
        without=(quantity,),
    )
    with pytest.raises(ValueError, match=r"A.*(wrong|pack would have to deliver)"):
        report(x, vehicle("B"))


def test_a_stated_range_far_from_the_model_is_doubted():
    # first principles: the model makes some 295 km of this vehicle (services.energy); 430 km is 1.46 times that,
    # ln 1.46 = 0.38, nearly four times an error of 10 %.
    usual = report(vehicle("A"), vehicle("B")).as_found
    assert usual.doubts == ()
    far = vehicle("B", range_km=430.0)
    far = replace(far, vehicle=replace(far.vehicle, family="other"))
    doubted = gap_report(vehicle("A"), far, quantity="range", n_draws=3000).as_found
    assert any(
        "B: the stated range is 1." in text and "look for a wrong figure" in text for text in doubted.doubts
    )


def test_usable_and_wall_energy_are_held_against_each_other():
    # first principles: 60 kWh at the wall × 0.88 = 52.8 kWh in the cells, against 45 stated.
    made = with_facts(
        vehicle("A"),
        Fact("A-1", "usable_energy", measured(45.0 * KWH, "J", "A/usable", 0.3 * KWH)),
        Fact("A-1", "wall_energy", measured(60.0 * KWH, "J", "A/wall", 0.3 * KWH)),
        Fact("A-1", "charging_efficiency", measured(0.88, "1", "A/charging", 0.01)),
        without=("usable_energy",),
    )
    [doubt] = within_one_vehicle(made, "A-1", "wltc3b")
    assert (
        "usable battery energy, 45 kWh, and wall energy of a charge × charging efficiency, 52.8 kWh"
        in doubt.text
    )
    assert (worded_doubts([doubt], "range"), worded_doubts([doubt], "mass")) == ((doubt.text,), ())
    fitting = with_facts(made, Fact("A-1", "usable_energy", measured(52.6 * KWH, "J", "A/u", 0.3 * KWH)),
                         without=("usable_energy",))  # fmt: skip
    assert within_one_vehicle(fitting, "A-1", "wltc3b") == ()


def test_corner_masses_and_curb_mass_are_held_against_each_other():
    # first principles: 4 × 390 = 1,560 kg against 1,600 kg.
    corners = [
        Fact("A-1", f"corner_mass_{end}_{side}", measured(390.0, "kg", f"A/{end}{side}", 0.6), MassState.CURB)
        for end in ("front", "rear")
        for side in ("left", "right")
    ]
    [doubt] = within_one_vehicle(with_facts(vehicle("A"), *corners), "A-1", "wltc3b")
    assert "1560 kg" in doubt.text
    assert "1600 kg" in doubt.text
    # The range rests on the test mass, which is stated by itself.
    assert (worded_doubts([doubt], "range"), worded_doubts([doubt], "mass")) == ((), (doubt.text,))


def test_a_test_mass_below_curb_is_doubted():
    made = vehicle("A")
    facts = tuple(
        replace(f, value=measured(1500.0, "kg", "A/t", 2.0)) if f.mass_state is MassState.TEST else f
        for f in made.facts
    )
    [doubt] = within_one_vehicle(replace(made, facts=facts), "A-1", "wltc3b")
    assert "below the curb mass" in doubt.text
    assert worded_doubts([doubt], "range") == worded_doubts([doubt], "mass") == (doubt.text,)


def test_one_instrument_described_twice_is_named():
    x, y = vehicle("A"), vehicle("B")
    scale = Instrument("B2", "scale", accuracy_class="III", step_si=0.01, capacity_si=60.0)
    same = replace(x, instruments={"B2": scale}), replace(y, instruments={"B2": scale})
    assert between_two_vehicles(*same) == ()
    other = replace(y, instruments={"B2": replace(scale, step_si=0.05)})
    [doubt] = between_two_vehicles(same[0], other)
    assert "instrument B2" in doubt.text
    # Nothing was read with it, so no gap rests on it; a part that was weighed on it touches the mass.
    assert worded_doubts([doubt], "mass") == worded_doubts([doubt], "range") == ()
    readings = (replace(other.measurements[0], instrument="B2"), *other.measurements[1:])
    [doubt] = between_two_vehicles(same[0], replace(other, measurements=readings))
    assert (len(worded_doubts([doubt], "mass")), worded_doubts([doubt], "range")) == (1, ())


def test_draws_below_zero_are_counted():
    # first principles: half of −1, 1, −1, 1 is below zero; a signed parameter may be.
    values = np.array([-1.0, 1.0, -1.0, 1.0])
    assert "50.0%" in negative_draws("A", {"drag_area_m2": values})[0]
    assert negative_draws("A", {"drag_force_n": values}) == ()


def test_content_that_leaves_nothing_is_refused():
    item = ContentItem(
        "pack", "the battery", Rule.STRIP, "usable_energy", measured(60 * KWH, "J", "B/p", 1.0)
    )
    with pytest.raises(ValueError, match="content pack leaves nothing of usable battery energy"):
        report(vehicle("A"), vehicle("B", content=(item,)))
    heavy = ContentItem("load", "a load", Rule.STRIP, "mass", measured(5000.0, "kg", "B/l", 1.0))
    with pytest.raises(ValueError, match="takes off more than the vehicle weighs"):
        report(vehicle("A"), vehicle("B", content=(heavy,)), "mass")


BANDS = st.tuples(st.integers(-50, 50), st.integers(0, 20))


@given(BANDS, BANDS)
def test_bands_are_apart_by_what_lies_between_them(one, other):
    # first principles: two intervals of whole half widths meet where some number is in both; otherwise what lies
    # between them is counted here in hundredths, which is fine enough for ends that are whole.
    quantities = [measured(value, "kg", f"r{i}", half) for i, (value, half) in enumerate((one, other))]
    sets = [set(range(100 * (value - half), 100 * (value + half) + 1)) for value, half in (one, other)]
    between = set(range(max(map(min, sets)), min(map(max, sets)) + 1))
    free = 0 if sets[0] & sets[1] else (max(map(min, sets)) - min(map(max, sets))) / 100
    assert bool(between) == (free == 0)
    # 1.96 stands for the exact factor in `measured`: 2e-5 of a half width.
    assert bands_apart(*quantities) == pytest.approx(free, abs=2e-3)
    assert bands_apart(*quantities) == bands_apart(*reversed(quantities))


def replaced(made, quantity, unit, was, now, half, state=None):
    """The vehicle with a figure of a workbook that a test took the place of."""
    old, new = (
        Fact("A-1", quantity, measured(value, unit, f"A/{name}", half), state)
        for name, value in (("old", was), ("new", now))
    )
    facts = tuple(f for f in made.facts if (f.quantity, f.mass_state) != (quantity, state))
    pair = Replaced(old, "workbook", new, "test run 1", "2026-05-04", "2026-05-05")
    return replace(made, facts=(*facts, new), replaced=(pair,))


def test_a_replaced_figure_is_a_doubt_only_where_the_bands_do_not_meet():
    # first principles: 1.10 ± 0.03 reaches to 1.13, 1.17 ± 0.03 begins at 1.14: 0.01 m² lies between; 1.15 ± 0.03
    # begins at 1.12, so they meet.
    apart, meeting = (replaced(vehicle("A"), "drag_area", "m2", 1.10, now, 0.03) for now in (1.17, 1.15))
    [doubt] = within_one_vehicle(apart, "A-1", "wltc3b")
    assert doubt.text.startswith("A: drag area (Cd·A), 1.17")
    assert "by test run 1 and 1.1" in doubt.text
    assert "by the workbook, which it took the place of: their bands are 0.01 m² apart" in doubt.text
    assert within_one_vehicle(meeting, "A-1", "wltc3b") == ()
    for made in (apart, meeting):
        found = report(made, vehicle("B"))
        assert [(one.vehicle, one.one.now.value.value) for one in found.replaced] == [
            ("A", made.replaced[0].now.value.value)
        ]
    assert report(apart, vehicle("B")).as_found.doubts == (doubt.text,)
    assert report(meeting, vehicle("B")).as_found.doubts == ()
    for made in (apart, meeting):
        mass = report(made, vehicle("B"), "mass")
        assert (mass.as_found.doubts, mass.replaced) == ((), ())


def test_a_mass_gap_shows_masses_and_a_range_gap_what_moves_it():
    # 1,600 ± 2 kg and 1,610 ± 2 kg: 6 kg apart. Curb touches the mass alone, for the test mass is stated by itself.
    curb = replaced(vehicle("A"), "mass", "kg", 1600.0, 1610.0, 2.0, MassState.CURB)
    [doubt] = report(curb, vehicle("B"), "mass").as_found.doubts
    assert "mass, curb, " in doubt
    assert "their bands are 6 kg apart" in doubt
    assert report(curb, vehicle("B")).as_found.doubts == ()
    assert report(curb, vehicle("B")).replaced == ()
    without_test = replace(curb, facts=tuple(f for f in curb.facts if f.mass_state is not MassState.TEST))
    assert [one.now.value.value for one in replaced_figures(without_test, "A-1", gap_in="range")] == [1610.0]


@pytest.mark.parametrize("name", ["whimbrel", "turnstone", "dotterel"])
def test_no_figure_that_moves_a_gap_is_left_out(name):
    # first principles: a figure touches what the energy model is given where another value of it gives the model
    # something else. The law runs one way: a figure that another one stands before may be named all the same.
    from hoistbook.services.demo import van_paths

    van, duty = read_teardown(van_paths()[name]), named_duty("wltc3b")

    def values(facts):
        found = resolve(facts, energy_defaults(), duty.duty, owner="van", surroundings=duty.surroundings)
        return {key: value.value for key, value in found.values.items()}

    usual = values(van.facts)
    moving = set()
    for place, fact in enumerate(van.facts):
        moved = replace(fact, value=replace(fact.value, value=fact.value.value * 1.001))
        if values((*van.facts[:place], moved, *van.facts[place + 1 :])) != usual:
            moving.add(fact.quantity)
            assert touches("range", about_facts([fact], van.facts)), fact.quantity
        assert touches("mass", about_facts([fact], van.facts)) == (fact.value.unit == "kg")
    assert {"usable_energy", "wheel_radius", "mass", "loss_k1"} <= moving


@pytest.mark.parametrize("kind", QUANTITY_KINDS.values(), ids=lambda kind: kind.key)
def test_every_quantity_touches_the_mass_gap_where_it_is_a_mass(kind):
    fact = Fact(
        "A-1", kind.key, Quantity(1.0, kind.unit), MassState.CURB if "mass_state" in kind.needs else None
    )
    test = Fact("A-1", "mass", Quantity(1.0, "kg"), MassState.TEST)
    # first principles: a mass is stated in kilograms; a length or a power moves no balance of masses.
    assert touches("mass", about_facts([fact], [test])) == (kind.unit == "kg")
    if kind.unit == "kg":
        assert not touches("range", about_facts([fact], [test]))


def test_remarks_of_the_load_stand_where_they_touch(tmp_path):
    rows = sound()
    first = rows["measurements"][0]
    rows["measurements"].append({**first, "reading": "R9", "replicate": 2, "value": first["value"] * 2.0})
    rows["facts"][1]["value"] = 120.0
    rows["vehicle"][0]["VIN"] = "WHI"
    van = read_teardown(saved(tmp_path, rows))
    contradicting, unusual = touching_remarks(van, "mass"), touching_remarks(van, "range")
    assert [line.split(":")[0] for line in contradicting] == [f"mass of {first['of']}"]
    assert [line.split(" = ")[0] for line in unusual] == ["unusual: facts row 3: drag area (Cd·A)"]
    assert len(van.reported) > 2
