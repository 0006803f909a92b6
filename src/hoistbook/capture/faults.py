"""What is wrong with a table, said once per place: sheet, row, column, value and how to mend it."""

from __future__ import annotations

from collections.abc import Callable, Iterable
from dataclasses import dataclass, field

Progress = Callable[[int, int, str], None]
SHOWN_CHARACTERS = 120  # of an offending value; the rest is in the file


@dataclass(frozen=True, slots=True)
class Fault:
    """One fault. `row` counts as the spreadsheet does (heading = row 1); 0 when it concerns the sheet or the file."""

    sheet: str
    row: int
    column: str
    value: str
    message: str

    def to_dict(self) -> dict[str, str | int]:
        """Return the fault as a mapping, for JSON."""
        return {
            "sheet": self.sheet,
            "row": self.row,
            "column": self.column,
            "value": self.value,
            "message": self.message,
        }

    def __str__(self) -> str:
        """Say the place, the value and the advice in one line."""
        place = self.sheet or "file"
        if self.row:
            place += f" row {self.row}"
        if self.column:
            place += f", {self.column}"
        shown = f" {self.value!r}" if self.value else ""
        return f"{place}:{shown} {self.message}" if shown else f"{place}: {self.message}"


class LoadRefused(ValueError):
    """Nothing was loaded; `faults` lists everything that must be mended first."""

    def __init__(self, faults: Iterable[Fault]) -> None:
        self.faults: tuple[Fault, ...] = tuple(faults)
        count = len(self.faults)
        head = f"{count} fault{'s' if count != 1 else ''}; nothing was loaded."
        super().__init__("\n".join([head, *(str(fault) for fault in self.faults)]))


def _shown(text: str) -> str:
    if len(text) <= SHOWN_CHARACTERS:
        return text
    return f"{text[:SHOWN_CHARACTERS]}… ({len(text)} characters)"


@dataclass(slots=True)
class Findings:
    """Faults and remarks gathered while a table is read; `faulty` remembers the places so that none is named twice.

    Beyond `most` faults only their number is kept: a file of millions of wrong cells needs one answer, not a list.
    """

    most: int = 20_000
    faults: list[Fault] = field(default_factory=list)
    notes: list[str] = field(default_factory=list)
    faulty: set[tuple[str, int, str]] = field(default_factory=set)
    beyond: int = 0

    def fault(
        self, message: str, *, sheet: str = "", row: int = 0, column: str = "", value: object = ""
    ) -> None:
        """Record a fault."""
        self.faulty.add((sheet, row, column))
        if len(self.faults) >= self.most:
            self.beyond += 1
            return
        self.faults.append(Fault(_shown(sheet), row, _shown(column), _shown(str(value)), message))

    def note(self, text: str) -> None:
        """Record a remark: something met on loading that is no fault."""
        self.notes.append(text)

    def is_faulty(self, sheet: str, row: int, column: str) -> bool:
        """Whether a fault was recorded for this cell."""
        return (sheet, row, column) in self.faulty

    def ordered(self, sheets: Iterable[str]) -> tuple[Fault, ...]:
        """Faults in the order a person walks the workbook: file, then sheet by sheet, row by row."""
        place = {name: index for index, name in enumerate(sheets, start=1)}
        more = f"{self.beyond} more faults are not listed; mend these first, or raise limits.faults."
        rest = (Fault("", 0, "", "", more),) if self.beyond else ()
        return rest + tuple(
            sorted(
                self.faults,
                key=lambda fault: (
                    place.get(fault.sheet, len(place) + 1) if fault.sheet else 0,
                    fault.sheet,
                    fault.row,
                ),
            )
        )


def counted(count: int, noun: str, plural: str = "") -> str:
    """Return '1 row', '3 rows'."""
    return f"{count} {noun if count == 1 else plural or noun + 's'}"
