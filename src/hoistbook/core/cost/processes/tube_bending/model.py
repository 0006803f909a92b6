"""A time per bend and end form; the machine from the plastic moment of the tube."""

from __future__ import annotations

from hoistbook.core.arrays import Array
from hoistbook.core.cost.formulas.sheet import tube_area_m2, tube_section_modulus_m3
from hoistbook.core.cost.process import Fields, Limit, Operation, Process, Stage
from hoistbook.core.cost.processes.tube_bending.data import FIGURES


def tube_kg(f: Fields) -> Array:
    """Mass of the bare tube: rho pi (D - t) t L. [kg]

    Source
    ------
    first principles.
    """
    return f.material_density_kg_per_m3 * (tube_area_m2(f.diameter_m, f.tube_wall_m) * f.tube_length_m)


def evaluate(f: Fields) -> Operation:
    """What one bent tube takes.

    Notes
    -----
    Tube is bought by its own mass; the part may weigh more, with its fittings. Moment = reserve x plastic modulus x
    yield strength. Ends are formed and the tube is prepared beside the bender.

    Source
    ------
    first principles: moment; common practice: 3-5 s per bend, 4-6 s per hit.
    """
    tube = tube_kg(f)
    loss = tube * f.cut_loss_frac
    return Operation(
        stages=(
            Stage("load and unload", f.load_s),
            Stage("bend", f.bend_count * f.bend_s),
            Stage("form the ends", f.end_form_count * f.end_form_s, beside=True),
            Stage("saw, deburr, wash", f.preparing_s, beside=True),
        ),
        machine="tube bender",
        machine_size=f.moment_reserve_frac
        * tube_section_modulus_m3(f.diameter_m, f.tube_wall_m)
        * f.material_yield_strength_pa,
        crew=f.crew,
        reject_frac=f.reject_frac,
        setup_s=f.setup_s,
        gross_kg=tube + loss,
        returned_kg=loss,
        recycled_frac=f.material_scrap_credit_frac,
        tools=f.bend_tool_money + f.end_tool_money * f.end_form_count + f.gauge_money,
        tool_life=f.tool_life,
    )


PROCESS = Process(
    name="tube_bending",
    title="tube bending",
    family="form",
    needs=("mass_kg", "diameter_m", "tube_wall_m", "tube_length_m"),
    optional=("bend_count", "end_form_count"),
    figures=FIGURES,
    limits=(
        Limit(
            "the wall is more than half the diameter; one of them is a slip.",
            lambda f: f.tube_wall_m > 0.5 * f.diameter_m,
        ),
        Limit(
            "a wall below 1.5 % of the diameter folds in the bend; check wall and diameter.",
            lambda f: (f.tube_wall_m < 0.015 * f.diameter_m) & (f.bend_count > 0.0),
        ),
        Limit(
            "a tube of this diameter, wall and length in this material weighs more than the part; check the readings.",
            lambda f: tube_kg(f) > 1.15 * f.mass_kg,
        ),
    ),
    evaluate=evaluate,
    notes="All bends have one radius. Joints, fittings, hoses and the leak test are the step hose and line assembly.",
    sketch="Mass: of the part as it is, with its fittings. Developed length: tape along the middle line.",
)
