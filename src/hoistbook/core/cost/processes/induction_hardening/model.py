"""Length over speed of the coil, and an index."""

from __future__ import annotations

from hoistbook.core.cost.process import Fields, Limit, Operation, Process, Stage
from hoistbook.core.cost.processes.induction_hardening.data import FIGURES


def evaluate(f: Fields) -> Operation:
    """What hardening one piece takes: L/v + index. Energy is in the draw of the machine.

    Source
    ------
    common practice: 5-20 mm/s, 20-60 s per piece.
    """
    return Operation(
        stages=(
            Stage("scan", f.length_m / f.scan_m_per_s),
            Stage("load, turn, quench", f.index_s),
        ),
        machine="induction hardening machine",
        machine_size=1.0 + 0.0 * f.index_s,
        crew=f.crew,
        reject_frac=f.reject_frac,
        setup_s=f.setup_s,
        recycled_frac=f.material_scrap_credit_frac,
        tools=f.coil_money,
        tool_life=f.coil_life,
    )


PROCESS = Process(
    name="induction_hardening",
    title="induction hardening",
    family="treat",
    needs=("length_m",),
    figures=FIGURES,
    limits=(
        Limit(
            "only steel and iron are hardened by induction; this material is lighter.",
            lambda f: f.material_density_kg_per_m3 < 6_500.0,
        ),
    ),
    evaluate=evaluate,
    adds_material=False,
    notes="Tempering in a furnace is heat treatment. The depth of the case is set by frequency and power, which the "
    "time does not follow here.",
    sketch="Length: of the hardened zone; state it for this step where the part is longer.",
)
