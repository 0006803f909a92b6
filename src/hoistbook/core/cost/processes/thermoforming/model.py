"""Sheet heated in one station while the one before is formed and cooled, and another is trimmed."""

from __future__ import annotations

from types import MappingProxyType

from hoistbook.core.cost.formulas.cooling import FORMS, slab_s
from hoistbook.core.cost.process import Choice, Fields, Limit, Operation, Process, Stage
from hoistbook.core.cost.processes.thermoforming.data import FIGURES


def evaluate(f: Fields) -> Operation:
    """What one formed sheet takes.

    Notes
    -----
    The slowest of three stations sets the pace: heating, which grows with the square of the thickness, forming with
    cooling, and trimming.

    Source
    ------
    published: cooling equation (see `formulas.cooling`); the rest common practice.
    """
    cool = slab_s(
        f.wall_thickness_m * f.sides_factor,
        f.material_diffusivity_m2_per_s,
        f.forming_k,
        f.tool_k,
        f.material_ejection_k,
        FORMS[f.choice("cooling")],
    )
    zero = 0.0 * f.setup_s
    gross = f.mass_kg / (1.0 - f.offal_frac)
    size = f.projected_area_m2**f.tool_exponent
    return Operation(
        stages=(
            Stage("form and cool", f.index_s + cool),
            Stage("heat", f.heat_s_per_m2 * f.wall_thickness_m**2, beside=True),
            Stage("trim", f.cut_length_m / f.trim_m_per_s + f.trim_index_s, beside=True),
        ),
        machine="thermoforming machine",
        machine_size=f.projected_area_m2 + zero,
        crew=f.crew,
        reject_frac=f.reject_frac,
        gross_kg=gross,
        returned_kg=gross - f.mass_kg,
        recycled_frac=zero,
        heat_j=zero,
        consumables=zero,
        bought=zero,
        setup_s=f.setup_s,
        tools=(f.tool_money + f.trim_money) * size,
        tool_life=f.tool_life,
    )


PROCESS = Process(
    name="thermoforming",
    title="thermoforming",
    family="form",
    needs=("mass_kg", "projected_area_m2", "wall_thickness_m"),
    optional=("cut_length_m",),
    choices=(
        Choice(
            "cooling",
            "form of the cooling time",
            MappingProxyType(
                {
                    "centre-line": "until the middle is cool enough (4/pi)",
                    "average": "until it is cool enough on average (8/pi^2)",
                }
            ),
        ),
    ),
    figures=FIGURES,
    limits=(
        Limit(
            "sheet above 12 mm is not formed in a line; check the reading.",
            lambda f: f.wall_thickness_m > 0.012,
        ),
        Limit(
            "the sheet never cools to the temperature at which it is taken out, or is that cold from the start: the "
            "tool must be colder than that, and the sheet hotter; check the temperatures.",
            lambda f: (f.material_ejection_k <= f.tool_k) | (f.forming_k <= f.material_ejection_k),
        ),
    ),
    evaluate=evaluate,
    notes="The mean wall stands for the sheet; a deep draw starts thicker. Extruding the sheet is in the price "
    "of the "
    "material only as far as it was stated: resin prices hold no sheet.",
    sketch="Mean wall of five places; projected area; length of the trimmed edge with holes.",
)
