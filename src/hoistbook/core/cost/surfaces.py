"""What the surface of a part cannot be."""

from __future__ import annotations

import numpy as np

from hoistbook.core.arrays import Array
from hoistbook.core.cost.process import Fields, Limit


def ball_m2(mass_kg: Array, density_kg_per_m3: Array) -> Array:
    """Surface of a ball of this mass, the least that any body has: (36 pi)^(1/3) V^(2/3). [m^2]

    Source
    ------
    first principles.
    """
    found: Array = (36.0 * np.pi) ** (1.0 / 3.0) * (mass_kg / density_kg_per_m3) ** (2.0 / 3.0)
    return found


def _share(f: Fields) -> Array:
    return f.surface_area_m2 / ball_m2(f.mass_kg, f.material_density_kg_per_m3)


LITTLE_SURFACE = Limit(
    "the surface is smaller than that of a ball of this mass; check surface and mass, and their units.",
    lambda f: _share(f) < 1.0,
)
"""For processes that read surface and mass."""
