"""Words of a verdict that are the same in every check."""

from __future__ import annotations

from hoistbook.core.checks.found import Held

SURE = 0.95
"""Probability from which on a limit is said to be kept or passed; the level of every band here."""
NO_PERMISSION = (
    "This is a figure to plan with, never a permission: the maker's sheet and licensed people decide."
)


def kept(held: Held) -> str:
    """Whether a limit is kept: "is kept", "is not kept", or "cannot be told", with the probability."""
    if held.kept >= SURE:
        words = "is kept"
    elif held.kept <= 1.0 - SURE:
        words = "is not kept"
    else:
        words = f"cannot be told from these readings: the chance that it is kept is {held.kept:.0%}"
    return f"{words}. {NO_PERMISSION}" if held.safety else words
