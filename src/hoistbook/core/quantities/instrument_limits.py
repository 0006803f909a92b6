"""Limits of error of workshop instruments: the figures, where each comes from, and how far it can be trusted.

Every figure is a default for an instrument of which no more is known; its own certificate or its maker's limit
replaces it (`Instrument.certificate_expanded_si`, `Instrument.limit_si`, `Instrument.limit_frac`).
"""

import difflib
import math
from dataclasses import dataclass

_MM = 1e-3
_SLACK = 1.0 + 1e-9  # 3 m typed as 118.11 in must not become the fourth metre by round-off


@dataclass(frozen=True, slots=True)
class Kind:
    """One kind of instrument and its defaults.

    `default_step_si` is None where the step must be stated. `default_repeatability_si` is the standard deviation of
    placing and reading by one person. `signed` allows negative readings. `mark` says how well `source` is known.
    """

    key: str
    unit: str
    default_step_si: float | None
    default_repeatability_si: float
    signed: bool
    mark: str
    source: str
    aliases: tuple[str, ...] = ()


_DEGREE = math.pi / 180.0

_KINDS = (
    Kind(
        "scale",
        "kg",
        None,
        0.0,
        False,
        "published",
        "OIML R 76-1 table of maximum permissible errors (second hand: class table sheet); in service twice that (a "
        "calibration calculator citing R 76-1). The limit also bounds repeatability (R 76-1 3.6.1, from memory), so "
        "none is added.",
        (
            "bench scale",
            "floor scale",
            "platform scale",
            "counting scale",
            "balance",
            "scales",
            "bench scales",
        ),
    ),
    Kind(
        "crane scale",
        "kg",
        None,
        0.0,
        False,
        "common practice",
        "as a scale of its marked class; the observed swing is added by the reading",
        ("hanging scale", "hook scale"),
    ),
    Kind(
        "corner pad",
        "kg",
        0.5,
        0.5,
        False,
        "common practice",
        "0.1 % of reading, step 0.5 kg (usual 0.5–1 kg), repeatability 0.5 kg with settled tyres; pads level to ±3 mm",
        ("corner pads", "corner scale", "corner scales", "wheel scale", "wheel scales", "pads"),
    ),
    Kind(
        "tape",
        "m",
        1.0 * _MM,
        1.5 * _MM,
        False,
        "published",
        "2014/32/EU annex X (MI-008), as UK SI 2016/1153 schedule 1I, requirements 1–2; step 1 mm and laying along a "
        "part by hand 1.5 mm are common practice without a source (five readings of one hose: s = 1.9 mm)",
        ("steel tape", "tape measure", "measuring tape", "rule", "steel rule", "ruler"),
    ),
    Kind(
        "calliper",
        "m",
        0.01 * _MM,
        0.02 * _MM,
        False,
        "from memory",
        "JIS B 7507:2016 table 1; depth + 0.02 mm as published in a measuring-tool maker's 2021 handbook; hand feel "
        "0.02 mm is common practice without a source",
        (
            "caliper",
            "callipers",
            "calipers",
            "vernier",
            "vernier calliper",
            "vernier caliper",
            "digital calliper",
        ),
    ),
    Kind(
        "laser distance",
        "m",
        1.0 * _MM,
        0.0,
        False,
        "common practice",
        "±2 mm at k = 2 (usual 1.5–2 mm)",
        ("laser distance meter", "laser", "laser meter", "distance meter"),
    ),
    Kind(
        "spirit level",
        "rad",
        0.0,
        0.0,
        True,
        "common practice",
        "shop grade, 0.5 mm/m; the limit is taken to hold the reading of the bubble",
        ("level", "bubble level"),
    ),
    Kind(
        "angle gauge",
        "rad",
        0.1 * _DEGREE,
        0.0,
        True,
        "common practice",
        "±0.1° within 1° of a multiple of 90°, ±0.2° elsewhere",
        ("digital angle gauge", "inclinometer", "digital level", "angle finder"),
    ),
    Kind(
        "torque wrench",
        "N.m",
        0.0,
        0.0,
        False,
        "published",
        "ISO 6789, setting type II class A: ±4 % of the value above 10 N·m maximum, ±6 % up to 10 N·m; checked at "
        "20, 60 and 100 % of maximum (second hand: a tool maker's manual; other classes not verified)",
        ("torque", "torque tester"),
    ),
    Kind("other", "", None, 0.0, True, "stated by the user", "a limit or a certificate of its own", ()),
)
KINDS: dict[str, Kind] = {kind.key: kind for kind in _KINDS}


def instrument_kind(text: str) -> Kind:
    """Look up a kind by its name or one of its other names; case and blanks around it do not matter.

    Raises
    ------
    ValueError
        There is no such kind; the message lists the closest or all of them.
    """
    wanted = " ".join(text.lower().replace("_", " ").split())
    names = {name: kind for kind in _KINDS for name in (kind.key, *kind.aliases)}
    if wanted in names:
        return names[wanted]
    close = difflib.get_close_matches(wanted, names, n=3, cutoff=0.6)
    hint = f"did you mean {', '.join(close)}?" if close else f"known kinds: {', '.join(KINDS)}."
    msg = f"no instrument kind named {text!r}; {hint} Any other instrument is 'other' with a limit or a certificate."
    raise ValueError(msg)


@dataclass(frozen=True, slots=True)
class ScaleClass:
    """One accuracy class of OIML R 76: breakpoints of the limits and the range of sizes, in verification intervals e.

    ``minimum`` and ``intervals`` are rows of (largest e of the row in kg, Min in e) and (…, fewest, most n = Max/e).
    """

    breakpoints_e: tuple[float, float]
    minimum: tuple[tuple[float, float], ...]
    intervals: tuple[tuple[float, float, float], ...]


# Breakpoints II, III, IIII and size and Min of III, Min of IIII: published (class table sheet from R 76-1).
# Class I, and size and Min of class II: from memory, OIML R 76-1:2006 tables 3 and 6.
SCALE_CLASSES: dict[str, ScaleClass] = {
    "I": ScaleClass((50_000, 200_000), ((math.inf, 100),), ((math.inf, 50_000, math.inf),)),
    "II": ScaleClass(
        (5_000, 20_000), ((0.05e-3, 20), (math.inf, 50)), ((0.05e-3, 100, 1e5), (math.inf, 5_000, 1e5))
    ),
    "III": ScaleClass((500, 2_000), ((math.inf, 20),), ((2e-3, 100, 1e4), (math.inf, 500, 1e4))),
    "IIII": ScaleClass((50, 200), ((math.inf, 10),), ((math.inf, 100, 1e3),)),
}

# published: 2014/32/EU annex X, MPE = a + b L, L rounded up to the next whole metre, + c from an end surface. [mm]
TAPE_CLASSES: dict[str, tuple[float, float, float]] = {
    "I": (0.1, 0.1, 0.1),
    "II": (0.3, 0.2, 0.2),
    "III": (0.6, 0.4, 0.3),
}

# from memory: JIS B 7507:2016 table 1. Rows (length up to, limit), for steps up to 0.02 mm, then for 0.05 mm. [mm]
CALLIPER_FINE = ((50.0, 0.02), (200.0, 0.03), (300.0, 0.04))
CALLIPER_COARSE = ((50.0, 0.05), (100.0, 0.06), (200.0, 0.07), (300.0, 0.08))
CALLIPER_DEPTH = 0.02  # published: a measuring-tool maker's handbook 2021, quoting JIS B 7507. [mm]


def roman_class(text: str) -> str:
    """Accuracy class in capital Roman numerals: ``3``, ``iii`` and ``III`` are one class."""
    word = text.strip().upper().removeprefix("CLASS").strip()
    return {"1": "I", "2": "II", "3": "III", "4": "IIII", "IV": "IIII"}.get(word, word)


def scale_limit_kg(
    accuracy_class: str, interval_kg: float, load_kg: float, in_service_factor: float
) -> float:
    """Maximum permissible error of a scale at a load: 0.5 e, 1 e, 1.5 e by class, times the in-service factor. [kg]"""
    first, second = SCALE_CLASSES[accuracy_class].breakpoints_e
    intervals = load_kg / interval_kg
    steps = 0.5 if intervals <= first * _SLACK else 1.0 if intervals <= second * _SLACK else 1.5
    return in_service_factor * steps * interval_kg


def scale_minimum_kg(accuracy_class: str, interval_kg: float) -> float:
    """Smallest load Min that the limits of a class are meant for. [kg]"""
    for largest_kg, minimum_e in SCALE_CLASSES[accuracy_class].minimum:
        if interval_kg <= largest_kg * _SLACK:
            return minimum_e * interval_kg
    raise AssertionError(accuracy_class)  # the last row is open-ended


def scale_interval_range(accuracy_class: str, interval_kg: float) -> tuple[float, float]:
    """Fewest and most verification intervals n = Max/e a scale of a class may have."""
    for largest_kg, fewest, most in SCALE_CLASSES[accuracy_class].intervals:
        if interval_kg <= largest_kg * _SLACK:
            return fewest, most
    raise AssertionError(accuracy_class)  # the last row is open-ended


def tape_limit_m(accuracy_class: str, length_m: float, *, from_end: bool) -> float:
    """Maximum permissible error a + b L (+ c from an end surface), L rounded up to the next whole metre. [m]"""
    a, b, c = TAPE_CLASSES[accuracy_class]
    metres = max(math.ceil(length_m / _SLACK), 1)
    return (a + b * metres + (c if from_end else 0.0)) * _MM


def calliper_limit_m(step_m: float, length_m: float, *, depth: bool) -> float:
    """Maximum permissible error of a calliper of 0.01, 0.02 or 0.05 mm step, up to 300 mm. [m]

    Raises
    ------
    ValueError
        Longer than the table reaches, or a coarser step than it holds.
    """
    if step_m > 0.05 * _MM * _SLACK:
        msg = f"step {step_m / _MM:g} mm is coarser than the calliper table holds (0.05 mm); state its limit of error."
        raise ValueError(msg)
    rows = CALLIPER_FINE if step_m <= 0.02 * _MM * _SLACK else CALLIPER_COARSE
    for longest, limit in rows:
        if length_m <= longest * _MM * _SLACK:
            return (limit + (CALLIPER_DEPTH if depth else 0.0)) * _MM
    msg = f"{length_m / _MM:g} mm is beyond the calliper table (300 mm); state the calliper's limit of error."
    raise ValueError(msg)


def angle_gauge_limit_rad(angle_rad: float) -> float:
    """±0.1° within 1° of a multiple of 90°, ±0.2° elsewhere. [rad]"""
    from_square = abs(math.remainder(angle_rad, 0.5 * math.pi))
    return (0.1 if from_square <= 1.0 * _DEGREE * _SLACK else 0.2) * _DEGREE


CORNER_PAD_FRAC = 0.001
SPIRIT_LEVEL_RAD = 0.5e-3
LASER_EXPANDED_M = 2.0 * _MM
TORQUE_FRAC_ABOVE_10_N_M = 0.04
TORQUE_FRAC_TO_10_N_M = 0.06
TORQUE_SMALLEST_FRAC_OF_MAXIMUM = 0.2
