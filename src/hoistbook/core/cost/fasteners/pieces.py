"""Bolts, studs, nuts and washers as solids: what the mass model is given."""

from __future__ import annotations

import math
from dataclasses import dataclass

from hoistbook.core.cost.fasteners.tables import HeadRow, LobedDrive, NutRow
from hoistbook.core.cost.fasteners.thread import Thread

# Nominal lengths up to which ISO 888 gives one threaded length each, and what is added beyond (from memory).
_LENGTH_STEPS_M = ((0.125, 0.0), (0.200, 0.006), (math.inf, 0.019))
_SHORTEST_FRAC = 0.5
_LONGEST_M = 0.5


@dataclass(frozen=True, slots=True)
class Bolt:
    """A bolt or screw with a head.

    Parameters
    ----------
    thread : Thread
    length_m : float
        Nominal length, from under the head. [m]
    head : HeadRow
        Dimensions of the head; `dataclasses.replace` one of them where it was measured.
    lobed : LobedDrive or None
        The hexalobular drive, internal or external, where the head has one.
    rolled_shank : bool
        The plain part has the pitch diameter instead of the nominal one.

    Raises
    ------
    ValueError
        A length that no such bolt has, or a hexalobular head without its drive.
    """

    thread: Thread
    length_m: float
    head: HeadRow
    lobed: LobedDrive | None = None
    rolled_shank: bool = False

    def __post_init__(self) -> None:
        _check_length(self.length_m, self.thread)
        if self.head.drive in ("hexalobular", "external hexalobular") and self.lobed is None:
            msg = f"{self.head.standard} {self.head.size}: a hexalobular head needs its drive, e.g. T30."
            raise ValueError(msg)

    @property
    def threaded_m(self) -> float:
        """Threaded length. [m]

        Notes
        -----
        To the head up to the length the standard says, b beyond it; b grows by 6 mm above 125 mm and by 19 mm above
        200 mm nominal length. A head without b in the tables takes b = 2 d + 6 mm.

        Source
        ------
        from memory: ISO 888 for the two steps and 2 d + 6 mm.
        """
        if self.length_m <= self.head.full_thread_up_to_m:
            return self.length_m
        base = self.head.threaded_m or 2.0 * self.thread.diameter_m + 0.006
        more = next(extra for limit, extra in _LENGTH_STEPS_M if self.length_m <= limit)
        return min(base + more, self.length_m)

    @property
    def shank_m3(self) -> tuple[float, float]:
        """Volumes below the head: of the threaded and of the plain part. [m³]"""
        plain = self.length_m - self.threaded_m
        section = self.thread.threaded_section_m2 if self.rolled_shank else self.thread.shank_section_m2
        return self.threaded_m * self.thread.threaded_section_m2, plain * section

    @property
    def words(self) -> str:
        """As one would order it."""
        size = self.thread.words.split("×")[0]
        drive = self.lobed.size if self.lobed else self.head.drive_size
        return f"{size}×{1e3 * self.length_m:g} {self.head.standard} ({self.head.form}, {drive})"


@dataclass(frozen=True, slots=True)
class Stud:
    """A threaded pin without head, threaded over `threaded_m` of its length. [m]"""

    thread: Thread
    length_m: float
    threaded_m: float

    def __post_init__(self) -> None:
        _check_length(self.length_m, self.thread)
        if not 0.0 <= self.threaded_m <= self.length_m:
            msg = (
                f"threaded_m = {self.threaded_m!r} is outside 0–{self.length_m!r} m, the length of the stud."
            )
            raise ValueError(msg)

    @property
    def words(self) -> str:
        """As one would order it."""
        return f"stud {self.thread.words.split('×')[0]}×{1e3 * self.length_m:g}"


@dataclass(frozen=True, slots=True)
class Nut:
    """A nut, with or without flange, or a plain washer (`row.form`). `thread` is that of the bolt."""

    thread: Thread
    row: NutRow

    @property
    def words(self) -> str:
        """As one would order it."""
        return f"{self.row.form} {self.row.size} {self.row.standard}"


Piece = Bolt | Stud | Nut


def _check_length(length_m: float, thread: Thread) -> None:
    if not _SHORTEST_FRAC * thread.diameter_m <= length_m <= _LONGEST_M:
        msg = (
            f"length_m = {length_m!r} m for {thread.words}: expected {_SHORTEST_FRAC * thread.diameter_m:g} to "
            f"{_LONGEST_M} m; give metres, e.g. 0.040."
        )
        raise ValueError(msg)
