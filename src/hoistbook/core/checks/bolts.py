"""Strength of metric bolts by property class, as the checks of joints take it."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from hoistbook.core.arrays import Array

SMALL_M = 0.016
"""Up to this size class 8.8 has the lower figures."""


@dataclass(frozen=True, slots=True)
class PropertyClass:
    """Proof stress, yield and tensile strength, least values, up to M16 and above. [Pa]"""

    proof_pa: tuple[float, float]
    yield_pa: tuple[float, float]
    strength_pa: tuple[float, float]


# published: ISO 898-1, as reprinted with stress areas (10.9, 12.9; 8.8 above M16; 640 and 800 MPa up to M16);
# from memory: ISO 898-1:2013, proof stress 580 MPa of 8.8 up to M16
CLASSES = {
    "8.8": PropertyClass((580e6, 600e6), (640e6, 660e6), (800e6, 830e6)),
    "10.9": PropertyClass((830e6, 830e6), (940e6, 940e6), (1040e6, 1040e6)),
    "12.9": PropertyClass((970e6, 970e6), (1100e6, 1100e6), (1220e6, 1220e6)),
}


def by_size(figures: tuple[float, float], diameter_m: Array) -> Array:
    """The figure of a class for a size. [Pa]"""
    found: Array = np.where(diameter_m <= SMALL_M, figures[0], figures[1])
    return found
