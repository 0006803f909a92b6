"""Hobbing: teeth times way of the hob over its feed; module from outer diameter and count of teeth."""

from __future__ import annotations

import numpy as np

from hoistbook.core.cost.formulas.gears import TOOTH_DEPTH, hobbing_s, module_m, slots_m3
from hoistbook.core.cost.process import Fields, Limit, Operation, Process, Stage
from hoistbook.core.cost.processes.gear_hobbing.data import FIGURES


def evaluate(f: Fields) -> Operation:
    """What hobbing of one gear takes.

    Source
    ------
    from memory: time to hob (see `formulas.gears`); wear of the hob by length of teeth common practice.
    """
    module = module_m(f.diameter_m, f.tooth_count)
    cut_kg = slots_m3(module, f.tooth_count, f.face_width_m) * f.material_density_kg_per_m3
    hob_s = hobbing_s(
        f.tooth_count,
        f.face_width_m,
        TOOTH_DEPTH * module,
        f.hob_m,
        f.overrun_m,
        f.axial_feed_m,
        f.hob_speed_m_per_s,
        f.hob_starts,
    )
    zero = 0.0 * f.setup_s
    return Operation(
        stages=(
            Stage("hob", hob_s),
            Stage("load and unload", f.load_s),
            Stage("deburr", f.deburr_s, beside=True),
        ),
        machine="gear hobber",
        machine_size=zero + 1.0,
        crew=f.crew,
        reject_frac=f.reject_frac,
        gross_kg=cut_kg,
        returned_kg=cut_kg * f.chip_worth_frac,
        recycled_frac=zero,
        heat_j=zero,
        consumables=f.hob_money * f.tooth_count * f.face_width_m / f.hob_life_m,
        bought=zero,
        setup_s=f.setup_s,
        tools=f.fixture_money,
        tool_life=zero + np.inf,
    )


PROCESS = Process(
    name="gear_hobbing",
    title="gear hobbing",
    family="cut",
    needs=("tooth_count", "face_width_m", "diameter_m"),
    figures=FIGURES,
    limits=(
        Limit(
            "its teeth are finer than module 0.4 mm or coarser than 8 mm; check teeth and outer diameter.",
            lambda f: (
                (f.diameter_m < 0.4e-3 * (f.tooth_count + 2.0))
                | (f.diameter_m > 8e-3 * (f.tooth_count + 2.0))
            ),
        ),
    ),
    evaluate=evaluate,
    adds_material=False,
    notes="Approach as of a spur gear; a helix takes some 10-30 % more way. Shaping, broaching and skiving of "
    "inner teeth "
    "are not hobbing. "
    "Perishable tools are counted here: where a machine rate holds them already, state them as 0.",
    sketch="Outer diameter over the tips, teeth counted, face width along the axis.",
)
