"""Where a bar comes from: the weakest origin among the figures that carry it."""

from __future__ import annotations

from collections.abc import Mapping

import numpy as np

from hoistbook.core.arrays import Array
from hoistbook.core.compare.causes import CAUSES, Cause
from hoistbook.core.compare.gap import Question, Side
from hoistbook.core.energy.duty import drive
from hoistbook.core.energy.parameters import EnergyParameters

CARRIES_FRAC = 0.05
"""A figure carries its cause when it makes at least this share of the squares of all its figures' effects.
Project rule, no source: an assumed figure that hardly moves the bar does not make the bar an assumption."""


def cause_origins(question: Question, x: Side, y: Side) -> dict[str, str]:
    """Origin word of each cause.

    Parameters
    ----------
    question : Question
    x, y : Side

    Returns
    -------
    dict
        Cause name to "measured", "published", "inferred" or "assumed".

    Notes
    -----
    The effect of a figure is what its difference between the vehicles does to the range of X, and what one standard
    deviation of either vehicle's figure does, at the means of the draws. Where nothing differs the weakest of all
    figures of the cause is named.

    Source
    ------
    common practice, no source: the project's own rule.
    """
    names = [name for cause in CAUSES for name in cause.fields]
    centre = {name: float(np.mean(x.fields[name])) for name in names}
    moves: list[tuple[str, float]] = []
    for name in names:
        moves.append((name, float(np.mean(y.fields[name])) - centre[name]))
        moves.extend((name, float(np.std(side.fields[name]))) for side in (x, y))
    effect = _effects(question, centre, moves).reshape(len(names), 3)
    squares = dict(zip(names, (effect**2).sum(axis=1).tolist(), strict=True))
    return {cause.name: _weakest(cause, squares, x, y) for cause in CAUSES}


def _effects(question: Question, centre: Mapping[str, float], moves: list[tuple[str, float]]) -> Array:
    """Change of range or consumption for each move of one figure."""
    columns = {name: np.full(len(moves) + 1, value) for name, value in centre.items()}
    for i, (name, move) in enumerate(moves):
        columns[name][i] += move
    parameters = EnergyParameters(
        gravity_m_per_s2=question.surroundings.gravity_m_per_s2,
        air_density_kg_per_m3=question.surroundings.air_density_kg_per_m3,
        **columns,
    )
    driven = drive(question.duty, parameters)
    value = driven.range_m if question.quantity == "range" else driven.consumption_j_per_m
    return np.asarray(value[:-1] - value[-1])


def _weakest(cause: Cause, squares: Mapping[str, float], x: Side, y: Side) -> str:
    total = sum(squares[name] for name in cause.fields)
    carrying = [name for name in cause.fields if squares[name] > CARRIES_FRAC * total] or list(cause.fields)
    origins = [side.origins[name] for name in carrying for side in (x, y)]
    return max(origins, key=lambda origin: origin.rank).value
