"""Fastener dimensions by standard and size, as handed in by `reference`."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Literal

from hoistbook.core.cost.fasteners.thread import Thread

HeadForm = Literal[
    "hexagon", "hexagon flange", "cylinder", "cheese", "pan", "button", "button with collar", "lobed flange"
]
Drive = Literal["hex", "socket", "hexalobular", "external hexalobular"]
NutForm = Literal["nut", "flange nut", "washer"]


@dataclass(frozen=True, slots=True)
class ThreadRow:
    """A thread of the selection: `name` as written (M10, M10x1.25); `coarse` where the pitch goes unsaid."""

    name: str
    thread: Thread
    coarse: bool


@dataclass(frozen=True, slots=True)
class HeadRow:
    """Head of one standard and size. [m] None where the form has no such size.

    `drive_size` is the spanner size in millimetres or the hexalobular number, as printed (13, T30).
    `full_thread_up_to_m` is infinite where every length is threaded to the head.
    """

    standard: str
    form: HeadForm
    drive: Drive
    size: str
    drive_size: str
    across_flats_m: float | None
    height_m: float
    diameter_m: float | None
    flange_m: float | None
    edge_m: float | None
    recess_m: float | None
    threaded_m: float | None
    full_thread_up_to_m: float
    mark: str
    source: str


@dataclass(frozen=True, slots=True)
class NutRow:
    """A nut or washer of one standard and size. [m]"""

    standard: str
    form: NutForm
    size: str
    across_flats_m: float | None
    height_m: float
    flange_m: float | None
    edge_m: float | None
    bore_m: float | None
    outer_m: float | None
    mark: str
    source: str


@dataclass(frozen=True, slots=True)
class LobedDrive:
    """A hexalobular drive: size over and between the lobes, and radius of a lobe. [m] `thread` is the usual one."""

    size: str
    external: bool
    over_m: float
    between_m: float | None
    lobe_m: float | None
    thread: str
    mark: str
    source: str


@dataclass(frozen=True, slots=True)
class FastenerTables:
    """All tables together. Look-ups raise `LookupError` and list what is known."""

    threads: Sequence[ThreadRow]
    heads: Sequence[HeadRow]
    nuts: Sequence[NutRow]
    drives: Sequence[LobedDrive]

    def coarse(self, size: str) -> Thread:
        """Thread of a plain size: M10 is M10×1.5.

        Raises
        ------
        LookupError
            No such size in the tables.
        """
        for row in self.threads:
            if row.coarse and row.name == size:
                return row.thread
        known = ", ".join(row.name for row in self.threads if row.coarse)
        msg = f"no coarse pitch known for {size}; known: {known}. State the pitch: {size}x…"
        raise LookupError(msg)

    def head(self, standard: str, size: str) -> HeadRow:
        """Head of a standard in a size (M10).

        Raises
        ------
        LookupError
            The standard or the size is not in the tables.
        """
        of_standard = [row for row in self.heads if row.standard == standard]
        if not of_standard:
            known = ", ".join(dict.fromkeys(row.standard for row in self.heads))
            msg = f"no head dimensions for {standard!r}; known: {known}. Weigh the fastener instead."
            raise LookupError(msg)
        for row in of_standard:
            if row.size == size:
                return row
        msg = f"{standard} is listed for {', '.join(row.size for row in of_standard)}, not for {size}; weigh it."
        raise LookupError(msg)

    def nut(self, standard: str, size: str) -> NutRow:
        """Nut or washer of a standard in a size.

        Raises
        ------
        LookupError
            The standard or the size is not in the tables.
        """
        of_standard = [row for row in self.nuts if row.standard == standard]
        if not of_standard:
            known = ", ".join(dict.fromkeys(row.standard for row in self.nuts))
            msg = f"no dimensions for {standard!r}; known nuts and washers: {known}. Weigh it instead."
            raise LookupError(msg)
        for row in of_standard:
            if row.size == size:
                return row
        msg = f"{standard} is listed for {', '.join(row.size for row in of_standard)}, not for {size}; weigh it."
        raise LookupError(msg)

    def lobed(self, size: str) -> LobedDrive:
        """Hexalobular drive by its number (T30, E10).

        Raises
        ------
        LookupError
            No such drive in the tables.
        """
        for row in self.drives:
            if row.size == size:
                return row
        msg = f"no hexalobular drive {size!r}; known: {', '.join(row.size for row in self.drives)}."
        raise LookupError(msg)
