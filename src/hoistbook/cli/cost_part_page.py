"""What a part should cost as a printed page: lines, steps with what limits each, readings, and what was assumed."""

from __future__ import annotations

from hoistbook.cli.cost_page import PRICES_ARE, scenario_lines
from hoistbook.cli.money import adding_up, band, money_words, places_for
from hoistbook.cli.page import Column, Page, Row
from hoistbook.core.cost.inputs import INPUTS
from hoistbook.core.cost.result import PartCost, StepTaken
from hoistbook.core.cost.route import PartToCost
from hoistbook.core.quantities.printing import text
from hoistbook.core.quantities.units import from_si
from hoistbook.core.vehicle.kinds import unit_text
from hoistbook.report.figures import in_unit, per_cent, to_place, worded
from hoistbook.report.sentences import capital
from hoistbook.services.cost import CostReport
from hoistbook.services.cost_inputs import PricedFastener


def print_part(page: Page, report: CostReport, tag: str, vehicle: str) -> None:
    """Print the cost of a part or of a fastener."""
    scenario = report.scenario
    money = money_words(scenario.currency, scenario.year)
    if tag in report.fasteners:
        _bought(page, report, report.fasteners[tag], vehicle, money)
        return
    cost, part = report.costs[tag], report.part(tag)
    page.text(part_sentence(report, tag, vehicle), style="bold")
    _in_vehicle(page, report, tag, cost.piece.value)
    page.heading(f"What the piece is made of, {money}")
    print_lines(page, cost)
    page.heading("Steps")
    _steps(page, cost, part, money)
    _tooling(page, cost, money)
    page.heading("Read off the part")
    _readings(page, part, report.scenario.materials[part.material].words)
    if cost.estimated:
        page.heading("Estimated from other readings")
        page.bullets(worded(one) for one in cost.estimated)
    sister = report.sisters.get(tag)
    if sister is not None:
        page.heading(f"The same place in {sister.vehicle}: {sister.tag}")
        page.bullets(worded(one) for one in sister.sentences)
    page.heading("What it assumes")
    page.bullets(worded(one) for one in (*cost.assumed, scenario_lines(scenario)[-1]))
    page.text(PRICES_ARE)


def part_sentence(report: CostReport, tag: str, vehicle: str) -> str:
    """Say what a part with a route should cost."""
    cost, scenario = report.costs[tag], report.scenario
    value = to_place(cost.piece.value, places_for(cost.piece.value))
    return (
        f"{cost.name} ({tag}) of {vehicle} should cost {value} {money_words(scenario.currency, scenario.year)} a piece "
        f"(95 % band {band(cost.piece)})."
    )


def _in_vehicle(page: Page, report: CostReport, tag: str, piece: float) -> None:
    pieces, seconds = report.tree.pieces(tag), report.assembly_s.get(tag, 0.0)
    told = []
    if pieces != 1.0:
        told.append(f"{text(pieces)} pieces a vehicle: {to_place(pieces * piece, 2)}.")
    told.append(
        f"Its assembly takes {to_place(seconds / pieces, 1)} s a piece and is not in it."
        if seconds
        else "No assembly time is recorded for it."
    )
    page.text(" ".join(told))


def print_lines(page: Page, cost: PartCost) -> None:
    """Print the lines of a piece, which add up to it as printed."""
    places = places_for(cost.piece.value)
    names = cost.by_name()
    values = [*adding_up(list(names.values()), places), to_place(cost.piece.value, places)]
    shares = [per_cent(value / cost.piece.value) for value in names.values()]
    page.table(
        (Column("line", wraps=True), Column("value", "right"), Column("share", "right"), Column("95 % band")),
        [
            *(
                Row((capital(name), value, share, ""))
                for name, value, share in zip(names, values, shares, strict=False)
            ),
            Row(("Piece", values[-1], "", band(cost.piece)), closing=True),
        ],
    )


def _steps(page: Page, cost: PartCost, part: PartToCost, money: str) -> None:
    for place, (taken, step) in enumerate(zip(cost.steps, part.steps, strict=True), start=1):
        choices = ", ".join(f"{name} {value}" for name, value in step.choices.items())
        seen = "" if step.origin == "observed" else f", {step.origin}"
        page.text(f"{place}  {capital(taken.title)}{f' ({choices})' if choices else ''}{seen}", style="bold")
        page.bullets(_step_lines(taken, money))


def _step_lines(taken: StepTaken, money: str) -> list[str]:
    told = []
    stages = "; ".join(f"{name} {_three(seconds)} s" for name, seconds in taken.stages if seconds)
    if stages:
        told.append(f"pace {_three(taken.pace_s)} s, set by {taken.limits}: {stages}")
    if taken.machine_words:
        told.append(
            f"{taken.machine_words}{_size(taken.machine_size, taken.size_unit)}: "
            f"{to_place(taken.machine_money_per_h, 2)} {money} a running hour; this part keeps "
            f"{_three(taken.machine_need)} of them busy"
        )
    told.append(f"crew {_three(taken.crew)}, rejects {_share(taken.reject_frac)}")
    if taken.gross_kg:
        sold = f", {_mass(taken.returned_kg)} of it sold as offal" if taken.returned_kg else ""
        told.append(f"material bought {_mass(taken.gross_kg)}{sold}")
    told.append(f"energy {_three(from_si(taken.energy_j, 'kWh'))} kWh")
    if taken.tools_money:
        life = (
            "the whole programme"
            if taken.tool_life == float("inf")
            else f"{text(round(taken.tool_life))} pieces"
        )
        told.append(
            f"one set of tools {to_place(taken.tools_money, 0)} {money}, life {life}, "
            f"{_three(taken.tool_sets)} {'set' if taken.tool_sets == 1.0 else 'sets'} bought"
        )
    return told


def _tooling(page: Page, cost: PartCost, money: str) -> None:
    if cost.tooling.value:
        page.text(
            f"All tools over the programme: {to_place(cost.tooling.value, 0)} {money} (95 % band {band(cost.tooling)})"
            f"; {text(cost.pieces_per_year)} pieces a year. Good pieces of the whole route: "
            f"{to_place(100.0 * cost.rolled_yield_frac, 1)} %."
        )


def _readings(page: Page, part: PartToCost, material: str) -> None:
    rows = [Row(("Material", material, "stated"))]
    for name, value in part.readings.items():
        kind = INPUTS[name].kind
        usual = kind.example_units[0] if kind.example_units else value.unit
        rows.append(Row((capital(kind.words), in_unit(value, usual), value.origin.value)))
    page.table((Column("reading", wraps=True), Column("value", wraps=True), Column("origin")), rows)


def _bought(page: Page, report: CostReport, one: PricedFastener, vehicle: str, money: str) -> None:
    price = one.price
    page.text(
        f"{one.name} ({one.tag}) of {vehicle} is bought for {to_place(price.value, places_for(price.value))} {money} a "
        f"piece ({to_place(price.low, 4)} to {to_place(price.high, 4)}), by its size; a price, not a should cost.",
        style="bold",
    )
    _in_vehicle(page, report, one.tag, price.value)
    page.heading(f"What the price is made of, {money}")
    places = places_for(price.value)
    values = adding_up([value for _, value in one.lines], places)
    page.table(
        (Column("line", wraps=True), Column("value", "right")),
        [
            *(Row((capital(name), value)) for (name, _), value in zip(one.lines, values, strict=True)),
            Row(("Price", to_place(price.value, places)), closing=True),
        ],
    )
    page.heading("What it assumes")
    page.bullets(
        worded(line)
        for line in (
            f"{price.mark}: {price.source}",
            f"{text(round(one.pieces_per_year))} a year",
            *one.assumed,
        )
    )
    page.text(PRICES_ARE)


def _three(value: float) -> str:
    """Three significant digits, for figures without a band of their own."""
    return text(float(f"{value:.3g}"))


def _mass(mass_kg: float) -> str:
    return f"{_three(mass_kg)} kg" if mass_kg >= 0.1 else f"{_three(1e3 * mass_kg)} g"


def _size(size: float, unit: str) -> str:
    if unit == "N":
        return f", {_three(size / 1e3)} kN"
    return f", {_three(size)} {unit_text(unit)}" if unit != "1" else ""


def _share(fraction: float) -> str:
    return f"{to_place(100.0 * fraction, 1)} %"
