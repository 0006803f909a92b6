"""Press from area and pressure, height from weight, pace from height."""

from __future__ import annotations

from types import MappingProxyType

from hoistbook.core.arrays import Array
from hoistbook.core.cost.metals import WRONG_METAL
from hoistbook.core.cost.process import Choice, Fields, Limit, Operation, Process, Stage
from hoistbook.core.cost.processes.powder_metal.data import FIGURES

_REFERENCE_AREA_M2 = 1e-3


def pressed_height_m(f: Fields) -> Array:
    """Mean height of the part: m/(rho A), rho with its pores. [m]

    Source
    ------
    first principles.
    """
    return f.mass_kg / (f.density_frac * f.material_density_kg_per_m3 * f.projected_area_m2)


def evaluate(f: Fields) -> Operation:
    """What pressing, and sizing, of one part takes.

    Notes
    -----
    Sizing after the sinter runs on a press of the same class and is counted here as further time of it.

    Source
    ------
    published: M. P. Groover, sec. 15.3.2: F = A p; strokes, tools and yield common practice.
    """
    stroke = (f.stroke_s + f.stroke_s_per_m * pressed_height_m(f)) * f.levels_frac
    gross = f.mass_kg / f.utilisation_frac
    size = (f.projected_area_m2 / _REFERENCE_AREA_M2) ** f.die_exponent
    return Operation(
        stages=(Stage("press", stroke), Stage("size", f.sizing_s)),
        machine="powder press",
        machine_size=f.projected_area_m2 * f.pressing_pa,
        crew=f.crew,
        reject_frac=f.reject_frac,
        setup_s=f.setup_s,
        gross_kg=gross,
        returned_kg=gross - f.mass_kg,
        recycled_frac=f.material_scrap_credit_frac,
        tools=f.die_money * size * (1.0 + f.sizing_die_frac),
        tool_life=f.die_life,
    )


PROCESS = Process(
    name="powder_metal",
    title="powder pressing",
    family="form",
    needs=("mass_kg", "projected_area_m2", "wall_thickness_m"),
    choices=(
        Choice("metal", "metal", MappingProxyType({"iron": "iron and steel", "aluminium": "aluminium"})),
        Choice(
            "levels", "levels", MappingProxyType({"one": "one level", "several": "several levels or a helix"})
        ),
        Choice("sizing", "sizing", MappingProxyType({"none": "as sintered", "sized": "sized or coined"})),
    ),
    figures=FIGURES,
    limits=(
        WRONG_METAL,
        Limit(
            "a wall below 1.5 mm is not filled with powder; check the wall.",
            lambda f: f.wall_thickness_m < 0.0015,
        ),
        Limit(
            "a mean height above 80 mm is not pressed to an even density; check mass and projected area.",
            lambda f: pressed_height_m(f) > 0.08,
        ),
    ),
    evaluate=evaluate,
    notes="Sintering is heat treatment with the option sinter. Impregnation, tumbling and machining are left out.",
    sketch="Projected area: along the press stroke, holes left out. Thinnest wall as the wall.",
)
