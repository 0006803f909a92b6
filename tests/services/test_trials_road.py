"""Tests of road and hoist as a person states them, and what their facts do to the bars of a gap."""

import math

import pytest

from core.trials.coasting_simulation import Vehicle as Coasting
from core.trials.coasting_simulation import recording, still
from core.trials.test_spindown import INERTIA, spins, torque_at
from hoistbook.capture.pads import PadRow
from hoistbook.core.quantities.evaluation import normal
from hoistbook.core.quantities.instruments import Instrument
from hoistbook.core.quantities.quantity import Origin
from hoistbook.core.trials.spindown import CORNERS
from hoistbook.core.vehicle.records import Basis, Configuration, Fact, MassState, Teardown, Vehicle
from hoistbook.services.gap import gap_report
from hoistbook.services.trials import facts_of
from hoistbook.services.trials_hoist import CornersAsked, SpinDownAsked, evaluate_corners, evaluate_spin_down
from hoistbook.services.trials_road import CoastDownAsked, evaluate_coast_down

LOADS = {"X1": Coasting(), "Y1": Coasting(a_n=205.0, b_n_s_per_m=1.5, c_n_s2_per_m2=0.70)}


def known(code, quantity, value, u, unit, origin=Origin.MEASURED, **more):
    return Fact("base", quantity, normal(value, u, unit, f"{code} {quantity}", origin), **more)


def labelled(code, load):
    """A vehicle known by its label: published coefficients, and nothing that splits them."""
    published = {"origin": Origin.PUBLISHED, "basis": Basis.LABEL}
    return Teardown(
        Vehicle(code, code),
        (Configuration("base", code),),
        (
            known(code, "mass", load.mass_kg, 2.0, "kg", mass_state=MassState.TEST),
            known(code, "usable_energy", 2.0e8, 1e6, "J"),
            known(code, "wheel_radius", 0.33, 1e-3, "m"),
            known(code, "road_load_a", load.a_n, 3.0, "N", **published),
            known(code, "road_load_b", load.b_n_s_per_m, 0.2, "N.s/m", **published),
            known(code, "road_load_c", load.c_n_s2_per_m2, 0.01, "N.s2/m2", **published),
        ),
    )


def driven_and_spun(teardown, load, seed):
    """The same vehicle with the facts of a coast-down and of four spin-downs."""
    code = teardown.vehicle.code
    log = recording(load, still(), seed, pairs=3, channels=("direction",))
    _, coasted = evaluate_coast_down(
        [log], CoastDownAsked(), name="coast", teardown=teardown, configuration=teardown.configurations[0]
    )
    wheels = {corner: [spins(3, seed=seed + i, varies=0.02)] for i, corner in enumerate(CORNERS)}
    _, spun = evaluate_spin_down(wheels, SpinDownAsked(inertia_kg_m2=INERTIA), name=f"{code} spin")
    new = [fact for outcome in (coasted, spun) for fact in facts_of(outcome, "base", f"test of {code}")[0]]
    return Teardown(teardown.vehicle, teardown.configurations, (*teardown.facts, *new))


def origins(x, y):
    found = gap_report(x, y, quantity="energy", n_draws=300, merge=False).as_found
    return {bar.name: bar.origin for bar in found.bars}


def test_tests_replace_inferred_by_measured_on_the_bars_of_the_gap():
    before = {code: labelled(code, load) for code, load in LOADS.items()}
    first = origins(*before.values())
    assert first["drag_area"] == "inferred"
    assert first["tyres"] == "assumed"
    after = {
        code: driven_and_spun(before[code], load, 10 * i) for i, (code, load) in enumerate(LOADS.items())
    }
    then = origins(*after.values())
    assert {then[name] for name in ("drag_area", "tyres", "drag_force")} == {"measured"}


def test_facts_of_a_coast_down_carry_test_and_note():
    load = LOADS["X1"]
    vehicle = labelled("X1", load)
    found, outcome = evaluate_coast_down(
        [recording(load, still(), 1, pairs=2, channels=("direction",))],
        CoastDownAsked(),
        name="coast 1",
        teardown=vehicle,
        configuration=vehicle.configurations[0],
    )
    facts, left_out = facts_of(outcome, "base", "test coast 1, log coast.csv")
    assert [fact.quantity for fact in facts] == [
        "road_load_a",
        "road_load_b",
        "road_load_c",
        "rotating_share",
    ]
    assert left_out == []
    assert facts[0].value == found.a
    assert facts[0].value.origin is Origin.MEASURED
    assert facts[3].value.origin is Origin.PUBLISHED
    assert all(fact.evidence == "test coast 1, log coast.csv" for fact in facts)
    # The mass of the vehicle and the road load share the error of its scale.
    assert "X1 mass" in {source.name for source, _ in found.a.terms}


def test_b_fixed_at_nothing_is_no_fact():
    load = Coasting(b_n_s_per_m=0.0)
    log = recording(load, still(), 1, pairs=1, one_way=True)
    _, outcome = evaluate_coast_down([log], CoastDownAsked(mass_kg=2200.0, with_b=False), name="t")
    facts, left_out = facts_of(outcome, "base", "e")
    assert "road_load_b" not in [fact.quantity for fact in facts]
    assert any("road load B" in words for words in left_out)


LOG = recording(LOADS["X1"], still(), 1, pairs=1, one_way=True)


def share(**asked):
    _, outcome = evaluate_coast_down([LOG], CoastDownAsked(mass_kg=2200.0, **asked), name="t")
    return outcome.figure("rotating_share")


def test_share_of_rotating_parts_follows_the_rule_that_was_chosen():
    # from memory: 40 CFR 1066.310, 1.5 % per axle.
    assert share(rotating="us").value.value == pytest.approx(0.03)
    # published: UN GTR 15 Annex 4, 3 % of (mass in running order + 25 kg), second hand; of 2,200 kg as driven.
    assert share(rotating="wltp", running_order_kg=2050.0).value.value == pytest.approx(
        0.03 * 2075.0 / 2200.0
    )
    assert "running order is not stated" in share(rotating="wltp").note
    stated = share(rotating="0.042", rotating_band_frac=0.004)
    assert (stated.value.value, stated.value.origin) == (0.042, Origin.MEASURED)
    assert stated.value.expanded() == pytest.approx(0.004)
    with pytest.raises(ValueError, match="us, wltp, or a share"):
        share(rotating="heavy")
    with pytest.raises(ValueError, match="us, wltp, or a share"):
        share(rotating="3")


def test_limits_and_bands_reach_the_figures():
    def coefficient(**asked):
        found, _ = evaluate_coast_down([LOG], CoastDownAsked(mass_kg=2200.0, **asked), name="t")
        return found.a

    names = {
        "test t/mass": {"mass_band_kg": 4.0},
        "test t/speed calibration": {"speed_limit_frac": 0.005},
        "test t/slope zero": {"slope_limit": 0.001},
    }
    for name, asked in names.items():
        assert name in {source.name for source, _ in coefficient(**asked).terms}
        assert name not in {source.name for source, _ in coefficient().terms}


def test_what_is_missing_or_out_of_reach_is_refused():
    with pytest.raises(ValueError, match="mass as driven is not known"):
        evaluate_coast_down([LOG], CoastDownAsked(), name="t")
    with pytest.raises(ValueError, match="both --pressure-kpa and --temperature-degc"):
        evaluate_coast_down([LOG], CoastDownAsked(mass_kg=2200.0, pressure_kpa=100.0), name="t")
    with pytest.raises(ValueError, match=r"1,013 hPa are 101\.3 kPa"):
        evaluate_coast_down(
            [LOG], CoastDownAsked(mass_kg=2200.0, pressure_kpa=1013.0, temperature_degc=20.0), name="t"
        )


def test_all_wheels_need_four_corners_and_share_the_inertia():
    asked = SpinDownAsked(inertia_kg_m2=INERTIA, inertia_band_kg_m2=0.1, at_rad_per_s=30.0)
    wheels = {corner: [spins(2, noise=0.0)] for corner in CORNERS}
    _, outcome = evaluate_spin_down(wheels, asked, name="t", breakaway={"front left": 2.5})
    whole = outcome.figure("drag_torque").value
    # first principles: four wheels of the torque they were made from; one inertia, one error.
    assert whole.value == pytest.approx(4.0 * torque_at(30.0), rel=1e-3)
    assert whole.expanded() / whole.value == pytest.approx(0.1 / INERTIA, rel=1e-2)
    breakaway = outcome.figure("breakaway_front_left")
    assert (breakaway.value.value, breakaway.fact) == (2.5, "")
    three = {corner: wheels[corner] for corner in CORNERS[:3]}
    _, part = evaluate_spin_down(three, asked, name="t")
    assert any("rear right not spun" in words for words in part.set_aside)
    with pytest.raises(LookupError):
        part.figure("drag_torque")


def test_inertia_is_found_in_one_of_three_ways():
    plain, loaded = [spins(noise=0.0)], [spins(noise=0.0, inertia=INERTIA + 0.5)]
    drags, _ = evaluate_spin_down(
        {"front left": plain}, SpinDownAsked(added_kg_m2=0.5, at_rad_per_s=30.0), name="t", added=loaded
    )
    # first principles: the inertia the spins were made from.
    assert drags["front left"].inertia.value == pytest.approx(INERTIA, rel=1e-3)
    with pytest.raises(ValueError, match="one of the three, not 0"):
        evaluate_spin_down({"front left": plain}, SpinDownAsked(), name="t")
    with pytest.raises(ValueError, match="one of the three, not 2"):
        evaluate_spin_down({"front left": plain}, SpinDownAsked(inertia_kg_m2=1.0), name="t", added=loaded)
    with pytest.raises(ValueError, match="no wheel to evaluate"):
        evaluate_spin_down({}, SpinDownAsked(inertia_kg_m2=1.0), name="t")


def pad_rows(**more):
    masses = (452.0, 448.0, 520.0, 530.0)
    return [
        PadRow(i, corner, kg, more.get("pad", ""), False, False, more.get("zero", 0.0))
        for i, (corner, kg) in enumerate(zip(CORNERS, masses, strict=True), start=2)
    ]


def test_pads_become_facts_of_mass_and_centre_of_gravity():
    rows = [*pad_rows(), *(PadRow(10 + i, c, 469.0, "", False, True, 0.0) for i, c in enumerate(CORNERS[:2]))]
    asked = CornersAsked(MassState.TEST, 2.9, 1.6, 0.335, math.radians(12.0))
    found, outcome = evaluate_corners(rows, asked, name="t")
    # computed: worked examples J and K of the uncertainty reference, 1950 kg, 1.561538 m, 0.600872 m.
    assert outcome.figure("mass").value.value == 1950.0
    assert outcome.figure("cg_behind_front_axle").value.value == pytest.approx(1.561538, abs=1e-6)
    assert found.centre.height.value == pytest.approx(0.600872, abs=1e-6)
    facts, _ = facts_of(outcome, "base", "e")
    assert len(facts) == len({fact.quantity for fact in facts}) == 13
    states = {fact.quantity: fact.mass_state for fact in facts}
    assert states["mass"] is states["corner_mass_rear_left"] is MassState.TEST
    assert states["cg_height"] is None
    # One calibration for all pads, as they were not told apart: it adds up in the mass.
    calibration = {s.name: c for s, c in outcome.figure("mass").value.terms}["instrument t pads/calibration"]
    assert calibration == pytest.approx(0.001 * 1950.0 / math.sqrt(3.0), rel=1e-9)


def test_pads_and_instruments_of_the_vehicle_are_used():
    pads = {"P": Instrument("P", "corner pad", limit_si=0.2, step_si=0.1, repeatability_si=0.0)}
    vehicle = Teardown(Vehicle("X1", "X1"), (Configuration("base", "X1"),), instruments=pads)
    found, _ = evaluate_corners(pad_rows(pad="P", zero=0.5), CornersAsked(), name="t", teardown=vehicle)
    # first principles: mass less what the empty pad read.
    assert found.corners.front_left.value == 451.5
    terms = {source.name: c for source, c in found.corners.front_left.terms}
    assert terms["instrument P/calibration"] == pytest.approx(0.2 / math.sqrt(3.0))
    assert not any("usual corner pad" in note for note in found.assumptions)
    with pytest.raises(LookupError, match="no instrument 'laser'"):
        evaluate_corners(pad_rows(), CornersAsked(wheelbase_m=2.9, tape="laser"), name="t", teardown=vehicle)
