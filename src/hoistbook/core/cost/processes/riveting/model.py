"""Self-piercing rivets and flow-drill screws: time and price per joint."""

from __future__ import annotations

from types import MappingProxyType

import numpy as np

from hoistbook.core.cost.process import Choice, Fields, Limit, Operation, Process, Stage
from hoistbook.core.cost.processes.riveting.data import FIGURES


def evaluate(f: Fields) -> Operation:
    """What the joints of one piece take.

    Source
    ------
    common practice: seconds and price per joint.
    """
    zero = 0.0 * f.setup_s
    return Operation(
        stages=(
            Stage("joints", f.rivet_count * f.joint_s),
            Stage("load, clamp, unload", f.load_s),
        ),
        machine="riveting robot",
        machine_size=zero + 1.0,
        crew=f.crew,
        reject_frac=f.reject_frac,
        gross_kg=zero,
        returned_kg=zero,
        recycled_frac=zero,
        heat_j=zero,
        consumables=f.rivet_count * f.die_money,
        bought=f.rivet_count * f.fastener_money,
        setup_s=f.setup_s,
        tools=f.fixture_money,
        tool_life=zero + np.inf,
    )


PROCESS = Process(
    name="riveting",
    title="riveting",
    family="join",
    needs=("rivet_count",),
    optional=("wall_thickness_m",),
    choices=(
        Choice(
            "kind",
            "kind",
            MappingProxyType(
                {
                    "self-piercing rivet": "self-piercing rivet, from both sides",
                    "flow-drill screw": "flow-drill screw, from one side",
                }
            ),
        ),
    ),
    figures=FIGURES,
    limits=(
        Limit("no joint is stated; count them, or drop the step.", lambda f: f.rivet_count <= 0.0),
        Limit(
            "two sheets this thick are beyond what is joined this way; check the thickness.",
            lambda f: 2.0 * f.wall_thickness_m > f.thickest_m,
        ),
    ),
    evaluate=evaluate,
    adds_material=False,
    notes="Blind rivets and clinching are not covered. A pilot hole in the upper sheet belongs to the sheet.",
    sketch="Count rivets (button on the far side) and screws (drawn collar); thickness of one sheet.",
)
