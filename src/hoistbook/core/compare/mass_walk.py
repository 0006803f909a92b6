"""The mass gap: systems as causes, functions as decisions, and the mass that no part on the bench accounts for."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, replace

from hoistbook.core.compare.bars import Bar, DecisionBar, Interval, Remark
from hoistbook.core.compare.chance import EXACT_FRAC, spread_of
from hoistbook.core.compare.walk import NOT_EXPLAINED, Walk, like_the_rest
from hoistbook.core.quantities.assumption import Assumption, aside, caution
from hoistbook.core.quantities.quantity import Origin, Quantity, total, weakest

UNALLOCATED = "not_explained"
LISTED_FRAC = 0.2
"""A system listed with less than this share of the other vehicle's mass may not have been taken apart; project rule."""
WELL_LISTED_FRAC = 0.95
"""Below this share of the scale's mass a remark says how much of a vehicle is listed; project rule."""
UNALLOCATED_WORDS = "not explained: on the scale, not among the parts"


@dataclass(frozen=True, slots=True)
class MassSide:
    """What the mass walk needs of one vehicle.

    Attributes
    ----------
    code : str
    stated : Quantity
        Vehicle mass by the scale, in the mass state both vehicles are compared in. [kg]
    systems : mapping of system code to Quantity
        Mass of the parts of each system. [kg]
    decisions : mapping of (system code, function code) to Quantity
        Mass of the parts that serve a function, within a system. [kg]
    origins : mapping of system code to Origin
        How the mass of each system is known for the most part.
    scale_origin : Origin
        How the mass of the vehicle is known, content set equal or not.
    absent : frozenset of str
        Functions this vehicle is recorded to do without: their mass is exactly zero.
    """

    code: str
    stated: Quantity
    systems: Mapping[str, Quantity]
    decisions: Mapping[tuple[str, str], Quantity]
    origins: Mapping[str, Origin]
    scale_origin: Origin
    absent: frozenset[str] = frozenset()


def mass_walk(
    x: MassSide,
    y: MassSide,
    system_words: Mapping[str, str],
    function_words: Mapping[str, str],
    *,
    comparison: str,
    n_draws: int,
    seed: int,
    assumed: tuple[Assumption, ...] = (),
    listed_frac: float = LISTED_FRAC,
) -> Walk:
    """Reconcile the mass gap Y − X system by system and decision by decision.

    Parameters
    ----------
    x, y : MassSide
    system_words, function_words : mapping
        The words of the trade for each code.
    comparison : str
        "as found" or "normalised".
    n_draws, seed : int
        Draws behind the chance of a sign where errors are not normal; bands need none.
    assumed : tuple of Assumption
    listed_frac : float
        See Notes. [1]

    Returns
    -------
    Walk
        Unit kg. The rest is the gap on the scale less the parts of all systems.

    Raises
    ------
    ValueError
        Fewer than 100 draws.

    Notes
    -----
    Masses add, so every share is exact: share of a system = its mass in Y less its mass in X, with the band of that
    difference of the two mass books (`mass_difference`). Every other figure of the same function or system is the same
    sum of the same readings, so all of them agree, whatever the draws. A function enters as a decision when both
    vehicles record an approach to it (or that they do without).
    A system is not compared, and stays in the rest, when one vehicle lists nothing there, or less than `listed_frac` of
    the other's mass while the mass missing from its list could hold the difference: what was not taken apart is not
    zero.

    Source
    ------
    first principles (the band of a linear sum: GUM 5.1.2, shared errors once).
    """
    if n_draws < 100:
        msg = f"n_draws = {n_draws}: give at least 100 draws for the chance of a sign."
        raise ValueError(msg)
    compared = _Compared(x, y, n_draws, seed)
    not_compared = thinly_listed(x, y, listed_frac)
    shares: dict[str, Quantity] = {}
    origins: dict[str, str] = {}
    for code in sorted({*x.systems, *y.systems} - not_compared):
        both = [side.origins[code] for side in (x, y) if code in side.systems]
        shares[code] = compared.difference(x.systems.get(code), y.systems.get(code))
        origins[code] = max(both, key=lambda origin: origin.rank).value
    gap = compared.difference(x.stated, y.stated)
    rest = compared.less(gap, shares.values())
    split: dict[tuple[str, str], Quantity] = {}
    left_out: list[str] = []
    known_as: dict[str, list[Origin]] = {}
    known = [{function for _, function in side.decisions} | side.absent for side in (x, y)]
    for key in sorted({*x.decisions, *y.decisions}):
        system, function = key
        if system in not_compared:
            continue
        if function not in known[0] or function not in known[1]:
            left_out.append(function_words.get(function, function))
            continue
        split[key] = compared.difference(x.decisions.get(key), y.decisions.get(key))
        known_as.setdefault(function, []).extend(
            side.decisions[key].origin for side in (x, y) if key in side.decisions
        )
    for side in (x, y):
        listed = sum(q.value for q in side.systems.values()) / side.stated.value
        if listed < WELL_LISTED_FRAC:
            told = f"only {listed:.0%} of its mass is listed among the parts"
            assumed = (*assumed, caution(told, side.code))
    if left_out:
        told = f"recorded at one vehicle only, so no decision yet: {', '.join(sorted(set(left_out)))}"
        assumed = (*assumed, aside(told))
    lines = {
        key: DecisionBar(
            key[1],
            function_words.get(key[1], key[1]),
            Interval.of(change),
            weakest(known_as[key[1]]).value,
        )
        for key, change in split.items()
    }
    bars: list[Bar] = []
    remarks: list[Remark] = []
    for code, share in shares.items():
        own = {key: change for key, change in split.items() if key[0] == code}
        if share == _NOTHING and not own:
            continue
        bars.append(
            compared.bar(
                code,
                system_words.get(code, code),
                share,
                gap.expanded(),
                origins[code],
                [lines[key] for key in own],
                list(own.values()),
            )
        )
        remark = like_the_rest(bars[-1], rest.expanded(), (share + rest).expanded())
        remarks += [] if remark is None else [remark]
    bars.sort(key=lambda bar: -abs(bar.amount.value))
    bars.append(compared.bar(UNALLOCATED, UNALLOCATED_WORDS, rest, gap.expanded(), NOT_EXPLAINED, (), ()))
    decided = total(list(split.values()), unit="kg")
    by_function = [
        DecisionBar(
            function,
            function_words.get(function, function),
            Interval.of(total([change for key, change in split.items() if key[1] == function])),
            weakest(found).value,
        )
        for function, found in known_as.items()
    ]
    return Walk(
        quantity="mass",
        unit="kg",
        code_x=x.code,
        code_y=y.code,
        comparison=comparison,
        value_x=Interval.of(x.stated),
        value_y=Interval.of(y.stated),
        gap=Interval.of(gap),
        gap_sign=compared.sign(gap),
        detection_limit=gap.expanded(),
        bars=tuple(bars),
        decisions=tuple(sorted(by_function, key=lambda line: -abs(line.amount.value))),
        remarked=tuple(remarks),
        assumed=assumed,
        effective_draws=float(n_draws),
        closing_error=0.0,
        end_words=(x.scale_origin.value, y.scale_origin.value),
        basis="",
        decided=Interval.of(decided),
        undecided=Interval.of(compared.less(gap, (rest, decided))),
        not_compared=tuple(system_words.get(code, code) for code in sorted(not_compared)),
    )


def mass_difference(x: Quantity | None, y: Quantity | None, scale_kg: float) -> Quantity:
    """Mass of Y less mass of X, errors the two share once.

    Parameters
    ----------
    x, y : Quantity or None
        None where a vehicle has nothing there. [kg]
    scale_kg : float
        Mass of the vehicles: what is left below `EXACT_FRAC` of it is rounding, and dropped.

    Returns
    -------
    Quantity
        [kg]
    """
    found = (_NOTHING if y is None else y) - (_NOTHING if x is None else x)
    return without_rounding(found, scale_kg)


def without_rounding(found: Quantity, scale_kg: float) -> Quantity:
    """A sum of masses without what only the finite digits of floats have left in it."""
    lost = EXACT_FRAC * scale_kg
    terms = tuple((source, c) for source, c in found.terms if abs(c) > lost)
    if len(terms) == len(found.terms) and abs(found.value) > lost:
        return found
    return replace(found, value=found.value if abs(found.value) > lost else 0.0, terms=terms)


_NOTHING = Quantity(0.0, "kg")


@dataclass(frozen=True, slots=True)
class _Compared:
    """Sums of masses of two vehicles."""

    x: MassSide
    y: MassSide
    n_draws: int
    seed: int

    @property
    def scale_kg(self) -> float:
        return max(abs(side.stated.value) for side in (self.x, self.y))

    def difference(self, of_x: Quantity | None, of_y: Quantity | None) -> Quantity:
        return mass_difference(of_x, of_y, self.scale_kg)

    def less(self, whole: Quantity, parts: Iterable[Quantity]) -> Quantity:
        """What parts leave of a whole."""
        return without_rounding(whole - total(list(parts), unit="kg"), self.scale_kg)

    def sign(self, found: Quantity) -> float:
        """Probability that the sign is the one printed; 0.5 for a value that is exactly zero."""
        if found.value == 0.0:
            return 0.5
        spread = spread_of(found, 0.0, self.n_draws, self.seed)
        return (
            spread.chance_below(0.0) if found.value < 0.0 else 1.0 - spread.chance_below(0.0, or_equal=True)
        )

    def bar(
        self,
        name: str,
        words: str,
        share: Quantity,
        limit: float,
        origin: str,
        lines: Sequence[DecisionBar],
        decided: Sequence[Quantity],
    ) -> Bar:
        return Bar(
            name=name,
            words=words,
            amount=Interval.of(share),
            origin=origin,
            merged=(),
            resolved=abs(share.value) >= limit,
            p_sign=self.sign(share),
            first_in=None,
            last_in=None,
            decisions=tuple(sorted(lines, key=lambda line: -abs(line.amount.value))),
            unexplained=Interval.of(self.less(share, decided)),
        )


def thinly_listed(x: MassSide, y: MassSide, listed_frac: float = LISTED_FRAC) -> set[str]:
    """Systems that one vehicle may simply not have been taken apart for; see the notes of `mass_walk`."""
    unlisted = {id(side): side.stated.value - sum(q.value for q in side.systems.values()) for side in (x, y)}
    found: set[str] = set()
    for code in {*x.systems, *y.systems}:
        mass = {id(side): side.systems[code].value if code in side.systems else 0.0 for side in (x, y)}
        lighter, heavier = sorted((x, y), key=lambda side: mass[id(side)])
        difference = mass[id(heavier)] - mass[id(lighter)]
        thin = mass[id(lighter)] < listed_frac * mass[id(heavier)]
        if code not in lighter.systems or (thin and unlisted[id(lighter)] > difference):
            found.add(code)
    return found
