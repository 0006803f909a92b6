"""The demo in money: what a van should cost, one of its parts, its assembly, three decisions beside another van."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from pathlib import Path

from hoistbook.cli.cost_compare_page import answer, break_even_words, print_walk_of_cost, side_names
from hoistbook.cli.cost_page import print_total, sums_table
from hoistbook.cli.cost_part_page import part_sentence, print_lines
from hoistbook.cli.money import money_words
from hoistbook.cli.page import Page
from hoistbook.cli.progress import working
from hoistbook.core.vehicle.records import Teardown
from hoistbook.report.figures import per_cent, to_place
from hoistbook.services.as_json.cost import comparison_json, money, part_json
from hoistbook.services.as_json.parts import Json, quantity
from hoistbook.services.cost import COST_DRAWS, CostReport, cost_report
from hoistbook.services.cost_assembly import AssemblyReport, assembly_report
from hoistbook.services.cost_compare import CostComparison, compared_reports
from hoistbook.services.cost_motions import motion_sums
from hoistbook.services.cost_scenario import stated_scenario
from hoistbook.services.cost_sheet import part_cost_sheet

PART = "W-0710"
SHEET = "cost-gear-casing.xlsx"
DECISIONS: Mapping[str, tuple[str, ...]] = {
    "pack tray and fastening": ("volume", "price of aluminium billet, 6082"),
    "underbody panels": ("volume",),
    "sliding-door structure": ("volume",),
}
"""Functions in which nearly all of either van has a cost, and what break-even is looked for in."""
MOST_MOTIONS = 4


@dataclass(frozen=True, slots=True)
class DemoCost:
    """Costs of two vans, the assembly of the first, and three functions compared."""

    costs: tuple[CostReport, CostReport]
    names: tuple[str, str]
    assembly: AssemblyReport
    decisions: tuple[CostComparison, ...]


def run_demo_cost(vans: tuple[Teardown, Teardown], *, draws: int, seed: int) -> DemoCost:
    """Work out what two vans cost and how three functions compare."""
    scenario = stated_scenario().scenario()
    names = tuple(one.vehicle.name or one.vehicle.code for one in vans)
    drawn = min(draws, COST_DRAWS)
    reports = []
    for van, name in zip(vans, names, strict=True):
        with working(f"costing {name}"):
            reports.append(cost_report(van, scenario, n_draws=drawn, seed=seed))
    pair = (reports[0], reports[1])
    decisions = []
    for function, over in DECISIONS.items():
        with working(f"comparing {function}"):
            decisions.append(compared_reports(vans, pair, function, over))
    return DemoCost(pair, (names[0], names[1]), assembly_report(vans[0], scenario), tuple(decisions))


def write_demo_cost(found: DemoCost, folder: Path) -> dict[str, str]:
    """Write the sheet of the part; name of the file and what it shows."""
    report = found.costs[0]
    part_cost_sheet(report, PART, folder / SHEET)
    return {SHEET: f"cost of {report.costs[PART].name} as live formulas"}


def print_demo_cost(page: Page, found: DemoCost, number: int) -> None:
    """Print the story; `number` is that of its first heading."""
    report, name = found.costs[0], found.names[0]
    scenario = report.scenario
    page.heading(f"{number}  What should {name} cost?")
    print_total(page, report, name)
    page.blank()
    sums_table(page, "system", report.systems, report.whole)
    page.heading(f"One of its parts, {money_words(scenario.currency, scenario.year)}")
    page.text(part_sentence(report, PART, name))
    print_lines(page, report.costs[PART])
    page.heading("Its assembly")
    tally = found.assembly.tally
    longest = "; ".join(
        f"{one.words} ({one.code or 'no motion'}) {to_place(one.seconds, 0)} s"
        for one in motion_sums(found.assembly)[:MOST_MOTIONS]
    )
    page.text(
        f"{to_place(tally.standard_s.value, 0)} s of standard time for {tally.joint_count} joints, "
        f"{to_place(tally.fastener_count, 0)} threaded fasteners and {to_place(tally.quick_count, 0)} clips, "
        f"{len(tally.drives)} drives, {len(tally.directions)} directions. Longest: {longest}."
    )
    page.heading(f"{number + 1}  Three decisions in money")
    for one in found.decisions:
        page.blank()
        page.text(answer(one), style="bold")
        print_walk_of_cost(page, one.walk)
        page.bullets(f"break-even, {break_even_words(line, one)}" for line in one.break_even)
        shares = [side.mass_covered_frac or 0.0 for side in (one.a, one.b)]
        costed = " and ".join(
            f"{per_cent(min(share, 1.0))} ({side})"
            for share, side in zip(shares, side_names(one), strict=True)
        )
        page.text(f"Costed: {costed} of the mass.")


def demo_cost_json(found: DemoCost) -> Json:
    """Sums of both vans, one part, seconds of assembly, and the decisions in the shape of `hoistbook cost compare`."""
    return {
        "vehicles": {
            report.vehicle: {
                "total": money(report.whole.total),
                "middle": report.whole.middle_money,
                "currency": report.scenario.currency,
                "year": report.scenario.year,
                "mass_covered_frac": report.covered.mass_frac,
            }
            for report in found.costs
        },
        "part": part_json(found.costs[0], PART),
        "assembly": {
            "vehicle": found.assembly.vehicle,
            "standard_s": quantity(found.assembly.tally.standard_s),
            "fastener_count": found.assembly.tally.fastener_count,
        },
        "decisions": [comparison_json(one) for one in found.decisions],
    }
