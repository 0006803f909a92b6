"""The cost of one part of a vehicle as a workbook of live formulas."""

from __future__ import annotations

from pathlib import Path

from hoistbook.core.cost.processes import PROCESSES
from hoistbook.core.cost.traced import traced
from hoistbook.report.cost_sheet import write_cost_sheet
from hoistbook.services.cost import CostReport, chosen_part


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


def check_sheet_path(path: Path, tag: str | None) -> None:
    """Refuse a file that no sheet can be written to, before anything is worked out.

    Raises
    ------
    ValueError
        It does not end in .xlsx, its folder is missing, or no part is named.
    """
    if tag is None:
        msg = "a sheet of formulas is that of one part; name it with --part TAG."
        raise ValueError(msg)
    if path.suffix.casefold() != ".xlsx":
        msg = f"{path}: a sheet of formulas is a workbook; end the name in .xlsx."
        raise ValueError(msg)
    if not path.parent.is_dir():
        msg = f"{path}: there is no folder {path.parent}; make it, or name another."
        raise ValueError(msg)
