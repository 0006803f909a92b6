"""Figures of checks that claims speak of, drawn together, with the readings that could be taken anew."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import replace

import numpy as np

from hoistbook.core.arrays import Array
from hoistbook.core.checks.declared import Reading
from hoistbook.core.checks.drawn import CHECK_DRAWS, Drawn, draw_check
from hoistbook.core.compare.claim_checks import CheckFigure
from hoistbook.core.compare.claim_figures import Figure, Figures
from hoistbook.core.compare.claims import Claim
from hoistbook.core.compare.next_measurement import Candidate
from hoistbook.core.quantities.quantity import Origin
from hoistbook.services.checks import of_vehicle
from hoistbook.services.claim_bench import Bench

HAS_A_SAY = 2e-3
"""project rule: share of variance from which on a usual value is told to move a figure; with 10,000 draws chance alone
reaches it less than once in 10,000 times."""


def check_figures(bench: Bench, claim: Claim, wanted: CheckFigure) -> Figures:
    """Figures of a check at the vehicles of a claim.

    Parameters
    ----------
    bench : Bench
    claim : Claim
    wanted : CheckFigure

    Returns
    -------
    Figures
        Drawn with one seed, so that errors both vehicles share (an instrument) are the same in each draw. Where the
        literature disagrees every formula counts alike, the same one at both vehicles: a probability is one over the
        draws and all formulas, as it is for the limits of a check.

    Notes
    -----
    A reading that could be taken anew is taken to be as good as the check states for its way of measuring, or as the
    one on record where that is worse.
    """
    vehicles = [claim.vehicle, *((claim.other,) if claim.other else ())]
    drawn = {vehicle: _drawn(bench, wanted, vehicle) for vehicle in vehicles}
    known = {vehicle: one for vehicle, one in drawn.items() if not isinstance(one, str)}
    shared = _shared_formulas([one.by_formula(wanted.outcome, wanted.item) for one in known.values()])
    figures = [_figure(wanted, vehicle, drawn[vehicle], shared) for vehicle in vehicles]
    candidates = [
        candidate
        for vehicle, one in known.items()
        for candidate in _candidates(one, bench.called(vehicle), vehicle, len(shared))
    ]
    remarks = [
        f"{remark} ({bench.called(vehicle)})" for vehicle, one in known.items() for remark in one.caveats
    ]
    if len(shared) > 1:
        remarks.append(
            f"the literature disagrees on {wanted.words}: {len(shared)} formulas, each counted alike"
        )
    return Figures(
        figures[0], figures[1] if claim.other else None, candidates=candidates, remarks=tuple(remarks)
    )


def _drawn(bench: Bench, wanted: CheckFigure, vehicle: str) -> Drawn | str:
    """The check at a vehicle; what keeps it from being worked out where it cannot be."""
    check = wanted.check
    try:
        teardown = bench.teardown(vehicle)
        stated, _ = of_vehicle(check, teardown, bench.configuration(vehicle))
        missing = [one for one in check.readings if one.usual is None and one.name not in stated.values]
        if missing:
            needed = "; ".join(f"{one.words} ({one.how})" for one in missing)
            return f"{wanted.words} at {bench.called(vehicle)}: {check.title} needs {needed}"
        found = draw_check(check, replace(stated, whose=vehicle), CHECK_DRAWS, bench.settings.seed)
        for draws in found.by_formula(wanted.outcome, wanted.item).values():
            if not np.isfinite(draws).all():
                return (
                    f"{wanted.words} at {bench.called(vehicle)}: the band of a reading reaches where the equation has "
                    "no value; measure again to narrow it"
                )
    except (ValueError, LookupError) as error:
        return f"{wanted.words} at {bench.called(vehicle)}: {str(error.args[0]).rstrip('.')}"
    return found


def _shared_formulas(several: Sequence[Mapping[str, Array]]) -> tuple[str, ...]:
    """Formulas that hold at every vehicle, in the order of the first."""
    if not several:
        return ()
    return tuple(name for name in several[0] if all(name in one for one in several[1:]))


def _figure(wanted: CheckFigure, vehicle: str, drawn: Drawn | str, formulas: Sequence[str]) -> Figure:
    unit = wanted.outcome.unit
    if isinstance(drawn, str):
        return Figure(vehicle, wanted.words, unit, missing=drawn)
    if not formulas:
        missing = f"{wanted.words}: no formula of {wanted.check.title} holds at both vehicles"
        return Figure(vehicle, wanted.words, unit, missing=missing)
    by_formula = drawn.by_formula(wanted.outcome, wanted.item)
    draws = np.concatenate([_column(by_formula[name], drawn)[1:] for name in formulas])
    taken = {one.field for one in drawn.assumed}
    read = [one.words for one in wanted.check.readings if one.name not in taken]
    grounds = (f"check {wanted.check.name} from {', '.join(read) or 'usual values'}",)
    return Figure(
        vehicle,
        wanted.words,
        unit,
        drawn=draws,
        known_as=Origin.INFERRED,
        grounds=grounds,
        assumed=tuple(one.text for one in drawn.assumed if _moves(drawn, one.field, draws)),
    )


def _moves(drawn: Drawn, name: str, draws: Array) -> bool:
    """Whether a usual value has a say in a figure; one without a band is taken to have."""
    if name not in drawn.values:
        return True  # an option that nobody chose
    rows = np.atleast_2d(drawn.values[name])[:, 1:]
    rows = np.tile(rows, (1, draws.size // rows.shape[1]))
    off = rows - rows.mean(axis=1, keepdims=True)
    # A value that is as likely too high as too low may move a figure one way only: its square tells.
    tried = np.concatenate([off, off**2 - (off**2).mean(axis=1, keepdims=True)])
    size = np.linalg.norm(tried, axis=1)
    still = size <= np.finfo(float).eps * np.linalg.norm(rows)
    if still[: rows.shape[0]].any():
        return True
    moved = draws - draws.mean()
    if not moved.any():
        return False
    # One that only stretches what another reading does shows in the square of the figure.
    told = np.stack([moved, moved**2 - (moved**2).mean()])
    share = (tried @ told.T / np.outer(size, np.linalg.norm(told, axis=1))) ** 2
    return bool(share.max() >= HAS_A_SAY)


def _column(draws: Array, drawn: Drawn) -> Array:
    """A figure that no reading moves has one value for all draws."""
    whole: Array = np.broadcast_to(draws, next(iter(drawn.values.values())).shape[-1:])
    return whole


def _candidates(drawn: Drawn, called: str, vehicle: str, formulas: int) -> Iterable[Candidate]:
    """Readings of a vehicle that could be taken (again); those of several things are taken together."""
    for reading in drawn.check.readings:
        rows = np.atleast_2d(drawn.values[reading.name])[:, 1:]
        if not rows.std(axis=1).any():
            continue
        words = f"{reading.words} of each {reading.each}" if reading.each else reading.words
        yield Candidate(
            f"{vehicle} {reading.name}",
            f"{words} at {called}",
            np.tile(rows, (1, formulas)),
            [_again(drawn, reading, place) for place in range(rows.shape[0])],
            f"measure {words} at {called}: {reading.how}",
        )


def _again(drawn: Drawn, reading: Reading, place: int) -> float:
    """Standard uncertainty of a new reading."""
    stated = reading.half_width / 3.0**0.5  # all values within the band alike
    if reading.name in {one.field for one in drawn.assumed}:
        return stated
    return max(stated, drawn.quantities[reading.name][place].standard_uncertainty)
