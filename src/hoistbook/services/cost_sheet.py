"""The cost of a part, or of a whole vehicle, as a workbook of live formulas."""

from __future__ import annotations

from pathlib import Path

from hoistbook.core.cost.processes import PROCESSES
from hoistbook.core.cost.result import Money
from hoistbook.core.cost.traced import traced
from hoistbook.reference.taxonomy import taxonomy
from hoistbook.report.cost_sheet import write_cost_sheet
from hoistbook.report.vehicle_cost_sheet import (
    BoughtRow,
    PartRow,
    TreeRow,
    VehicleCost,
    write_vehicle_cost_sheet,
)
from hoistbook.services.cost import CostReport, chosen_part
from hoistbook.services.mass import UNASSIGNED_WORDS


def part_cost_sheet(report: CostReport, tag: str, path: str | Path) -> None:
    """Write the cost of a part of a report as formulas.

    Parameters
    ----------
    report : CostReport
    tag : str
        Of a part with a route.
    path : str or Path
        An XLSX file; one that is there is replaced.

    Raises
    ------
    LookupError
        No such tag.
    ValueError
        The part has no cost, or is a fastener that is priced as a whole.
    """
    chosen_part(report, tag)
    if tag not in report.costs:
        msg = f"{tag} is bought as a fastener by its designation; a sheet of formulas is for parts with a route."
        raise ValueError(msg)
    found = traced(report.part(tag), report.scenario, PROCESSES)
    write_cost_sheet(path, found, report.costs[tag])


def vehicle_cost_sheet(report: CostReport, name: str, path: str | Path) -> None:
    """Write the cost of a whole vehicle: parts, fasteners and assembly, added up by formulas.

    Parameters
    ----------
    report : CostReport
    name : str
        Of the vehicle.
    path : str or Path
        An XLSX file; one that is there is replaced.
    """
    tree, scenario = report.tree, report.scenario
    known = taxonomy()
    totals = {one.key: one for one in report.nodes}
    rows = []
    for tag in tree.order:
        code = tree.system(tag)
        system = known.system(code).name if code in known else UNASSIGNED_WORDS
        seconds = report.assembly_s.get(tag, 0.0)
        below = len(tree.subtree(tag)) - 1
        rows.append(
            TreeRow(tag, tree[tag].name, system, totals[tag].depth, below, seconds, totals[tag].total)
        )
    parts = tuple(
        PartRow(
            report.costs[part.tag],
            tree.pieces(part.tag),
            ", ".join(PROCESSES[step.process].title for step in part.steps),
        )
        for part in report.inputs.parts
        if part.tag in report.costs
    )
    bought = tuple(
        BoughtRow(tag, one.name, tree.pieces(tag), Money(one.price.value, one.price.low, one.price.high))
        for tag, one in report.fasteners.items()
    )
    region = scenario.regions[scenario.region]
    wage, overhead = (
        scenario.money(region.figures[figure]).value for figure in ("wage_money_per_s", "overhead_frac")
    )
    write_vehicle_cost_sheet(
        path,
        VehicleCost(
            name,
            scenario.currency,
            f"{scenario.title}, version {scenario.version} of {scenario.at}",
            scenario.year,
            wage,
            overhead,
            tuple(rows),
            parts,
            bought,
            tuple((one.tag, one.name, one.why) for one in (*report.refused, *report.unrouted)),
        ),
    )


def check_sheet_path(path: Path) -> None:
    """Refuse a file that no sheet can be written to, before anything is worked out.

    Raises
    ------
    ValueError
        It does not end in .xlsx, or its folder is missing.
    """
    if path.suffix.casefold() != ".xlsx":
        msg = f"{path}: a sheet of formulas is a workbook; end the name in .xlsx."
        raise ValueError(msg)
    if not path.parent.is_dir():
        msg = f"{path}: there is no folder {path.parent}; make it, or name another."
        raise ValueError(msg)
