"""The packaged list of systems and subsystems, and what a complete teardown of each is expected to list."""

from __future__ import annotations

import csv
from functools import lru_cache
from importlib import resources

from hoistbook.core.mass.expected import ExpectedItem
from hoistbook.core.vehicle.records import NodeKind
from hoistbook.core.vehicle.taxonomy import Subsystem, System, Taxonomy


def _rows(name: str) -> list[dict[str, str]]:
    text = resources.files("hoistbook.reference").joinpath("data", name).read_text(encoding="utf-8")
    return list(csv.DictReader(text.splitlines()))


def _list(text: str) -> tuple[str, ...]:
    return tuple(part for piece in text.split(";") if (part := piece.strip()))


@lru_cache(maxsize=1)
def taxonomy() -> Taxonomy:
    """Open the packaged taxonomy of electric vehicles.

    Returns
    -------
    Taxonomy
        15 systems, 90 subsystems.

    Source
    ------
    common practice: a list of this project (``data/taxonomy.csv``); each row carries its mark.
    """
    subsystems: dict[str, list[Subsystem]] = {}
    names: dict[str, str] = {}
    for row in _rows("taxonomy.csv"):
        code = row["system_code"]
        names[code] = row["system"]
        subsystems.setdefault(code, []).append(
            Subsystem(
                code=row["subsystem_code"],
                name=row["subsystem"],
                system=code,
                includes=row["includes"],
                boundary_rule=row["boundary_rule"],
                normalisers=_list(row["normalisers"]),
                mark=row["mark"],
                source=row["source"],
            )
        )
    return Taxonomy([System(code, names[code], tuple(found)) for code, found in subsystems.items()])


@lru_cache(maxsize=1)
def expected_content() -> tuple[ExpectedItem, ...]:
    """Open the packaged list of what a complete teardown of each system lists.

    Returns
    -------
    tuple of ExpectedItem
        In the order of the systems.

    Source
    ------
    common practice: a list of this project (``data/expected_content.csv``), after the trade's experience that whole
    groups are missed (electronics, harness branches, fasteners, sealers), not single parts.
    """
    return tuple(
        ExpectedItem(
            row["system"],
            row["what"],
            _list(row["subsystems"]),
            tuple(NodeKind(kind) for kind in _list(row["kinds"])),
        )
        for row in _rows("expected_content.csv")
    )
