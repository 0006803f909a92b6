"""What a rigid obstacle of some height meets under the vehicle, in which order, and what shelters what."""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

from hoistbook.core.arrays import Array
from hoistbook.core.checks.declared import Check, Found, Given, Outcome
from hoistbook.core.checks.first_touched.data import NAMES, READINGS, SKETCH
from hoistbook.core.checks.found import CheckResult

SEEN = 0.01
"""Chance from which on a part is named; project rule."""


def _touched(g: Given) -> NDArray[np.bool_]:
    touched: NDArray[np.bool_] = g.part_z_m < g.obstacle_m
    return touched


def _first(g: Given) -> Array:
    """1 for the part that is touched first, of those touched the foremost; shape (parts, n)."""
    place = np.where(_touched(g), g.part_x_m, np.inf)
    front = place.min(axis=0)
    first: Array = ((place == front) & np.isfinite(front)).astype(np.float64)
    return first


def _shelter(g: Given) -> Array:
    """Best margin that something ahead gives: (z_c − z_p) − (x_c − x_p) tan φ; for what nothing stands ahead of, −z."""
    x, z = g.part_x_m, g.part_z_m
    ahead = x[None, :, :] < x[:, None, :]
    margin = (z[:, None, :] - z[None, :, :]) - (x[:, None, :] - x[None, :, :]) * np.tan(g.pitch_rad)
    best: Array = np.where(ahead, margin, -np.inf).max(axis=1)
    return np.where(np.isfinite(best), best, -z)


def _evaluate(g: Given) -> Found:
    return {
        "lowest_m": g.part_z_m.min(axis=0),
        "exposure_m": g.obstacle_m - g.part_z_m,
        "first": _first(g),
        "shelter_m": _shelter(g),
    }


def _verdict(result: CheckResult, given: Given) -> str:
    names = given.names("part")
    first = _first(given)[:, 1:].mean(axis=1)
    height = float(given.obstacle_m[0]) * 1e3
    touched = [name for name in names if result.figure("exposure_m", name).value > 0.0]
    words = []
    close = [
        f"{name} with a chance of {chance:.0%}"
        for name, chance in zip(names, _touched(given)[:, 1:].mean(axis=1), strict=True)
        if chance >= SEEN
    ]
    if not touched and close:
        words.append(
            f"At the heights as read an obstacle of {height:.0f} mm passes below all of these parts at ride height, "
            f"but within their bands it may touch {', '.join(close)}."
        )
    elif not touched:
        words.append(f"An obstacle of {height:.0f} mm touches none of these parts at ride height.")
    else:
        order = sorted(zip(first, names, strict=True), reverse=True)
        told = ", ".join(f"{name} with a chance of {chance:.0%}" for chance, name in order if chance >= SEEN)
        exposed = "; ".join(
            f"{name} by {result.figure('exposure_m', name).value * 1e3:.0f} mm" for name in touched
        )
        words.append(f"An obstacle of {height:.0f} mm meets first: {told}. Lower than it: {exposed}.")
    sheltered = [name for name in names if result.figure("shelter_m", name).low > 0.0]
    if sheltered:
        words.append(f"Something ahead stands lower than: {', '.join(sheltered)}.")
    words.append(
        "Only an obstacle that neither tips nor springs back keeps that order, in the same band across."
    )
    return " ".join(words)


CHECK = Check(
    name="first_touched",
    title="What is touched first",
    question="What would an obstacle of some height touch first, and what stands in front of what?",
    family="underbody",
    readings=READINGS,
    names=NAMES,
    outcomes=(
        Outcome("lowest_m", "lowest height of all", "m", show="mm"),
        Outcome("exposure_m", "obstacle higher than the part by", "m", each="part", show="mm"),
        Outcome("first", "touched first (1 yes)", "1", each="part"),
        Outcome("shelter_m", "what stands ahead is lower by", "m", each="part", show="mm"),
    ),
    evaluate=_evaluate,
    verdict=_verdict,
    sketch=SKETCH,
    cannot_say=(
        "Bump travel: it lowers everything alike, pitch does not",
        "Parts beside the obstacle: list those in its band across only",
        "How hard the hit is: see the strike on a shield",
    ),
    references=("first principles: a rigid obstacle at ride height, driving forward",),
    method="""
| what | equation | source |
|---|---|---|
| touched | z_i < h; the first is the foremost of those | first principles |
| exposure | h − z_i | first principles |
| shelter of what stands ahead | (z_c − z_p) − (x_c − x_p) tan φ | first principles |
""",
    cautions=("Heights are those at ride height; measure on the ground or carry them over from the hoist.",),
)
