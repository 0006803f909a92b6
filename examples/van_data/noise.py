"""Repeatable randomness: every draw is named, so that adding a part moves no other reading."""

from __future__ import annotations

import hashlib
from statistics import NormalDist

_NORMAL = NormalDist()


def uniform(name: str) -> float:
    """Return a number in (0, 1) that depends on the name alone."""
    word = int.from_bytes(hashlib.sha256(name.encode()).digest()[:7], "big")
    return (word + 0.5) / 2.0**56


def normal(name: str) -> float:
    """Return a standard normal number that depends on the name alone."""
    return _NORMAL.inv_cdf(uniform(name))
