"""Wraps, conductors, creepage and winter range against worked examples and published tables."""

import re

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from core.checks.worked import Worked, hold, result_of
from hoistbook.core.checks import CHECKS
from hoistbook.core.checks.acoustic_wrap.model import mass_law_db, with_leaks_db
from hoistbook.core.checks.cable_loss.model import best_section_m2
from hoistbook.core.checks.run import Stated, run_check, with_band
from hoistbook.core.quantities.evaluation import exact

WRAP = {
    "barrier_kg_per_m2": 4.0,
    "gap_m": 0.010,
    "foam_kg_per_m3": 60.0,
    "casing_kg_per_m2": 7.85,
    "covered_m2": 0.1148645,
    "radiating_m2": 0.1148645,
    "open_frac": 0.0,
    "frequency_hz": 1000.0,
    "loss_factor": 0.2,
}
CABLE = {
    "section_m2": 50e-6,
    "length_m": 5.6,
    "current_a": 120.0,
    "temperature_k": 333.15,
    "voltage_v": 400.0,
}
# computed: loop of 2 × 2.8 m, 120 A, 60 °C; resistance [mΩ], drop [V], loss [W], mass [kg]
LOOPS = {
    ("copper, fine", 35): (3.590097, 0.430812, 51.6974, 1.74244),
    ("copper, fine", 50): (2.501404, 0.300168, 36.0202, 2.48920),
    ("copper, fine", 70): (1.762647, 0.211518, 25.3821, 3.48488),
    ("aluminium", 50): (4.168244, 0.500189, 60.0227, 0.75600),
    ("aluminium", 70): (2.880705, 0.345685, 41.4822, 1.05840),
    ("aluminium", 95): (2.080870, 0.249704, 29.9645, 1.43640),
}
# computed: steady currents at 85 °C around, k 0.25, h 12: conductor and jacket [mm], class [°C], current [A]
STEADY = (
    (35, 8.5, 14.5, 125, 153.5), (35, 8.5, 14.5, 150, 189.2), (35, 8.5, 14.5, 180, 220.3),
    (50, 10.0, 16.5, 125, 195.1), (50, 10.0, 16.5, 150, 240.5), (50, 10.0, 16.5, 180, 280.1),
    (95, 14.0, 21.0, 125, 300.6), (95, 14.0, 21.0, 150, 370.5), (95, 14.0, 21.0, 180, 431.4),
)  # fmt: skip
WINTER = {
    "usable_j": 60.0 * 3.6e6,
    "consumption_j_per_m": 150.0 * 3.6,
    "auxiliaries_w": 300.0,
    "speed_m_per_s": 45.0 / 3.6,
    "outside_k": 266.15,
    "cabin_k": 295.15,
    "loss_w_per_k": 3000.0 / 29.0,
    "fresh_kg_per_s": 0.0,
    "occupants_w": 0.0,
    "battery_frac": 0.97,
    "drive_frac": 1.10,
    "heater_frac": 0.95,
    "cop": 2.0,
}
WORKED = (
    Worked(
        "acoustic_wrap",
        "computed: barrier of 4 kg/m² on 10 mm of foam at 1 kHz, loss factor 0.2",
        WRAP,
        {"closed_db": (19.9453, 1e-5), "resonance_hz": (299.718, 1e-5), "leaking_frac": (0.0, 1e-12)},
    ),
    Worked(
        "acoustic_wrap",
        "computed: the same on 20 mm; 1 mm of steel behind it",
        WRAP | {"gap_m": 0.020},
        {"resonance_hz": (211.932, 1e-5), "double_wall_hz": (260.847, 1e-5)},
    ),
    Worked(
        "acoustic_wrap",
        "computed: two walls of 10 kg/m², 0.1 m apart",
        WRAP | {"barrier_kg_per_m2": 10.0, "casing_kg_per_m2": 10.0, "gap_m": 0.1},
        {"double_wall_hz": (84.9223, 1e-5)},
    ),
    Worked(
        "acoustic_wrap",
        "computed: cylinder of 125 × 230 mm at 4.6 kg/m² in all",
        WRAP,
        {"mass_kg": (0.52838, 1e-4)},
    ),
    *(
        Worked(
            "cable_loss",
            f"computed: loop of 5.6 m at 120 A and 60 °C, {section} mm² {conductor}, resistance of IEC 60228",
            CABLE
            | {"section_m2": section * 1e-6}
            | ({"conductor_diameter_m": 0.014} if section > 70 else {}),
            {
                "resistance_ohm": (milliohm * 1e-3, 1e-6),
                "drop_v": (drop, 2e-6),
                "loss_w": (loss, 2e-6),
                "mass_kg": (mass, 1e-6),
            },
            choices={"conductor": conductor},
        )
        for (conductor, section), (milliohm, drop, loss, mass) in LOOPS.items()
    ),
    *(
        Worked(
            "cable_loss",
            f"computed: steady current of {section} mm² at class {limit} °C",
            CABLE
            | {
                "section_m2": section * 1e-6,
                "conductor_diameter_m": inner * 1e-3,
                "outer_diameter_m": outer * 1e-3,
                "jacket_w_per_m_k": 0.25,
                "film_w_per_m2_k": 12.0,
                "ambient_k": 358.15,
                "class_k": limit + 273.15,
            },
            {"steady_current_a": (current, 5e-4)},
        )
        for section, inner, outer, limit, current in STEADY
    ),
    Worked(
        "winter_range",
        "computed: 60 kWh, 150 Wh/km, 300 W, 45 km/h; cold 0.97, 1.10, 3 kW of heat, heater 0.95, COP 2",
        WINTER,
        {
            "mild_m": (382_979.0, 2e-6),
            "cold_without_m": (339_029.0, 2e-6),
            "heater_m": (240_653.0, 2e-6),
            "pump_m": (283_902.0, 2e-6),
        },
    ),
    Worked(
        "winter_range",
        "computed: the same with a COP of 3.26",
        WINTER | {"cop": 3.26},
        {"pump_m": (302_941.0, 2e-6)},
    ),
    *(
        Worked(
            "winter_range",
            f"computed: cabin of 65 W/K, 22 °C, one person, {fresh * 1e3:.0f} g/s of fresh air at {outside} °C",
            WINTER
            | {
                "loss_w_per_k": 65.0,
                "occupants_w": 100.0,
                "fresh_kg_per_s": fresh,
                "outside_k": outside + 273.15,
            },
            {"heat_w": (heat, 1e-6)},
        )
        for outside, fresh, heat in (
            (0, 0.060, 2657.92),
            (-7, 0.060, 3535.44),
            (-10, 0.060, 3911.52),
            (-20, 0.060, 5165.12),
            (0, 0.020, 1772.64),
            (-7, 0.020, 2368.48),
            (-10, 0.020, 2623.84),
            (-20, 0.020, 3475.04),
        )
    ),
)


@pytest.mark.parametrize("worked", WORKED, ids=lambda one: one.source)
def test_worked_examples(worked):
    hold(worked)


@pytest.mark.parametrize(
    ("level", "open_frac", "left"),
    [
        # published: Crocker and Arenas, example 12.16: a door of 50 dB with 1 % of gap leaves 20 dB (19.9957 exactly)
        (50.0, 0.01, 19.9957),
        # computed: 15 and 25 dB with 1, 3, 5 and 10 % open
        (15.0, 0.01, 13.8398), (15.0, 0.03, 12.1700), (15.0, 0.05, 10.9668), (15.0, 0.10, 8.9123),
        (25.0, 0.01, 18.8171), (25.0, 0.03, 14.8060), (25.0, 0.05, 12.7569), (25.0, 0.10, 9.8781),
    ],
)  # fmt: skip
def test_leaks(level, open_frac, left):
    assert float(with_leaks_db(np.array(level), np.array(open_frac))) == pytest.approx(left, abs=1e-4)


def test_mass_law():
    # computed: 4 kg/m², air of 1.21 kg/m³ and 343 m/s, normal incidence; published: 32.7 dB for 20 kg/m² at 500 Hz with
    # the constant 47.3 (a public calculator).
    for hz, normal in ((500.0, 23.6209), (1000.0, 29.6273), (2000.0, 35.6444), (4000.0, 41.6641)):
        full = mass_law_db(np.array([hz]), np.array([4.0]))["full formula, all angles"]
        assert float(full[0]) == pytest.approx(normal - 5.5, abs=1e-4)
    shortcut = mass_law_db(np.array([500.0]), np.array([20.0]))["shortcut with 47.3"]
    assert float(shortcut[0]) == pytest.approx(32.7, abs=0.05)


def test_shortcuts_of_the_mass_law_are_left_out_below_zero():
    # published: Ebbitt and Hansen, SAE 2007-01-2201, abstract: they go below 0 dB for light barriers at low frequency.
    assert list(mass_law_db(np.array([100.0]), np.array([1.0]))) == ["full formula, all angles"]


def test_both_springs_of_the_air_are_shown():
    # computed: 253.308 Hz isothermal on 10 mm.
    _, isothermal = result_of("acoustic_wrap", WRAP).figure("resonance_hz").formulas
    assert isothermal.value == pytest.approx(253.308, rel=1e-5)


@given(mass=st.floats(1.0, 10.0), heavier=st.floats(1.0, 2.0))
def test_open_area_caps_any_barrier(mass, heavier):
    # first principles: sound passes an opening in full, so 5 % open never leaves more than 13.01 dB.
    leaky = WRAP | {"open_frac": 0.05}
    light = result_of("acoustic_wrap", leaky | {"barrier_kg_per_m2": mass})
    heavy = result_of("acoustic_wrap", leaky | {"barrier_kg_per_m2": mass * heavier})
    assert heavy.figure("kept_in_db").value <= 13.0103
    assert heavy.figure("mass_kg").value >= light.figure("mass_kg").value


def test_best_section():
    # computed: 60 A, 2.234544e-8 ohm m, 8890 kg/m³, 0.06 Wh/km per kg, 46.5 km/h: 56.94987 mm².
    found = best_section_m2(
        np.array(60.0), np.array(2.234544e-8), 8890.0, np.array(0.06 * 3.6), np.array(46.5 / 3.6)
    )
    assert float(found) == pytest.approx(56.94987e-6, rel=1e-6)


@given(current=st.floats(20.0, 110.0))
def test_loss_and_mass_cost_alike_at_the_best_section(current):
    # first principles: at the minimum of a/A + bA the two terms are equal.
    first = result_of("cable_loss", CABLE | {"current_a": current})
    best = first.figure("best_section_m2").value
    per_m2 = first.figure("mass_energy_j_per_m").value / 50e-6
    loss_m2 = first.figure("energy_j_per_m").value * 50e-6
    assert loss_m2 / best == pytest.approx(per_m2 * best, rel=1e-9)


def test_voltage_halves_the_current():
    # computed: 48 kW through 50 mm²: 36.0202 W at 400 V, 9.00505 W at 800 V.
    found = result_of("cable_loss", CABLE | {"current_a": 60.0, "voltage_v": 800.0})
    assert found.figure("loss_w").value == pytest.approx(9.00505, rel=1e-5)
    assert found.figure("share_frac").value == pytest.approx(0.0001876, rel=1e-3)


@pytest.mark.parametrize(
    ("pollution", "group", "wanted"),
    [
        ("2", "I", 4.0),
        ("2", "II", 5.6),
        ("2", "III", 8.0),
        ("3", "I", 10.0),
        ("3", "II", 11.0),
        ("3", "III", 12.5),
    ],
)
def test_creepage_of_the_table(pollution, group, wanted):
    # published: IEC 60664-1, table F.4, row of 800 V, as a maker's catalogue reproduces it.
    choices = {"pollution": pollution, "group": group}
    found = result_of("creepage", {"voltage_v": 800.0, "creepage_m": 0.009}, choices)
    assert found.figure("wanted_m").value == pytest.approx(wanted * 1e-3)
    assert found.held[0].margin == pytest.approx((9.0 - wanted) * 1e-3)
    assert "never a permission" in found.verdict


def test_reinforced_insulation_is_twice_as_long():
    # from memory: IEC 60664-1.
    choices = {"group": "I", "insulation": "reinforced"}
    found = result_of("creepage", {"voltage_v": 400.0, "creepage_m": 0.009}, choices)
    assert found.figure("wanted_m").value == pytest.approx(4.0e-3)


def test_no_heat_pump_beats_carnot():
    # first principles: 295.15/(295.15 − 233.15) = 4.76 at −40 °C.
    with pytest.raises(ValueError, match="Carnot"):
        result_of("winter_range", WINTER | {"outside_k": 233.15, "cop": 5.0})


@given(speed=st.floats(5.0, 30.0))
def test_heating_costs_by_time(speed):
    # first principles: the same power over the way of a second; the faster, the smaller its share.
    slow = result_of("winter_range", WINTER | {"speed_m_per_s": speed})
    fast = result_of("winter_range", WINTER | {"speed_m_per_s": 1.2 * speed})
    assert fast.figure("heater_share_frac").value < slow.figure("heater_share_frac").value


def test_a_closed_wrap_is_worked_out_though_its_band_reaches_below_nothing():
    # first principles: with no opening the sound of the closed wrap is all there is.
    declared = CHECKS["acoustic_wrap"]
    values = {name: exact(one, declared.reading(name).unit) for name, one in WRAP.items()}
    values["open_frac"] = with_band(declared.reading("open_frac"), 0.0, "open")
    found = run_check(declared, Stated(values), 2000)
    assert found.figure("kept_in_db").high <= found.figure("closed_db").high
    assert any("of the band of share of the covered area" in one for one in found.caveats)


def test_far_below_its_resonance_a_wrap_neither_helps_nor_harms():
    # first principles: −20 log(1/(1 − r²)) is −0.37 dB at r = 0.2: 50 Hz against 250 Hz.
    soft = WRAP | {"barrier_kg_per_m2": 0.57, "gap_m": 0.1, "frequency_hz": 50.0}
    verdict = result_of("acoustic_wrap", soft).verdict
    assert "moves with the casing" in verdict
    assert "louder" not in verdict


def test_heat_of_skin_and_air_add_up_in_the_verdict():
    # first principles: people bring some of what skin and fresh air take; the flap matters only where air takes more.
    told = result_of("winter_range", WINTER).verdict
    need, skin, fresh, people = (
        int(re.search(rf"(\d+) W{words}", told)[1])
        for words in (": ", " through its skin", " for fresh air", " of people")
    )
    assert abs(skin + fresh - people - need) <= 2
    shut = result_of("winter_range", WINTER | {"fresh_kg_per_s": 0.0}).verdict
    assert "flap" not in shut


def test_loss_of_the_drive_current_is_no_accessory():
    effects = {one.name: one.effect for one in CHECKS["cable_loss"].outcomes if one.effect}
    assert effects == {"loss_w": "loss_c0"}


def test_a_section_that_its_conductor_cannot_hold_is_refused():
    # first principles: a circle of 10 mm holds π/4 · 100 = 78.5 mm²; 16 mm² fill 20 % of it.
    for section in (95.0, 16.0):
        with pytest.raises(ValueError, match="does not go with the diameter"):
            result_of("cable_loss", CABLE | {"section_m2": section * 1e-6})
    thin = {"section_m2": 16e-6, "conductor_diameter_m": 0.0055, "outer_diameter_m": 0.010}
    assert result_of("cable_loss", CABLE | thin).figure("loss_w").value > 0.0
