"""Reads the form of a check: what was typed over the record and usual values, with what is wrong at its field."""

from __future__ import annotations

import re
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field, replace

from hoistbook.core.checks.declared import Check, Reading
from hoistbook.core.checks.run import Stated, in_reach, shown, with_band
from hoistbook.core.quantities.evaluation import exact, rectangular
from hoistbook.core.quantities.printing import MINUS
from hoistbook.core.quantities.quantity import Origin, Quantity
from hoistbook.core.quantities.units import from_si, to_si, uncertainty_from_si, uncertainty_to_si
from hoistbook.services.pages.check_form import (
    COUNT,
    FACT,
    NOTHING,
    RECORD,
    TYPED,
    USUAL,
    Cell,
    CheckForm,
    Field,
    Item,
    ReadForm,
    Select,
    Table,
    band_field,
    printed,
    printed_band,
    unit_of,
)
from hoistbook.services.pages.cost_form import number

MOST_ROWS = 60
"""project rule: things of one kind that can be asked for in a form; all that are on record are shown."""
BLANK_ROWS = 3
"""Rows of a table of which nothing is stated."""
_TYPED = re.compile(
    r"(?P<value>[-+\u2212]?\s*[\d.,\s\u202f\u00a0]*\d[.,]?(?:[eE][-+\u2212]?\d+)?)\s*(?P<unit>[^\d\s.,+\u2212-].*)?"
)


def read_form(
    check: Check, on_record: Stated, places: Mapping[str, str], typed: Mapping[str, str]
) -> ReadForm:
    """Read the form of a check.

    Parameters
    ----------
    check : Check
    on_record : Stated
        What the record of a vehicle states for it; empty without a vehicle.
    places : mapping of str to str
        Readings that the record states, and by what.
    typed : mapping of str to str
        By the names of the fields; a field that is not there is as it stands.

    Returns
    -------
    ReadForm

    Notes
    -----
    A number is in the unit the form shows, or carries its unit; ``330 ± 2`` states its band too. What was not typed
    keeps the errors the record gives it; a typed figure lies within the band beside it, all values alike. A row of a
    table is left out where every figure is empty that has no usual value.
    """
    return _Form(check, on_record, places, typed).read()


@dataclass(slots=True)
class _Read:
    """A cell as read: the quantity, or None where nothing states it; `usual` tells that a usual value stands there."""

    cell: Cell
    quantity: Quantity | None
    usual: bool = False
    wrong: bool = False


@dataclass(slots=True)
class _Form:
    check: Check
    on_record: Stated
    places: Mapping[str, str]
    typed: Mapping[str, str]
    changed: list[str] = field(default_factory=list)
    missing: dict[str, Reading] = field(default_factory=dict)
    assumed: list[str] = field(default_factory=list)
    settings: list[str] = field(default_factory=list)
    values: dict[str, Quantity | Sequence[Quantity]] = field(default_factory=dict)
    names: dict[str, Sequence[str]] = field(default_factory=dict)
    choices: dict[str, str] = field(default_factory=dict)
    wrong: bool = False

    def read(self) -> ReadForm:
        numbers = {one.name: place for place, one in enumerate(self.check.readings, start=1)}
        selects = tuple(self._select(name) for name in (one.name for one in self.check.choices))
        fields = []
        for reading in self.check.readings:
            if not reading.each:
                fields.append(Field(reading, numbers[reading.name], self._single(reading)))
        kinds = dict.fromkeys(one.each for one in self.check.readings if one.each)
        tables = tuple(self._table(each, numbers) for each in kinds)
        form = CheckForm(tuple(fields), tables, selects)
        sound = not self.wrong and not self.missing
        stated = Stated(self.values, self.choices, self.names) if sound else None
        return ReadForm(
            stated,
            form,
            tuple(self.changed),
            tuple(self.missing.values()),
            tuple(self.assumed),
            tuple(self.settings),
        )

    def _select(self, name: str) -> Select:
        one = next(one for one in self.check.choices if one.name == name)
        usual = self.on_record.choices.get(name, next(iter(one.options)))
        chosen = self.typed.get(name, usual)
        fault = ""
        if chosen not in one.options:
            fault = f"there is no {one.words} {chosen[:40]!r}; choose one."
            self.wrong = True
            self.changed.append(name)
        else:
            # What stands there by itself was not chosen; the check tells that it took it.
            if name in self.on_record.choices or chosen != usual:
                self.choices[name] = chosen
            if chosen != usual:
                self.changed.append(name)
                self.settings.append(f"{name}={chosen}")
        return Select(name, one.words, one.options, chosen, usual, fault)

    def _single(self, reading: Reading) -> Cell:
        told = self.on_record.values.get(reading.name)
        found = self._cell(reading, reading.name, told if isinstance(told, Quantity) else None)
        if found.quantity is None and not found.wrong:
            self.missing[reading.name] = reading
        # A usual value is left to the check, which tells that it took it.
        if found.quantity is not None and not found.usual:
            self.values[reading.name] = found.quantity
            if found.cell.origin == TYPED:
                self.settings.append(f"{reading.name}={_setting(found.quantity, reading)}")
        return found.cell

    def _cell(self, reading: Reading, name: str, told: Quantity | None) -> _Read:
        """What stands in a field, or was typed over it."""
        standing, origin = told, NOTHING
        if told is not None:
            told = told.in_unit(reading.unit)
            place = self.places.get(reading.name, "")
            origin = FACT if place.startswith("fact ") else RECORD
            usual, usual_band = (
                printed(told.value, reading),
                printed_band(told.expanded(), told.value, reading),
            )
            standing = told
        elif reading.usual is not None:
            one = reading.usual
            origin, usual = USUAL, printed(one.value, reading, 4)
            usual_band = printed_band(one.half_width, one.value, reading)
            standing = _usual_quantity(self.check, reading)
        else:
            usual, usual_band = "", ""
        value_text = self.typed.get(name, usual).strip()
        band_text = self.typed.get(band_field(name), usual_band).strip()
        as_it_stands = value_text == usual and band_text in (usual_band, "")
        place = self.places.get(reading.name, "") if origin in (RECORD, FACT) else ""
        if as_it_stands or (not value_text and not usual):
            cell = Cell(name, value_text, usual, band_text or usual_band, usual_band, origin, place)
            return _Read(cell, standing, usual=origin == USUAL)
        if value_text != usual:
            self.changed.append(name)
        if band_text != usual_band and (band_text or value_text != usual):
            self.changed.append(band_field(name))
        if not value_text:
            return self._emptied(reading, Cell(name, "", usual, "", usual_band, NOTHING))
        head, _, behind = value_text.replace("+/-", "±").partition("±")
        fault, quantity = "", None
        try:
            quantity = self._quantity(reading, name, head, behind or band_text)
        except ValueError as error:
            fault, self.wrong = str(error), True
        cell = Cell(name, value_text, usual, band_text, usual_band, TYPED, "", fault)
        return _Read(cell, quantity, wrong=bool(fault))

    def _emptied(self, reading: Reading, cell: Cell) -> _Read:
        """A field that was emptied: the usual value holds, or the reading is missing."""
        if reading.usual is None:
            return _Read(replace(cell, fault="was emptied; type it, or take it as recorded."), None)
        return _Read(cell, _usual_quantity(self.check, reading), usual=True)

    def _quantity(self, reading: Reading, name: str, value_text: str, band_text: str) -> Quantity:
        value = _si(value_text, reading)
        try:
            in_reach(self.check, reading, value)
        except ValueError as error:
            raise ValueError(str(error).removeprefix(f"{self.check.title}: ")) from None
        source = f"typed {name}"
        if not band_text:
            return with_band(reading, value, source)
        half = _half_width(band_text, value, reading)
        return rectangular(value, half, reading.unit, source) if half else exact(value, reading.unit)

    def _table(self, each: str, numbers: Mapping[str, int]) -> Table:
        readings = [one for one in self.check.readings if one.each == each]
        told = {one.name: self.on_record.values.get(one.name) for one in readings}
        known = max((1 if isinstance(one, Quantity) else len(one) for one in told.values() if one), default=0)
        rows, at, fault = self._rows(each, known, any(one.usual is None for one in readings))
        named = next((one for one in self.check.names if one.each == each), None)
        usual_names = list(self.on_record.names.get(each, ())) or [f"{each} {i + 1}" for i in range(known)]
        items, kept = [], []
        for row in range(rows):
            usual_name = usual_names[row] if row < len(usual_names) else f"{each} {row + 1}"
            place = f"{named.name}.{row + 1}" if named else ""
            name = self.typed.get(place, usual_name).strip() or usual_name
            if name != usual_name:
                self.changed.append(place)
            cells = [self._cell(one, f"{one.name}.{row + 1}", _nth(told[one.name], row)) for one in readings]
            needed = [cell for cell, one in zip(cells, readings, strict=True) if one.usual is None] or cells
            if any(cell.cell.typed for cell in needed):
                kept.append((name, cells))
                cells = [_told_missing(one, of) for one, of in zip(cells, readings, strict=True)]
            else:
                cells = [replace(one, cell=replace(one.cell, fault="")) for one in cells]
            items.append(Item(place, name, usual_name, tuple(cell.cell for cell in cells)))
        self._take(each, readings, kept, named.name if named else "")
        words = named.words if named else each
        return Table(
            each,
            words,
            at,
            tuple((one, numbers[one.name]) for one in readings),
            tuple(items),
            fault or self._twice(kept),
        )

    def _rows(self, each: str, known: int, stated: bool) -> tuple[int, str, str]:
        """How many rows there are, the field that says so, and what is wrong there."""
        at = f"{COUNT}.{each}"
        usual = known or (BLANK_ROWS if stated else 1)
        text = self.typed.get(at, str(usual)).strip()
        if text == str(usual):
            return usual, at, ""
        self.changed.append(at)
        most = max(MOST_ROWS, known)
        if not text.isascii() or not text.isdigit() or len(text) > 6 or not 1 <= int(text) <= most:
            self.wrong = True
            return usual, at, f"write how many there are, 1 to {most}."
        return int(text), at, ""

    def _twice(self, kept: Sequence[tuple[str, object]]) -> str:
        names = [name for name, _ in kept]
        if len(set(names)) == len(names):
            return ""
        self.wrong = True
        return "two of the names are the same; each needs its own."

    def _take(
        self, each: str, readings: Sequence[Reading], kept: Sequence[tuple[str, list[_Read]]], named: str
    ) -> None:
        """What the rows of a table state; a column of nothing but usual values is left to the check."""
        if kept:
            self.names[each] = [name for name, _ in kept]
        own = self.on_record.names.get(each, [f"{each} {row + 1}" for row in range(len(kept))])
        touched = bool(kept) and list(own) != [name for name, _ in kept]
        for column, reading in enumerate(readings):
            read = [cells[column] for _, cells in kept]
            if not read or any(one.quantity is None and not one.wrong for one in read):
                if reading.usual is None:
                    self.missing[reading.name] = reading
                continue
            if all(one.usual for one in read):
                continue
            found = [one.quantity for one in read if one.quantity is not None]
            if len(found) < len(read):
                continue
            self.values[reading.name] = found
            self.assumed += [
                f"{reading.words} of {name} taken as {shown(one.value, reading)}, a usual value"
                for (name, _), one, cell in zip(kept, found, read, strict=True)
                if cell.usual
            ]
            typed = any(one.cell.origin == TYPED for one in read)
            if typed or list(own) != [name for name, _ in kept]:
                touched = True
                self.settings.append(f"{reading.name}={'; '.join(_setting(one, reading) for one in found)}")
        if touched and named:
            self.settings.append(f"{named}={'; '.join(name for name, _ in kept)}")


def _told_missing(one: _Read, reading: Reading) -> _Read:
    """A cell that is empty beside others of its row, with what to do."""
    if one.quantity is not None or one.wrong:
        return one
    return replace(one, cell=replace(one.cell, fault=f"measure it too: {reading.how}."))


def _nth(told: Quantity | Sequence[Quantity] | None, row: int) -> Quantity | None:
    if told is None or isinstance(told, Quantity):
        return told if row == 0 else None
    return told[row] if row < len(told) else None


def _usual_quantity(check: Check, reading: Reading) -> Quantity | None:
    one = reading.usual
    if one is None:
        return None
    if not one.half_width:
        return exact(one.value, reading.unit, Origin.ASSUMED)
    name = f"usual {reading.name} of {check.name}"
    return rectangular(one.value, one.half_width, reading.unit, name, Origin.ASSUMED)


def _si(text: str, reading: Reading) -> float:
    found = _TYPED.fullmatch(text.strip())
    if found is None or not found["unit"]:
        value, unit = number(text), unit_of(reading)
    else:
        value, unit = number(found["value"]), found["unit"].strip()
    return to_si(value, unit, reading.unit)[0]


def _half_width(text: str, value_si: float, reading: Reading) -> float:
    found = _TYPED.fullmatch(text.strip())
    unit = unit_of(reading)
    try:
        if found is None or not found["unit"]:
            half = number(text)
        else:
            half, unit = number(found["value"]), found["unit"].strip()
        if unit == "%" and unit_of(reading) != "%":
            half, unit = (
                abs(from_si(value_si, unit_of(reading), reading.unit)) * half / 100.0,
                unit_of(reading),
            )
        in_si = uncertainty_to_si(half, from_si(value_si, unit, reading.unit), unit)
    except ValueError as error:
        msg = f"band: {error}"
        raise ValueError(msg) from None
    if in_si < 0.0:
        msg = f"band: {text.strip()} is negative; write half of its width."
        raise ValueError(msg)
    return in_si


def _setting(value: Quantity, reading: Reading) -> str:
    """A figure as the command takes it."""
    unit = unit_of(reading)
    told = f"{from_si(value.value, unit, reading.unit):.9g}".replace(MINUS, "-")
    behind = "" if unit == "1" else f" {unit}"
    half = value.standard_uncertainty * 3.0**0.5
    band = f" ± {uncertainty_from_si(half, value.value, unit):.4g}{behind}" if half else ""
    return f"{told}{behind}{band}"
