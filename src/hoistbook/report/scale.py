"""Axes of a drawing: where a value stands on the sheet, round ticks, and room kept free for labels."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass

_STEPS = (1.0, 2.0, 5.0)
_FIT_ROUNDS = 300
_SMALLEST_SHARE = 0.08


@dataclass(frozen=True, slots=True)
class Scale:
    """Linear axis from `low` at `left` to `high` at `right`. [unit of the axis, px]"""

    low: float
    high: float
    left: float
    right: float

    def __call__(self, value: float) -> float:
        """Place of a value. [px]"""
        return self.left + (value - self.low) / (self.high - self.low) * (self.right - self.left)

    def ticks(self, apart: float) -> tuple[tuple[float, ...], int]:
        """Round values at least `apart` px from one another, and the decimals they need.

        Steps are 1, 2 or 5 times a power of ten.
        """
        wanted = apart * (self.high - self.low) / (self.right - self.left)
        power = math.floor(math.log10(wanted))
        digit = next((step for step in _STEPS if step * 10.0**power >= wanted), 10.0)
        step = digit * 10.0**power
        places = max(0, -power if digit < 10.0 else -power - 1)
        first, last = math.ceil(self.low / step - 1e-9), math.floor(self.high / step + 1e-9)
        # Multiples of a decimal step are rounded to its place, or 3 × 0.1 would print as 0.30000000000000004.
        return tuple(round(n * step, places) for n in range(first, last + 1)), places


@dataclass(frozen=True, slots=True)
class Claim:
    """Room a label needs beyond a value: px to the left of `value` (negative side) or to the right."""

    value: float
    left: float = 0.0
    right: float = 0.0


def share(axis: Scale, claims: Sequence[Claim]) -> float:
    """Share of an axis that the values themselves take; the rest is room for labels. [1]"""
    values = [claim.value for claim in claims]
    return (max(values) - min(values)) / (axis.high - axis.low)


def fitted(claims: Sequence[Claim], left: float, right: float) -> Scale:
    """The axis on which every claim stays between `left` and `right`.

    Parameters
    ----------
    claims : sequence of Claim
        At least one.
    left, right : float
        [px]

    Returns
    -------
    Scale

    Raises
    ------
    ValueError
        No claim, or no room between left and right.

    Notes
    -----
    The ends are found by repetition, since room in px depends on the axis itself: each round moves each end out to the
    furthest claim. The values keep 8 % of the width at least; labels that leave less reach beyond, which `share` tells.
    """
    if not claims or not right > left:
        msg = f"nothing to fit, or no room between {left} and {right} px."
        raise ValueError(msg)
    lowest, highest = min(claim.value for claim in claims), max(claim.value for claim in claims)
    if highest == lowest:
        half = 0.5 * max(abs(highest), 1.0)
        lowest, highest = lowest - half, highest + half
    low, high = lowest, highest
    for _ in range(_FIT_ROUNDS):
        per_px = (high - low) / (right - left)
        ends = (
            min([lowest, *(claim.value - claim.left * per_px for claim in claims)]),
            max([highest, *(claim.value + claim.right * per_px for claim in claims)]),
        )
        done = abs(ends[0] - low) + abs(ends[1] - high) < 1e-9 * (high - low)
        if done or ends[1] - ends[0] > (highest - lowest) / _SMALLEST_SHARE:
            break
        low, high = ends
    return Scale(low, high, left, right)
