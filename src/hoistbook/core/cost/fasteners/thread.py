"""Metric thread geometry: the diameters, sections and areas that follow from diameter and pitch."""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import TypeVar

from hoistbook.core.arrays import Array

_ROOT_3 = math.sqrt(3.0)
Size = TypeVar("Size", float, Array)


def pitch_diameter_m(diameter_m: Size, pitch_m: Size) -> Size:
    """D − (3/4) H, H = (√3/2) P (from memory: ISO 724). [m]"""
    return diameter_m - 0.75 * (0.5 * _ROOT_3 * pitch_m)


def root_diameter_m(diameter_m: Size, pitch_m: Size) -> Size:
    """D − (17/12) H (from memory: ISO 724). [m]"""
    return diameter_m - 17.0 / 12.0 * (0.5 * _ROOT_3 * pitch_m)


def stress_area_m2(diameter_m: Size, pitch_m: Size) -> Size:
    """(π/4) ((d2 + d3)/2)² (from memory: ISO 898-1). [m²]"""
    mean = 0.5 * (pitch_diameter_m(diameter_m, pitch_m) + root_diameter_m(diameter_m, pitch_m))
    return 0.25 * math.pi * mean * mean


@dataclass(frozen=True, slots=True)
class Thread:
    """An ISO metric thread at its basic profile.

    Parameters
    ----------
    diameter_m, pitch_m : float
        Nominal diameter d and pitch P. [m]

    Raises
    ------
    ValueError
        A size that is not positive, or a pitch that leaves no core.

    Notes
    -----
    H = (√3/2) P; pitch diameter d2 = d − (3/4) H; minor diameter of the nut D1 = d − (5/4) H; root of the bolt
    d3 = d − (17/12) H. Real 6g threads lie a little below the basic profile (within 1 % of the section).

    Source
    ------
    from memory: ISO 68-1 and ISO 724 (H, d2, D1, d3); ISO 898-1 for the stress area.

    Examples
    --------
    >>> m10 = Thread(0.010, 0.0015)
    >>> round(m10.pitch_diameter_m * 1e3, 4), round(m10.stress_area_m2 * 1e6, 2)
    (9.0257, 57.99)
    """

    diameter_m: float
    pitch_m: float

    def __post_init__(self) -> None:
        for name, value in (("diameter_m", self.diameter_m), ("pitch_m", self.pitch_m)):
            if not 0.0 < value < math.inf:
                msg = f"{name} = {value!r} m: a thread size is positive; give metres, e.g. 0.010."
                raise ValueError(msg)
        if self.diameter_m > 0.3:
            msg = f"diameter_m = {self.diameter_m!r}: above 0.3 m; did you enter millimetres? Give metres, e.g. 0.010."
            raise ValueError(msg)
        if self.root_diameter_m <= 0.0:
            msg = f"pitch_m = {self.pitch_m!r} m leaves no core in a thread of {self.diameter_m!r} m; check the pitch."
            raise ValueError(msg)

    @property
    def height_m(self) -> float:
        """Height H of the fundamental triangle. [m]"""
        return 0.5 * _ROOT_3 * self.pitch_m

    @property
    def pitch_diameter_m(self) -> float:
        """Pitch diameter d2. [m]"""
        return pitch_diameter_m(self.diameter_m, self.pitch_m)

    @property
    def minor_diameter_m(self) -> float:
        """Minor diameter D1 of the internal thread. [m]"""
        return self.diameter_m - 1.25 * self.height_m

    @property
    def root_diameter_m(self) -> float:
        """Root diameter d3 of the external thread. [m]"""
        return root_diameter_m(self.diameter_m, self.pitch_m)

    @property
    def stress_area_m2(self) -> float:
        """Stress area As = (π/4) ((d2 + d3)/2)². [m²] Not for mass: it is 8 to 11 % below the mean section."""
        return stress_area_m2(self.diameter_m, self.pitch_m)

    @property
    def threaded_section_m2(self) -> float:
        """Mean section of the threaded length, (π/4) d2², for mass. [m²]"""
        return 0.25 * math.pi * self.pitch_diameter_m**2

    @property
    def shank_section_m2(self) -> float:
        """Section of a plain shank of full diameter, (π/4) d². [m²]"""
        return 0.25 * math.pi * self.diameter_m**2

    @property
    def words(self) -> str:
        """Size as written with its pitch: "M10×1.5"."""
        return f"M{1e3 * self.diameter_m:g}×{1e3 * self.pitch_m:g}"
