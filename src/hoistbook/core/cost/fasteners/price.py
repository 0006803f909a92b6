"""Price of a fastener bought in quantity, from its mass and the operations it takes."""

from __future__ import annotations

import math
from dataclasses import dataclass

from hoistbook.core.cost.fasteners.mass import fastener_mass
from hoistbook.core.cost.fasteners.pieces import Bolt, Nut, Piece
from hoistbook.core.cost.figure_set import FigureSet
from hoistbook.core.cost.money import MoneyBasis
from hoistbook.core.quantities.assumption import Assumption
from hoistbook.core.quantities.quantity import Quantity, combine, total

_REFERENCE_DIAMETER_M = 0.008  # `forming_money` is that of an M8
_REFERENCE_VOLUME = 1e6  # pieces a year at which the volume factor is 1
SMALLEST_VOLUME = 1e3
LARGEST_VOLUME = 1e9


@dataclass(frozen=True, slots=True)
class FastenerPrice:
    """Price of one fastener as bought, and what it is made of.

    Attributes
    ----------
    piece_money : Quantity
        Sum of the lines. ["1", units of the currency]
    basis : MoneyBasis
    lines : tuple of (str, Quantity)
        Wire, forming, heat treatment, coating, packing, mark-up and volume; they add up to the price.
    volume_per_year : float
        Pieces a year. [1]
    assumed : tuple of Assumption
    """

    piece_money: Quantity
    basis: MoneyBasis
    lines: tuple[tuple[str, Quantity], ...]
    volume_per_year: float
    assumed: tuple[Assumption, ...]


def fastener_price(piece: Piece, figures: FigureSet, volume_per_year: float = 1e6) -> FastenerPrice:
    """Price of one fastener in quantity.

    Parameters
    ----------
    piece : Bolt, Stud or Nut
    figures : FigureSet
        Mass and price figures; amounts on one basis.
    volume_per_year : float
        Pieces bought a year, 1e3 to 1e9. [1]

    Returns
    -------
    FastenerPrice

    Raises
    ------
    ValueError
        A volume outside the range.

    Notes
    -----
    (wire price × use × m + forming × (d/8 mm)^a × head × flange + (heat treatment + coating) × m + packing)
    × (1 + mark-up) × (V/10⁶)^b. Washers and nuts are formed at a share of a bolt; washers are not heat treated.
    Without captive washer, patch, special coating or approval tests.

    Source
    ------
    common practice: every figure; see `data/fasteners/figures.toml`. The form is that of a mass-based should-cost.
    """
    if not SMALLEST_VOLUME <= volume_per_year <= LARGEST_VOLUME:
        msg = (
            f"volume_per_year = {volume_per_year!r} is outside {SMALLEST_VOLUME:.0e} to {LARGEST_VOLUME:.0e}: "
            "fasteners are bought in lots; give pieces a year."
        )
        raise ValueError(msg)
    mass = fastener_mass(piece, figures)
    made = [
        ("wire", mass * (figures["wire_price_money_per_kg"] * figures["wire_use_frac"])),
        ("forming", _forming(piece, figures)),
    ]
    if not (isinstance(piece, Nut) and piece.row.form == "washer"):
        made.append(("heat treatment", mass * figures["heat_treatment_money_per_kg"]))
    made.append(("coating", mass * figures["coating_money_per_kg"]))
    made.append(("packing", figures["packing_money"]))
    lines = [(name, amount.in_unit("1")) for name, amount in made]
    cost = total([amount for _, amount in lines], unit="1")
    marked = cost * figures["mark_up_frac"]
    at_volume = (cost + marked) * (_volume_factor(figures["volume_exponent"], volume_per_year) + -1.0)
    lines += [("mark-up", marked), ("volume", at_volume)]
    return FastenerPrice(
        total([amount for _, amount in lines], unit="1"),
        figures.basis,
        tuple(lines),
        volume_per_year,
        figures.assumed(*price_figure_names(piece)),
    )


def price_figure_names(piece: Piece) -> tuple[str, ...]:
    """Names of the price figures a piece rests on."""
    names = ["wire_price_money_per_kg", "wire_use_frac", "forming_money", "forming_size_exponent"]
    names += _shape_names(piece)
    if not (isinstance(piece, Nut) and piece.row.form == "washer"):
        names.append("heat_treatment_money_per_kg")
    return (*names, "coating_money_per_kg", "packing_money", "mark_up_frac", "volume_exponent")


def _shape_names(piece: Piece) -> list[str]:
    if isinstance(piece, Nut):
        plain = {"nut": ["nut_forming_frac"], "washer": ["washer_forming_frac"]}
        return plain.get(piece.row.form, ["nut_forming_frac", "flange_frac"])
    if not isinstance(piece, Bolt):
        return []
    names = []
    if piece.head.drive in ("socket", "hexalobular"):
        names.append("drive_internal_frac")
    if piece.head.drive == "external hexalobular":
        names.append("drive_external_lobed_frac")
    if piece.head.form in ("hexagon flange", "lobed flange", "button with collar"):
        names.append("flange_frac")
    return names


def _forming(piece: Piece, figures: FigureSet) -> Quantity:
    ratio = piece.thread.diameter_m / _REFERENCE_DIAMETER_M
    exponent = figures["forming_size_exponent"]
    scale = ratio**exponent.value
    cost = figures["forming_money"] * combine(scale, [(exponent, scale * math.log(ratio))], "1")
    for name in _shape_names(piece):
        cost = cost * figures[name]
    return cost


def _volume_factor(exponent: Quantity, volume_per_year: float) -> Quantity:
    ratio = volume_per_year / _REFERENCE_VOLUME
    factor = ratio**exponent.value
    return combine(factor, [(exponent, factor * math.log(ratio))], "1")
