"""A time per joint and fitting, a leak test beside, hose by the metre and fittings by the piece."""

from __future__ import annotations

from types import MappingProxyType

from hoistbook.core.cost.process import Choice, Fields, Limit, Operation, Process, Stage
from hoistbook.core.cost.processes.hose_line_assembly.data import FIGURES


def evaluate(f: Fields) -> Operation:
    """What one line takes.

    Notes
    -----
    The leak test works beside the assembly on several pieces at a time.

    Source
    ------
    common practice: crimp 8-12 s, brazing 10-20 s, helium test 30-60 s.
    """
    hose = f.hose_money_per_m * f.tube_length_m * (1.0 + f.hose_loss_frac)
    return Operation(
        stages=(
            Stage("load and unload", f.load_s),
            Stage("joints", f.joint_count * f.joint_s),
            Stage("brackets and sleeves", f.insert_count * f.fitting_s),
            Stage("dry and cap", f.dry_s),
            Stage("leak test", f.leak_test_s / f.test_place_count, beside=True),
        ),
        machine="line assembly cell",
        machine_size=1.0 + 0.0 * f.load_s,
        crew=f.crew,
        reject_frac=f.reject_frac,
        setup_s=f.setup_s,
        consumables=f.joint_count * f.joint_money + f.helium_money,
        bought=hose + f.connector_count * f.fitting_money + f.insert_count * f.insert_money,
        tools=f.fixture_money,
        tool_life=f.fixture_life,
    )


PROCESS = Process(
    name="hose_line_assembly",
    title="hose and line assembly",
    family="join",
    needs=("mass_kg",),
    optional=("joint_count", "connector_count", "insert_count", "tube_length_m"),
    choices=(
        Choice("joint", "joints", MappingProxyType({"crimped": "crimped", "brazed": "brazed"})),
        Choice(
            "hose",
            "hose",
            MappingProxyType(
                {
                    "none": "no hose: the developed length is that of the tube",
                    "coolant": "coolant hose",
                    "refrigerant": "refrigerant hose with barrier",
                    "brake": "brake hose",
                }
            ),
        ),
        Choice(
            "test",
            "leak test",
            MappingProxyType({"helium": "helium", "air": "air, by pressure loss", "none": "none"}),
        ),
    ),
    figures=FIGURES,
    limits=(
        Limit(
            "a line without joints, fittings and brackets is no assembly; count them, or drop the step.",
            lambda f: f.joint_count + f.connector_count + f.insert_count < 1.0,
        ),
        Limit(
            "a hose without a length: state the developed length for this step.",
            lambda f: (f.tube_length_m <= 0.0) & (f.choice("hose") != "none"),
        ),
    ),
    evaluate=evaluate,
    notes="With a hose, the developed length of this step is that of the hose: state it in the step where the part "
    "also has tubes.",
    sketch="Joints: crimped ferrules and brazed sleeves. Connectors: blocks, nuts, couplings. Inserts: brackets, "
    "sleeves, isolators.",
)
