"""A small vehicle and a workshop for the tests of assembly and service."""

from hoistbook.core.cost.assembly.work import Workshop
from hoistbook.core.quantities.evaluation import exact
from hoistbook.core.quantities.quantity import Quantity
from hoistbook.core.vehicle.records import (
    Approach,
    Configuration,
    Function,
    Joint,
    Node,
    NodeKind,
    Share,
    Teardown,
    Vehicle,
)
from hoistbook.reference.assembly import assembly_figures, motion_plans, mtm_tables
from hoistbook.reference.fasteners import fastener_tables

# The figures of the published cycle, without the errors of an analysis: 500/50 a minute, 60°, 0.3 s, four half turns.
PLAIN = {
    "analysis_frac": exact(1.0, "1"),
    "joint_frac": exact(1.0, "1"),
    "half_turn_count": exact(4.0, "1"),
    "tool_control_s": exact(0.3, "s"),
}


def workshop(**stated: Quantity) -> Workshop:
    """The packaged tables with some figures stated."""
    figures = assembly_figures().stating(**{**PLAIN, **stated})
    return Workshop(mtm_tables(), motion_plans(), figures, fastener_tables())


def packaged() -> Workshop:
    """Everything as packaged."""
    return Workshop(mtm_tables(), motion_plans(), assembly_figures(), fastener_tables())


NODES = (
    Node("V", None, "Van", NodeKind.ASSEMBLY),
    Node("D", "V", "Door", NodeKind.ASSEMBLY, 2.0, function="door"),
    Node("D1", "D", "Skin"),
    Node("D2", "D", "Latch", function="latch"),
    Node("D3", "D", "Screw M6×20, flanged, T30", NodeKind.FASTENER, 3.0),
    Node("D4", "D", "Trim"),
    Node("D5", "D", "Trim clip", NodeKind.FASTENER, 9.0),
    Node("P", "V", "Coolant pump", function="cool"),
    Node("P1", "V", "Screw M8×30, flanged, hex 13", NodeKind.FASTENER, 2.0),
    Node("P2", "V", "Spring band clamp", NodeKind.FASTENER, 2.0),
    Node("S", "V", "Shield", function="cool"),
    Node("G", "V", "Glass"),
)
JOINTS = (
    Joint("J1", ("D1", "D"), "hemming", removable=False),
    Joint("J2", ("D2", "D"), "screwing", "D3", 3, "T30", "from inside"),
    Joint("J3", ("D4", "D"), "clipping", "D5", 9, "", "from inside"),
    Joint("J4", ("P", "V"), "screwing", "P1", 2, "hex 13", "from below"),
    Joint("J5", ("P", "V"), "clamping", "P2", 2, "", "from front"),
    Joint("J6", ("S", "V"), "screwing", "Screw M6x16 flanged T30", 4, "T30", "from below"),
    Joint("J7", ("G", "V"), "bonding", removable=False, note="2.5 m"),
)
FUNCTIONS = (Function("door", "door"), Function("latch", "latch", "door"), Function("cool", "cooling"))
APPROACHES = (
    Approach("A-door", "C", "door"),
    Approach("A-latch", "C", "latch"),
    Approach("A-cool", "C", "cool"),
)


def van(joints: tuple[Joint, ...] = JOINTS, shares: tuple[Share, ...] = ()) -> Teardown:
    """Two doors, a pump behind a shield, a bonded glass."""
    return Teardown(
        Vehicle("T", "test van"),
        (Configuration("C", "T"),),
        nodes=NODES,
        joints=joints,
        functions=FUNCTIONS,
        approaches=APPROACHES,
        shares=shares,
    )
