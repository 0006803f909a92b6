"""Which metal a choice stands for, told by the density of the material."""

from __future__ import annotations

from hoistbook.core.arrays import Array
from hoistbook.core.cost.process import Fields, Limit

DENSITIES_KG_PER_M3 = {
    "steel": (7_400.0, 8_200.0),
    "iron": (6_800.0, 7_900.0),
    "aluminium": (2_500.0, 2_900.0),
    "magnesium": (1_700.0, 1_900.0),
    "zinc": (6_400.0, 7_200.0),
}
"""from memory: densities of engineering alloys, ASM Handbook vol. 1 and 2, with room for alloying."""


def _off_range(f: Fields) -> Array:
    low, high = DENSITIES_KG_PER_M3[f.choice("metal")]
    middle, half = 0.5 * (low + high), 0.5 * (high - low)
    found: Array = (f.material_density_kg_per_m3 - middle) / half
    return found


WRONG_METAL = Limit(
    "the metal chosen for the step is not the metal of the part, by its density; choose the other option or material.",
    lambda f: abs(_off_range(f)) > 1.0,
)
"""For processes with a choice named metal."""
