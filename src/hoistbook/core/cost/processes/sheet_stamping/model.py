"""Sheet from its weight, forces from edges, bends and draws, stations from what there is to do."""

from __future__ import annotations

from dataclasses import dataclass
from types import MappingProxyType

import numpy as np

from hoistbook.core.arrays import Array
from hoistbook.core.cost.formulas.sheet import (
    bending_die_h,
    bending_force_n,
    blanking_force_n,
    cup_diameter_m,
    drawing_force_n,
    forming_die_h,
    hand_fed_s,
    holding_force_n,
    piercing_die_h,
)
from hoistbook.core.cost.process import Choice, Fields, Limit, Operation, Process, Stage
from hoistbook.core.cost.processes.sheet_stamping.data import FIGURES

_REFERENCE_AREA_M2 = 0.5


@dataclass(frozen=True, slots=True)
class _Blank:
    """Sheet of one part: its box, the round cup that stands for it, draws, stations."""

    box_m2: Array
    length_m: Array
    width_m: Array
    cup_m: Array
    disc_m: Array
    draws: Array
    stations: Array


def developed_m2(f: Fields) -> Array:
    """Area of the part laid flat: m/(rho t). [m^2]

    Source
    ------
    first principles.
    """
    return f.mass_kg / f.wall_thickness_m / f.material_density_kg_per_m3


def draw_ratio(f: Fields) -> Array:
    """Blank over cup diameter of the round cup with the surface and depth of the part. [1]"""
    developed = developed_m2(f)
    ratio: Array = np.sqrt(4.0 / np.pi * developed) / cup_diameter_m(developed, f.draw_depth_m)
    return ratio


def _blank(f: Fields) -> _Blank:
    developed = developed_m2(f)
    envelope = f.length_m * f.width_m
    box = np.maximum(envelope, developed / f.fill_frac)
    grown = np.sqrt(box / envelope)
    disc = np.sqrt(4.0 / np.pi * developed)
    cup = cup_diameter_m(developed, f.draw_depth_m)
    ratio = disc / cup
    second = f.first_draw_ratio / (1.0 - f.second_reduction_frac)
    more = np.where(ratio > f.first_draw_ratio, 1.0, 0.0) + np.where(ratio > second, 1.0, 0.0)
    draws = np.where(f.draw_depth_m > 0.0, 1.0 + more, 0.0)
    # Cutting out and one more cut or restrike are always there.
    flat = np.ceil(f.hole_count / f.holes_per_station) + np.ceil(f.bend_count / f.bends_per_station)
    return _Blank(box, f.length_m * grown, f.width_m * grown, cup, disc, draws, 2.0 + flat + draws)


def _forces(f: Fields, blank: _Blank) -> tuple[Array, Array, Array]:
    """Forces of cutting, bending and drawing of one part. [N]"""
    cut = blanking_force_n(f.material_shear_strength_pa, f.wall_thickness_m, f.cut_length_m)
    opening = f.opening_per_thickness * f.wall_thickness_m
    bend = bending_force_n(
        f.bend_constant, f.material_tensile_strength_pa, f.bend_length_m, f.wall_thickness_m, opening
    )
    full = drawing_force_n(blank.cup_m, blank.disc_m, f.wall_thickness_m, f.material_tensile_strength_pa)
    yielding = f.yield_frac * f.material_tensile_strength_pa
    radius = f.die_radius_per_thickness * f.wall_thickness_m
    holding = holding_force_n(blank.cup_m, blank.disc_m, f.wall_thickness_m, yielding, radius)
    # The formula is printed without the quarter of a circle's area. A shallow part has no ring left to hold.
    held = np.maximum(0.25 * holding, 0.0)
    return cut, bend, np.where(f.draw_depth_m > 0.0, full + held, 0.0)


def _die_hours(f: Fields, blank: _Blank) -> Array:
    """Hours of the single dies that make the part. [h]"""
    cutting = (
        piercing_die_h(blank.box_m2) + f.hole_die_h * f.hole_count + f.contour_die_h_per_m * f.cut_length_m
    )
    bent = np.where(f.bend_count > 0.0, 1.0, 0.0)
    bends = bending_die_h(f.bend_length_m, f.bend_count) * bent
    found: Array = cutting + bends + (bent + blank.draws) * forming_die_h(blank.box_m2, f.draw_depth_m)
    return found


def evaluate(f: Fields) -> Operation:
    """What one stamping takes.

    Notes
    -----
    The part laid flat has the area m/(rho t). Its box is the envelope, or where that is too small the flat area
    over the share of a box that parts fill; bridges, carrier and binder come on top. Draw depth and flat area give
    the round cup of equal surface, and with it ratio, force and number of draws. Press force is that of all
    stations together, blank holder included, with a reserve, and no smaller than the presses that have such a bed.

    Source
    ------
    published: M. P. Groover, ch. 19 (forces, draw ratios); from memory: Boothroyd, Dewhurst, Knight, ch. 9 (die hours,
    feeding by hand); strokes, beds and utilisation common practice.
    """
    line = f.choice("line")
    blank = _blank(f)
    parts = np.maximum(f.cavity_count, 1.0)
    bridge = np.maximum(f.bridge_per_thickness * f.wall_thickness_m, f.bridge_min_m)
    lost = (1.0 + np.where(f.draw_depth_m > 0.0, f.binder_frac, 0.0)) * (1.0 + f.coil_loss_frac)
    margin = 2.0 * f.die_margin_m
    pitch = blank.width_m + bridge
    strip = blank.length_m + 2.0 * bridge + f.carrier_m
    station = pitch * strip
    gross = (f.material_density_kg_per_m3 * lost) * f.wall_thickness_m * station
    cut, bend, draw = _forces(f, blank)
    across = parts * strip + margin
    if line == "hand-fed":
        force = f.force_reserve_frac * np.maximum(np.maximum(cut, bend), draw)
        bed = (pitch + margin) * across
        hits = blank.stations * hand_fed_s(f.length_m, f.width_m)
        stages: tuple[Stage, ...] = (Stage("hits, fed by hand", hits / parts),)
    else:
        force = (f.force_reserve_frac * parts) * (cut + bend + draw)
        if line == "tandem":
            bed = blank.stations * (pitch + margin) * across
        else:
            bed = (blank.stations * pitch + margin) * across
        stroke = np.maximum(f.stroke_s, 2.0 / f.feed_m_per_s * pitch) if line == "progressive" else f.stroke_s
        stages = (
            Stage("stroke and feed", stroke / parts),
            Stage("draw", 2.0 * f.draw_depth_m / parts / f.draw_m_per_s),
        )
    return Operation(
        stages=stages,
        machine="mechanical press" if line in ("progressive", "hand-fed") else "transfer press",
        machine_size=np.maximum(force, f.bed_pa * bed),
        crew=f.crew,
        reject_frac=f.reject_frac,
        setup_s=f.setup_s,
        gross_kg=gross,
        returned_kg=gross - f.mass_kg,
        recycled_frac=f.material_scrap_credit_frac,
        tools=_tools(f, blank, station) * (f.visible_die_frac * parts**f.parts_exponent),
        tool_life=f.die_life * parts,
    )


def _tools(f: Fields, blank: _Blank, station_m2: Array) -> Array:
    """Price of the dies for one part per stroke. [money]"""
    line = f.choice("line")
    if line in ("transfer", "tandem"):
        size = (blank.box_m2 / _REFERENCE_AREA_M2) ** f.operation_die_exponent
        return blank.stations * size * f.operation_die_money
    hours = (3600.0 * f.production_die_frac * f.tool_shop_money_per_s) * _die_hours(f, blank)
    plates = (f.production_die_frac * f.die_set_money_per_m2) * blank.stations * station_m2
    base = f.production_die_frac * f.die_set_money
    if line == "hand-fed":
        return hours + blank.stations * base + plates
    return f.progressive_die_frac * hours + base + plates


def _too_long(f: Fields) -> Array:
    limit = 1.2 if f.choice("line") == "progressive" else 4.5
    return f.length_m / limit


PROCESS = Process(
    name="sheet_stamping",
    title="sheet stamping",
    family="form",
    needs=("mass_kg", "length_m", "width_m", "wall_thickness_m", "cut_length_m"),
    optional=("hole_count", "bend_count", "bend_length_m", "draw_depth_m", "cavity_count"),
    choices=(
        Choice(
            "line",
            "line",
            MappingProxyType(
                {
                    "progressive": "one press, one die with all stations, strip from the coil",
                    "transfer": "one press, a die per station, parts carried by rails",
                    "tandem": "a row of presses, parts carried by robots",
                    "hand-fed": "single presses, parts laid in by hand",
                }
            ),
        ),
        Choice(
            "surface",
            "surface",
            MappingProxyType({"hidden": "hidden or structural", "visible": "outer skin"}),
        ),
    ),
    figures=FIGURES,
    limits=(
        Limit(
            "sheet below 0.1 mm or above 12 mm is not stamped on such presses; check the gauge.",
            lambda f: (f.wall_thickness_m < 1e-4) | (f.wall_thickness_m > 0.012),
        ),
        Limit(
            "the draw is too deep: the blank is more than 3.4 times as wide as the cup, beyond three draws (reductions "
            "of 50, 30 and 16 %); check depth, mass and gauge, or take another process.",
            lambda f: (
                draw_ratio(f) * (1.0 - f.second_reduction_frac) * (1.0 - f.third_reduction_frac)
                > f.first_draw_ratio
            ),
        ),
        Limit(
            "too long for this line: a progressive die carries parts of up to 1.2 m, a line up to 4.5 m; choose "
            "transfer or tandem.",
            lambda f: _too_long(f) > 1.0,
        ),
    ),
    evaluate=evaluate,
    notes="Trimming by laser, welding and coating are steps of their own. Blanks are nested one up; two parts nested "
    "into each other save sheet that this does not see. The price of dies is the weakest figure.",
    sketch="Envelope: length and width as the part lies in the die. Cut edges: outline and all holes. Draw depth: from "
    "rim to floor. Cavities: parts per stroke.",
)
