"""A value with its unit and band becomes a Quantity in SI; a missing band is a fault, never a silent zero."""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import Literal, cast

from hoistbook.capture.fields import RowReader
from hoistbook.core.quantities.dimension import dimension
from hoistbook.core.quantities.instruments import Instrument, reading
from hoistbook.core.quantities.quantity import Origin, Quantity, Source, coverage_factor
from hoistbook.core.quantities.units import to_si, uncertainty_to_si
from hoistbook.core.vehicle.kinds import QUANTITY_KINDS, QuantityKind, quantity_kind

BandShape = Literal["normal", "rectangular", "triangular"]
# first principles: the central 95 % of a rectangle ±a is ±0.95 a; of a triangle ±a it is ±(1 − √0.05) a.
_SHARE_OF_HALF_WIDTH = {"rectangular": 0.95, "triangular": 1.0 - math.sqrt(0.05)}
# GUM 4.3.7 and 4.3.9 (from memory): u = a/√3 of a rectangle, a/√6 of a triangle.
_DIVISOR = {"rectangular": math.sqrt(3.0), "triangular": math.sqrt(6.0)}


@dataclass(frozen=True, slots=True)
class Band:
    """What a person said of a band: half width in the unit of the row, what it means, its shape, degrees of freedom."""

    half: float
    means: str = "95 %"
    shape: BandShape = "normal"
    dof: float = math.inf

    def standard(self) -> float:
        """Standard uncertainty, in the unit of the row.

        Notes
        -----
        95 %: u = U / t_0.95(dof) for a normal band; for the bounded shapes the half width a = U/0.95 or
        U/(1 − √0.05) first. limits: u = a/√3 or a/√6.

        Source
        ------
        from memory: GUM 4.3.7, 4.3.9, G.3; shares of the half width from first principles.
        """
        if self.means == "standard":
            return self.half
        if self.shape == "normal":
            return self.half / coverage_factor(self.dof)
        half_width = self.half if self.means == "limits" else self.half / _SHARE_OF_HALF_WIDTH[self.shape]
        return half_width / _DIVISOR[self.shape]

    def source(self, name: str) -> Source:
        """Return the error source of this band."""
        if self.shape == "normal" and math.isfinite(self.dof):
            return Source(name, "student", dof=self.dof)
        return Source(name, self.shape, dof=self.dof)


@dataclass(frozen=True, slots=True)
class Typed:
    """The value of a row in SI, and the unit it was typed in."""

    kind: QuantityKind
    value: float
    unit_text: str
    value_si: float
    unit: str

    def uncertainty_si(self, uncertainty: float) -> float:
        """Convert an uncertainty in the unit of the row to SI, at the value of the row."""
        return uncertainty_to_si(uncertainty, self.value, self.unit_text)


def stand_in(kind: QuantityKind | None) -> Quantity:
    """Return a harmless figure that holds the place of one with a fault, so that the other checks can go on."""
    return Quantity(1.0, kind.unit if kind else "1")


def read_kind(row: RowReader) -> QuantityKind | None:
    """Read the quantity column."""
    text = row.short("quantity")
    if not text:
        return None
    try:
        return quantity_kind(text)
    except LookupError as error:
        row.fault("quantity", error.args[0], text)
        return None


def read_value(row: RowReader, kind: QuantityKind | None, expected: str | None = None) -> Typed | None:
    """Read value and unit of a row; None when either has a fault.

    Parameters
    ----------
    row : RowReader
    kind : QuantityKind or None
        What the value is of; without it the unit cannot be judged.
    expected : str, optional
        SI symbol wanted in place of that of the kind (the factor of a scale rule is a pure number).
    """
    value = row.number("value")
    unit_text = row.short("unit")
    if kind is None or not unit_text:
        return None
    symbol = expected or kind.unit
    try:
        value_si, unit = to_si(1.0 if value is None else value, unit_text, expected=symbol)
    except ValueError as error:
        row.fault(
            "unit",
            f"{error}" if expected is None else f"the factor of a scale rule is a pure number: {error}",
            unit_text,
        )
        return None
    return None if value is None else Typed(kind, value, unit_text, value_si, unit)


def read_band(row: RowReader, *, with_meaning: bool) -> Band | None:
    """Read plus or minus with its meaning, shape and degrees of freedom; None when blank or at fault.

    Notes
    -----
    Left blank, a band is 95 % and normal; limits when a rectangle or triangle is named, a rectangle when limits are.
    """
    half = row.bounded("plus or minus", least=0.0, why="a band cannot be negative; type its half width.")
    means = row.word("band is") if with_meaning else ""
    shape = row.word("shape")
    dof = (
        row.bounded(
            "degrees of freedom", least=1.0, why="degrees of freedom are at least 1 (readings minus one)."
        )
        if with_meaning
        else None
    )
    if not shape:
        shape = "rectangular" if means == "limits" else "normal"
    if not means:
        means = "95 %" if shape == "normal" else "limits"
    if means == "limits" and shape == "normal":
        row.fault(
            "shape",
            "a normal error has no limits; choose rectangular or triangular, or say 95 % or standard.",
            shape,
        )
        return None
    if half is None:
        return None
    return Band(half, means, cast(BandShape, shape), math.inf if dof is None else dof)


def read_shared(row: RowReader, typed: Typed) -> tuple[Source, float] | None:
    """Read the shared source and its 95 % band."""
    name = " ".join(row.text("shared source").split())
    half = row.bounded(
        "shared plus or minus", least=0.0, why="a band cannot be negative; type its half width."
    )
    if name and half is None and not row.is_faulty("shared plus or minus"):
        row.fault(
            "shared plus or minus",
            "a shared source needs its band; type its 95 % half width in the unit of the row.",
        )
    if half is not None and not name:
        row.fault(
            "shared source",
            "a shared band needs the name of its source; name it, or move the band to 'plus or minus'.",
            half,
        )
    if not name or half is None:
        return None
    return Source(name), typed.uncertainty_si(half) / coverage_factor(math.inf)


def unusual(typed: Typed) -> str | None:
    """Say that a figure of a whole vehicle lies outside what is usual; None where it does not, or nothing is known."""
    kind = typed.kind
    if kind.usual is None or kind.usual[0] <= typed.value_si <= kind.usual[1]:
        return None
    one, _ = to_si(1.0, typed.unit_text)
    low, high = (f"{bound / one:.4g}" for bound in kind.usual)
    unit = "" if typed.unit_text == "1" else f" {typed.unit_text}"
    return f"{kind.words} = {typed.value:g}{unit} lies outside the usual {low} to {high}{unit}; check value and unit."


def from_band(
    typed: Typed, band: Band, name: str, origin: Origin, shared: tuple[Source, float] | None = None
) -> Quantity:
    """Make the quantity of a typed value with its own band and, if any, a shared one."""
    own = (band.source(name), typed.uncertainty_si(band.standard()))
    terms = tuple(term for term in (own, shared) if term is not None and term[1] > 0.0)
    return Quantity(typed.value_si, typed.unit, terms, origin)


def from_instrument(
    row: RowReader,
    typed: Typed,
    instrument: Instrument,
    name: str,
    shared: tuple[Source, float] | None = None,
) -> Quantity | None:
    """Make the quantity of a typed value with the band its instrument gives it; None when the instrument cannot."""
    if typed.value_si < 0.0 and not typed.kind.signed:
        row.fault(
            "value",
            f"{typed.kind.words} cannot be negative; check the sign, the tare or the zero of {instrument.id}.",
            row.seen("value"),
        )
        return None
    if dimension(instrument.unit) != dimension(typed.unit) or (typed.unit == "1") != (instrument.unit == "1"):
        row.fault(
            "instrument",
            f"{instrument.id} is a {instrument.kind} and reads in {instrument.unit}, not in "
            f"{typed.unit}; check which was used.",
            instrument.id,
        )
        return None
    try:
        quantity = reading(instrument, typed.value_si, name)
    except ValueError as error:
        # The row names itself; the name of its errors in the core says nothing to a person.
        message = str(error).removeprefix(f"reading {name} of ")
        row.fault("value", message, row.seen("value"))
        return None
    terms = quantity.terms if shared is None or shared[1] == 0.0 else (*quantity.terms, shared)
    return Quantity(quantity.value, typed.unit, terms, quantity.origin)


def of_quantity(kind: QuantityKind | None, text: str) -> str:
    """Key of a quantity; the text as typed where it is unknown."""
    return kind.key if kind is not None and kind.key in QUANTITY_KINDS else text
