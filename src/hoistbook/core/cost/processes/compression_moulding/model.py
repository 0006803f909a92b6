"""Compression moulding: mat heated in ovens beside the press, or compound cured in it; trimmed beside it."""

from __future__ import annotations

from types import MappingProxyType

from hoistbook.core.cost.process import Choice, Fields, Limit, Operation, Process, Stage
from hoistbook.core.cost.processes.compression_moulding.data import FIGURES


def evaluate(f: Fields) -> Operation:
    """What one piece takes.

    Source
    ------
    common practice: cure by thickness, ovens and trimmer as stations beside the press; force = pressure x area.
    """
    zero = 0.0 * f.setup_s
    gross = f.mass_kg / (1.0 - f.offal_frac)
    return Operation(
        stages=(
            Stage("charge and unload", f.load_s),
            Stage("press", f.press_s + f.cure_s_per_m * f.wall_thickness_max_m),
            Stage("oven", f.oven_s / f.oven_count, beside=True),
            Stage("trim", f.cut_length_m / f.trim_m_per_s + f.trim_index_s, beside=True),
        ),
        machine="moulding press",
        machine_size=f.pressure_pa * f.projected_area_m2,
        crew=f.crew,
        reject_frac=f.reject_frac,
        gross_kg=gross,
        returned_kg=gross - f.mass_kg,
        recycled_frac=zero,
        heat_j=gross * f.heat_j_per_kg,
        consumables=zero,
        bought=zero,
        setup_s=f.setup_s,
        tools=f.tool_money * f.projected_area_m2**f.tool_exponent,
        tool_life=f.tool_life,
    )


PROCESS = Process(
    name="compression_moulding",
    title="compression moulding",
    family="form",
    needs=("mass_kg", "projected_area_m2", "wall_thickness_max_m"),
    optional=("cut_length_m",),
    choices=(
        Choice(
            "stock",
            "stock",
            MappingProxyType(
                {"fibre mat": "fibre mat, heated first", "SMC": "sheet moulding compound, cured hot"}
            ),
        ),
    ),
    figures=FIGURES,
    limits=(
        Limit(
            "a section above 30 mm is not moulded this way; check the reading.",
            lambda f: f.wall_thickness_max_m > 0.030,
        ),
    ),
    evaluate=evaluate,
    notes="Times are trade ranges, not physics: mat heats by hot air through its thickness, compound by the "
    "tool. Paint and "
    "in-mould coating are left out.",
    sketch="Projected area; thickest section; length of the trimmed edge with holes; weigh it for the areal mass.",
)
