"""Reading what is written about a fastener, "M10x40 ISO 4017 10.9" or "Screw M6×20, flanged, T30", into a piece."""

from __future__ import annotations

import re
from dataclasses import dataclass, replace

from hoistbook.core.cost.fasteners.pieces import Bolt, Nut, Piece, Stud
from hoistbook.core.cost.fasteners.tables import FastenerTables, HeadRow, LobedDrive, NutRow
from hoistbook.core.cost.fasteners.thread import Thread
from hoistbook.core.quantities.assumption import Assumption, AssumptionKind

# Same head under another number (from memory: the standards' own statements of replacement).
_SAME = {
    "DIN 912": "ISO 4762",
    "ISO 4162": "ISO 15071",
    "ISO 15072": "ISO 15071",
    "ISO 7380": "ISO 7380-1",
    "DIN 125": "ISO 7089",
    "DIN 931": "DIN 933",
}
_PART_THREAD = "DIN 931"  # head of DIN 933, thread of ISO 4014
# What has no model here, with the words that speak of it.
_SPECIAL = (
    "tapping", "self-drilling", "flow-drill", "rivet", "banjo", "wheel bolt", "wheel nut", "hub", "retaining", "plug",
    "clip", "clamp", "tie", "pin", "stud, welded", "insert", "grub", "set screw", "countersunk", "wood",
)  # fmt: skip
_THREAD = re.compile(
    r"\bM(?P<d>\d+(?:\.\d+)?)(?:\s?[x×]\s?(?P<a>\d+(?:\.\d+)?))?(?:\s?[x×]\s?(?P<b>\d+(?:\.\d+)?))?"
)
_STANDARD = re.compile(r"\b(?:(?:DIN\s)?EN\sISO|DIN\sEN|DIN\sISO|ISO|EN|DIN)\s?(?P<number>\d{3,5}(?:-\d)?)\b")
_CLASS = re.compile(r"\b(?:4\.6|4\.8|5\.6|5\.8|6\.8|8\.8|9\.8|10\.9|12\.9)\b")
_LOBED = re.compile(r"\b(?P<size>[TE]\d{1,3})\b")
_HEX = re.compile(
    r"\bhex(?:agon)?\s?(?P<flats>\d+(?:\.\d+)?)\b|\b(?:AF|SW|s)\s?=?\s?(?P<other>\d+(?:\.\d+)?)\b"
)
LARGEST_PITCH_MM = 4.0  # M36; lengths of such screws start above it


@dataclass(frozen=True, slots=True)
class Designation:
    """What a text says of a fastener.

    Attributes
    ----------
    text : str
        As written.
    piece : Bolt, Stud or Nut
    property_class : str
        10.9 and the like; empty where it is not said.
    drive : str
        Drive family and size as recorded: "hex 13", "T30", "E10", "socket 8"; empty for a washer.
    assumed : tuple of Assumption
        What the text left open.
    """

    text: str
    piece: Piece
    property_class: str
    drive: str
    assumed: tuple[Assumption, ...]


def read_designation(text: str, tables: FastenerTables, drive: str = "") -> Designation:
    """Read a fastener's designation.

    Parameters
    ----------
    text : str
        Thread, length, and either a standard or words for the head; property class and drive where known.
    tables : FastenerTables
    drive : str
        The drive as recorded of the joint; used where the text names none.

    Returns
    -------
    Designation
        `assumed` lists what was taken because the text does not say it.

    Raises
    ------
    ValueError
        No metric thread, no length, no word about the head, or a kind of fastener without dimensions here. The message
        says which and what to do.
    """
    lower = text.casefold()
    special = next((word for word in _SPECIAL if re.search(rf"\b{word}", lower)), None)
    if special:
        msg = f"fastener {text!r}: {special!r} has no dimensions here; weigh it."
        raise ValueError(msg)
    found = _THREAD.search(text)
    if found is None:
        msg = f"fastener {text!r}: no metric thread such as M8 in it; write e.g. 'M8x25 ISO 4017 8.8', or weigh it."
        raise ValueError(msg)
    assumed: list[Assumption] = []
    size = f"M{float(found['d']):g}"
    pitch, length_m = _pitch_and_length(found, text)
    thread = _thread(size, pitch, tables, text)
    said = f"{text} {drive}" if not _names_drive(text) else text
    number = _standard(text)
    words = _Words(text, said, number)
    property_class = match[0] if (match := _CLASS.search(text)) else ""
    if re.search(r"\b(nut|washer)\b", lower) or (number and any(n.standard == number for n in tables.nuts)):
        row = _nut_row(words, size, tables, assumed)
        shown = "" if row.form == "washer" else f"hex {1e3 * (row.across_flats_m or 0.0):g}"
        return Designation(text, Nut(thread, row), property_class, shown, tuple(assumed))
    if length_m is None:
        msg = f"fastener {text!r}: no length; write it after the thread, e.g. {size}x30."
        raise ValueError(msg)
    if re.search(r"\bstud\b", lower):
        assumed.append(_default(text, "threaded over its whole length"))
        return Designation(text, Stud(thread, length_m, length_m), property_class, drive, tuple(assumed))
    head, lobed = _head(words, size, tables, assumed)
    shown = lobed.size if lobed else f"{'socket' if head.drive == 'socket' else 'hex'} {head.drive_size}"
    return Designation(text, Bolt(thread, length_m, head, lobed), property_class, shown, tuple(assumed))


@dataclass(frozen=True, slots=True)
class _Words:
    text: str
    said: str  # with the drive of the joint where the text has none
    standard: str

    def has(self, *stems: str) -> bool:
        return any(re.search(rf"\b{stem}", self.text.casefold()) for stem in stems)

    @property
    def lobed(self) -> str:
        return match["size"] if (match := _LOBED.search(self.said)) else ""

    @property
    def flats_mm(self) -> float | None:
        match = _HEX.search(self.said)
        return float(match["flats"] or match["other"]) if match else None


def _default(text: str, taken: str) -> Assumption:
    return Assumption(
        AssumptionKind.DEFAULT, f"fastener {text!r}: taken as {taken}; the record does not say it"
    )


def _names_drive(text: str) -> bool:
    return bool(_LOBED.search(text) or _HEX.search(text))


def _pitch_and_length(found: re.Match[str], text: str) -> tuple[float | None, float | None]:
    first, second = (float(found[key]) if found[key] else None for key in ("a", "b"))
    if first is not None and second is not None:
        if first > LARGEST_PITCH_MM:
            msg = f"fastener {text!r}: {first:g} is no pitch in mm; write diameter x pitch x length, e.g. M10x1.25x30."
            raise ValueError(msg)
        return first, second / 1e3
    if first is None:
        return None, None
    return (first, None) if first <= LARGEST_PITCH_MM else (None, first / 1e3)


def _thread(size: str, pitch_mm: float | None, tables: FastenerTables, text: str) -> Thread:
    try:
        coarse = tables.coarse(size)
    except LookupError as error:
        msg = f"fastener {text!r}: {error.args[0]} Or weigh it."
        raise ValueError(msg) from None
    return coarse if pitch_mm is None else Thread(coarse.diameter_m, pitch_mm / 1e3)


def _standard(text: str) -> str:
    match = _STANDARD.search(text)
    if match is None:
        return ""
    family = "ISO" if "ISO" in match[0] else "EN" if "EN" in match[0] else "DIN"
    return f"{family} {match['number']}"


def _nut_row(words: _Words, size: str, tables: FastenerTables, assumed: list[Assumption]) -> NutRow:
    flats = words.flats_mm
    if words.standard:
        row = _listed_nut(tables, _SAME.get(words.standard, words.standard), size, words.text)
    elif words.has("washer"):
        row = _listed_nut(tables, "ISO 7089", size, words.text)
        assumed.append(_default(words.text, "ISO 7089"))
    else:
        form = "flange nut" if words.has("flange") else "nut"
        fitting = [r for r in tables.nuts if r.form == form and r.size == size]
        if not fitting:
            msg = f"fastener {words.text!r}: no {form} of {size} in the tables; weigh it."
            raise ValueError(msg)
        row = next(
            (r for r in fitting if flats and abs(1e3 * (r.across_flats_m or 0.0) - flats) < 0.1), fitting[0]
        )
        assumed.append(_default(words.text, row.standard))
    if flats and row.form != "washer" and abs(1e3 * (row.across_flats_m or 0.0) - flats) > 0.1:
        assumed.append(_default(words.text, f"{row.standard} with the spanner size stated, {flats:g} mm"))
        row = replace(row, across_flats_m=flats / 1e3)
    return row


def _listed_nut(tables: FastenerTables, standard: str, size: str, text: str) -> NutRow:
    try:
        return tables.nut(standard, size)
    except LookupError as error:
        msg = f"fastener {text!r}: {error.args[0]}"
        raise ValueError(msg) from None


def _listed_head(tables: FastenerTables, standard: str, size: str, text: str) -> HeadRow:
    try:
        return tables.head(standard, size)
    except LookupError as error:
        msg = f"fastener {text!r}: {error.args[0]}"
        raise ValueError(msg) from None


def _head(
    words: _Words, size: str, tables: FastenerTables, assumed: list[Assumption]
) -> tuple[HeadRow, LobedDrive | None]:
    head = (
        _standard_head(words, size, tables) if words.standard else _worded_head(words, size, tables, assumed)
    )
    if head.drive in ("hex", "socket"):
        flats = words.flats_mm
        if head.drive == "hex" and flats and abs(1e3 * (head.across_flats_m or 0.0) - flats) > 0.1:
            assumed.append(
                _default(words.text, f"{head.standard} with the spanner size stated, {flats:g} mm")
            )
            head = replace(head, across_flats_m=flats / 1e3, drive_size=f"{flats:g}")
        if not (words.lobed and words.standard):
            return head, None
        msg = f"fastener {words.text!r}: {head.standard} has a {head.drive} drive, not {words.lobed}; correct one."
        raise ValueError(msg)
    name = words.lobed or head.drive_size
    try:
        lobed = tables.lobed(name)
    except LookupError as error:
        msg = f"fastener {words.text!r}: {error.args[0]}"
        raise ValueError(msg) from None
    return replace(head, drive_size=name), lobed


def _standard_head(words: _Words, size: str, tables: FastenerTables) -> HeadRow:
    if words.standard == "DIN 6921":
        msg = (
            f"fastener {words.text!r}: the spanner sizes of DIN 6921 differ by edition; write what was measured, "
            f"e.g. '{size}x30 flange hex 15'."
        )
        raise ValueError(msg)
    head = _listed_head(tables, _SAME.get(words.standard, words.standard), size, words.text)
    if words.standard == _PART_THREAD:
        part = _listed_head(tables, "ISO 4014", size, words.text)
        return replace(head, threaded_m=part.threaded_m, full_thread_up_to_m=part.full_thread_up_to_m)
    return head


def _worded_head(words: _Words, size: str, tables: FastenerTables, assumed: list[Assumption]) -> HeadRow:
    def take(standard: str, why: str = "") -> HeadRow:
        assumed.append(_default(words.text, f"{standard}{why}"))
        return _listed_head(tables, standard, size, words.text)

    lobed = words.lobed
    if lobed.startswith("E"):
        row = take("ISO 15071", f": its flange and height, with the external drive {lobed}")
        return replace(
            row, form="lobed flange", drive="external hexalobular", drive_size=lobed, across_flats_m=None
        )
    if words.has("button"):
        return take("ISO 7380-2") if words.has("collar", "flange") else take("ISO 7380-1")
    if words.has("flange"):
        if lobed:
            row = take("ISO 7380-2", f": its flange and dome, with the recess {lobed}")
            return replace(row, drive="hexalobular", drive_size=lobed, across_flats_m=None, recess_m=None)
        return take(_flange_standard(words, size, tables))
    if words.has("cheese"):
        return take("ISO 14580")
    if words.has("pan"):
        return take("ISO 14583")
    if words.has("cap", "cylind", "socket"):
        return take("ISO 14579" if lobed else "ISO 4762")
    if lobed:
        return take("ISO 14583", f": a pan head with {lobed}")
    flats = words.flats_mm
    if flats or words.has("hex"):
        old = _listed_head(tables, "DIN 933", size, words.text)
        new = _listed_head(tables, "ISO 4017", size, words.text)
        is_old = flats is not None and flats == 1e3 * (old.across_flats_m or 0.0) != 1e3 * (
            new.across_flats_m or 0.0
        )
        return take("DIN 933" if is_old else "ISO 4017", ", threaded to the head")
    msg = (
        f"fastener {words.text!r}: no word about its head, and heads of one thread differ by a third in mass; "
        "add the standard, or words such as 'hex 13', 'flanged hex 13', 'flanged T30', 'cap'."
    )
    raise ValueError(msg)


def _flange_standard(words: _Words, size: str, tables: FastenerTables) -> str:
    """The flange series that has the stated spanner size; the small series where none is stated."""
    flats = words.flats_mm
    if flats is not None:
        for standard in ("ISO 15071", "EN 1662", "EN 1665"):
            row = _listed_head(tables, standard, size, words.text)
            if abs(1e3 * (row.across_flats_m or 0.0) - flats) < 0.1:
                return standard
        return "EN 1665"
    return "ISO 15071"
