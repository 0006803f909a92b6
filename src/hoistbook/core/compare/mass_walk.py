"""The mass gap: systems as causes, functions as decisions, and the mass that no part on the bench accounts for."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

import numpy as np

from hoistbook.core.arrays import Array
from hoistbook.core.compare.bars import DecisionBar, WeightedDraws
from hoistbook.core.compare.walk import Walk, make_bars
from hoistbook.core.quantities.quantity import Quantity
from hoistbook.core.quantities.sampling import draws as draw

UNALLOCATED = "not_explained"
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
    absent : frozenset of str
        Functions this vehicle is recorded to do without: their mass is exactly zero.
    """

    code: str
    stated: Quantity
    systems: Mapping[str, Quantity]
    decisions: Mapping[tuple[str, str], Quantity]
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
    assumptions: tuple[str, ...] = (),
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
    assumptions : tuple of str

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

    Source
    ------
    first principles.
    """
    if n_draws < 100:
        msg = f"n_draws = {n_draws}: give at least 100 draws for a 95 % band."
        raise ValueError(msg)
    equal = WeightedDraws(np.full(n_draws, 1.0 / n_draws))
    drawn_x, drawn_y = draw(x.stated, n_draws, seed), draw(y.stated, n_draws, seed)
    gap_draws = drawn_y - drawn_x
    shares: dict[str, Array] = {}
    origins: dict[str, str] = {}
    for code in sorted({*x.systems, *y.systems}):
        both = [side.systems[code] for side in (x, y) if code in side.systems]
        shares[code] = _drawn(y.systems.get(code), n_draws, seed) - _drawn(x.systems.get(code), n_draws, seed)
        origins[code] = max((q.origin for q in both), key=lambda origin: origin.rank).value
    rest = gap_draws - np.sum(list(shares.values()), axis=0) if shares else gap_draws
    shares[UNALLOCATED] = rest
    split: dict[tuple[str, str], Array] = {}
    left_out: list[str] = []
    known = [{function for _, function in side.decisions} | side.absent for side in (x, y)]
    for key in sorted({*x.decisions, *y.decisions}):
        system, function = key
        if function not in known[0] or function not in known[1]:
            left_out.append(function_words.get(function, function))
            continue
        change = _drawn(y.decisions.get(key), n_draws, seed) - _drawn(x.decisions.get(key), n_draws, seed)
        split[system, function] = change
    if left_out:
        assumptions = (
            *assumptions,
            f"recorded at one vehicle only, so no decision yet: {', '.join(sorted(set(left_out)))}",
        )
    gap = equal.interval(gap_draws)
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
    )
    totals: dict[str, Array] = {}
    for (_, function), values in split.items():
        totals[function] = totals[function] + values if function in totals else values
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
        decisions=tuple(
            sorted(
                (
                    DecisionBar(function, function_words.get(function, function), equal.interval(values))
                    for function, values in totals.items()
                ),
                key=lambda bar: -abs(bar.amount.value),
            )
        ),
        remarks=remarks,
        assumptions=assumptions,
        effective_draws=float(n_draws),
        closing_error=0.0,
    )


def _drawn(quantity: Quantity | None, n_draws: int, seed: int) -> Array:
    return np.zeros(n_draws) if quantity is None else np.asarray(draw(quantity, n_draws, seed))
