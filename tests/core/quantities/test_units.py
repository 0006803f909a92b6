"""Exact conversions, spellings and refusals."""

import math

import pytest
import scipy.constants as c
from hypothesis import given
from hypothesis import strategies as st

from hoistbook.core.quantities.units import (
    from_si,
    known_units,
    to_si,
    uncertainty_from_si,
    uncertainty_to_si,
    unit,
)

ALL = known_units()


@pytest.mark.parametrize(
    ("value", "text", "si", "symbol"),
    [
        # from memory: NIST SP 811 appendix B, exact definitions.
        (1, "in", 0.0254, "m"),
        (1, "thou", 25.4e-6, "m"),
        (1, "ft", 0.3048, "m"),
        (1, "mi", 1609.344, "m"),
        (1, "lb", 0.45359237, "kg"),
        (1, "oz", 0.028349523125, "kg"),
        (1, "lbf", 4.4482216152605, "N"),
        (1, "US fl oz", 29.5735295625e-6, "m3"),
        (1, "US gal", 3.785411784e-3, "m3"),
        (1, "mph", 0.44704, "m/s"),
        (1, "hp", 745.69987158227022, "W"),
        (1, "kWh", 3.6e6, "J"),
        (0, "°C", 273.15, "K"),
        (-40, "°F", 233.15, "K"),
        (212, "°F", 373.15, "K"),
        (36, "km/h", 10.0, "m/s"),
        (1, "t", 1000.0, "kg"),
        (412.6, "g", 0.4126, "kg"),
        (1, "bar", 1e5, "Pa"),
        (180, "deg", math.pi, "rad"),
        (60, "rpm", 2.0 * math.pi, "rad/s"),
        # from memory: rolling resistance of 8 kg/t is a coefficient of 0.008.
        (8, "kg/t", 0.008, "1"),
        (8, "N/kN", 0.008, "1"),
        (55, "%", 0.55, "1"),
        # first principles: pound-force and mile per hour are exact in SI.
        (1, "lbf/mph", 4.4482216152605 / 0.44704, "N.s/m"),
        (1, "lbf/mph2", 4.4482216152605 / 0.44704**2, "N.s2/m2"),
        (1, "N/(km/h)", 3.6, "N.s/m"),
        (1, "N/(km/h)2", 12.96, "N.s2/m2"),
        (1, "Wh/km", 3.6, "J/m"),
        (1, "kWh/100 km", 36.0, "J/m"),
        (1, "kWh/100 mi", 3.6e6 / 160934.4, "J/m"),
        (2, "km/kWh", 1800.0, "J/m"),
        # first principles: atan x = x − x³/3 + … for a slope of 0.5 mm/m.
        (0.5, "mm/m", 0.0005 - 0.0005**3 / 3.0, "rad"),
        (1, "W/(N·m)2", 1.0, "W/(N.m)2"),
        (1, "W·s3/rad3", 1.0, "W.s3/rad3"),
    ],
)
def test_exact_conversions(value, text, si, symbol):
    converted, found = to_si(value, text)
    assert converted == pytest.approx(si, rel=2e-15)
    assert found == symbol


@pytest.mark.parametrize(
    ("value", "text", "si"),
    # from memory: NIST SP 811, rounded there to the digits shown.
    [(1, "lbf·ft", 1.355817948), (120, "lbf·ft", 162.698), (1, "psi", 6894.757)],
)
def test_rounded_conversions(value, text, si):
    assert to_si(value, text)[0] == pytest.approx(si, rel=3e-6)


def test_miles_per_gallon_equivalent_is_a_reciprocal():
    # from memory: 40 CFR 600.002, 33.705 kWh per gallon equivalent; so MPGe × kWh/100 mi = 3370.5.
    for label in (80.0, 119.91117, 150.0):
        energy_per_distance, symbol = to_si(label, "mpg-e")
        assert symbol == "J/m"
        assert from_si(energy_per_distance, "kWh/100 mi") == pytest.approx(3370.5 / label, rel=1e-12)
    assert from_si(to_si(33.705, "kWh/100 mi")[0], "MPGe") == pytest.approx(100.0)


# computed: scipy.constants.
CONSTANTS = {
    "g": c.gram, "t": c.metric_ton, "lb": c.pound, "oz": c.oz, "in": c.inch, "thou": c.mil, "ft": c.foot, "yd": c.yard,
    "mi": c.mile, "um": c.micron, "min": c.minute, "h": c.hour, "L": c.liter, "US.gal": c.gallon,
    "US.fl.oz": c.fluid_ounce, "km/h": c.kmh, "mph": c.mph, "lbf": c.lbf, "kgf": c.kgf, "lbf.ft": c.lbf * c.foot,
    "lbf.in": c.lbf * c.inch, "hp": c.hp, "kWh": c.kilo * c.hour, "bar": c.bar, "psi": c.psi, "deg": c.degree,
    "arcmin": c.arcmin, "lbf/in": c.lbf / c.inch, "lb/ft3": c.pound / c.foot**3, "lbf/mph": c.lbf / c.mph,
    "lbf/mph2": c.lbf / c.mph**2, "N/(km/h)2": 1.0 / c.kmh**2, "in2": c.inch**2, "kWh/100.mi": 36.0 * c.kilo / c.mile,
    "US.qt": c.gallon / 4.0, "Ah": c.hour, "in3": c.inch**3, "lb/ft": c.pound / c.foot,
}  # fmt: skip


@pytest.mark.parametrize("text", CONSTANTS)
def test_factors_agree_with_an_independent_library(text):
    assert to_si(1.0, text)[0] == pytest.approx(CONSTANTS[text], rel=1e-14)


def test_temperatures_agree_with_an_independent_library():
    for text, name in (("°C", "Celsius"), ("°F", "Fahrenheit")):
        for value in (-40.0, 0.0, 23.0, 212.0):
            # computed: scipy.constants.
            assert to_si(value, text)[0] == pytest.approx(c.convert_temperature(value, name, "K"), rel=1e-14)


@given(st.sampled_from(ALL), st.floats(1e-6, 1e6))
def test_units_round_trip(text, value):
    if unit(text).form == "slope":
        value = min(value, 1e3)  # steeper than 45° the tangent loses digits
    si, symbol = to_si(value, text)
    # first principles: converting back gives the value; an offset leaves round-off of 273 K.
    offset = unit(text).offset
    assert from_si(si, text) == pytest.approx(value, rel=1e-12, abs=1e-13 * offset)
    assert to_si(1.0, symbol)[1] == symbol


@given(st.sampled_from(ALL), st.floats(0.01, 100.0))
def test_an_uncertainty_converts_with_the_slope_of_its_value(text, value):
    h = 1e-6 * value
    # first principles: central difference of the conversion itself.
    slope = abs(to_si(value + h, text)[0] - to_si(value - h, text)[0]) / (2.0 * h)
    floor = 1e-15 * unit(text).offset / h
    assert uncertainty_to_si(1.0, value, text) == pytest.approx(slope, rel=1e-6, abs=100 * floor)
    back = uncertainty_from_si(uncertainty_to_si(0.1, value, text), to_si(value, text)[0], text)
    assert back == pytest.approx(0.1, rel=1e-9)


@pytest.mark.parametrize(
    ("spellings", "symbol"),
    [
        (("N·m", "Nm", "N*m", "N m", "N.m", "N-m", "N⋅m"), "N.m"),
        (("lbf·ft", "ft-lbf", "lb-ft", "ft lb", "ft·lb", "lbf.ft"), "N.m"),
        (("m²", "m2", "m^2", "m**2"), "m2"),
        (("°C", "℃", "degC"), "K"),
        (("mΩ", "mohm", "mOhm"), "ohm"),
        (("kWh/100 km", "kWh/100km", "kWh / 100 km"), "J/m"),
        (("mpg-e", "MPGe", "mpge", "mpg e"), "J/m"),
        (("µm", "μm", "um"), "m"),
        (("N/(km/h)²", "N/(km/h)^2", "N / (km/h)2"), "N.s2/m2"),
        (("KG", "Kg", " kg "), "kg"),
    ],
)
def test_spellings_of_one_unit_are_alike(spellings, symbol):
    assert len({to_si(3.0, text) for text in spellings}) == 1
    assert to_si(3.0, spellings[0])[1] == symbol


def test_case_matters_where_it_carries_meaning():
    assert to_si(1.0, "MW")[0] == 1e9 * to_si(1.0, "mW")[0]
    with pytest.raises(ValueError, match="did you mean MJ"):
        to_si(1.0, "mj")
    with pytest.raises(ValueError, match="did you mean Nm"):
        to_si(1.0, "nm")


@pytest.mark.parametrize(
    ("call", "message"),
    [
        (lambda: to_si(1.0, "kgs"), "no unit named 'kgs'; did you mean kg"),
        (lambda: to_si(1.0, "xyzzy"), "no unit named 'xyzzy'"),
        (lambda: to_si(1.0, "  "), "the unit is missing"),
        (lambda: to_si(20.0, "mil"), r"more than one meaning; write thou \(0.0254 mm\) or mm"),
        (lambda: to_si(20.0, "Pounds"), "more than one meaning; write lb"),
        (lambda: to_si(1.0, "C"), "more than one meaning; write °C"),
        (
            lambda: to_si(2.5, "mm", expected="kg"),
            r"'mm' is a length \(m\), but a mass \(kg\) is expected here",
        ),
        (lambda: to_si(2.5, "kWh", expected="N.m"), r"an energy \(J\), but a torque \(N.m\)"),
        (lambda: to_si(2.5, "%", expected="rad"), r"a pure number \(1\), but an angle"),
        (lambda: to_si(2.5, "N", expected="J/m"), r"a force \(N\), but an energy per distance"),
        (lambda: from_si(2.5, "mm", expected="kg"), "is expected here"),
        (lambda: to_si(math.nan, "kg"), "not a finite number"),
        (lambda: from_si(math.inf, "kg"), "not a finite number"),
        (lambda: to_si(0.0, "mpg-e"), "must be above 0"),
        (lambda: from_si(-1.0, "mpg-e"), "must be above 0"),
        (lambda: uncertainty_to_si(-1.0, 1.0, "kg"), "not negative"),
    ],
)
def test_errors_say_what_is_wrong(call, message):
    with pytest.raises(ValueError, match=message):
        call()


def test_an_si_symbol_may_be_written_in_another_way():
    # first principles: N = kg·m/s².
    assert to_si(3.0, "kg.m/s2", expected="N") == (3.0, "N")
    assert to_si(3.0, "kg", expected="kg") == (3.0, "kg")
