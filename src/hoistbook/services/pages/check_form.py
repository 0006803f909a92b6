"""The form of a check as plain data: a field for every reading, filled from the record or from usual values."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

from hoistbook.core.checks.declared import Reading
from hoistbook.core.checks.run import Stated
from hoistbook.core.quantities.units import from_si, uncertainty_from_si

BAND, COUNT = "band", "count"
RECORD, FACT, USUAL, TYPED, NOTHING = "record", "fact", "usual", "typed", ""


@dataclass(frozen=True, slots=True)
class Cell:
    """A figure that can be typed, in the unit people read.

    Attributes
    ----------
    name : str
        Of its field; the field of its band is `band_name`.
    typed, band : str
        As they stand in the fields.
    usual, usual_band : str
        As they stand where nobody typed.
    origin : str
        "record", "fact", "usual" or "typed"; empty where nothing states it.
    place : str
        By what the record states it.
    fault : str
    """

    name: str
    typed: str
    usual: str
    band: str
    usual_band: str
    origin: str
    place: str = ""
    fault: str = ""

    @property
    def band_name(self) -> str:
        """Name of the field of the band."""
        return band_field(self.name)


@dataclass(frozen=True, slots=True)
class Field:
    """A reading of which there is one; `number` is its number in the drawing."""

    reading: Reading
    number: int
    cell: Cell


@dataclass(frozen=True, slots=True)
class Item:
    """A row of a table: one of several things. `field` is where its name is typed; empty where names cannot be."""

    field: str
    name: str
    usual: str
    cells: tuple[Cell, ...]


@dataclass(frozen=True, slots=True)
class Table:
    """Readings of which there are several, a row for each thing; `count` is the field of how many there are."""

    each: str
    words: str
    count: str
    readings: tuple[tuple[Reading, int], ...]
    items: tuple[Item, ...]
    fault: str = ""


@dataclass(frozen=True, slots=True)
class Select:
    """A switch: options with what they mean."""

    name: str
    words: str
    options: Mapping[str, str]
    chosen: str
    usual: str
    fault: str = ""


@dataclass(frozen=True, slots=True)
class CheckForm:
    """Everything that can be typed, and what is wrong: at fields, or with all of it (`fault`)."""

    fields: tuple[Field, ...]
    tables: tuple[Table, ...]
    selects: tuple[Select, ...]
    fault: str = ""

    @property
    def names(self) -> tuple[str, ...]:
        """Every field."""
        cells = [one.cell for one in self.fields]
        cells += [cell for table in self.tables for item in table.items for cell in item.cells]
        typed = [name for cell in cells for name in (cell.name, cell.band_name)]
        named = [item.field for table in self.tables for item in table.items if item.field]
        return (
            *typed,
            *named,
            *(table.count for table in self.tables),
            *(one.name for one in self.selects),
        )


@dataclass(frozen=True, slots=True)
class ReadForm:
    """What was typed, read.

    Attributes
    ----------
    stated : Stated or None
        None where something is wrong or missing.
    form : CheckForm
    changed : tuple of str
        Fields that differ from what stands there by itself.
    missing : tuple of Reading
        What nothing states.
    assumed : tuple of str
        Usual values that stand in single rows of a table, as sentences; the check tells the others itself.
    settings : tuple of str
        What was changed as the command takes it: ``reading=value``.
    """

    stated: Stated | None
    form: CheckForm
    changed: tuple[str, ...]
    missing: tuple[Reading, ...]
    assumed: tuple[str, ...]
    settings: tuple[str, ...]


def band_field(name: str) -> str:
    """Name of the field of the band of a figure: "span_left_m.band", "mount_x_m.band.2"."""
    head, dot, row = name.partition(".")
    return f"{head}.{BAND}{dot}{row}"


def unit_of(one: Reading) -> str:
    """Unit in which a reading is typed."""
    return one.show or one.unit


def printed(value: float, one: Reading, digits: int = 6) -> str:
    """A figure as its field shows it, as a reader types it."""
    return _plain(from_si(value, unit_of(one), one.unit), digits)


def printed_band(half: float, value: float, one: Reading) -> str:
    """A half width as its field shows it."""
    return _plain(uncertainty_from_si(half, value, unit_of(one)), 3) if half else "0"


def _plain(value: float, digits: int) -> str:
    rounded = float(f"{value:.{digits}g}") or 0.0
    return f"{rounded:.12g}"  # as many digits as are left, so that 1000 is not written 1e+03
