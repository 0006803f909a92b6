"""What another fastener, another number of them, or a locating feature in place of one would change.

In grams, money and seconds. Whether the joint then still holds is another question: this asks for no strength.
"""

from __future__ import annotations

from dataclasses import dataclass

from hoistbook.core.cost.assembly.fastening import Fastening, Station, fastening_steps
from hoistbook.core.cost.assembly.plans import Kind
from hoistbook.core.cost.assembly.tally import Rates
from hoistbook.core.cost.assembly.times import standard_time
from hoistbook.core.cost.assembly.work import Counts, Workshop, normal_time
from hoistbook.core.cost.fasteners.designation import Designation
from hoistbook.core.cost.fasteners.mass import fastener_mass, figure_names
from hoistbook.core.cost.fasteners.price import fastener_price
from hoistbook.core.cost.figure_set import FigureSet
from hoistbook.core.cost.money import MoneyBasis, same_basis
from hoistbook.core.quantities.assumption import Assumption, caution
from hoistbook.core.quantities.quantity import Quantity, total


@dataclass(frozen=True, slots=True)
class Fixing:
    """One way of fixing a part.

    Attributes
    ----------
    fastener : Designation or None
        None where nothing is screwed.
    count : int
        Fasteners. [1]
    nut : Designation or None
        One on each fastener.
    washer : Designation or None
        One loose washer under each fastener; another piece to fetch.
    prestarted : bool
    feature_mass : Quantity or None
        What locating features add to the parts: a tab, a hook, a boss; negative for a hole or boss left out. [kg]
    feature_money : Quantity or None
        What they add to the price of the parts, in the basis of the rates. ["1"]
    feature_words : str
    spindle_count : int
    """

    fastener: Designation | None
    count: int
    nut: Designation | None = None
    washer: Designation | None = None
    prestarted: bool = False
    feature_mass: Quantity | None = None
    feature_money: Quantity | None = None
    feature_words: str = ""
    spindle_count: int = 1

    def __post_init__(self) -> None:
        if self.count < 0 or (self.count > 0) != (self.fastener is not None):
            msg = f"count = {self.count!r} with {'a' if self.fastener else 'no'} fastener: give both, or neither."
            raise ValueError(msg)
        if self.fastener is None and (self.nut or self.washer):
            msg = "a nut or washer without a fastener; name the fastener, or leave them out."
            raise ValueError(msg)


@dataclass(frozen=True, slots=True)
class FixingCost:
    """A fixing in figures. Money in `basis`; the lines add up to `money`.

    Attributes
    ----------
    mass : Quantity
        Fasteners and features. [kg]
    normal_s, standard_s : Quantity
        Of joining; the part itself is brought to its place either way. [s]
    money : Quantity
        ["1"]
    lines : tuple of (str, Quantity)
        Bought fasteners, labour, locating features.
    basis : MoneyBasis
    assumed : tuple of Assumption
    """

    mass: Quantity
    normal_s: Quantity
    standard_s: Quantity
    money: Quantity
    lines: tuple[tuple[str, Quantity], ...]
    basis: MoneyBasis
    assumed: tuple[Assumption, ...]


@dataclass(frozen=True, slots=True)
class Swap:
    """New less old, each with the errors the two share taken once. Units as in `FixingCost`."""

    mass: Quantity
    normal_s: Quantity
    standard_s: Quantity
    money: Quantity
    lines: tuple[tuple[str, Quantity], ...]
    old: FixingCost
    new: FixingCost
    assumed: tuple[Assumption, ...]


def fixing_cost(
    fixing: Fixing, workshop: Workshop, prices: FigureSet, rates: Rates, volume_per_year: float = 1e6
) -> FixingCost:
    """Mass, time and money of one fixing.

    Parameters
    ----------
    fixing : Fixing
    workshop : Workshop
    prices : FigureSet
        Figures of fastener mass and price.
    rates : Rates
        With a labour rate in the basis of the prices.
    volume_per_year : float
        Fasteners of this kind bought a year. [1]

    Raises
    ------
    ValueError
        No labour rate, or one in another basis than the prices.
    """
    if rates.money_per_s is None or rates.basis is None:
        msg = "a fixing needs a labour rate with currency and year; pass both in `rates`."
        raise ValueError(msg)
    shop = workshop.fresh()
    basis = same_basis(rates.basis, prices.basis, "labour rate and fastener prices")
    pieces = [d for d in (fixing.fastener, fixing.nut, fixing.washer) if d is not None]
    mass = total([fastener_mass(d.piece, prices) for d in pieces], [float(fixing.count)] * len(pieces), "kg")
    priced = [fastener_price(d.piece, prices, volume_per_year) for d in pieces]
    bought = total([p.piece_money for p in priced], [float(fixing.count)] * len(pieces), "1")
    normal = _normal_time(fixing, shop)
    standard = standard_time(normal, rates.allowance, rates.form)
    lines = [("fasteners", bought), ("labour", (standard * rates.money_per_s).in_unit("1"))]
    if fixing.feature_money is not None:
        lines.append(("locating features", fixing.feature_money))
    if fixing.feature_mass is not None:
        mass = mass + fixing.feature_mass
    assumed = [
        *(a for d in pieces for a in d.assumed),
        *(a for d in pieces for a in prices.assumed(*figure_names(d.piece))),
        *(a for p in priced for a in p.assumed),
    ]
    if shop.figures.asked:
        assumed += shop.figures.assumed(*sorted(shop.figures.asked))
    return FixingCost(
        mass,
        normal,
        standard,
        total([amount for _, amount in lines], unit="1"),
        tuple(lines),
        basis,
        tuple(dict.fromkeys(assumed)),
    )


def swap(
    old: Fixing,
    new: Fixing,
    workshop: Workshop,
    prices: FigureSet,
    rates: Rates,
    volume_per_year: float = 1e6,
) -> Swap:
    """What changes when one fixing takes the place of another: new less old.

    Parameters
    ----------
    old, new : Fixing
    workshop, prices, rates, volume_per_year
        As in `fixing_cost`.

    Returns
    -------
    Swap
        Differences share the errors of figures and motion plans, so they are sharper than either side.
    """
    before = fixing_cost(old, workshop, prices, rates, volume_per_year)
    after = fixing_cost(new, workshop, prices, rates, volume_per_year)
    names = dict.fromkeys([name for name, _ in (*before.lines, *after.lines)])
    nothing = Quantity(0.0, "1")
    lines = tuple(
        (name, dict(after.lines).get(name, nothing) - dict(before.lines).get(name, nothing)) for name in names
    )
    check = caution("mass, money and time only: whether the joint still holds is for the joint check to say")
    return Swap(
        after.mass - before.mass,
        after.normal_s - before.normal_s,
        after.standard_s - before.standard_s,
        after.money - before.money,
        lines,
        before,
        after,
        (*dict.fromkeys((*before.assumed, *after.assumed)), check),
    )


def _normal_time(fixing: Fixing, workshop: Workshop) -> Quantity:
    if fixing.fastener is None:
        return Quantity(0.0, "s")
    thread = fixing.fastener.piece.thread
    kind = Kind.BOLT if fixing.nut is None else Kind.BOLT_AND_NUT
    joint = Fastening(kind, float(fixing.count), thread.diameter_m, thread.pitch_m, fixing.prestarted)
    steps = fastening_steps(joint, workshop, Station(spindle_count=fixing.spindle_count))
    if fixing.washer is not None:
        steps += workshop.steps("washer", Counts(each=float(fixing.count)))
    # One name for every fixing: how this place differs from the plan is the same before and after.
    return normal_time(steps, workshop, kind, "assembly joint/fixing", 1.0, obstructed=False)
