"""What a vehicle should cost as a printed page: systems, functions, dearest parts, and what has no cost."""

from __future__ import annotations

from collections.abc import Sequence

from hoistbook.cli.money import CENTS, adding_up, band, money_words
from hoistbook.cli.page import Column, Page, Row
from hoistbook.core.cost.result import Money
from hoistbook.core.cost.scenario import Scenario
from hoistbook.core.quantities.printing import text
from hoistbook.report.figures import aligned, per_cent, to_place, worded
from hoistbook.report.sentences import counted
from hoistbook.services.cost import CostReport, NotCosted
from hoistbook.services.cost_rollup import Sum

MOST_DEAREST, MOST_MISSING = 10, 10
PRICES_ARE = (
    "Prices and rates are data of the scenario, with their year; none is live and none is a quotation."
)


def print_cost(page: Page, report: CostReport, name: str, depth: int = 0) -> None:
    """Print the cost of a vehicle.

    Parameters
    ----------
    page : Page
    report : CostReport
    name : str
    depth : int
        Levels of the part tree that are printed; 0 for none.
    """
    whole, scenario = report.whole, report.scenario
    money = money_words(scenario.currency, scenario.year)
    print_total(page, report, name)
    _assumptions(page, report)
    page.heading(f"By system, {money} per vehicle")
    sums_table(page, "system", report.systems, whole)
    page.heading(f"By function, {money} per vehicle")
    page.text("A part that serves several functions counts by its shares.")
    sums_table(page, "function", report.functions, whole)
    if depth:
        page.heading(f"Down the part tree, {money} per vehicle: each with all that is below it")
        _tree(page, report, depth)
    _dearest(page, report, money)
    _sisters(page, report)
    _missing(page, report)


def print_total(page: Page, report: CostReport, name: str) -> None:
    """Print what a vehicle costs in all, and what of it is made, bought and assembled."""
    whole, scenario = report.whole, report.scenario
    money = money_words(scenario.currency, scenario.year)
    covered = report.covered
    mass = "" if covered.mass_frac is None else f" ({per_cent(covered.mass_frac)} of the mass of its parts)"
    page.text(
        f"{name}: what has a cost{mass} should cost {to_place(whole.total.value, 0)} {money}.", style="bold"
    )
    page.text(
        f"95 % band {band(whole.total)}, middle {_whole(whole.middle_money, whole.total)}."
        + (f" {LOPSIDED_SUM}" if whole.total.value < whole.middle_money else "")
    )
    page.text(
        f"Of it {to_place(whole.parts, 0)} for {counted(len(report.costs), 'part')} by their routes (should cost), "
        f"{to_place(whole.fasteners, 0)} for {counted(len(report.fasteners), 'kind')} of fasteners (bought, price by "
        f"size), {to_place(whole.assembly, 0)} for {_minutes(whole.assembly_s)} of assembly (standard time at the wage "
        "of the region)."
    )


LOPSIDED_SUM = (
    "Most figures reach further up than down from their best estimate, so that a sum of best estimates lies below the "
    "middle of its band."
)


def scenario_lines(scenario: Scenario) -> tuple[str, ...]:
    """What holds for every part of a scenario: what it is, how far its models are to be trusted, whose machines run."""
    low, high = (scenario.figures[name].value for name in ("model_low_frac", "model_high_frac"))
    machines = (
        "machines are dedicated: whole machines stand for a part, however few pieces it needs"
        if scenario.dedicated
        else "machines are shared: paid by the hour they run"
    )
    calibrated = sorted(scenario.model_errors)
    error = f"{to_place(100.0 * low, 0)} to {to_place(100.0 * high, 0, signed=True)} %"
    models = (
        f"models not calibrated by quotes: each is off by a factor of its own, {error}"
        if not calibrated
        else f"models calibrated by quotes: {', '.join(calibrated)}; any other is off by a factor of its own, {error}"
    )
    return (
        f"scenario {scenario.code}, version {scenario.version}, {scenario.at}: {scenario.title}",
        (
            f"{text(scenario.volume_per_year)} vehicles a year for {scenario.programme_years:g} years, "
            f"region {scenario.region}, supplier {scenario.supplier}"
        ),
        f"{machines} (--machines states it otherwise)",
        f"tools: {_TOOLS[scenario.tooling]}",
        models,
    )


_TOOLS = {
    "apart": "shown apart, not in the piece",
    "simple": "spread over all pieces of the programme, without interest",
    "annuity": "paid back in the piece over the programme, with interest",
}


def _assumptions(page: Page, report: CostReport) -> None:
    page.heading("What it assumes")
    page.bullets(worded(line) for line in scenario_lines(report.scenario))
    page.text(PRICES_ARE)


def sums_table(page: Page, head: str, sums: Sequence[Sum], whole: Sum | None) -> None:
    """Print sums with what they are made of; with `whole` their total below, to which they add up."""
    rows = [one for one in sums if one.part_count or one.total.value or one.assembly_s]
    columns = [
        adding_up([getattr(one, kind) for one in rows], CENTS) for kind in ("parts", "fasteners", "assembly")
    ]
    totals = adding_up([one.total.value for one in rows], CENTS)
    closing = []
    if whole is not None:
        columns = [
            aligned([*column, to_place(getattr(whole, kind), CENTS)], pad=" ")
            for column, kind in zip(columns, ("parts", "fasteners", "assembly"), strict=True)
        ]
        totals = aligned([*totals, to_place(whole.total.value, CENTS)], pad=" ")
        closing = [whole]
    table = [
        Row((one.words if one is not whole else "Vehicle", *cells, band(one.total)), closing=one is whole)
        for one, *cells in zip((*rows, *closing), *columns, totals, strict=True)
    ]
    page.table(
        (
            Column(head, wraps=True),
            Column("parts", "right"),
            Column("fasteners", "right"),
            Column("assembly", "right"),
            Column("together", "right"),
            Column("95 % band", wraps=True),
        ),
        table,
    )


def _tree(page: Page, report: CostReport, depth: int) -> None:
    shown = [one for one in report.nodes if one.depth <= depth and (one.total.value or one.assembly_s)]
    cells = aligned([to_place(one.total.value, CENTS) for one in shown], pad=" ")
    page.table(
        (
            Column("part", wraps=True),
            Column("tag"),
            Column("together", "right"),
            Column("95 % band", wraps=True),
        ),
        [
            Row((f"{'  ' * one.depth}{one.words}", one.key, cell, band(one.total)))
            for one, cell in zip(shown, cells, strict=True)
        ],
    )


def _dearest(page: Page, report: CostReport, money: str) -> None:
    per_vehicle = sorted(
        report.costs.values(), key=lambda one: (-one.piece.value * report.tree.pieces(one.tag), one.tag)
    )[:MOST_DEAREST]
    if not per_vehicle:
        return
    page.heading(f"Dearest parts, {money}")
    pieces = [report.tree.pieces(one.tag) for one in per_vehicle]
    page.table(
        (
            Column("part", wraps=True),
            Column("tag"),
            Column("pieces", "right"),
            Column("piece", "right"),
            Column("95 % band", wraps=True),
            Column("per vehicle", "right"),
        ),
        [
            Row((one.name, one.tag, f"{count:g}", piece, band(one.piece), together))
            for one, count, piece, together in zip(
                per_vehicle,
                pieces,
                aligned([to_place(one.piece.value, CENTS) for one in per_vehicle], pad=" "),
                aligned(
                    [
                        to_place(one.piece.value * count, CENTS)
                        for one, count in zip(per_vehicle, pieces, strict=True)
                    ],
                    pad=" ",
                ),
                strict=True,
            )
        ],
    )
    page.text(
        f"All tools of the programme together: {to_place(report.whole.tooling / 1e6, 1)} million {money}. Lines and "
        "steps of one part: --part TAG."
    )


def _sisters(page: Page, report: CostReport) -> None:
    if not report.sisters:
        return
    codes = sorted({one.vehicle for one in report.sisters.values()})
    page.heading(f"Carried over from {', '.join(codes)}")
    kinds: dict[str, int] = {}
    for one in report.sisters.values():
        likeliest = max(one.found.probability, key=lambda state: one.found.probability[state])
        kinds[likeliest] = kinds.get(likeliest, 0) + 1
    page.text(
        f"{counted(len(report.sisters), 'part')} stand in the same place of both trees; likeliest: "
        + ", ".join(f"{count} {kind}" for kind, count in sorted(kinds.items()))
        + ". Volume of the sister counts by the probability that a part is the same."
    )


def _missing(page: Page, report: CostReport) -> None:
    covered = report.covered
    page.heading("Left out: what has no cost")
    page.text(
        f"{to_place(covered.pieces - covered.costed_pieces, 0)} of {to_place(covered.pieces, 0)} pieces have none"
        + (
            ""
            if covered.mass_frac is None
            else f", {per_cent(1.0 - covered.mass_frac)} of the mass of the parts"
        )
        + ". They are in no sum above."
    )
    if report.refused:
        page.text(f"Refused ({len(report.refused)}):")
        page.bullets(worded(_why(one)) for one in report.refused[:MOST_MISSING])
        _further(page, report.refused)
    if report.unrouted:
        page.text(f"Without a route ({len(report.unrouted)}); list how they are made in the sheet routes:")
        page.bullets(_lacking(one) for one in report.unrouted[:MOST_MISSING])
        _further(page, report.unrouted)


def _why(one: NotCosted) -> str:
    said = one.why if one.why.startswith(one.tag) else f"{one.tag}: {one.why}"
    return f"{said.removesuffix('.')}{_share(one)}"


def _lacking(one: NotCosted) -> str:
    return f"{one.name} ({one.tag}){_share(one)}"


def _share(one: NotCosted) -> str:
    return "" if one.mass_share_frac is None else f", {per_cent(one.mass_share_frac)} of the mass"


def _further(page: Page, items: Sequence[NotCosted]) -> None:
    left = items[MOST_MISSING:]
    if not left:
        return
    share = sum(one.mass_share_frac or 0.0 for one in left)
    page.text(
        f"{counted(len(left), 'further part')}, {per_cent(share)} of the mass; --json lists all.", indent=2
    )


def _whole(value: float, beside: Money) -> str:
    half = 0.5 * (beside.high - beside.low)
    return text(value, half or None).partition(" ")[0]


def _minutes(seconds: float) -> str:
    return f"{to_place(seconds / 60.0, 0)} min" if seconds >= 600.0 else f"{to_place(seconds, 0)} s"
