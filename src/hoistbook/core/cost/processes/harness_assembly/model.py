"""Wire harness: touch labour per circuit, terminal, clip and length; wire by cross-section and length."""

from __future__ import annotations

from types import MappingProxyType

import numpy as np

from hoistbook.core.cost.process import Choice, Fields, Limit, Operation, Process, Stage
from hoistbook.core.cost.processes.harness_assembly.data import FIGURES


def evaluate(f: Fields) -> Operation:
    """What one harness takes.

    Notes
    -----
    Two terminals per circuit. Mass of copper = 8.96 g per mm2 and metre, from the density of the step's material.

    Source
    ------
    first principles: mass of the conductor; seconds per motion common practice.
    """
    wire_m = f.circuit_count * f.tube_length_m * (1.0 + f.wire_cut_frac)
    trunk_m = f.trunk_per_m * f.tube_length_m
    conductor_m3 = wire_m * f.conductor_area_m2
    conductor_kg = conductor_m3 * f.material_density_kg_per_m3
    zero = 0.0 * f.setup_s
    return Operation(
        stages=(
            Stage("cut, strip, crimp", f.circuit_count * f.cut_s, beside=True),
            Stage("lay", f.circuit_count * f.tube_length_m * f.lay_s_per_m),
            Stage("insert terminals", 2.0 * f.circuit_count * f.insert_s),
            Stage("splices", f.joint_count * f.splice_s),
            Stage("tape", trunk_m * f.tape_s_per_m),
            Stage("clips and grommets", f.clip_count * f.clip_s),
            Stage("seal connectors", f.connector_count * f.seal_s),
            Stage("test", f.test_s),
        ),
        machine="harness board",
        machine_size=zero + 1.0,
        crew=f.crew,
        reject_frac=f.reject_frac,
        gross_kg=conductor_kg,
        returned_kg=conductor_kg * f.wire_cut_frac / (1.0 + f.wire_cut_frac),
        recycled_frac=zero,
        heat_j=zero,
        consumables=trunk_m * f.cover_money_per_m,
        bought=conductor_m3 * f.insulation_m3_per_m3 * f.insulation_money_per_m3
        + 2.0 * f.circuit_count * f.terminal_money
        + f.connector_count * f.connector_money
        + f.clip_count * f.clip_money,
        setup_s=f.setup_s,
        tools=f.board_money,
        tool_life=zero + np.inf,
    )


PROCESS = Process(
    name="harness_assembly",
    title="harness assembly",
    family="electric",
    needs=("mass_kg", "circuit_count", "tube_length_m"),
    optional=("conductor_area_m2", "connector_count", "joint_count", "clip_count"),
    choices=(
        Choice(
            "cover",
            "cover",
            MappingProxyType({"spot tape": "spot tape and some tube", "full tape": "taped along its length"}),
        ),
    ),
    figures=FIGURES,
    limits=(
        Limit("no circuit is stated; count the wires.", lambda f: f.circuit_count <= 0.0),
        Limit(
            "the conductors alone weigh more than the whole; check circuits, mean length, cross-section and metal.",
            lambda f: (
                f.material_density_kg_per_m3 * f.conductor_area_m2 * f.tube_length_m * f.circuit_count
                > 1.05 * f.mass_kg
            ),
        ),
    ),
    evaluate=evaluate,
    notes="The automatic cutter works beside the board; its rate is that of the board, which reads low where "
    "few circuits "
    "share it. Fuse boxes and modules are parts of their own.",
    sketch="Wires counted at the connectors; mean length of a wire as the developed length; joints: ultrasonic "
    "splices.",
)
