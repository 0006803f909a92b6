"""Turn the cells of one row into values; whatever cannot be taken as it stands becomes a fault with advice."""

from __future__ import annotations

import math
import re
import unicodedata
from enum import StrEnum
from typing import TypeVar

from hoistbook.capture.faults import Findings
from hoistbook.capture.headings import Matched
from hoistbook.capture.tables import LEAST_FIGURE, MOST_FIGURE, Cell, Odd, Oddity, is_out_of_reach, seen
from hoistbook.core.vehicle.problem import closest

# [0-9], not \d: other scripts have digits too, and float() would read them.
_NUMBER = re.compile(r"[+-]?([0-9]+(\.[0-9]*)?|\.[0-9]+)([eE][+-]?[0-9]+)?")
_WITH_UNIT = re.compile(r"[+-]?[0-9][0-9.,]*\s*([^\W\d_]|[°%\"']).*")
_COMMA = re.compile(r"[+-]?[0-9]+,[0-9]+")
_MARKED = re.compile(r"[+-]?[0-9][0-9.,' \u00a0\u202f]*")
_BOUND = re.compile(r"[~<>≈≤≥]|ca\.?\s|about ")
# Longest name, unit or word. Longer text is no name, and comparing it with the known ones would take long.
_SHORT = 255
# Controls, formats (zero width, direction), line ends, private, unassigned and half characters.
_INVISIBLE = ("Cc", "Cf", "Zl", "Zp", "Co", "Cn", "Cs")
_PLACEHOLDERS = ("-", "–", "n/a", "na", "none", "nil", "tbd", "?", "not weighed", "unknown")
# Controls of both sets, marks that turn the direction of what follows, and characters of no width.
_MISLEADING = re.compile(
    "[\x00-\x08\x0b\x0c\x0e-\x1f\x7f-\x9f\u061c\u200b-\u200f\u202a-\u202e\u2060-\u2069\ufeff]"
)
_YES = ("yes", "y", "true")
_NO = ("no", "n", "false")

EnumT = TypeVar("EnumT", bound=StrEnum)


class RowReader:
    """One row of one sheet.

    Every method returns None (or empty text) where nothing usable stands, and records why if that is a fault.
    """

    __slots__ = ("_cells", "_columns", "_findings", "_matched", "place")

    def __init__(self, matched: Matched, number: int, cells: dict[int, Cell], findings: Findings) -> None:
        self._matched = matched
        self._columns = matched.columns
        self._cells = cells
        self._findings = findings
        self.place = number

    def fault(self, header: str, message: str, value: object = "") -> None:
        """Record a fault of this row."""
        self._findings.fault(
            message, sheet=self._matched.sheet.name, row=self.place, column=header, value=value
        )

    def is_faulty(self, header: str) -> bool:
        """Whether this cell has a fault already."""
        return self._findings.is_faulty(self._matched.sheet.name, self.place, header)

    def seen(self, header: str) -> str:
        """Return the cell as the spreadsheet shows it, stripped; empty when blank or missing."""
        return seen(self._cell(header)).strip()

    def own(self) -> dict[str, str]:
        """Return the filled cells of the user's own columns."""
        found = {header: seen(self._cells.get(index)).strip() for index, header in self._matched.own.items()}
        return {header: text for header, text in found.items() if text and not self._misleads(header, text)}

    def _cell(self, header: str) -> Cell | None:
        index = self._columns.get(header)
        cell = self._cells.get(index) if index is not None else None
        if isinstance(cell, str) and not cell.strip():
            return None
        return cell

    def _filled(self, header: str, cell: Cell | None) -> bool:
        """Whether there is something to read; faults a blank in a compulsory column and a cell without a result."""
        if cell is None:
            if self._matched.sheet.column(header).required and not self.is_faulty(header):
                self.fault(
                    header, f"{header!r} is blank; every row needs it. A blank is never taken as zero."
                )
            return False
        if isinstance(cell, Odd):
            if cell.oddity is Oddity.FORMULA:
                self.fault(
                    header,
                    "the formula has no stored result; open the workbook in a spreadsheet program "
                    "and save it, or paste the value.",
                    cell.text,
                )
                return False
            if cell.oddity is Oddity.ERROR:
                self.fault(
                    header,
                    "the spreadsheet shows an error here; mend the formula or type the value.",
                    cell.text,
                )
                return False
        return True

    def text(self, header: str) -> str:
        """Free text; a day becomes ISO 8601, a number its digits."""
        cell = self._cell(header)
        if not self._filled(header, cell):
            return ""
        text = seen(cell).strip()
        if text.isprintable():
            return text if text.isascii() else unicodedata.normalize("NFC", text)
        return "" if self._misleads(header, text) else unicodedata.normalize("NFC", text)

    def _misleads(self, header: str, text: str) -> bool:
        """Fault text with characters that do not show, or make it show as something else."""
        found = None if text.isprintable() else _MISLEADING.search(text)
        if found is not None:
            self.fault(
                header,
                f"text may not hold {_what_it_is(found[0])} U+{ord(found[0]):04X}; delete it, or type the text again.",
                ascii(text),
            )
        return found is not None

    def name(self, header: str) -> str:
        """Text that identifies: short, no invisible characters, and not a day the spreadsheet made of it."""
        cell = self._cell(header)
        if isinstance(cell, Odd) and cell.oddity in (Oddity.DATE, Oddity.PERCENT):
            self.fault(
                header,
                f"the spreadsheet turned this into a {cell.oddity.value}; format the column as text and type it again.",
                cell.text,
            )
            return ""
        return self._checked_name(header, self.text(header))

    def _checked_name(self, header: str, text: str) -> str:
        text = self._checked_length(header, text)
        if text.isascii() and text.isprintable():
            return text
        hidden = next((c for c in text if unicodedata.category(c) in _INVISIBLE), None)
        if hidden is not None:
            self.fault(
                header,
                f"a name may not hold the invisible character U+{ord(hidden):04X}; type it again.",
                ascii(text),
            )
            return ""
        return text

    def short(self, header: str) -> str:
        """Text of at most 255 characters."""
        return self._checked_length(header, self.text(header))

    def _checked_length(self, header: str, text: str) -> str:
        if len(text) <= _SHORT:
            return text
        self.fault(
            header, f"has {len(text)} characters, too many for a name; put remarks into the note.", text
        )
        return ""

    def names(self, header: str) -> tuple[str, ...]:
        """Names separated by semicolons."""
        cell = self._cell(header)
        if cell is None and not self._matched.sheet.column(header).required:
            return ()
        pieces = (piece.strip() for piece in self.text(header).split(";"))
        return tuple(name for piece in pieces if piece and (name := self._checked_name(header, piece)))

    def _within_reach(self, header: str, value: float, text: str) -> float | None:
        if not is_out_of_reach(value):
            return value
        if math.isfinite(value):
            why = f"is no figure of a vehicle: none but 0 lies outside {LEAST_FIGURE:g} to {MOST_FIGURE:g}; check it."
        else:
            why = "is not a finite number; leave a missing value blank and say why in the note."
        self.fault(header, why, text)
        return None

    def number(self, header: str) -> float | None:
        """A finite number."""
        cell = self._cell(header)
        if not self._filled(header, cell):
            return None
        if isinstance(cell, float):
            return self._within_reach(header, cell, repr(cell))
        if isinstance(cell, str):
            text = cell.strip()
            if not self._matched.table.typed and _NUMBER.fullmatch(text) and math.isfinite(float(text)):
                return self._within_reach(header, float(text), text)
            self.fault(header, _why_no_number(text, typed=self._matched.table.typed), text)
        elif isinstance(cell, bool):
            self.fault(header, "is yes/no, not a number; type the number.", seen(cell))
        elif isinstance(cell, Odd) and cell.oddity is Oddity.DATE:
            self.fault(
                header,
                "the spreadsheet takes this for a day or time; format the cell as a plain number and type it again.",
                cell.text,
            )
        elif isinstance(cell, Odd):
            self.fault(
                header,
                "the cell is formatted as a percentage, so what is stored is a hundredth of what is "
                "shown; format it as a plain number and type it again.",
                cell.text,
            )
        return None

    def bounded(
        self,
        header: str,
        *,
        above: float | None = None,
        least: float | None = None,
        most: float | None = None,
        whole: bool = False,
        why: str,
    ) -> float | None:
        """A number within bounds, whole if asked; `why` says what it is and how to mend it."""
        value = self.number(header)
        if value is None:
            return None
        if (
            (above is not None and not value > above)
            or (least is not None and value < least)
            or (most is not None and value > most)
            or (whole and value != int(value))
        ):
            self.fault(header, why, seen(value))
            return None
        return value

    def choice(self, header: str, enum: type[EnumT], default: EnumT | None = None) -> EnumT | None:
        """Read one of a few words."""
        text = self.word(header)
        if not text:
            return default
        for member in enum:
            if member.value == text:
                return member
        return default

    def word(self, header: str) -> str:
        """Return the known word of a column with choices; empty when blank or unknown."""
        text = " ".join(self.short(header).split())
        choices = self._matched.sheet.column(header).choices
        for word in choices:
            if word.casefold() == text.casefold() or word.replace(" ", "") == text.replace(" ", ""):
                return word
        if text:
            self.fault(header, f"unknown word; {closest(text, choices)}", text)
        return ""

    def yes_no(self, header: str) -> bool | None:
        """Read yes or no; TRUE and FALSE of a spreadsheet count."""
        cell = self._cell(header)
        if isinstance(cell, bool):
            return cell
        text = self.text(header).casefold()
        if text in _YES:
            return True
        if text in _NO:
            return False
        if text:
            self.fault(header, "must be yes or no.", text)
        return None

    def covers(self, header: str) -> tuple[tuple[str, float], ...]:
        """Read ``tag × number; tag × number``; a bare tag counts once."""
        pairs: dict[str, float] = {}
        for piece in self.names(header):
            tag, count = _counted_tag(piece)
            if not 0.0 < count < math.inf:
                self.fault(header, "the number of pieces on the scale must be above 0, e.g. A12 × 2.", piece)
            elif tag in pairs:
                self.fault(header, "names a tag twice; write each tag once with its number of pieces.", piece)
            else:
                pairs[tag] = count
        return tuple(pairs.items())


def _what_it_is(character: str) -> str:
    if unicodedata.category(character) == "Cc":
        return "the control character"
    if character in "\u200b\u200c\u200d\u2060\u2061\u2062\u2063\u2064\u2065\ufeff":
        return "the character of no width"
    return "the mark that turns the direction of writing"


def _counted_tag(piece: str) -> tuple[str, float]:
    """Split ``A12 × 2``. A letter x counts only between blanks: AX12 is a tag."""
    for mark in ("×", "*", " x "):
        tag, found, count = piece.rpartition(mark)
        if found and tag.strip() and _NUMBER.fullmatch(count.strip()):
            return tag.strip(), float(count)
    return piece, 1.0


def _why_no_number(text: str, *, typed: bool) -> str:
    if text.casefold() in ("nan", "inf", "-inf", "+inf", "infinity", "-infinity"):
        return "is not a finite number; leave a missing value blank and say why in the note."
    if text.casefold() in _PLACEHOLDERS:
        return "is not a number; leave the cell (or the row) blank and say why in the note."
    if text.startswith("'"):
        return "starts with an apostrophe, which makes it text; type the number without it."
    if _NUMBER.fullmatch(text):
        if not typed:
            return "is too large for a number; check it."
        return (
            "is stored as text (a leading apostrophe, or a cell formatted as text); format the "
            "cell as a number and type it again."
        )
    if _COMMA.fullmatch(text):
        return (
            f"has a comma, which means thousands to some and decimals to others; type {text.replace(',', '.')} "
            f"or {text.replace(',', '')}, whichever is meant. Numbers here have a decimal point and no thousands mark."
        )
    if _MARKED.fullmatch(text):
        return "has thousands marks or more than one decimal mark; type digits with a decimal point only, e.g. 1234.5."
    if "±" in text or "+/-" in text:
        return "holds a band; put the number here and the band into 'plus or minus'."
    if _BOUND.match(text):
        return "is a bound or a guess, not a number; type the number, give it a wide band and say so in the note."
    if _WITH_UNIT.fullmatch(text):
        return "holds more than the number; put the unit into the 'unit' column and leave the digits here."
    return "is not a number; type digits with a decimal point, e.g. 12.5, and put remarks into the note."
