"""Slips of a unit in published figures: what is out of all reach, and which single factor would mend it."""

from __future__ import annotations

import math

from hoistbook.core.compare.published_rows import Contradiction, PublishedLimits, PublishedRow, Strength

_POUND_KG = 0.45359237  # exact
_MILE_KM = 1.609344  # exact
_LBF_N = 4.4482216152605  # exact
_G = 9.80665  # standard gravity: pound-force
_US_DENSITY = 1.1671  # kg/m³, dry air of the US reference state, 20 °C and 98.21 kPa (computed)


def slips(
    row: PublishedRow, model: tuple[float, float] | None, limits: PublishedLimits
) -> list[Contradiction]:
    """Figures of one row that are out of reach, each with the slip that would mend it.

    Parameters
    ----------
    row : PublishedRow
    model : tuple of (city, highway), or None
        Unadjusted consumption by the generic model. [J/m]
    limits : PublishedLimits

    Returns
    -------
    list of Contradiction
    """
    found: list[Contradiction] = []
    mass, a, c = (row.span(key) for key in ("test_mass", "road_load_a", "road_load_c"))
    odd_input = False
    if mass is not None and not limits.mass_low_kg <= mass.value <= limits.mass_high_kg:
        odd_input = True
        found.append(
            _slip(row, "test_mass", mass.value, limits.mass_low_kg, limits.mass_high_kg,
                  {"pounds taken for kilograms or the reverse": (_POUND_KG, 1.0 / _POUND_KG)}, "kg")
        )  # fmt: skip
    elif mass is not None and a is not None:
        rolling = a.value / (mass.value * _G)
        if not limits.rolling_low <= rolling <= limits.rolling_high:
            odd_input = True
            found.append(
                _slip(row, "road_load_a", rolling, limits.rolling_low, limits.rolling_high,
                      {"newtons taken for pounds-force or the reverse": (_LBF_N, 1.0 / _LBF_N)}, "of the weight")
            )  # fmt: skip
    if c is not None:
        area = 2.0 * c.value / _US_DENSITY
        if not limits.drag_area_low_m2 <= area <= limits.drag_area_high_m2:
            odd_input = True
            square = _MILE_KM**2
            metric = _LBF_N / (0.44704**2)
            found.append(
                _slip(row, "road_load_c", area, limits.drag_area_low_m2, limits.drag_area_high_m2,
                      {
                          "mph taken for km/h or the reverse": (square, 1.0 / square),
                          "newtons taken for pounds-force or the reverse": (_LBF_N, 1.0 / _LBF_N),
                          "SI taken for lbf and mph or the reverse": (metric, 1.0 / metric),
                      }, "m² as drag area 2 C/ρ")
            )  # fmt: skip
    if not odd_input and model is not None:
        found += _consumption(row, model, limits)
    return found


def _slip(
    row: PublishedRow,
    key: str,
    value: float,
    low: float,
    high: float,
    factors: dict[str, tuple[float, float]],
    unit: str,
) -> Contradiction:
    mends = [words for words, pair in factors.items() if any(low <= value * f <= high for f in pair)]
    means = f"{'; or '.join(mends)} would mend it" if mends else "no usual slip of a unit mends it: mistyped"
    return Contradiction(
        "unit",
        Strength.LIKELY if mends else Strength.WORTH_ASKING,
        (row.name,),
        (),
        f"{row.name}: {key.replace('_', ' ')} {row.figures[key]} makes {value:.3g} {unit}, outside {low:g} to {high:g}",
        means,
        (f"{row.name}: {key.replace('_', ' ')} {row.figures[key]} ({row.source})",),
    )


def _consumption(
    row: PublishedRow, model: tuple[float, float], limits: PublishedLimits
) -> list[Contradiction]:
    found = []
    for cycle, expected in zip(("city", "highway"), model, strict=True):
        use = row.consumption(cycle, "unadjusted")
        if use is None:
            continue
        off = math.log(use.value / expected)
        if abs(off) <= limits.model_ln:
            continue
        factors = {
            "per mile taken for per kilometre or the reverse": math.log(_MILE_KM),
            "Wh taken for kWh or the reverse": math.log(1000.0),
            "per 100 taken for per 1": math.log(100.0),
        }
        mends = [words for words, ln in factors.items() if abs(abs(off) - ln) <= limits.mended_ln]
        keys = [key for key in row.figures if key.startswith(f"{cycle}_") and key.endswith("_unadjusted")]
        evidence = tuple(
            f"{row.name}: {key.replace('_', ' ')} {row.figures[key]} ({row.source})"
            for key in (*keys, "test_mass", "road_load_a", "road_load_b", "road_load_c")
            if key in row.figures
        )
        found.append(
            Contradiction(
                "unit",
                Strength.LIKELY,
                (row.name,),
                (),
                f"{row.name}: {cycle} consumption is {math.exp(off):.2f} times what mass and road load make of it",
                f"{'; or '.join(mends)} would mend it"
                if mends
                else "a wrong unit of the road load or the consumption, or figures of another vehicle",
                evidence,
            )
        )
    return found
