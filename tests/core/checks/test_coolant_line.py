"""Coolant hoses against a library of properties, a textbook's pipes, and laws of pipes."""

import math

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from core.checks.worked import Worked, hold, result_of
from hoistbook.core.checks.coolant_line.model import (
    coolant_j_per_kg_k,
    coolant_kg_per_m3,
    coolant_pa_s,
    heat_loss_w_per_m_k,
)
from hoistbook.core.checks.pipe_flow import (
    friction_factor,
    pressure_drop_pa,
    reynolds_number,
    velocity_m_per_s,
)
from hoistbook.core.quantities.units import to_si

ZERO_C = 273.15
FOOT_M, INCH_M, POUND_KG, POUND_FORCE_N = 0.3048, 0.0254, 0.45359237, 4.4482216152605  # exact by definition
HOSE = {
    "length_m": 1.0,
    "bore_m": 0.016,
    "outer_m": 0.023,
    "flow_m3_per_s": 10.0 / 60e3,
    "coolant_k": ZERO_C + 40.0,
    "bends": 0.0,
    "joints": 0.0,
    "roughness_m": 2e-6,
    "pump_frac": 0.35,
    "start_k": ZERO_C - 20.0,
    "air_k": ZERO_C - 20.0,
    "film_w_per_m2_k": 10.0,
    "hose_w_per_m_k": 0.25,
    "hose_kg_per_m3": 1150.0,
}
# computed: CoolProp 8.0.0 INCOMP::MEG-50% and fluids 1.3.1, 10 L/min, ε 2 µm: °C, mm, Re, Pa per metre
DROPS = (
    (-10, 16, 1119.5, 1324.21), (-10, 19, 942.7, 665.92), (20, 16, 3824.0, 927.63), (20, 19, 3220.0, 413.34),
    (40, 16, 6643.0, 784.15), (40, 19, 5594.0, 348.08), (60, 16, 10037.0, 693.63), (60, 19, 8452.0, 307.06),
)  # fmt: skip
SOURCE = "computed: CoolProp 8.0.0 INCOMP::MEG-50% and fluids 1.3.1, 10 L/min, ε 2 µm: "
WORKED = (
    *(
        Worked("coolant_line", SOURCE + f"{celsius} °C, {mm} mm",
               HOSE | {"coolant_k": ZERO_C + celsius, "bore_m": mm / 1e3, "outer_m": 0.027},
               {"reynolds": (reynolds, 2e-4), "metre_pa": (pascal, 2e-5)})
        for celsius, mm, reynolds, pascal in DROPS
    ),
    Worked("coolant_line", SOURCE + "fluid, pump and rubber of 16/23 mm", HOSE,
           {"fluid_kg_per_m": (0.211807, 3e-6), "hydraulic_w": (0.130692, 1e-5), "pump_w": (0.373406, 1e-5),
            "thermal_j_per_k_m": (722.84, 1e-5), "hose_kg_per_m": (0.24658, 2e-5)}),
    Worked("coolant_line", SOURCE + "fluid and rubber of 19/27 mm", HOSE | {"bore_m": 0.019, "outer_m": 0.027},
           {"fluid_kg_per_m": (0.298681, 3e-6), "thermal_j_per_k_m": (1019.31, 1e-5), "hose_kg_per_m": (0.33238, 2e-5),
            "heat_w_per_m_k": (0.712945, 1e-6), "heat_w": (42.777, 2e-5), "warm_up_j": (1019.31 * 60.0, 1e-5)}),
    Worked("coolant_line", SOURCE + "heat of 19/27 mm in the airstream",
           HOSE | {"bore_m": 0.019, "outer_m": 0.027, "film_w_per_m2_k": 25.0},
           {"heat_w_per_m_k": (1.438276, 1e-6), "heat_w": (86.297, 2e-5)}),
    Worked("coolant_line", SOURCE + "6 m and 12 bends of K 0.3", HOSE | {"length_m": 6.0, "bends": 12.0, "bend_k": 0.3},
           {"straight_pa": (4704.92, 1e-5), "bends_pa": (1302.93, 1e-5), "pressure_drop_pa": (6007.85, 1e-5),
            "hydraulic_w": (1.0013, 1e-4)}),
)  # fmt: skip


@pytest.mark.parametrize("worked", WORKED, ids=lambda one: one.source[len(SOURCE) :])
def test_worked_example(worked):
    hold(worked)


def test_a_smaller_bore_saves_fluid():
    # computed: 6 m at 40 °C: 0.52124 kg less fluid in 16 mm than in 19 mm
    small, large = (
        result_of("coolant_line", HOSE | {"bore_m": bore, "outer_m": 0.027}).figure("fluid_kg_per_m").value
        for bore in (0.016, 0.019)
    )
    assert 6.0 * (large - small) == pytest.approx(0.52124, rel=2e-5)


# computed: CoolProp 8.0.0 INCOMP::MEG-50%: °C, kg/m3, mPa.s, J/(kg.K)
@pytest.mark.parametrize(
    ("celsius", "density", "viscosity", "heat"),
    [
        (-10.0, 1078.70, 12.7799, 3145.7),
        (20.0, 1064.93, 3.6932, 3312.0),
        (40.0, 1053.44, 2.1033, 3412.7),
        (60.0, 1040.49, 1.3749, 3503.1),
    ],
)
def test_properties_of_the_mixture(celsius, density, viscosity, heat):
    at = np.array([ZERO_C + celsius])
    assert coolant_kg_per_m3(at)[0] == pytest.approx(density, rel=1e-5)
    assert coolant_pa_s(at)[0] * 1e3 == pytest.approx(viscosity, rel=2e-5)
    assert coolant_j_per_kg_k(at)[0] == pytest.approx(heat, rel=2e-5)


def test_properties_match_the_library_between_the_rows():
    # computed: CoolProp, at temperatures that are no row of the table; its fits are cubic, as the spline is
    library = pytest.importorskip("CoolProp.CoolProp", reason="CoolProp is not installed")
    kelvin = ZERO_C + np.linspace(-29.3, 99.1, 41)
    for function, letter in ((coolant_kg_per_m3, "D"), (coolant_pa_s, "V"), (coolant_j_per_kg_k, "C")):
        true = [library.PropsSI(letter, "T", one, "P", 2e5, "INCOMP::MEG-50%") for one in kelvin]
        np.testing.assert_allclose(function(kelvin), true, rtol=1e-8)


def pipe(flow_m3_per_s, bore_m, length_m, roughness_m, density, viscosity):
    """Reynolds number, friction, drop [Pa], power [W]."""
    flow, bore = np.array([flow_m3_per_s]), np.array([bore_m])
    velocity = velocity_m_per_s(flow, bore)
    reynolds = reynolds_number(density, velocity, bore, viscosity)
    friction = friction_factor(reynolds, roughness_m / bore)
    drop = pressure_drop_pa(friction * length_m / bore, density, velocity)
    return reynolds[0], friction[0], drop[0], (drop * flow)[0]


def test_textbook_pipe_with_laminar_flow():
    # from memory: Çengel and Cimbala, Fluid Mechanics, ch. 8: water at 3.0 ft/s in 0.12 in × 30 ft, 62.42 lbm/ft3,
    # 1.038e-3 lbm/(ft.s): Re 1803, f 0.0355, 930 lbf/ft2, 0.30 W; the book rounds 32.174 to 32.2: 1e-3.
    bore = 0.12 * INCH_M
    flow = 3.0 * FOOT_M * 0.25 * math.pi * bore**2
    reynolds, friction, drop, power = pipe(
        flow, bore, 30 * FOOT_M, 0.0, 62.42 * POUND_KG / FOOT_M**3, 1.038e-3 * POUND_KG / FOOT_M
    )
    assert reynolds == pytest.approx(1803.0, rel=1e-3)
    assert friction == pytest.approx(0.0355, abs=5e-5)
    assert drop * FOOT_M**2 / POUND_FORCE_N == pytest.approx(930.0, rel=2e-3)
    assert power == pytest.approx(0.30, abs=5e-3)


def test_textbook_pipe_with_turbulent_flow():
    # from memory: same chapter: water 0.2 ft3/s, 2 in × 200 ft, ε 7e-6 ft, 62.36 lbm/ft3, 7.536e-4 lbm/(ft.s):
    # Re 126 400, f 0.0174, 1700 lbf/ft2, 461 W
    reynolds, friction, drop, power = pipe(
        0.2 * FOOT_M**3,
        2.0 * INCH_M,
        200 * FOOT_M,
        7e-6 * FOOT_M,
        62.36 * POUND_KG / FOOT_M**3,
        7.536e-4 * POUND_KG / FOOT_M,
    )
    assert reynolds == pytest.approx(126_400.0, rel=1e-3)
    assert friction == pytest.approx(0.0174, abs=5e-5)
    assert drop * FOOT_M**2 / POUND_FORCE_N == pytest.approx(1700.0, rel=2e-3)
    assert power == pytest.approx(461.0, rel=2e-3)


def test_litres_per_minute():
    # first principles: 60 L/min are a thousandth of a cubic metre per second
    assert to_si(60.0, "L/min", "m3/s")[0] == pytest.approx(1e-3, rel=1e-15)
    assert to_si(1.0, "L/s", "m3/s")[0] == pytest.approx(1e-3, rel=1e-15)


@settings(max_examples=25, deadline=None)
@given(st.floats(0.3, 10.0), st.floats(1.05, 2.0), st.floats(-20.0, 90.0))
def test_a_longer_hose_never_takes_less(length, longer, celsius):
    at = HOSE | {"coolant_k": ZERO_C + celsius, "start_k": ZERO_C - 25.0, "bends": 2.0, "joints": 2.0}
    short, long = (result_of("coolant_line", at | {"length_m": x}) for x in (length, length * longer))
    for figure in ("pressure_drop_pa", "pump_w", "mass_kg", "warm_up_j", "share_frac"):
        assert long.figure(figure).value > short.figure(figure).value
    per_m = [one.figure("straight_pa").value / x for one, x in ((short, length), (long, length * longer))]
    assert per_m[0] == pytest.approx(per_m[1], rel=1e-12)


@settings(max_examples=25, deadline=None)
@given(st.floats(0.015, 0.025), st.floats(1.0, 4.0))
def test_laminar_drop_goes_by_flow_and_the_fourth_power_of_the_bore(bore, litres):
    # first principles: Hagen and Poiseuille, ΔP = 128 µ L Q/(π D⁴)
    cold = HOSE | {"coolant_k": ZERO_C - 10.0, "start_k": ZERO_C - 20.0, "outer_m": 0.035}
    flow = litres / 60e3
    found = result_of("coolant_line", cold | {"bore_m": bore, "flow_m3_per_s": flow})
    assert found.figure("reynolds").value < 2300.0
    expected = 128.0 * coolant_pa_s(np.array([ZERO_C - 10.0]))[0] * flow / (math.pi * bore**4)
    assert found.figure("metre_pa").value == pytest.approx(expected, rel=1e-9)


def test_heat_has_its_two_limits():
    # first principles: a thin wall leaves the film, h π D; a great film leaves conduction, 2 π k/ln(D_o/D_i)
    args = [np.array([x]) for x in (0.019, 0.0190001, 0.25, 10.0)]
    assert heat_loss_w_per_m_k(*args)[0] == pytest.approx(10.0 * math.pi * 0.019, rel=1e-4)
    args = [np.array([x]) for x in (0.019, 0.027, 0.25, 1e9)]
    assert heat_loss_w_per_m_k(*args)[0] == pytest.approx(2 * math.pi * 0.25 / math.log(27 / 19), rel=1e-6)


def test_transition_widens_the_band_and_is_said():
    at = {"bore_m": 0.016, "outer_m": 0.023, "length_m": 2.0, "bends": 0.0, "joints": 0.0}
    tight = {name: value for name, value in HOSE.items() if name not in at} | at
    between = result_of("coolant_line", tight | {"coolant_k": ZERO_C + 20.0}, n_draws=2000).figure("metre_pa")
    above = result_of("coolant_line", tight | {"coolant_k": ZERO_C + 60.0}, n_draws=2000).figure("metre_pa")
    # common practice: ±30 %, of which 95 % of a rectangle are ±28.5 %; above it viscosity's ±5 % alone, fourth root
    assert (between.high - between.low) / 2.0 / between.value == pytest.approx(0.285, abs=0.02)
    assert (above.high - above.low) / 2.0 / above.value < 0.02
    assert "laminar or turbulent" in result_of("coolant_line", tight | {"coolant_k": ZERO_C + 20.0}).verdict
    assert (
        "laminar or turbulent" not in result_of("coolant_line", tight | {"coolant_k": ZERO_C + 60.0}).verdict
    )


@pytest.mark.parametrize(
    ("stated", "words"),
    [
        ({"outer_m": 0.016}, "wider than its bore"),
        ({"start_k": ZERO_C + 40.0}, "warmer than where it starts"),
        ({"coolant_k": ZERO_C + 120.0}, "50 % ethylene glycol"),
    ],
)
def test_refusals(stated, words):
    with pytest.raises(ValueError, match=words):
        result_of("coolant_line", HOSE | stated)


def test_verdict_calls_friction_small_only_beside_a_large_rest():
    short = HOSE | {"length_m": 1.0, "rest_pa": 30e3}
    assert "small beside cold plates" in result_of("coolant_line", short).verdict
    narrow = HOSE | {"bore_m": 0.009, "outer_m": 0.014, "length_m": 6.0, "rest_pa": 30e3}
    assert "worth a wider bore" in result_of("coolant_line", narrow).verdict
