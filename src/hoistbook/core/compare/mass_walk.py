"""The mass gap: systems as causes, functions as decisions, and the mass that no part on the bench accounts for."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

import numpy as np

from hoistbook.core.arrays import Array
from hoistbook.core.compare.bars import WeightedDraws
from hoistbook.core.compare.walk import Walk, decision_totals, make_bars
from hoistbook.core.quantities.assumption import Assumption, aside, caution
from hoistbook.core.quantities.quantity import Origin, Quantity, weakest
from hoistbook.core.quantities.sampling import draws as draw

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
        Draws for the bands; shared instruments are drawn once for both vehicles.
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
    Masses add, so every share is exact: share of a system = its mass in Y less its mass in X. A function enters as a
    decision when both vehicles record an approach to it (or that they do without).
    A system is not compared, and stays in the rest, when one vehicle lists nothing there, or less than `listed_frac` of
    the other's mass while the mass missing from its list could hold the difference: what was not taken apart is not
    zero.

    Source
    ------
    first principles.
    """
    if n_draws < 100:
        msg = f"n_draws = {n_draws}: give at least 100 draws for a 95 % band."
        raise ValueError(msg)
    equal = WeightedDraws.equal(n_draws)
    drawn_x, drawn_y = draw(x.stated, n_draws, seed), draw(y.stated, n_draws, seed)
    gap_draws = drawn_y - drawn_x
    shares: dict[str, Array] = {}
    origins: dict[str, str] = {}
    not_compared = thinly_listed(x, y, listed_frac)
    for code in sorted({*x.systems, *y.systems} - not_compared):
        both = [side.origins[code] for side in (x, y) if code in side.systems]
        shares[code] = _drawn(y.systems.get(code), n_draws, seed) - _drawn(x.systems.get(code), n_draws, seed)
        origins[code] = max(both, key=lambda origin: origin.rank).value
    rest = gap_draws - np.sum(list(shares.values()), axis=0) if shares else gap_draws
    shares[UNALLOCATED] = rest
    split: dict[tuple[str, str], Array] = {}
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
        change = _drawn(y.decisions.get(key), n_draws, seed) - _drawn(x.decisions.get(key), n_draws, seed)
        split[system, function] = change
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
    gap = equal.interval(gap_draws)
    decision_origins = {function: weakest(found).value for function, found in known_as.items()}
    bars, remarks = make_bars(
        shares,
        {**{code: system_words.get(code, code) for code in shares}, UNALLOCATED: UNALLOCATED_WORDS},
        origins,
        split,
        {function: function_words.get(function, function) for _, function in split},
        equal,
        gap.half_width,
        rest=UNALLOCATED,
        separate_by={},
        merge=False,
        decision_origins=decision_origins,
    )
    decided = np.sum(list(split.values()), axis=0) if split else np.zeros(n_draws)
    return Walk(
        quantity="mass",
        unit="kg",
        code_x=x.code,
        code_y=y.code,
        comparison=comparison,
        value_x=equal.interval(drawn_x),
        value_y=equal.interval(drawn_y),
        gap=gap,
        gap_sign=equal.sign_probability(gap_draws),
        detection_limit=gap.half_width,
        bars=bars,
        decisions=decision_totals(split, function_words, equal, decision_origins),
        remarked=remarks,
        assumed=assumed,
        effective_draws=float(n_draws),
        closing_error=0.0,
        end_words=(x.scale_origin.value, y.scale_origin.value),
        basis="",
        decided=equal.interval(decided),
        undecided=equal.interval(gap_draws - rest - decided),
        not_compared=tuple(system_words.get(code, code) for code in sorted(not_compared)),
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


def _drawn(quantity: Quantity | None, n_draws: int, seed: int) -> Array:
    return np.zeros(n_draws) if quantity is None else np.asarray(draw(quantity, n_draws, seed))
