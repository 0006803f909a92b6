"""Turning, milling, drilling and tapping of one part: feature by feature, from what is counted and measured."""

from __future__ import annotations

import math
from types import MappingProxyType

import numpy as np
from numpy.typing import NDArray

from hoistbook.core.arrays import Array
from hoistbook.core.cost.formulas.cutting import (
    cutting_power_w,
    drilling_s,
    face_mill_approach_m,
    fastest_speed_m_per_s,
    milling_advance_m_per_s,
    pieces_per_edge,
    tapping_s,
    taylor_life_s,
)
from hoistbook.core.cost.metals import WRONG_METAL
from hoistbook.core.cost.process import Choice, Fields, Limit, Operation, Process, Stage
from hoistbook.core.cost.processes.machining.data import FIGURES

Flags = NDArray[np.bool_]
_POINT_RAD = math.radians(118.0)
_MACHINES = {"3 axes": "machining centre", "5 axes": "machining centre, 5 axes", "lathe": "lathe"}


def evaluate(f: Fields) -> Operation:
    """What one machined piece takes.

    Notes
    -----
    Faces: area over track times advance, and the approach of the cutter; on a lathe pi D L/(f v) with pi D L the area.
    What is cut away beyond holes and finishing cuts is roughed at the smaller of what tool and spindle can do. Each
    thread has its core drilled. Edges last by Taylor; a worn set is changed with all its edges. What is cut away was
    bought too, so it is booked here, and its chips are sold.

    Source
    ------
    published: M. P. Groover, ch. 20-23 (see `formulas.cutting`); handling common practice.
    """
    lathe = f.choice("machine") == "lathe"
    speed = f.cutting_speed_m_per_s
    if f.choice("speed") == "fastest":
        speed = fastest_speed_m_per_s(f.taylor_m_per_s, f.taylor_exponent, f.edge_change_s)
    if lathe:
        per_face = 0.0 * speed
        face_m2_per_s = speed * f.turning_feed_m
        edges = 1.0 + per_face
    else:
        speed = np.minimum(speed, math.pi * f.cutter_m * f.spindle_per_s)
        advance = milling_advance_m_per_s(speed, f.cutter_m, f.cutter_teeth, f.feed_per_tooth_m)
        track = f.track_frac * f.cutter_m
        face_m2_per_s = track * advance
        per_face = face_mill_approach_m(track, f.cutter_m) / advance
        edges = f.cutter_teeth
    face_s = f.machined_face_count * (f.machined_area_m2 / face_m2_per_s + per_face)
    core = f.thread_diameter_m * (1.0 - f.pitch_frac)
    thread_depth = f.thread_depth_frac * f.thread_diameter_m
    holes_m3 = 0.25 * math.pi * f.hole_diameter_m**2 * f.hole_depth_m * f.hole_count
    cores_m3 = 0.25 * math.pi * core**2 * thread_depth * f.thread_count
    light_m3 = holes_m3 + cores_m3 + f.finish_depth_m * f.machined_area_m2 * f.machined_face_count
    cut_m3 = np.maximum(f.machined_volume_m3, light_m3)
    per_power = f.spindle_w * f.efficiency_frac / cutting_power_w(f.specific_energy_j_per_m3, f.wear_factor)
    rough_s = (cut_m3 - light_m3) / np.minimum(face_m2_per_s * f.cut_depth_m, per_power)
    cutter_s = face_s + rough_s
    drill_s = f.hole_count * _drill_s(f, f.hole_diameter_m, f.hole_depth_m)
    drill_s = drill_s + f.thread_count * _drill_s(f, core, thread_depth)
    tap_s = f.thread_count * tapping_s(
        thread_depth, f.pitch_frac * f.thread_diameter_m, f.thread_diameter_m, f.tap_speed_m_per_s
    )
    per_edge = pieces_per_edge(
        taylor_life_s(speed, f.taylor_m_per_s, f.taylor_exponent), np.maximum(cutter_s, 1e-3)
    )
    tools = (
        np.where(f.machined_face_count + f.machined_volume_m3 > 0.0, 1.0, 0.0)
        + np.ceil(f.hole_count / f.holes_per_tool)
        + np.where(f.thread_count > 0.0, 2.0, 0.0)
    )
    features = f.machined_face_count + f.hole_count + f.thread_count
    zero = 0.0 * f.setup_s
    cut_kg = f.material_density_kg_per_m3 * cut_m3
    return Operation(
        stages=(
            Stage("faces and roughing", cutter_s),
            Stage("drilling", drill_s),
            Stage("tapping", tap_s),
            Stage("tool changes", tools * f.tool_change_s),
            Stage("rapid moves", features * f.rapid_s),
            Stage("load and unload", f.clampings * f.load_s),
            Stage("change of worn edges, gauging", f.edge_change_s / per_edge + f.gauging_s),
        ),
        machine=_MACHINES[f.choice("machine")],
        machine_size=zero + 1.0,
        crew=f.crew,
        reject_frac=f.reject_frac,
        gross_kg=cut_kg,
        returned_kg=cut_kg * f.chip_worth_frac,
        recycled_frac=zero,
        heat_j=zero,
        consumables=edges * f.edge_money / per_edge
        + f.drill_money_per_m * (f.hole_count * f.hole_depth_m + f.thread_count * thread_depth)
        + f.tap_money * f.thread_count,
        bought=zero,
        setup_s=f.setup_s,
        tools=f.fixture_money,
        tool_life=zero + np.inf,
    )


def _drill_s(f: Fields, diameter_m: Array, depth_m: Array) -> Array:
    wanted = f.drill_speed_m_per_s * f.carbide_factor
    speed = np.minimum(wanted, math.pi * diameter_m * f.spindle_per_s)
    return drilling_s(depth_m, diameter_m, _POINT_RAD, speed, f.drill_feed_frac * diameter_m)


def _nothing(f: Fields) -> Flags:
    return f.machined_face_count + f.hole_count + f.thread_count + f.machined_volume_m3 <= 0.0


PROCESS = Process(
    name="machining",
    title="machining",
    family="cut",
    needs=(),
    optional=(
        "machined_face_count",
        "machined_area_m2",
        "machined_volume_m3",
        "hole_count",
        "hole_diameter_m",
        "hole_depth_m",
        "thread_count",
        "thread_diameter_m",
    ),
    choices=(
        Choice(
            "metal",
            "metal",
            MappingProxyType({"aluminium": "aluminium", "steel": "steel", "iron": "cast iron"}),
        ),
        Choice(
            "machine",
            "machine",
            MappingProxyType(
                {
                    "3 axes": "machining centre with 3 axes: clamps more often",
                    "5 axes": "machining centre with 5 axes or two spindles",
                    "lathe": "turning centre: faces are those turned",
                }
            ),
        ),
        Choice(
            "loading",
            "loading",
            MappingProxyType({"gantry": "by gantry or robot", "hand": "by hand"}),
        ),
        Choice(
            "speed",
            "cutting speed",
            MappingProxyType({"usual": "of the tables", "fastest": "most pieces per hour, by tool life"}),
        ),
        Choice(
            "drill",
            "drills",
            MappingProxyType({"carbide": "carbide", "HSS": "high-speed steel"}),
        ),
    ),
    figures=FIGURES,
    limits=(
        Limit(
            "no face, hole, thread or volume to machine is stated; count them, or drop the step.", _nothing
        ),
        WRONG_METAL,
        Limit(
            "a hole deeper than 20 diameters is gun-drilled, which this model does not know; check the depth.",
            lambda f: (f.hole_depth_m > 20.0 * f.hole_diameter_m) & (f.hole_count > 0.0),
        ),
    ),
    evaluate=evaluate,
    adds_material=False,
    notes="Tables of cutting speed disagree by a factor of two; carbide drills are put at three times HSS, "
    "printed values run from 2 to 6. Boring to tight tolerance, deburring and washing are left out. The step "
    "before brings the "
    "finished mass; what is cut away is booked here. "
    "Perishable tools are counted here: where a machine rate holds them already, state them as 0.",
    sketch="Count bright faces, holes and threads; measure one mean face, one mean hole; volume cut away where a "
    "forging or bar is turned down.",
)
