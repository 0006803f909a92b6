"""Random numbers for many parts at once: each number follows from seed, key and place alone, so order cannot matter.

A counter-based generator, written for arrays: tens of thousands of keyed streams of a thousand numbers each would spend
their time being set up one by one. Sources that several parts share are drawn by `quantities.sampling`.
"""

from __future__ import annotations

import hashlib
from collections.abc import Sequence

import numpy as np
from numpy.typing import NDArray
from scipy.special import ndtri

from hoistbook.core.arrays import Array

_STEP = np.uint64(0x9E3779B97F4A7C15)
_MIX_A = np.uint64(0xBF58476D1CE4E5B9)
_MIX_B = np.uint64(0x94D049BB133111EB)


def keys(names: Sequence[str], seed: int) -> NDArray[np.uint64]:
    """Key of each stream: the first 8 bytes of SHA-256 of seed and name.

    Parameters
    ----------
    names : sequence of str, length n
    seed : int

    Returns
    -------
    array of uint64, shape (n,)
    """
    digests = (hashlib.sha256(f"{seed}\x00{name}".encode()).digest()[:8] for name in names)
    return np.frombuffer(b"".join(digests), dtype="<u8").astype(np.uint64)


def uniforms(found: NDArray[np.uint64], n_draws: int) -> Array:
    """Return uniform draws inside (0, 1), shape (n, n_draws).

    Parameters
    ----------
    found : array of uint64, shape (n,)
        From `keys`.
    n_draws : int
        The first of a longer run are the same.

    Source
    ------
    published: G. L. Steele, D. Lea, C. H. Flood, Fast splittable pseudorandom number generators, OOPSLA 2014
    (SplitMix64; constants from memory). The tests hold its first numbers and its moments.
    """
    counter = np.arange(1, n_draws + 1, dtype=np.uint64) * _STEP
    x = found[:, None] + counter[None, :]
    x ^= x >> np.uint64(30)
    x *= _MIX_A
    x ^= x >> np.uint64(27)
    x *= _MIX_B
    x ^= x >> np.uint64(31)
    x >>= np.uint64(11)
    drawn: Array = x.astype(np.float64)
    drawn += 0.5
    drawn *= 2.0**-53
    return drawn


def normals(found: NDArray[np.uint64], n_draws: int) -> Array:
    """Return standard normal draws, shape (n, n_draws), as `uniforms`."""
    drawn: Array = ndtri(uniforms(found, n_draws))
    return drawn


def between_limits(uniform: Array, value: float, low: float, high: float) -> Array:
    """Carry uniform draws to two triangles back to back: peak and mean at the value, nothing beyond the limits.

    Notes
    -----
    The side of length a below the value has the share b/(a + b) of the draws and the side of length b above it the
    share a/(a + b), so that the mean is the value however lopsided the limits are; with a = b it is the usual
    triangle. Variance a b/6. A value at one of its limits cannot be the mean of anything wider: it is drawn as the
    usual triangle, whose mean is a third of the way to the other limit.

    Source
    ------
    first principles: inverse of the distribution function. That an estimate is the mean of its distribution: JCGM
    101:2008, 4.11 and 5.6 (from memory).
    """
    if low == high:
        return np.full_like(uniform, value)
    below, above = value - low, high - value
    share = above / (high - low) if below and above else below / (high - low)
    rising = low + below * np.sqrt(uniform / share) if share else np.full_like(uniform, low)
    falling = high - above * np.sqrt((1.0 - uniform) / (1.0 - share)) if share < 1.0 else rising
    drawn: Array = np.where(uniform < share, rising, falling)
    return drawn
