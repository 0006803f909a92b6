"""Edge over speed, and a time per hole."""

from __future__ import annotations

from hoistbook.core.cost.process import Fields, Operation, Process, Stage
from hoistbook.core.cost.processes.laser_trimming.data import FIGURES


def evaluate(f: Fields) -> Operation:
    """What trimming one part takes: L/v + n t, and a turn of the table.

    Source
    ------
    common practice: speeds of 6-15 m/min, 1-1.5 s per hole.
    """
    return Operation(
        stages=(
            Stage("cut the edge", f.cut_length_m / f.laser_m_per_s),
            Stage("holes", f.hole_count * f.hole_s),
            Stage("turn the table", f.load_s),
        ),
        machine="laser trim cell",
        machine_size=1.0 + 0.0 * f.load_s,
        crew=f.crew,
        reject_frac=f.reject_frac,
        setup_s=f.setup_s,
        recycled_frac=f.material_scrap_credit_frac,
        tools=f.fixture_money,
        tool_life=f.fixture_life,
    )


PROCESS = Process(
    name="laser_trimming",
    title="laser trimming",
    family="cut",
    needs=("cut_length_m",),
    optional=("hole_count",),
    figures=FIGURES,
    evaluate=evaluate,
    adds_material=False,
    notes="What falls off is counted as offal of the step before, whose utilisation is that of the trimmed part.",
    sketch="Cut edges: those without burnish, with fine ripples; the outline and all holes.",
)
