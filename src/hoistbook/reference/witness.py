"""Opens the tables of witness marks and of usual routes."""

from __future__ import annotations

import tomllib
from collections.abc import Mapping
from functools import cache
from importlib import resources
from pathlib import Path
from types import MappingProxyType
from typing import Any

from hoistbook.core.cost.recipes import Recipe
from hoistbook.core.cost.route import Step
from hoistbook.core.cost.witness import Candidate, Look, Measure, WitnessTable
from hoistbook.reference.files import settings_text, toml_of

Table = Mapping[str, Any]
_TABLES = ("process", "material", "mark", "result", "measure")
SEEN, NOT_SEEN = "seen", "not seen"


def _packaged(name: str) -> dict[str, Any]:
    folder = resources.files("hoistbook.reference") / "data" / "cost"
    return tomllib.loads((folder / name).read_text(encoding="utf-8"))


@cache
def packaged_witness() -> WitnessTable:
    """Return the table of witness marks that ships with the program."""
    return witness_table(_packaged("witness.toml"), "witness.toml")


def read_witness(path: Path | str) -> WitnessTable:
    """Read a table of witness marks; entries of the packaged one that it does not name stay.

    Raises
    ------
    ValueError
        No TOML, an unknown table, a missing key, or shares that do not add up.
    """
    path = Path(path)
    like = "lay it out like the packaged witness.toml"
    data = toml_of(settings_text(path, like), path.name, like)
    unknown = [name for name in data if name not in _TABLES]
    if unknown:
        msg = f"{path.name}: no table named {unknown[0]!r}; known tables: {', '.join(_TABLES)}."
        raise ValueError(msg)
    whole = _packaged("witness.toml")
    return witness_table({name: {**whole[name], **data.get(name, {})} for name in _TABLES}, path.name)


def witness_table(data: Table, place: str) -> WitnessTable:
    """Build the table from its TOML; shares of processes are scaled to 1, and so are those of their materials."""
    try:
        total = sum(float(row["prior"]) for row in data["process"].values())
        candidates = []
        for process, row in data["process"].items():
            weights = row["materials"]
            for material, weight in weights.items():
                if material not in data["material"]:
                    msg = f"{place} [process.{process}]: no material named {material!r} under [material]."
                    raise ValueError(msg)
                prior = float(row["prior"]) / total * float(weight) / sum(weights.values())
                choices = MappingProxyType(dict(row.get("choices", {}).get(material, {})))
                candidates.append(Candidate(process, material, prior, row["codes"][material], choices))
        looks = {name: _mark(name, row) for name, row in data["mark"].items()}
        looks |= {name: _result(name, row) for name, row in data["result"].items()}
        measures = {name: _measure(name, row) for name, row in data["measure"].items()}
    except KeyError as error:
        msg = f"{place}: {error.args[0]!r} missing; lay it out like the packaged witness.toml."
        raise ValueError(msg) from error
    return WitnessTable(
        MappingProxyType({name: row["words"] for name, row in data["process"].items()}),
        MappingProxyType(dict(data["material"])),
        tuple(candidates),
        MappingProxyType(looks),
        MappingProxyType(measures),
    )


def _said(row: Table) -> tuple[str, str]:
    return str(row.get("mark", "common practice")), str(row.get("source", "none"))


def _mark(name: str, row: Table) -> Look:
    def both(share: float) -> tuple[float, float]:
        return float(share), 1.0 - float(share)

    return Look(
        name,
        row["words"],
        row["how"],
        float(row["time_s"]),
        row["by"],
        (SEEN, NOT_SEEN),
        MappingProxyType({code: both(share) for code, share in row["seen"].items()}),
        both(row["otherwise"]),
        *_said(row),
    )


def _result(name: str, row: Table) -> Look:
    return Look(
        name,
        row["words"],
        row["how"],
        float(row["time_s"]),
        row["by"],
        tuple(row["states"]),
        MappingProxyType({code: tuple(map(float, shares)) for code, shares in row["rows"].items()}),
        tuple(map(float, row["otherwise"])),
        *_said(row),
    )


def _measure(name: str, row: Table) -> Measure:
    return Measure(
        name,
        row["words"],
        row["unit"],
        row["how"],
        float(row["time_s"]),
        row["by"],
        float(row["low"]),
        float(row["high"]),
        MappingProxyType({code: (float(low), float(high)) for code, (low, high) in row["ranges"].items()}),
        float(row.get("u_abs", 0.0)),
        float(row.get("u_frac", 0.0)),
        float(row["slip_frac"]),
        *_said(row),
    )


@cache
def packaged_recipes() -> tuple[Recipe, ...]:
    """Return the usual routes that ship with the program."""
    return tuple(
        Recipe(
            family,
            row["words"],
            row["look_for"],
            row["dominant"],
            tuple(
                Step(step["process"], MappingProxyType(dict(step.get("choices", {}))), origin="proposed")
                for step in row["steps"]
            ),
            (float(row["net_over_gross"][0]), float(row["net_over_gross"][1])),
        )
        for family, row in _packaged("routes.toml").items()
    )
