"""Two ways of doing a function as a printed page: the difference, its walk, break-even, and what drives it."""

from __future__ import annotations

from collections.abc import Mapping

from hoistbook.cli.cost_page import PRICES_ARE, scenario_lines
from hoistbook.cli.money import CENTS, adding_up, band, money_words
from hoistbook.cli.page import Column, Page, Row
from hoistbook.core.compare.bars import Interval
from hoistbook.core.compare.break_even import BreakEven
from hoistbook.core.compare.cost_walk import CostWalk
from hoistbook.core.cost.inputs import INPUTS
from hoistbook.core.cost.result import Money
from hoistbook.core.quantities.printing import text
from hoistbook.core.quantities.units import from_si
from hoistbook.report.figures import (
    aligned,
    as_fine,
    figure,
    in_unit,
    likely,
    per_cent,
    shown,
    to_place,
    worded,
)
from hoistbook.report.sentences import capital
from hoistbook.services.cost_compare import NEARLY_ALL, NO_COST, CostComparison, SideShown
from hoistbook.services.cost_equal_range import CostAtEqualRange
from hoistbook.services.cost_sources import source_words

MOST_SWINGS, MOST_LEFT, MOST_PARTS = 8, 6, 8


def print_comparison(page: Page, found: CostComparison, driven: CostAtEqualRange | None = None) -> None:
    """Print a comparison, and what it is at equal range where that was asked for."""
    names = side_names(found)
    money = money_words(found.walk.currency, found.walk.year)
    page.text(answer(found), style="bold")
    page.text(
        "Both cost per vehicle, parts, bought fasteners and assembly together. What both sides share is drawn once, so "
        "the difference is sharper than either cost."
    )
    page.heading(f"{capital(found.function)}, {money} per vehicle")
    _sides(page, found, names)
    page.heading(f"From {names[0]} to {names[1]}, {money} per vehicle")
    print_walk_of_cost(page, found.walk)
    page.heading("Break-even")
    page.bullets(break_even_words(one, found) for one in found.break_even)
    page.text("At the best estimate of everything else, without a band.")
    if driven is not None:
        print_equal_range(page, found, driven)
    _drivers(page, found, money)
    _parts(page, found, names)
    _left_out(page, found, names)
    page.heading("What it assumes")
    one, other = (scenario_lines(scenario) for scenario in found.scenarios)
    if one == other:
        page.bullets(worded(line) for line in one)
    else:
        for name, lines in zip(names, (one, other), strict=True):
            page.text(f"{name}:")
            page.bullets(worded(line) for line in lines)
    page.text(PRICES_ARE)


def side_names(found: CostComparison) -> tuple[str, str]:
    """Names of the sides; codes where one vehicle is compared with itself."""
    if found.a.name == found.b.name:
        return found.a.code, found.b.code
    return found.a.name, found.b.name


def answer(found: CostComparison) -> str:
    """Say the difference in one sentence."""
    one, other = side_names(found)
    walk = found.walk
    money = money_words(walk.currency, walk.year)
    difference = walk.difference
    size = as_fine(abs(difference.value), _interval(difference), signed=False)
    sure = walk.probability_a_cheaper
    cheaper = one if sure >= 0.5 else other
    said = f"{band(difference, signed=True)}; {likely(max(sure, 1.0 - sure))} that {cheaper} is cheaper"
    what = f"{capital(found.function)}{_covered(found)}"
    if difference.low <= 0.0 <= difference.high:
        return f"{what}: {one} and {other} cannot be told apart in cost ({said}, {money})."
    verb = "more" if difference.value > 0.0 else "less"
    return f"{what}: {size} {money} {verb} in {other} than in {one} ({said})."


def _covered(found: CostComparison) -> str:
    """How much of either side has a cost, where that is not nearly all."""
    shares = [side.mass_covered_frac for side in (found.a, found.b)]
    if all(share is not None and share >= NEARLY_ALL for share in shares):
        return ""
    told = " and ".join("unknown" if share is None else per_cent(share) for share in shares)
    return f", what of it has a cost ({told} of the mass)"


def _interval(money: Money) -> Interval:
    return Interval(money.value, money.low, money.high)


def _sides(page: Page, found: CostComparison, names: tuple[str, str]) -> None:
    """Lines of both sides, which add up to their costs."""
    lines: list[Mapping[str, float]] = [dict(found.a.lines), dict(found.b.lines)]
    order = list(dict.fromkeys([*lines[0], *lines[1]]))
    columns = [adding_up([side.get(name, 0.0) for name in order], CENTS) for side in lines]
    steps = adding_up(
        [lines[1].get(name, 0.0) - lines[0].get(name, 0.0) for name in order], CENTS, signed=True
    )
    ends = (found.walk.first, found.walk.second)
    columns = [
        aligned([*column, to_place(end.value, CENTS)], pad=" ")
        for column, end in zip(columns, ends, strict=True)
    ]
    steps = aligned([*steps, to_place(found.walk.difference.value, CENTS, signed=True)], pad=" ")
    rows = [Row(cells) for cells in zip(map(capital, order), *columns, steps, strict=False)]
    rows.append(Row(("Together", columns[0][-1], columns[1][-1], steps[-1]), closing=True))
    bands = [band(end) for end in ends]
    rows.append(Row(("95 % band", *bands, band(found.walk.difference, signed=True))))
    page.table(
        (Column("line", wraps=True), *(Column(name, "right") for name in (*names, "difference"))), rows
    )


def print_walk_of_cost(page: Page, walk: CostWalk) -> None:
    """Print the walk from the first side to the second; its steps add up to the difference."""
    moving = [one for one in walk.steps if one.money != Money(0.0, 0.0, 0.0)]
    values = adding_up([one.money.value for one in moving], CENTS, signed=True)
    values = aligned([*values, to_place(walk.difference.value, CENTS, signed=True)], pad=" ")
    rows = [
        Row((capital(one.factor), value, band(one.money, signed=True, places=CENTS), one.words))
        for one, value in zip(moving, values, strict=False)
    ]
    rows.append(Row(("Difference", values[-1], band(walk.difference, signed=True), ""), closing=True))
    page.table(
        (
            Column("cause", wraps=True),
            Column("value", "right"),
            Column("95 % band", wraps=True),
            Column("what it switches", wraps=True),
        ),
        rows,
    )
    same = [one.factor for one in walk.steps if one not in moving]
    if same:
        page.text(f"Alike on both sides: {', '.join(same)}.")
    if walk.sentences:
        page.bullets(worded(capital(line)) for line in walk.sentences)


def print_equal_range(page: Page, found: CostComparison, driven: CostAtEqualRange) -> None:
    """Print the difference once both ways go equally far: what the second one costs in range is bought as battery."""
    one, other = side_names(found)
    walk, at = found.walk, driven.found
    page.heading(f"At equal range, {money_words(walk.currency, walk.year)} per vehicle")
    said = ", ".join(
        f"{name.replace('_', ' ')} {in_unit(amount, amount.unit)}" for name, amount in driven.changes.items()
    )
    far = figure(shown(at.range_change_m, "km"), signed=True, unit="km")
    page.text(
        f"Both ways on {driven.vehicle}, {driven.duty}: {other} less {one} changes {said}; range with it by {far} km."
    )
    values = adding_up([walk.difference.value, at.battery.value], CENTS, signed=True)
    ends = aligned([*values, to_place(at.total.value, CENTS, signed=True)], pad=" ")
    page.table(
        (Column("", wraps=True), Column("value", "right"), Column("95 % band")),
        [
            Row(("Difference of the function", ends[0], band(walk.difference, signed=True))),
            Row(("Battery energy that makes up for it", ends[1], band(at.battery, signed=True))),
            Row(("At equal range", ends[2], band(at.total, signed=True)), closing=True),
        ],
    )
    sure = at.probability_a_cheaper
    page.text(
        f"{capital(likely(max(sure, 1.0 - sure)))} that {one if sure >= 0.5 else other} is cheaper then."
    )
    page.bullets(worded(capital(line)) for line in at.sentences)


def break_even_words(one: BreakEven, found: CostComparison) -> str:
    """Say where the cheaper side changes, in the units and by the names people use."""
    names = dict(zip((found.walk.a, found.walk.b), side_names(found), strict=True))
    what = INPUTS[one.what].words if one.what in INPUTS else one.what

    def number(value: float) -> str:
        return text(float(f"{_usual(value, one, found.walk.currency)[0]:.3g}"))

    unit = _usual(one.low, one, found.walk.currency)[1]

    def at(value: float) -> str:
        return f"{number(value)} {unit}".rstrip()

    reach = f"between {number(one.low)} and {at(one.high)}"
    if not one.crossings:
        return f"{capital(what)}: none {reach}; {one_throughout(one, names)}"
    said = "; ".join(
        f"{names[crossing.cheaper_below]} is cheaper below {at(crossing.at)}, {names[crossing.cheaper_above]} above"
        + (" (a further set of tools or machine)" if crossing.jump else "")
        for crossing in one.crossings
    )
    return f"{capital(what)}: {said} (looked for {reach})"


def one_throughout(one: BreakEven, names: Mapping[str, str]) -> str:
    """Which side is the cheaper one all the way, by its name."""
    code = next((code for code in names if one.sentence.endswith(f": {code} is cheaper throughout")), None)
    return "both cost the same" if code is None else f"{names[code]} is cheaper throughout"


def _usual(value: float, one: BreakEven, currency: str) -> tuple[float, str]:
    if one.unit == "money/s":
        return 3600.0 * value, f"{currency}/h"
    if one.what in INPUTS:
        kind = INPUTS[one.what].kind
        usual = kind.example_units[0] if kind.example_units else kind.unit
        return from_si(value, usual), "" if usual == "1" else usual
    return value, one.unit.replace("money", currency)


def _drivers(page: Page, found: CostComparison, money: str) -> None:
    swings = found.tornado.swings[:MOST_SWINGS]
    if not swings:
        return
    page.heading(f"What drives the difference, {money}")
    rows = [
        Row((capital(source_words(one.source, found.scenarios[0])), *cells))
        for one, *cells in zip(
            swings,
            aligned([to_place(one.low_money, CENTS, signed=True) for one in swings], pad=" "),
            aligned([to_place(one.high_money, CENTS, signed=True) for one in swings], pad=" "),
            strict=True,
        )
    ]
    page.table(
        (Column("source", wraps=True), Column("at its low end", "right"), Column("at its high end", "right")),
        rows,
    )
    page.text(f"The difference with one source moved, {found.tornado.sentence}.")
    turned = [one for one in found.tornado.switches if one.difference_money is not None]
    if turned:
        page.text("With a switch of the scenario turned on both sides, the difference is:")
        page.bullets(
            f"{one.switch} {one.turned}: {to_place(one.difference_money, CENTS, signed=True)}"
            for one in turned
            if one.difference_money is not None
        )


def _parts(page: Page, found: CostComparison, names: tuple[str, str]) -> None:
    page.heading("Dearest parts of either side, per vehicle")
    for name, side in zip(names, (found.a, found.b), strict=True):
        shown = [f"{part} ({tag}) {to_place(value, CENTS)}" for tag, part, value in side.parts[:MOST_PARTS]]
        left = side.parts[MOST_PARTS:]
        more = f"; {len(left)} further {to_place(sum(value for _, _, value in left), CENTS)}" if left else ""
        page.text(f"{name}: {'; '.join(shown) or 'none with a route'}{more}.")
    page.text(
        f"Parts that stand in the same place of both trees and are compared with each other: {len(found.pairs)}; the "
        "others are there on one side alone."
    )


def _left_out(page: Page, found: CostComparison, names: tuple[str, str]) -> None:
    page.heading("Left out, and what to take care of")
    page.bullets(
        _lacking(name, side) for name, side in zip(names, (found.a, found.b), strict=True) if side.left_out
    )
    said = dict(zip((found.a.code, found.b.code), names, strict=True))
    page.bullets(worded(capital(line)) for line in _cautions(found, said))


def _cautions(found: CostComparison, names: Mapping[str, str]) -> list[str]:
    """Cautions by the names of the vehicles, without those that the list of parts without a cost says at length."""
    told = []
    for line in found.cautions:
        code, colon, rest = line.partition(": ")
        if colon and code in names:
            if NO_COST not in rest:
                told.append(f"{names[code]}: {rest}")
        else:
            told.append(line)
    return told


def _lacking(name: str, side: SideShown) -> str:
    shown = ", ".join(f"{one.name} ({one.tag})" for one in side.left_out[:MOST_LEFT])
    more = len(side.left_out) - MOST_LEFT
    covered = (
        "" if side.mass_covered_frac is None else f"; costed: {per_cent(side.mass_covered_frac)} of its mass"
    )
    return f"{name}, without a cost: {shown}{f' and {more} more' if more > 0 else ''}{covered}"
