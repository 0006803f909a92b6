"""Read rows of the sheet of checks, and judge them against what the checks declare."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator, Mapping
from dataclasses import dataclass, replace
from typing import Protocol

from hoistbook.capture.fields import RowReader
from hoistbook.capture.figures import Band, Typed, read_band, read_value, stand_in
from hoistbook.capture.schema import squeezed
from hoistbook.core.checks.declared import Check, Choice, Reading
from hoistbook.core.checks.run import in_reach, with_band
from hoistbook.core.quantities.quantity import Origin, Quantity
from hoistbook.core.vehicle.problem import Hints
from hoistbook.core.vehicle.quantity_kind import QuantityKind
from hoistbook.core.vehicle.records import CheckReading

_OF_A_FIGURE = ("value", "unit", "plus or minus", "band is", "shape", "degrees of freedom", "origin")


@dataclass(frozen=True, slots=True)
class Asked:
    """What a row answers: names as declared, else as typed, and which of several things it is of."""

    check: str
    name: str
    item: str
    declared: Check | None = None
    found: Reading | Choice | None = None


class KnownChecks:
    """Finds checks by name or title, and what they ask for by name or in words.

    Parameters
    ----------
    checks : mapping of str to Check
        By name.
    """

    def __init__(self, checks: Mapping[str, Check]) -> None:
        self._checks = checks
        self._by_words = {squeezed(words): one for one in checks.values() for words in (one.title, one.name)}
        self._asked: dict[str, dict[str, Reading | Choice]] = {}
        self._names: dict[str, tuple[str, ...]] = {}
        self._hints = Hints()

    def check(self, words: str) -> Check | None:
        """Return a check; None where there is none."""
        return self._by_words.get(squeezed(words))

    def asked(self, check: Check, words: str) -> Reading | Choice | None:
        """Return a figure or a choice of a check; None where it asks for nothing of that name."""
        if check.name not in self._asked:
            several: tuple[Reading | Choice, ...] = (*check.readings, *check.choices)
            said = Counter(squeezed(one.words) for one in several)  # words that mean two figures mean none
            by_words = {squeezed(one.words): one for one in several if said[squeezed(one.words)] == 1}
            self._asked[check.name] = by_words | {squeezed(one.name): one for one in several}
            self._names[check.name] = tuple(one.name for one in several)
        return self._asked[check.name].get(squeezed(words))

    def hint(self, words: str, check: Check | None = None) -> str:
        """Say which names are known, of a check or of checks."""
        return self._hints(words, self._checks if check is None else self._names[check.name])


class MakeFigure(Protocol):
    """Makes the quantity of a row from its own band, else from its instrument, else it is `otherwise`."""

    def __call__(
        self,
        row: RowReader,
        typed: Typed | None,
        band: Band | None,
        instrument: str,
        name: str,
        origin: Origin,
        *,
        otherwise: Quantity | None = None,
    ) -> Quantity | None:
        """Return it, or None where the row has a fault."""


def read_check_row(row: RowReader, vehicle: str, known: KnownChecks, make: MakeFigure) -> CheckReading | None:
    """Read a row of the sheet of checks.

    Parameters
    ----------
    row : RowReader
    vehicle : str
        Code that the error of the figure is named by.
    known : KnownChecks
    make : callable
        Makes its quantity.

    Returns
    -------
    CheckReading or None
        With the names as declared; None where the row names no check or no reading.
    """
    asked = _asked(row, known)
    instrument, evidence, note = row.name("instrument"), row.text("evidence"), row.text("note")
    if asked is None:
        return None
    option = _option(row, asked)
    chosen = isinstance(asked.found, Choice)
    value = None if chosen else _figure(row, asked, vehicle, instrument, make)
    return CheckReading(
        asked.check,
        asked.name,
        value,
        item=asked.item,
        option=option,
        instrument=instrument,
        evidence=evidence,
        note=note,
    )


def _asked(row: RowReader, known: KnownChecks) -> Asked | None:
    """Read check, reading and item of a row; None where it names no check or no reading."""
    text, name, item = row.name("check"), row.name("reading"), row.name("item")
    if not text or not name:
        return None
    check = known.check(text)
    if check is None:
        row.fault("check", f"no check has this name; {known.hint(text)}", text)
        return Asked(text, name, item)
    found = known.asked(check, name)
    if found is None:
        hint = known.hint(name, check)
        row.fault("reading", f"{check.title} asks for nothing of this name; {hint}", name)
        return Asked(check.name, name, item, check)
    each = found.each if isinstance(found, Reading) else ""
    if each and not item and not row.is_faulty("item"):
        row.fault("item", f"{found.words} is asked for each {each}; name the {each} it is of.")
    if item and not each:
        row.fault("item", f"{found.words} is asked for once, not for one of several; clear the cell.", item)
        item = ""
    return Asked(check.name, found.name, item, check, found)


def _figure(row: RowReader, asked: Asked, vehicle: str, instrument: str, make: MakeFigure) -> Quantity | None:
    """Make the figure of a row; a stand-in where it has a fault."""
    band = read_band(row, with_meaning=True)
    origin = Origin(row.word("origin") or Origin.MEASURED.value)
    reading, check = asked.found, asked.declared
    if check is None or not isinstance(
        reading, Reading
    ):  # all that is known of it is whether a figure stands there
        row.number("value")
        return stand_in(None) if row.seen("value") else None
    a_stand_in = Quantity(1.0, reading.unit)
    typed = _typed(row, check, reading)
    if typed is None:
        return a_stand_in
    name = "/".join(filter(None, (vehicle, "check", asked.check, asked.name, asked.item)))
    usual = replace(with_band(reading, typed.value_si, name), origin=origin) if reading.half_width else None
    # A place behind or below is read as its distance: the sign says where, not what the instrument showed.
    turned = typed.value_si < 0.0 and band is None and bool(instrument)
    if turned:
        typed = replace(typed, value=-typed.value, value_si=-typed.value_si)
    value = make(row, typed, band, instrument, name, origin, otherwise=usual)
    if value is None:
        return a_stand_in
    return -value if turned else value


def _typed(row: RowReader, check: Check, reading: Reading) -> Typed | None:
    """Read value and unit of a figure; faults a blank and what lies outside the range of the equations."""
    for header, message in (
        ("value", f"is blank; type {reading.words}, or leave the row out. A blank is never taken as zero."),
        ("unit", f"the unit is missing; write it beside the value, e.g. {reading.show or reading.unit}."),
    ):
        if not row.seen(header):
            row.fault(header, message)
    if row.seen("option"):
        row.fault("option", f"{reading.words} is a figure, not a choice; clear the cell.", row.seen("option"))
    # Whether it may be negative is said by the range.
    kind = QuantityKind(reading.name, reading.words, reading.unit, signed=True)
    typed = read_value(row, kind)
    if typed is None:
        return None
    try:
        in_reach(check, reading, typed.value_si)
    except ValueError as error:
        row.fault("value", str(error), row.seen("value"))
        return None
    return typed


def _option(row: RowReader, asked: Asked) -> str:
    """Read what was chosen, as declared; the first option stands in for one with a fault."""
    text = " ".join(row.short("option").split())
    choice = asked.found
    if not isinstance(choice, Choice):
        return text if choice is None else ""
    for header in _OF_A_FIGURE:
        if row.seen(header):
            message = f"{choice.words} is a choice, not a figure; clear the cell and name the option."
            row.fault(header, message, row.seen(header))
    by_words = {squeezed(option): option for option in choice.options}
    found = by_words.get(squeezed(text))
    if found is not None:
        return found
    if not row.is_faulty("option"):
        told = "; ".join(f"{option} ({means})" for option, means in choice.options.items())
        row.fault("option", f"{'no such option' if text else 'is blank'}; choose one of: {told}.", text)
    return next(iter(choice.options))


def reading_lines(checks: Mapping[str, Check]) -> Iterator[str]:
    """What each check reads, one line each, for whoever fills the sheet in."""
    for check in checks.values():
        for reading in check.readings:
            unit = reading.show or reading.unit
            each = f", one for each {reading.each}" if reading.each else ""
            yield f"{check.name} · {reading.name} [{unit}]{each}: {reading.words} ({reading.how})"
        for choice in check.choices:
            yield f"{check.name} · {choice.name}: {choice.words}; option {' or '.join(choice.options)}"
