"""Figures that a measurement took the place of: told apart from doubts, with the old value and the new one."""

from __future__ import annotations

from dataclasses import dataclass

from hoistbook.core.quantities.quantity import Quantity
from hoistbook.core.vehicle.records import Replaced, Teardown
from hoistbook.services.touched import about_facts, touches

_NOTHING_FRAC = 1e-9
"""Of a figure: less than this apart is the arithmetic of the machine."""


@dataclass(frozen=True, slots=True)
class ReplacedFigure:
    """A replaced figure of one vehicle; `apart` is by how much the two bands do not meet, 0 where they do. [SI]"""

    vehicle: str
    one: Replaced
    apart: float


def bands_apart(one: Quantity, other: Quantity) -> float:
    """By how much two 95 % bands do not meet, in their SI unit; 0 where they meet.

    Notes
    -----
    The larger of low₁ − high₂ and low₂ − high₁. Errors that both figures share stay in both bands.
    """
    (low, high), (other_low, other_high) = one.band(), other.band()
    apart = max(low - other_high, other_low - high)
    return apart if apart > _NOTHING_FRAC * max(abs(one.value), abs(other.value)) else 0.0


def replaced_figures(
    teardown: Teardown, configuration: str, *, duty: str = "", gap_in: str = ""
) -> tuple[Replaced, ...]:
    """Figures of a configuration that later ones took the place of.

    Parameters
    ----------
    teardown : Teardown
    configuration : str
    duty : str
        Leave out what is stated for another duty; empty takes any.
    gap_in : str
        "range", "energy" or "mass": only those that touch such a gap; empty takes all.
    """
    return tuple(
        one
        for one in teardown.replaced
        if one.now.configuration == configuration
        and duty in ("", one.now.duty or duty)
        and (not gap_in or touches(gap_in, about_facts([one.now], teardown.facts)))
    )


def replaced_of(teardown: Teardown, configuration: str, duty: str, gap_in: str) -> tuple[ReplacedFigure, ...]:
    """The same with the vehicle's code and by how much the two bands do not meet."""
    return tuple(
        ReplacedFigure(teardown.vehicle.code, one, bands_apart(one.now.value, one.was.value))
        for one in replaced_figures(teardown, configuration, duty=duty, gap_in=gap_in)
    )
