"""Packaged MTM-1 tables, motion plans and figures of assembly and service time."""

from __future__ import annotations

import csv
from collections.abc import Iterator
from functools import cache
from importlib import resources
from types import MappingProxyType
from typing import cast

from hoistbook.core.cost.assembly.mtm import Element, MtmTables
from hoistbook.core.cost.assembly.plans import Phase, PlanLine, Plans, Where
from hoistbook.core.cost.figure_set import FigureSet
from hoistbook.reference.cost_figures import packaged_figures


@cache
def mtm_tables() -> MtmTables:
    """Return the packaged MTM-1 tables, `data/assembly/mtm1.csv`."""
    return MtmTables(
        [
            Element(
                row["element"],
                row["case"],
                None if not row["size"] else -1.0 if row["size"] == "+" else float(row["size"]),
                float(row["tmu"]),
                row["mark"],
                row["source"],
            )
            for row in _rows("mtm1.csv")
        ]
    )


@cache
def motion_plans() -> Plans:
    """Return the packaged motion plans, `data/assembly/plans.csv`, by kind."""
    plans: dict[str, list[PlanLine]] = {}
    for row in _rows("plans.csv"):
        plans.setdefault(row["kind"], []).append(
            PlanLine(
                cast("Phase", row["phase"]),
                row["code"],
                row["machine"],
                row["words"],
                cast("Where", row["where"]),
                row["mark"],
                row["source"],
            )
        )
    return MappingProxyType({kind: tuple(lines) for kind, lines in plans.items()})


@cache
def assembly_figures() -> FigureSet:
    """Return the figures of assembly and service time, `data/assembly/figures.toml`."""
    return FigureSet(packaged_figures("assembly", "figures.toml"))


def _rows(name: str) -> Iterator[dict[str, str]]:
    file = resources.files("hoistbook.reference") / "data" / "assembly" / name
    with file.open(encoding="utf-8") as lines:
        yield from csv.DictReader(line for line in lines if not line.startswith("#"))
