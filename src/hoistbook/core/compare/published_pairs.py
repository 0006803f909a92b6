"""Published rows held against each other: copied coefficients, carried labels, packs, rounded labels."""

from __future__ import annotations

import math
from collections import defaultdict
from collections.abc import Mapping, Sequence
from itertools import combinations
from statistics import median

from hoistbook.core.compare.published_rows import (
    CYCLES,
    Contradiction,
    PublishedLimits,
    PublishedRow,
    Strength,
)

_LETTERS = ("road_load_a", "road_load_b", "road_load_c")
_FEWEST_WHOLE = 3
"""Whole figures in a row before they are no chance: one in a thousand for figures printed to one digit
(first principles)."""


def beside_each_other(
    rows: Sequence[PublishedRow], model: Mapping[str, tuple[float, float]], limits: PublishedLimits
) -> list[Contradiction]:
    """Contradictions between the rows of a table."""
    makers: dict[str, list[PublishedRow]] = defaultdict(list)
    for row in rows:
        makers[row.maker or row.name].append(row)
    found = _whole_numbers(rows)
    for group in makers.values():
        found += _sister_packs(group, limits)
        for one, other in combinations(group, 2):
            found += _copied(one, other, group, model, limits)
            found += _carried(one, other, model, limits)
    return found


def _texts(row: PublishedRow, keys: Sequence[str]) -> tuple[str, ...]:
    figures = [f"{key.replace('_', ' ')} {row.figures[key]}" for key in keys if key in row.figures]
    return (f"{row.name}: {', '.join(figures)} ({row.source})",)


def _whole_numbers(rows: Sequence[PublishedRow]) -> list[Contradiction]:
    """Label figures in whole numbers where the table prints the others more finely."""
    found: list[Contradiction] = []
    for form in ("economy", "consumption"):
        keys = [f"{cycle}_{form}_adjusted" for cycle in CYCLES]
        known = [row for row in rows if all(key in row.figures for key in keys)]
        whole = [row for row in known if all(row.figures[key].whole for key in keys)]
        if not whole or len(whole) * 2 > len(known) or len(keys) < _FEWEST_WHOLE:
            continue
        for row in whole:
            if any(row.name in one.vehicles for one in found):
                continue
            found.append(
                Contradiction(
                    "rounded label",
                    Strength.CERTAIN,
                    (row.name,),
                    (),
                    f"{row.name}: all three label figures of {form} are whole numbers; {len(known) - len(whole)} of "
                    f"{len(known)} rows print digits",
                    "rounded, or lowered by the maker, after the test: label factor and wall energy of a charge are "
                    "blurred; rest on the unadjusted figures",
                    _texts(row, keys),
                )
            )
    return found


def _off_model(row: PublishedRow, model: Mapping[str, tuple[float, float]]) -> tuple[float, ...] | None:
    """ln(published/model) of city and highway."""
    expected = model.get(row.name)
    spans = [row.consumption(cycle, "unadjusted") for cycle in ("city", "highway")]
    if expected is None or any(span is None for span in spans):
        return None
    return tuple(
        math.log(span.value / e) for span, e in zip(spans, expected, strict=True) if span is not None
    )


def _alike(one: PublishedRow, other: PublishedRow, key: str) -> bool:
    a, b = one.span(key), other.span(key)
    return a is not None and b is not None and a.value == b.value


def _copied(
    one: PublishedRow,
    other: PublishedRow,
    group: Sequence[PublishedRow],
    model: Mapping[str, tuple[float, float]],
    limits: PublishedLimits,
) -> list[Contradiction]:
    """The same three coefficients in two rows whose consumption or mass says otherwise."""
    if not all(_alike(one, other, key) for key in _LETTERS):
        return []
    off = [_off_model(row, model) for row in (one, other)]
    if off[0] is None or off[1] is None:
        return []
    apart = max((a - b for a, b in zip(off[0], off[1], strict=True)), key=abs)
    same_mass = _alike(one, other, "test_mass")
    disagree = abs(apart) > limits.family_ratio_frac
    if same_mass and not disagree:
        return []
    suspects = _suspects(one, other, group, same_mass, off[0], off[1])
    beside = tuple(row.name for row in (one, other) if row.name not in suspects)
    keys = ["test_mass", *_LETTERS, "city_economy_unadjusted", "highway_economy_unadjusted",
            "city_consumption_unadjusted", "highway_consumption_unadjusted"]  # fmt: skip
    mass = "at the same test weight" if same_mass else "at another test weight"
    means = (
        "the coefficients of one are those of the other (other wheels, other variant): road load, and every cause "
        "worked out from it, is then of another vehicle"
    )
    return [
        Contradiction(
            "copied coefficients",
            Strength.LIKELY if disagree else Strength.WORTH_ASKING,
            suspects,
            beside,
            f"{one.name} and {other.name}: A, B and C are equal to the last digit {mass}, and consumption is up to "
            f"{math.expm1(abs(apart)):.0%} off what they make of it",
            means,
            (*_texts(one, keys), *_texts(other, keys)),
        )
    ]


def _suspects(
    one: PublishedRow,
    other: PublishedRow,
    group: Sequence[PublishedRow],
    same_mass: bool,
    off_one: Sequence[float],
    off_other: Sequence[float],
) -> tuple[str, ...]:
    """Which of two rows carries the other's coefficients, where the table says.

    Notes
    -----
    Among different test weights: the one whose own weight class has fewer rows that share a coefficient with it. At
    the same weight: the one that uses more, since a maker measures the better configuration and carries it over (common
    practice). Otherwise both.
    """
    if same_mass:
        return (one.name,) if sum(off_one) > sum(off_other) else (other.name,)
    support = [
        sum(
            1
            for sister in group
            if sister.name not in (one.name, other.name)
            and _alike(row, sister, "test_mass")
            and any(_alike(row, sister, key) for key in _LETTERS)
        )
        for row in (one, other)
    ]
    if support[0] == support[1]:
        return (one.name, other.name)
    return (one.name,) if support[0] < support[1] else (other.name,)


def _carried(
    one: PublishedRow,
    other: PublishedRow,
    model: Mapping[str, tuple[float, float]],
    limits: PublishedLimits,
) -> list[Contradiction]:
    """Equal test results in two rows that the model sets apart."""
    keys = [key for key in ("city_economy_unadjusted", "highway_economy_unadjusted",
                            "city_consumption_unadjusted", "highway_consumption_unadjusted")
            if key in one.figures and key in other.figures]  # fmt: skip
    if len(keys) < 2 or not all(_alike(one, other, key) for key in keys):
        return []
    expected = model.get(one.name), model.get(other.name)
    if expected[0] is None or expected[1] is None:
        return []
    apart = max(abs(math.log(a / b)) for a, b in zip(expected[0], expected[1], strict=True))
    if apart <= limits.carried_frac:
        return []
    return [
        Contradiction(
            "label carried across",
            Strength.LIKELY,
            (one.name, other.name),
            (),
            f"{one.name} and {other.name}: test results are equal to the last digit although mass and road load set "
            f"them {math.expm1(apart):.0%} apart",
            "one was tested and its label carried across, or the coefficients of one belong to another configuration: "
            "the two rows cannot explain a gap between them",
            (*_texts(one, [*keys, "test_mass", *_LETTERS]), *_texts(other, [*keys, "test_mass", *_LETTERS])),
        )
    ]


def _sister_packs(group: Sequence[PublishedRow], limits: PublishedLimits) -> list[Contradiction]:
    """Wall energy of a charge per stated battery energy, against the maker's other rows."""
    found = []
    for key in ("battery_usable", "battery_gross"):
        ratios = {}
        for row in group:
            charge, pack = row.best_charge(), row.span(key)
            if charge is not None and pack is not None:
                ratios[row.name] = charge.value / pack.value
        for row in group:
            others = [ratio for name, ratio in ratios.items() if name != row.name]
            if row.name not in ratios or not others:
                continue
            own, usual = ratios[row.name], median(others)
            # Too little is as odd as too much, but with two rows only the one beyond a charger's reach is named.
            beyond = own > 1.0 / limits.charging_low_frac or len(others) > 1 or own > usual
            if abs(own / usual - 1.0) <= limits.pack_siblings_frac or not beyond:
                continue
            charge, printed = row.best_charge(), row.figures[key]
            wall = 0.0 if charge is None else charge.value / 3.6e6
            found.append(
                Contradiction(
                    "pack of sisters",
                    Strength.LIKELY,
                    (row.name,),
                    tuple(name for name in ratios if name != row.name),
                    f"{row.name}: {wall:.1f} kWh at the wall for {printed} is {own:.2f} per unit, and {usual:.2f} "
                    "in the maker's other rows",
                    "the battery figure is of another pack of the maker, or range and consumption are not of one test",
                    _texts(row, [key, *(k for k in row.figures if "range" in k or k.startswith("combined"))]),
                )
            )
    return found
