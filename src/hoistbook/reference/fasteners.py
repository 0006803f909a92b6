"""Packaged fastener dimensions and the figures of the mass and price models."""

from __future__ import annotations

import csv
import math
from collections.abc import Iterator
from functools import cache
from importlib import resources
from typing import cast

from hoistbook.core.cost.fasteners.tables import (
    Drive,
    FastenerTables,
    HeadForm,
    HeadRow,
    LobedDrive,
    NutForm,
    NutRow,
    ThreadRow,
)
from hoistbook.core.cost.fasteners.thread import Thread
from hoistbook.core.cost.figure_set import FigureSet
from hoistbook.reference.cost_figures import packaged_figures


@cache
def fastener_tables() -> FastenerTables:
    """Return the packaged dimensions, `data/fasteners/*.csv`, in metres."""
    return FastenerTables(
        tuple(
            ThreadRow(
                row["thread"],
                Thread(float(row["d [mm]"]) / 1e3, float(row["P [mm]"]) / 1e3),
                row["coarse"] == "yes",
            )
            for row in _rows("threads.csv")
        ),
        tuple(_head(row) for row in _rows("heads.csv")),
        tuple(_nut(row) for row in _rows("nuts_washers.csv")),
        tuple(_lobed(row) for row in _rows("hexalobular.csv")),
    )


@cache
def fastener_figures() -> FigureSet:
    """Return the figures of the mass and price models, `data/fasteners/figures.toml`."""
    return FigureSet(packaged_figures("fasteners", "figures.toml"))


def _rows(name: str) -> Iterator[dict[str, str]]:
    file = resources.files("hoistbook.reference") / "data" / "fasteners" / name
    with file.open(encoding="utf-8") as lines:
        yield from csv.DictReader(line for line in lines if not line.startswith("#"))


def _metres(text: str) -> float | None:
    return float(text) / 1e3 if text else None


def _head(row: dict[str, str]) -> HeadRow:
    full = row["full thread up to [mm]"]
    return HeadRow(
        standard=row["standard"],
        form=cast("HeadForm", row["form"]),
        drive=cast("Drive", row["drive"]),
        size=row["size"],
        drive_size=row["drive size"],
        across_flats_m=_metres(row["s [mm]"]),
        height_m=float(row["k [mm]"]) / 1e3,
        diameter_m=_metres(row["dk [mm]"]),
        flange_m=_metres(row["flange [mm]"]),
        edge_m=_metres(row["c [mm]"]),
        recess_m=_metres(row["t [mm]"]),
        threaded_m=_metres(row["b [mm]"]),
        full_thread_up_to_m=math.inf if full == "all" else float(full or 0.0) / 1e3,
        mark=row["mark"],
        source=row["source"],
    )


def _nut(row: dict[str, str]) -> NutRow:
    return NutRow(
        standard=row["standard"],
        form=cast("NutForm", row["form"]),
        size=row["size"],
        across_flats_m=_metres(row["s [mm]"]),
        height_m=float(row["m [mm]"]) / 1e3,
        flange_m=_metres(row["flange [mm]"]),
        edge_m=_metres(row["c [mm]"]),
        bore_m=_metres(row["bore [mm]"]),
        outer_m=_metres(row["outer [mm]"]),
        mark=row["mark"],
        source=row["source"],
    )


def _lobed(row: dict[str, str]) -> LobedDrive:
    return LobedDrive(
        size=row["size"],
        external=row["side"] == "external",
        over_m=float(row["A [mm]"]) / 1e3,
        between_m=_metres(row["B [mm]"]),
        lobe_m=_metres(row["Re [mm]"]),
        thread=row["thread"],
        mark=row["mark"],
        source=row["source"],
    )
