"""Shot by shot: clamp force from projected area, cycle from the thickest wall, die from area and slides."""

from __future__ import annotations

from types import MappingProxyType

import numpy as np

from hoistbook.core.cost.metals import WRONG_METAL
from hoistbook.core.cost.process import Choice, Fields, Limit, Operation, Process, Stage
from hoistbook.core.cost.processes.high_pressure_die_casting.data import FIGURES

_REFERENCE_AREA_M2 = 0.03


def evaluate(f: Fields) -> Operation:
    """What one casting takes.

    Notes
    -----
    Clamp force = reserve x projected area x (part with runner and overflows) x cavity pressure. Dwell is the longer of
    the part's, beta h, and the biscuit's. The runner is melted again at full value, so bought metal is the part and the
    melting loss of the whole shot. What machining takes off is shot here and booked by the machining.

    Source
    ------
    from memory: Boothroyd, Dewhurst, Knight, ch. 10 (beta, clamp force); cycle stages common practice.
    """
    cavities = np.maximum(f.cavity_count, 1.0)
    cast_kg = f.mass_kg + f.material_density_kg_per_m3 * f.machined_volume_m3
    shot_kg = cast_kg * f.shot_frac
    dwell = np.maximum(f.dwell_s_per_m * f.wall_thickness_max_m, f.biscuit_dwell_s)
    size = (f.projected_area_m2 / _REFERENCE_AREA_M2) ** f.die_exponent * cavities**f.cavity_exponent
    return Operation(
        stages=(
            Stage("ladle and shot", f.shot_s / cavities),
            Stage("dwell", dwell / cavities),
            Stage("open, extract, close", (f.handling_s + f.slide_s * f.slide_count) / cavities),
            Stage("spray and blow", f.spray_s / cavities),
            Stage("trim", f.trim_s / cavities, beside=True),
        ),
        machine="die casting cell",
        machine_size=f.clamp_reserve_frac
        * f.projected_area_m2
        * cavities
        * f.runner_area_frac
        * f.cavity_pressure_pa
        * f.pressure_frac,
        crew=f.crew,
        reject_frac=f.reject_frac,
        gross_kg=f.mass_kg + f.melt_loss_frac * shot_kg,
        recycled_frac=f.recycled_frac,
        heat_j=shot_kg * f.melt_j_per_kg,
        setup_s=f.setup_s,
        tools=f.die_money * size * (1.0 + f.slide_die_frac * f.slide_count),
        tool_life=f.die_life * cavities,
    )


PROCESS = Process(
    name="high_pressure_die_casting",
    title="high-pressure die casting",
    family="form",
    needs=("mass_kg", "projected_area_m2", "wall_thickness_max_m"),
    optional=("slide_count", "cavity_count", "machined_volume_m3"),
    choices=(
        Choice(
            "metal",
            "metal",
            MappingProxyType({"aluminium": "aluminium", "magnesium": "magnesium", "zinc": "zinc"}),
        ),
        Choice(
            "duty",
            "duty",
            MappingProxyType({"commercial": "brackets and covers", "structural": "structural or leak-tight"}),
        ),
    ),
    figures=FIGURES,
    limits=(
        WRONG_METAL,
        Limit(
            "a wall below 0.5 mm does not fill; check the reading, or whether it is cast at all.",
            lambda f: f.wall_thickness_max_m < 0.0005,
        ),
        Limit(
            "a section above 40 mm stays spongy in a die-casting die; check the reading, or take "
            "permanent-mould casting.",
            lambda f: f.wall_thickness_max_m > 0.040,
        ),
    ),
    evaluate=evaluate,
    notes="Heat treatment, straightening and machining are steps of their own. Vacuum counts by the duty structural. "
    "Hot chambers, quicker for zinc and magnesium, are left out.",
    sketch="Projected area: the outline along the die's opening direction. Thickest wall: where it dwells longest.",
)
