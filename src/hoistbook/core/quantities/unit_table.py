"""The table of units: exact factors to SI, other spellings, words with two meanings, names of kinds of quantity."""

import math
from dataclasses import dataclass
from fractions import Fraction as F
from typing import Literal


@dataclass(frozen=True, slots=True)
class Unit:
    """How a unit becomes SI: x·factor + offset, factor/x (reciprocal), or atan(x·factor) (a slope, as an angle)."""

    symbol: str
    factor: float
    offset: float = 0.0
    form: Literal["linear", "reciprocal", "slope"] = "linear"


# from memory: NIST SP 811 appendix B and the SI brochure; every figure here is exact by definition.
_INCH = F("0.0254")
_FOOT = 12 * _INCH
_MILE = 5280 * _FOOT
_POUND = F("0.45359237")
_OUNCE = _POUND / 16
_GRAVITY = F("9.80665")  # standard acceleration, defines the pound-force; not a local g
_POUND_FORCE = _POUND * _GRAVITY
_GALLON = 231 * _INCH**3
_MPH = _MILE / 3600
_KMH = F(1000, 3600)
_WH = F(3600)
_KWH = 1000 * _WH
# 40 CFR 600.002 (from memory): a gallon of gasoline is set equal to 33.705 kWh.
_GALLON_EQUIVALENT = F("33.705") * _KWH

_LINEAR: dict[str, dict[str, F | int]] = {
    "kg": {
        "kg g mg t": 1,
        "lb lbs": _POUND,
        "oz": _OUNCE,
    },
    "m": {
        "m": 1,
        "km": 1000,
        "cm": F(1, 100),
        "mm": F(1, 1000),
        "um micron": F(1, 10**6),
        'in inch inches "': _INCH,
        "thou": _INCH / 1000,
        "ft foot feet '": _FOOT,
        "yd": 3 * _FOOT,
        "mi mile miles": _MILE,
    },
    "s": {"s sec": 1, "ms": F(1, 1000), "min": 60, "h hr": 3600},
    "m2": {"m2 sqm": 1, "cm2": F(1, 10**4), "mm2": F(1, 10**6), "in2 sqin": _INCH**2, "ft2 sqft": _FOOT**2},
    "m4": {"m4": 1, "cm4": F(1, 10**8), "mm4": F(1, 10**12)},
    "m3": {
        "m3": 1,
        "L l dm3 litre liter": F(1, 1000),
        "mL ml cm3 cc": F(1, 10**6),
        "mm3": F(1, 10**9),
        "in3": _INCH**3,
        "ft3": _FOOT**3,
        "US.gal": _GALLON,
        "US.qt": _GALLON / 4,
        "US.fl.oz": _GALLON / 128,
    },
    "m/s": {"m/s": 1, "km/h kph kmh": _KMH, "mph mi/h": _MPH, "ft/s": _FOOT},
    "m/s2": {"m/s2": 1, "ft/s2": _FOOT},
    "rad/s": {"rad/s": 1},
    "1/s": {"1/s Hz": 1, "kHz": 1000},
    "kg/s": {"kg/s": 1, "g/s": F(1, 1000)},
    "m3/s": {"m3/s": 1, "L/min l/min": F(1, 60_000), "L/s l/s": F(1, 1000)},
    "N": {"N": 1, "kN": 1000, "daN": 10, "lbf": _POUND_FORCE, "kgf kp": _GRAVITY},
    "N.m": {
        "N.m Nm": 1,
        "kN.m kNm": 1000,
        "N.cm Ncm": F(1, 100),
        "lbf.ft ft.lbf lb.ft ft.lb": _POUND_FORCE * _FOOT,
        "lbf.in in.lbf lb.in in.lb": _POUND_FORCE * _INCH,
        "kgf.m": _GRAVITY,
    },
    "W": {
        "W": 1,
        "mW": F(1, 1000),
        "kW": 1000,
        "MW": 10**6,
        "hp": 550 * _POUND_FORCE * _FOOT,
        "PS": 75 * _GRAVITY,
    },
    "J": {
        "J": 1,
        "kJ": 1000,
        "MJ": 10**6,
        "Wh": _WH,
        "kWh": _KWH,
        "MWh": 1000 * _KWH,
    },
    "Pa": {
        "Pa": 1,
        "hPa mbar": 100,
        "kPa": 1000,
        "MPa N/mm2": 10**6,
        "GPa": 10**9,
        "bar": 10**5,
        "psi lbf/in2": _POUND_FORCE / _INCH**2,
    },
    "N/m": {"N/m": 1, "N/mm": 1000, "kN/m": 1000, "kN/mm": 10**6, "lbf/in": _POUND_FORCE / _INCH},
    "kg/m": {"kg/m": 1, "g/m": F(1, 1000), "lb/ft": _POUND / _FOOT},
    "kg/m3": {"kg/m3 g/L g/l": 1, "g/cm3 kg/L kg/l g/mL": 1000, "lb/ft3": _POUND / _FOOT**3},
    "N.s/m": {
        "N.s/m N/(m/s)": 1,
        "N/(km/h) N/kph": 1 / _KMH,
        "lbf/mph lbf/(mi/h)": _POUND_FORCE / _MPH,
    },
    "N.s2/m2": {
        "N.s2/m2 N/(m/s)2 N/(m2/s2)": 1,
        "N/(km/h)2 N/(km2/h2) N/kph2": 1 / _KMH**2,
        "lbf/mph2 lbf/(mi/h)2": _POUND_FORCE / _MPH**2,
    },
    "J/m": {
        "J/m": 1,
        "Wh/km": _WH / 1000,
        "kWh/km": _KWH / 1000,
        "kWh/100.km kWh/100km": _KWH / (100 * 1000),
        "Wh/mi Wh/mile": _WH / _MILE,
        "kWh/mi kWh/mile": _KWH / _MILE,
        "kWh/100.mi kWh/100mi kWh/100.miles": _KWH / (100 * _MILE),
        "MJ/km": 1000,
    },
    "1": {
        "1 count pcs piece pieces each": 1,
        "% percent pct": F(1, 100),
        "‰ permille": F(1, 1000),
        "ppm": F(1, 10**6),
        "N/kN kg/t g/kg": F(1, 1000),
        "N/N kg/kg": 1,
    },
    "V": {"V": 1, "mV": F(1, 1000), "kV": 1000},
    "A": {"A": 1, "mA": F(1, 1000)},
    "A.s": {"A.s": 1, "A.h Ah": 3600, "mA.h mAh": F(3600, 1000)},
    "ohm": {"ohm Ohm Ω": 1, "mohm mOhm mΩ": F(1, 1000), "uohm uOhm uΩ": F(1, 10**6), "kohm kOhm kΩ": 1000},
    "rad": {"rad": 1, "mrad": F(1, 1000)},
    "K": {"K": 1, "mK": F(1, 1000)},
}

_MASS_PREFIXES = {"kg": F(1), "g": F(1, 1000), "mg": F(1, 10**6), "t": F(1000)}


def _table() -> dict[str, Unit]:
    table: dict[str, Unit] = {}
    for symbol, rows in _LINEAR.items():
        for names, factor in rows.items():
            for name in names.split():
                table[name] = Unit(
                    symbol, float(_MASS_PREFIXES.get(name, factor) if symbol == "kg" else factor)
                )
    degree = math.pi / 180.0
    table |= dict.fromkeys(("deg", "°"), Unit("rad", degree))
    table["arcmin"] = Unit("rad", degree / 60.0)
    table["rpm"] = Unit("rad/s", 2.0 * math.pi / 60.0)
    table["deg/s"] = Unit("rad/s", degree)
    table |= dict.fromkeys(("°C", "degC"), Unit("K", 1.0, 273.15))
    # T_K = (T_F + 459.67)·5/9; the offset is exact in ninths.
    table |= dict.fromkeys(("°F", "degF"), Unit("K", 5.0 / 9.0, float(F("459.67") * 5 / 9)))
    table["mm/m"] = Unit("rad", 1e-3, form="slope")
    equivalent = float(_GALLON_EQUIVALENT / _MILE)
    table |= dict.fromkeys(("mpg.e", "mpge", "MPGe", "MPG.e"), Unit("J/m", equivalent, form="reciprocal"))
    table["km/kWh"] = Unit("J/m", float(_KWH / 1000), form="reciprocal")
    table |= dict.fromkeys(("mi/kWh", "miles/kWh"), Unit("J/m", float(_KWH / _MILE), form="reciprocal"))
    # Capitals that cannot be mistaken for another unit.
    table |= {other: table[name] for other, name in _CAPITALS.items()}
    return table


_CAPITALS = {
    "KG": "kg",
    "Kg": "kg",
    "LB": "lb",
    "LBS": "lb",
    "Lb": "lb",
    "Lbs": "lb",
    "OZ": "oz",
    "MM": "mm",
    "CM": "cm",
    "KM": "km",
    "Km": "km",
    "IN": "in",
    "KW": "kW",
    "Kw": "kW",
    "WH": "Wh",
    "KWH": "kWh",
    "KWh": "kWh",
    "Kwh": "kWh",
    "kwh": "kWh",
    "MPH": "mph",
    "Bar": "bar",
    "PSI": "psi",
    "DEG": "deg",
    "RPM": "rpm",
}
UNITS = _table()

TWO_MEANINGS = {
    "mil": "thou (0.0254 mm) or mm",
    "mils": "thou (0.0254 mm) or mm",
    "pound": "lb (mass), lbf (force) or lbf·ft (torque)",
    "pounds": "lb (mass), lbf (force) or lbf·ft (torque)",
    "ounce": "oz (mass) or US fl oz (volume)",
    "ounces": "oz (mass) or US fl oz (volume)",
    "degree": "deg (angle), °C or °F",
    "degrees": "deg (angle), °C or °F",
    "ton": "t (1000 kg) or lb",
    "tons": "t (1000 kg) or lb",
    "gal": "US gal or L",
    "gallon": "US gal or L",
    "gauge": "mm: a gauge number needs its table and material",
    "mpg": "mpg-e for energy; litres of fuel are not converted",
    "C": "°C",
    "F": "°F",
}

WORDS = {
    "kg": "a mass",
    "m": "a length",
    "s": "a time",
    "m2": "an area",
    "m3": "a volume",
    "m3/s": "a volume flow",
    "m4": "a second moment of area",
    "m/s": "a speed",
    "m/s2": "an acceleration",
    "rad/s": "an angular speed",
    "N": "a force",
    "N.m": "a torque",
    "W": "a power",
    "J": "an energy",
    "Pa": "a pressure",
    "N/m": "a stiffness",
    "kg/m": "a mass per length",
    "kg/m3": "a density",
    "N.s/m": "a force per speed",
    "N.s2/m2": "a force per speed squared",
    "J/m": "an energy per distance",
    "1": "a pure number",
    "V": "a voltage",
    "A": "a current",
    "A.s": "an electric charge",
    "ohm": "a resistance",
    "rad": "an angle",
    "K": "a temperature",
    "W/(N.m)2": "a loss per torque squared",
    "W.s/rad": "a loss per shaft speed",
    "W.s3/rad3": "a loss per shaft speed cubed",
}
