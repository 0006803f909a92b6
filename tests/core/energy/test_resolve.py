"""Facts and defaults brought together: what is taken, what is worked out, what is said."""

from dataclasses import replace

import numpy as np
import pytest

from hoistbook.core.energy.duty import Duty, drive
from hoistbook.core.energy.parameters import FIELD_NAMES
from hoistbook.core.energy.resolve import resolve
from hoistbook.core.quantities.quantity import Origin, Quantity, Source, correlation
from hoistbook.core.vehicle.kinds import field_words
from hoistbook.core.vehicle.mass_state import Allowances, LoadRule
from hoistbook.core.vehicle.records import Basis, Fact, MassState
from hoistbook.reference.cycles import cycle
from hoistbook.reference.energy import energy_defaults

DUTY = Duty("wltp", (cycle("wltc3b"),), (1.0,), "energy")
US = Duty("two-cycle", (cycle("udds"), cycle("hwfet")), (0.55, 0.45), "range")
G = 9.80665


def fact(quantity, value, unit, u=0.0, origin=Origin.MEASURED, **more):
    terms = ((Source(more.pop("source", f"{quantity} {value} {origin.value}")), u),) if u else ()
    return Fact("base", quantity, Quantity(value, unit, terms, origin), **more)


MASS = fact("mass", 2000.0, "kg", 2.0, mass_state=MassState.TEST)
ENERGY = fact("usable_energy", 2.0e8, "J", 1e6)
ROAD_LOAD = (
    fact("road_load_a", 150.0, "N", origin=Origin.PUBLISHED),
    fact("road_load_b", 1.0, "N.s/m", origin=Origin.PUBLISHED),
    fact("road_load_c", 0.40, "N.s2/m2", origin=Origin.PUBLISHED),
)


def resolved(*facts, duty=DUTY, surroundings="eu", owner="car/base", **options):
    return resolve(facts, energy_defaults(), duty, owner=owner, surroundings=surroundings, **options)


def said(result, words):
    return any(words in sentence for sentence in result.assumptions)


def test_what_is_not_stated_is_assumed_and_said():
    found = resolved(MASS, ENERGY)
    assert set(found.values) == set(FIELD_NAMES)
    assert found.origins["test_mass_kg"] is Origin.MEASURED
    assumed = [name for name, origin in found.origins.items() if origin is Origin.ASSUMED]
    for name in assumed:
        assert said(found, field_words(name)), name
    # Gravity and the air of the reference state are what a document says, not guesses about this vehicle.
    others = {"test_mass_kg", "usable_energy_j", "gravity_m_per_s2", "air_density_kg_per_m3"}
    assert set(FIELD_NAMES) - set(assumed) == others


def test_a_fact_replaces_its_default():
    found = resolved(MASS, ENERGY, fact("tyre_coefficient", 0.0081, "1", 0.0002))
    assert found.values["tyre_coefficient"].value == 0.0081
    assert not said(found, "rolling resistance coefficient of the tyres =")


def test_coefficients_are_split_by_the_tyres():
    # first principles: A − m g c_r = 150 − 2000 · 9.80665 · 0.006 = 32.3202 N; C_d A = 2 · 0.40/1.189 m².
    found = resolved(MASS, ENERGY, *ROAD_LOAD, fact("tyre_coefficient", 0.006, "1", 0.0003))
    assert found.road_load_from_coefficients
    assert found.values["drag_force_n"].value == pytest.approx(150.0 - 2000.0 * G * 0.006, rel=1e-12)
    assert found.values["drag_area_m2"].value == pytest.approx(0.8 / 1.189, rel=1e-12)
    assert found.values["drag_force_b_n_s_per_m"].value == 1.0
    assert found.origins["drag_force_n"] is Origin.INFERRED
    # A is exact here: whatever the tyres take, drag force gives.
    assert correlation(found.values["drag_force_n"], found.values["tyre_coefficient"]) < -0.99


def test_every_draw_keeps_the_stated_road_load():
    # first principles: F_0 + m g c_r = A and ½ρ C_d A + F_2 = C in every draw, up to the product of the errors of m
    # (0.1 %) and c_r (25 % at most): 0.03 N of 150 N on average.
    found = resolved(MASS, ENERGY, *ROAD_LOAD)
    p = found.parameters(500, 7)
    assert p.road_load_a_n == pytest.approx(np.full(500, 150.0), abs=0.2)
    assert float(np.std(p.tyre_coefficient)) > 0.0005
    assert p.road_load_c_n_s2_per_m2 == pytest.approx(np.full(500, 0.40), rel=1e-12)


def test_a_stated_drag_area_leaves_the_rest_of_c_to_drag_force():
    # first principles: F_2 = 0.40 − ½ · 1.189 · 0.60.
    found = resolved(MASS, ENERGY, *ROAD_LOAD, fact("drag_area", 0.60, "m2", 0.01))
    assert found.values["drag_force_c_n_s2_per_m2"].value == pytest.approx(
        0.40 - 0.5 * 1.189 * 0.60, rel=1e-12
    )
    assert correlation(
        found.values["drag_area_m2"], found.values["drag_force_c_n_s2_per_m2"]
    ) == pytest.approx(-1.0)


def test_parts():
    # first principles: 9.9 N·m at a wheel of 0.33 m are 30 N.
    parts = (
        fact("drag_torque", 9.9, "N.m", 1.0),
        fact("wheel_radius", 0.33, "m"),
        fact("drag_area", 0.62, "m2"),
    )
    found = resolved(MASS, ENERGY, *parts)
    assert not found.road_load_from_coefficients
    assert found.values["drag_force_n"].value == pytest.approx(30.0, rel=1e-12)
    assert found.values["drag_force_n"].unit == "N"


def test_drag_torque_splits_coefficients_where_tyres_are_not_known():
    torque = fact("drag_torque", 9.9, "N.m"), fact("wheel_radius", 0.33, "m")
    found = resolved(MASS, ENERGY, *ROAD_LOAD, *torque)
    # first principles: F_0 = T/r = 30 N; c_r = (A − F_0)/(m g).
    assert found.values["drag_force_n"].value == pytest.approx(9.9 / 0.33, rel=1e-12)
    assert found.values["tyre_coefficient"].value == pytest.approx((150.0 - 30.0) / (2000.0 * G), rel=1e-12)
    assert not said(found, "drag torque of all wheels together (brakes, bearings, gears) is kept aside")
    with_tyres = resolved(MASS, ENERGY, *ROAD_LOAD, *torque, fact("tyre_coefficient", 0.006, "1", 0.0003))
    assert with_tyres.values["tyre_coefficient"].value == 0.006
    assert said(with_tyres, "drag torque of all wheels together (brakes, bearings, gears) is kept aside")


def test_what_follows_from_measured_figures_alone_is_measured():
    measured = [replace(one, value=replace(one.value, origin=Origin.MEASURED)) for one in (MASS, *ROAD_LOAD)]
    tyres = fact("tyre_coefficient", 0.006, "1", 0.0003)
    found = resolved(*measured, ENERGY, replace(tyres, value=replace(tyres.value, origin=Origin.MEASURED)))
    assert {found.origins[name] for name in ("drag_force_n", "drag_area_m2")} == {Origin.MEASURED}
    published = [
        replace(one, value=replace(one.value, origin=Origin.PUBLISHED)) for one in (MASS, *ROAD_LOAD)
    ]
    found = resolved(*published, ENERGY, tyres)
    assert {found.origins[name] for name in ("drag_force_n", "drag_area_m2")} == {Origin.INFERRED}


def test_incomplete_or_double_road_loads_are_refused():
    with pytest.raises(ValueError, match="car/base: a road load by coefficients needs A and C; road load C"):
        resolved(MASS, ENERGY, *ROAD_LOAD[:2])
    with pytest.raises(ValueError, match="drag force and drag torque are both stated"):
        resolved(MASS, ENERGY, fact("drag_torque", 9.9, "N.m"), fact("drag_force", 30.0, "N"))
    assert said(resolved(MASS, ENERGY, ROAD_LOAD[0], ROAD_LOAD[2]), "road load B = 0")


def test_spin_loss_is_counted_once():
    losses = (fact("loss_k2", 2.0, "W.s/rad"), fact("loss_k3", 6e-7, "W.s3/rad3"))
    inside = resolved(MASS, ENERGY, *ROAD_LOAD, *losses)
    assert inside.values["loss_k2"].value == inside.values["loss_k3"].value == 0.0
    assert said(inside, "those stated for the drive unit are kept aside")
    outside = resolved(MASS, ENERGY, *ROAD_LOAD, *losses, spin_loss_inside=False)
    assert outside.values["loss_k2"].value == 2.0
    # By parts the machine is not in the drag torque.
    assert resolved(MASS, ENERGY, *losses).values["loss_k3"].value == 6e-7
    assert resolved(MASS, ENERGY, *losses, spin_loss_inside=True).values["loss_k2"].value == 0.0


def test_own_loss_figures_replace_the_generic_efficiency():
    generic = resolved(MASS, ENERGY)
    own = resolved(MASS, ENERGY, fact("loss_k1", 0.12, "W/(N.m)2"))
    # common practice: 0.97–0.98 for a two-stage reduction; the generic constant holds the machine's losses as well.
    assert generic.values["gear_efficiency_frac"].value < 0.95
    assert own.values["gear_efficiency_frac"].value == 0.975
    assert own.values["loss_c0_w"].value > 0.0
    assert said(own, "described by its own figures")
    named = resolved(MASS, ENERGY, driveline="constant_efficiency")
    assert named.values["gear_efficiency_frac"].value == 0.8613


def test_the_stronger_origin_and_the_wanted_basis_are_taken():
    measured = fact("usable_energy", 1.9e8, "J")
    published = fact("usable_energy", 2.0e8, "J", origin=Origin.PUBLISHED, basis=Basis.LABEL)
    found = resolved(MASS, published, measured)
    assert found.values["usable_energy_j"].value == 1.9e8
    assert said(
        found,
        "usable battery energy 2e+08 J (published, label) is kept aside: 1.9e+08 (measured, specimen) is used",
    )
    label = resolved(MASS, published, measured, basis=Basis.LABEL)
    assert label.values["usable_energy_j"].value == 2.0e8
    with pytest.raises(
        ValueError, match=r"car/base: 2 facts of usable battery energy rank alike \(1.9e\+08 J and 1.9e\+08 J"
    ):
        resolved(MASS, measured, measured)


def test_label_factor():
    # first principles: a measured range is not adjusted; from memory: 0.70 by default on a US label, none in WLTP.
    assert resolved(MASS, ENERGY).values["label_factor_frac"].value == 1.0
    assert resolved(MASS, ENERGY, surroundings="us").values["label_factor_frac"].value == 1.0
    assert (
        resolved(MASS, ENERGY, surroundings="us", basis=Basis.LABEL).values["label_factor_frac"].value == 0.70
    )
    assert resolved(MASS, ENERGY, basis=Basis.LABEL).values["label_factor_frac"].value == 1.0
    stated = fact("label_factor", 0.74, "1")
    assert resolved(MASS, ENERGY, stated, surroundings="us").values["label_factor_frac"].value == 0.74


def test_usable_energy_from_the_wall():
    # first principles: 2.5e8 J · 0.88; one error moves both.
    found = resolved(MASS, fact("wall_energy", 2.5e8, "J", 1e6))
    assert found.usable_energy_from_wall
    assert found.values["usable_energy_j"].value == pytest.approx(2.2e8, rel=1e-12)
    assert correlation(found.values["usable_energy_j"], found.values["charging_efficiency_frac"]) > 0.9
    p = found.parameters(300, 1)
    assert float(np.std(p.usable_energy_j / p.charging_efficiency_frac)) < 1.2e6


def test_accessory_power_belongs_to_a_duty():
    standing = fact("accessory_power", 310.0, "W", duty="WLTC class 3b")
    winter = fact("accessory_power", 2400.0, "W", duty="winter")
    found = resolved(MASS, ENERGY, standing, winter)
    assert found.values["accessory_power_w"].value == 310.0
    assert said(found, "accessory power, stated for duty 'winter', is kept aside")
    assert (
        resolved(MASS, ENERGY, standing, duty=US, surroundings="us").values["accessory_power_w"].value
        == 250.0
    )


def test_test_mass_is_converted_and_said():
    curb = fact("mass", 1900.0, "kg", mass_state=MassState.CURB)
    found = resolved(
        curb, ENERGY, duty=US, surroundings="us", allowances=Allowances(test_rule=LoadRule.US_LOADED)
    )
    # from memory: 40 CFR 86.1803: loaded vehicle weight is curb weight plus 300 lb.
    assert found.values["test_mass_kg"].value == pytest.approx(1900.0 + 300.0 * 0.45359237, rel=1e-12)
    assert said(found, "test mass: ")
    with pytest.raises(ValueError, match="car/base: no test mass; curb: a test mass is not one thing"):
        resolved(curb, ENERGY)
    with pytest.raises(ValueError, match="car/base: no test mass; weigh the vehicle"):
        resolved(ENERGY)
    with pytest.raises(
        ValueError, match="car/base: usable energy is missing; state usable_energy, or wall_energy"
    ):
        resolved(MASS)


def test_shared_sources_are_shared_between_vehicles_and_the_rest_is_not():
    tyre = {"source": "tyre drum/reference tyre"}
    one = resolved(MASS, ENERGY, fact("tyre_coefficient", 0.0080, "1", 2e-4, **tyre), owner="a/base").draws(
        400, 3
    )
    other = resolved(MASS, ENERGY, fact("tyre_coefficient", 0.0085, "1", 2e-4, **tyre), owner="b/base").draws(
        400, 3
    )
    # first principles: a fully shared error leaves the difference exact; assumed figures are each vehicle's own.
    assert other["tyre_coefficient"] - one["tyre_coefficient"] == pytest.approx(
        np.full(400, 0.0005), rel=1e-9
    )
    assert abs(np.corrcoef(one["gear_ratio"], other["gear_ratio"])[0, 1]) < 0.2


def test_impossible_facts_are_refused_with_the_owner():
    with pytest.raises(ValueError, match=r"car/base: charging_efficiency_frac averages 88\.0"):
        resolved(MASS, ENERGY, fact("charging_efficiency", 88.0, "1"))


def test_a_band_past_a_physical_limit_is_said():
    assert said(
        resolved(MASS, ENERGY, fact("return_share", 0.97, "1", 0.03)),
        "share of the braking force that goes to the drive unit (before its losses): its 95 % band reaches 1.03",
    )
    assert not said(resolved(MASS, ENERGY), "its 95 % band reaches")


def test_draws_centre_on_the_best_estimates():
    # first principles: errors have mean zero; the chain is close to linear over these bands.
    found = resolved(MASS, ENERGY, *ROAD_LOAD)
    centre = float(drive(DUTY, found.central()).consumption_j_per_m)
    drawn = drive(DUTY, found.parameters(2000, 11)).consumption_j_per_m
    assert float(np.mean(drawn)) == pytest.approx(centre, rel=0.01)
    assert 0.01 < float(np.std(drawn)) / centre < 0.10
