"""Published figures that contradict each other: the identities of a label, pack and charge, classes, and unit slips.

Everything that needs one row alone stands here; `published_pairs` holds rows against each other. `contradictions` runs
both over a whole table.
"""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence

from hoistbook.core.compare.published_pairs import beside_each_other
from hoistbook.core.compare.published_rows import (
    BASES,
    CYCLES,
    Contradiction,
    PublishedLimits,
    PublishedRow,
    Span,
    Strength,
)
from hoistbook.core.compare.published_slips import slips
from hoistbook.core.energy.us_label import CITY_WEIGHT, HIGHWAY_WEIGHT

_POUND_KG = 0.45359237  # exact, international pound
_CLASSES_LB = ((4000.0, 125.0), (5500.0, 250.0), (math.inf, 500.0))
"""from memory: 40 CFR 86.129, width of a test-weight class up to a weight; consistent with the public rows."""

Model = Mapping[str, tuple[float, float]]
"""Unadjusted city and highway consumption the generic model gives a row, by its name. [J/m]"""


def contradictions(
    rows: Sequence[PublishedRow], model: Model, limits: PublishedLimits
) -> tuple[Contradiction, ...]:
    """Everything in a table of published figures that cannot all be true.

    Parameters
    ----------
    rows : sequence of PublishedRow
        The whole table: makers' other rows are context for each.
    model : mapping of name to (city, highway)
        Unadjusted consumption by the generic model, of the rows that state mass and road load. [J/m]
    limits : PublishedLimits

    Returns
    -------
    tuple of Contradiction
        The surest first.

    Notes
    -----
    A figure is taken to lie within half a unit of its last printed digit; two figures contradict each other when no
    values within these ends, and a relative tolerance for figures rounded on the way, satisfy the identity.

    Source
    ------
    first principles (identities of `core.energy.us_label`); what a finding would mean: common practice.
    """
    found: list[Contradiction] = []
    for row in rows:
        found += [*_equivalent(row, limits), *_combination(row, limits), *_charge(row, limits)]
        found += [*_pack(row, limits), *_factor(row, limits), *_class(row)]
        found += slips(row, model.get(row.name), limits)
    found += beside_each_other(rows, model, limits)
    order = {strength: place for place, strength in enumerate(Strength)}
    return tuple(sorted(found, key=lambda one: order[one.strength]))


def _evidence(row: PublishedRow, *keys: str) -> tuple[str, ...]:
    return tuple(
        f"{row.name}: {key.replace('_', ' ')} {row.figures[key]} ({row.source})"
        for key in keys
        if key in row.figures
    )


def _found(
    row: PublishedRow, kind: str, strength: Strength, sentence: str, means: str, *keys: str
) -> Contradiction:
    return Contradiction(
        kind, strength, (row.name,), (), f"{row.name}: {sentence}", means, _evidence(row, *keys)
    )


def _equivalent(row: PublishedRow, limits: PublishedLimits) -> list[Contradiction]:
    """Economy in MPGe against consumption of the same cycle: 33.705 kWh per gallon equivalent."""
    found = []
    for basis in BASES:
        for cycle in CYCLES:
            keys = (f"{cycle}_economy_{basis}", f"{cycle}_consumption_{basis}")
            economy, use = (row.span(key) for key in keys)
            if economy is None or use is None or not economy.apart(use, limits.tolerance_frac):
                continue
            off = use.value / economy.value - 1.0
            found.append(
                _found(
                    row,
                    "equivalent",
                    Strength.LIKELY,
                    f"{cycle} economy and consumption, {basis}, are {abs(off):.1%} apart at 33.705 kWh per gallon",
                    "one of the two was rounded, lowered or taken from another test; use the more finely printed one "
                    "only after asking",
                    *keys,
                )
            )
    return found


def _combination(row: PublishedRow, limits: PublishedLimits) -> list[Contradiction]:
    """Combined figure against 0.55 city and 0.45 highway: arithmetic in energy per distance and in range."""
    found = []
    for basis in BASES:
        for form in ("economy", "consumption", "range"):
            keys = [f"{cycle}_{form}_{basis}" for cycle in CYCLES]
            city, highway, both = (row.span(key) for key in keys)
            if city is None or highway is None or both is None:
                continue
            due = Span(
                *(
                    CITY_WEIGHT * getattr(city, end) + HIGHWAY_WEIGHT * getattr(highway, end)
                    for end in ("value", "low", "high")
                )
            )
            if both.apart(due, limits.tolerance_frac):
                off = both.value / due.value - 1.0
                what = "range" if form == "range" else f"{form} as energy per distance"
                found.append(
                    _found(
                        row,
                        "combination",
                        Strength.CERTAIN,
                        f"combined {what}, {basis}, is {off:+.1%} off 0.55 city + 0.45 highway",
                        "the three figures are not of one label: one was rounded or lowered by the maker, or mistyped",
                        *keys,
                    )
                )
    return found


def _charge(row: PublishedRow, limits: PublishedLimits) -> list[Contradiction]:
    """Wall energy of a charge from city, highway and as stated."""
    named = [
        ("city", row.charge("city")),
        ("highway", row.charge("highway")),
        ("stated", row.span("wall_energy")),
    ]
    known = [(name, span) for name, span in named if span is not None]
    if len(known) == 1 and known[0][0] == "stated" and (best := row.charge("combined")) is not None:
        known.append(("combined", best))
    found = []
    for i, (one, first) in enumerate(known):
        for other, second in known[i + 1 :]:
            # Combined range and consumption multiply to slightly more than a charge: see `best_charge`.
            slack = 0.01 if "combined" in (one, other) else 0.0
            if not first.apart(second, limits.tolerance_frac + slack):
                continue
            keys = [
                key for key in row.figures if key == "wall_energy" or key.startswith((f"{one}_", f"{other}_"))
            ]
            figures = f"{first.value / 3.6e6:.2f} and {second.value / 3.6e6:.2f} kWh"
            found.append(
                _found(
                    row,
                    "charge",
                    Strength.CERTAIN if first.apart(second, 0.01 + slack) else Strength.WORTH_ASKING,
                    f"a full charge takes {figures} at the wall, read from {one} and from {other}",
                    "range and consumption are not of one test, or one of them was changed afterwards",
                    *keys,
                )
            )
    return found


def _pack(row: PublishedRow, limits: PublishedLimits) -> list[Contradiction]:
    """Wall energy of a charge against the battery: usable ≤ gross, and charging within reach of a charger."""
    charge = row.best_charge()
    found: list[Contradiction] = []
    usable, gross = row.span("battery_usable"), row.span("battery_gross")
    keys = [k for k in row.figures if "battery" in k or k == "wall_energy" or "range" in k]
    if usable is not None and gross is not None and usable.low > gross.high:
        found.append(
            _found(row, "pack", Strength.CERTAIN, "usable battery energy is above the gross figure",
                   "the two are swapped, or of two packs", "battery_usable", "battery_gross")
        )  # fmt: skip
    if charge is None:
        return found
    low, high = limits.charging_low_frac, limits.charging_high_frac
    for name, span, least, most in (
        ("usable", usable, low, high),
        ("gross", gross, low, high / limits.usable_low_frac),
    ):
        if span is None:
            continue
        ratio = span.over(charge)
        if ratio.high < least or ratio.low > most:
            side = (
                "more wall energy than the pack can take"
                if ratio.high < least
                else "less than the pack holds"
            )
            found.append(
                _found(
                    row,
                    "pack",
                    Strength.LIKELY,
                    f"a charge takes {charge.value / 3.6e6:.1f} kWh at the wall for {span.value / 3.6e6:.1f} kWh "
                    f"{name}: {side}",
                    "the battery figure is of another pack, or range and consumption are in another unit or of "
                    "another test",
                    *keys,
                )
            )
    return found


def _factor(row: PublishedRow, limits: PublishedLimits) -> list[Contradiction]:
    """Label factor of city against highway, and against its usual reach."""
    factors = []
    for cycle in ("city", "highway"):
        test, label = row.consumption(cycle, "unadjusted"), row.consumption(cycle, "adjusted")
        if test is not None and label is not None:
            factors.append(test.over(label))
    keys = [key for key in row.figures if "economy" in key or "consumption" in key]
    found = []
    if len(factors) > 1 and factors[0].apart(factors[1], limits.tolerance_frac):
        found.append(
            _found(
                row,
                "label factor",
                Strength.LIKELY,
                f"the label factor is {factors[0].value:.4f} in the city and {factors[1].value:.4f} on the highway",
                "label figures were rounded or lowered one by one; rest on the unadjusted ones",
                *keys,
            )
        )
    outside = [f for f in factors if f.high < limits.factor_low_frac or f.low > limits.factor_high_frac]
    if outside:
        found.append(
            _found(
                row,
                "label factor",
                Strength.LIKELY,
                f"a label factor of {outside[0].value:.3f} is outside {limits.factor_low_frac:g} to "
                f"{limits.factor_high_frac:g}",
                "adjusted and unadjusted figures are mixed up, or one is in another unit",
                *keys,
            )
        )
    return found


def _class(row: PublishedRow) -> list[Contradiction]:
    """Test weight of a US row against its classes."""
    mass = row.figures.get("test_mass")
    if mass is None or "lb" not in mass.unit:
        return []
    pounds = mass.span.value / _POUND_KG
    width = next(width for end, width in _CLASSES_LB if pounds <= end)
    nearest = width * round(pounds / width)
    rounding = (mass.span.high - mass.span.low) / 2.0 / _POUND_KG
    if abs(pounds - nearest) <= max(rounding, 1e-6 * pounds) + 1e-9:
        return []
    return [
        _found(
            row,
            "test weight",
            Strength.CERTAIN,
            f"test weight {mass} is none of the classes; the nearest is {nearest:.0f} lb",
            "a sales-weighted average, a curb weight or a specimen's own weight: consumption was measured at a class",
            "test_mass",
        )
    ]
