"""Fasteners of a torn-down vehicle, joint by joint: what the records name, their mass and price."""

from __future__ import annotations

from dataclasses import dataclass

from hoistbook.core.cost.assembly.book import AssemblyBook, fastener_words
from hoistbook.core.cost.fasteners.designation import Designation, read_designation
from hoistbook.core.cost.fasteners.mass import fastener_mass, figure_names
from hoistbook.core.cost.fasteners.price import FastenerPrice, fastener_price
from hoistbook.core.cost.fasteners.tables import FastenerTables
from hoistbook.core.cost.figure_set import FigureSet
from hoistbook.core.cost.money import MoneyBasis
from hoistbook.core.quantities.assumption import Assumption, aside
from hoistbook.core.quantities.quantity import Quantity, total
from hoistbook.core.vehicle.records import Teardown
from hoistbook.core.vehicle.tree import PartTree


@dataclass(frozen=True, slots=True)
class JointFasteners:
    """Fasteners of one joint.

    Attributes
    ----------
    joint, text : str
        Joint id; words of its fastener.
    count : float
        Pieces in the vehicle. [1]
    designation : Designation or None
        None where it cannot be read, for the reason in `refused`.
    piece_kg : Quantity or None
        Mass of one by the model. [kg]
    price : FastenerPrice or None
        Of one, at the volume of all that read alike.
    refused : str
    """

    joint: str
    text: str
    count: float
    designation: Designation | None
    piece_kg: Quantity | None
    price: FastenerPrice | None
    refused: str


@dataclass(frozen=True, slots=True)
class FastenerList:
    """Threaded fasteners of a vehicle.

    Attributes
    ----------
    joints : tuple of JointFasteners
    mass : Quantity
        Of those that could be read. [kg]
    money : Quantity
        The same, in `basis`. ["1"]
    basis : MoneyBasis
    count, read_count : float
        All; those that could be read. [1]
    kinds : tuple of str
        Distinct texts.
    commonality_frac : float or None
        1 − (kinds − 1)/(count − 1): 1 when one kind serves all. None for fewer than two fasteners. [1]
    assumed : tuple of Assumption
    """

    joints: tuple[JointFasteners, ...]
    mass: Quantity
    money: Quantity
    basis: MoneyBasis
    count: float
    read_count: float
    kinds: tuple[str, ...]
    commonality_frac: float | None
    assumed: tuple[Assumption, ...]


def fastener_list(
    teardown: Teardown,
    book: AssemblyBook,
    tables: FastenerTables,
    figures: FigureSet,
    vehicles_per_year: float,
) -> FastenerList:
    """Mass and price of the threaded fasteners that the joints name.

    Parameters
    ----------
    teardown : Teardown
    book : AssemblyBook
        Of the same vehicle: where joints occur and how often.
    tables : FastenerTables
    figures : FigureSet
        Of fastener mass and price.
    vehicles_per_year : float
        Sets the volume of each kind. [1]

    Returns
    -------
    FastenerList
        What cannot be read is listed with its reason and is in no sum.

    Raises
    ------
    ValueError
        A yearly volume of a kind outside the price model's range.
    """
    tree = PartTree(teardown.nodes)
    records = {joint.id: joint for joint in teardown.joints}
    threaded = [work for work in book.joints if work.reading.threaded]
    texts = {work.joint: fastener_words(records[work.joint], tree) for work in threaded}
    counts = {work.joint: work.count * work.occurrences for work in threaded}
    yearly: dict[str, float] = {}
    for joint, text in texts.items():
        yearly[text] = yearly.get(text, 0.0) + counts[joint] * vehicles_per_year
    read: dict[tuple[str, str], JointFasteners] = {}
    rows = []
    for work in threaded:
        text, drive = texts[work.joint], work.reading.drive
        if (text, drive) not in read:
            read[text, drive] = _read(text, drive, tables, figures, yearly[text])
        one = read[text, drive]
        rows.append(
            JointFasteners(
                work.joint, text, counts[work.joint], one.designation, one.piece_kg, one.price, one.refused
            )
        )
    known = [row for row in rows if row.piece_kg is not None and row.price is not None and row.count > 0.0]
    count = sum(row.count for row in rows)
    kinds = tuple(sorted({row.text for row in rows}))
    refused = [row for row in rows if row.refused]
    assumed = [a for row in known if row.designation for a in row.designation.assumed]
    assumed += [
        a for row in known if row.designation for a in figures.assumed(*figure_names(row.designation.piece))
    ]
    assumed += [a for row in known if row.price for a in row.price.assumed]
    if refused:
        assumed.append(
            aside(
                f"{sum(r.count for r in refused):g} of {count:g} threaded fasteners could not be read: in no sum"
            )
        )
    return FastenerList(
        tuple(rows),
        total([row.piece_kg for row in known if row.piece_kg], [row.count for row in known], "kg"),
        total([row.price.piece_money for row in known if row.price], [row.count for row in known], "1"),
        figures.basis,
        count,
        sum(row.count for row in known),
        kinds,
        1.0 - (len(kinds) - 1.0) / (count - 1.0) if count > 1.0 else None,
        tuple(dict.fromkeys(assumed)),
    )


def _read(
    text: str, drive: str, tables: FastenerTables, figures: FigureSet, volume_per_year: float
) -> JointFasteners:
    try:
        designation = read_designation(text, tables, drive)
        mass = fastener_mass(designation.piece, figures)
    except ValueError as error:
        return JointFasteners("", text, 0.0, None, None, None, str(error))
    if not volume_per_year > 0.0:
        return JointFasteners(
            "", text, 0.0, designation, mass, None, "the number of fasteners is not recorded"
        )
    price = fastener_price(designation.piece, figures, volume_per_year)
    return JointFasteners("", text, 0.0, designation, mass, price, "")
