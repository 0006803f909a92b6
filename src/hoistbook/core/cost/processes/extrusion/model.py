"""Section from weight and length, press from pressure on the billet, pace from speed at the die."""

from __future__ import annotations

from types import MappingProxyType

import numpy as np

from hoistbook.core.arrays import Array
from hoistbook.core.cost.formulas.bulk import (
    direct_extrusion_pressure_pa,
    extrusion_shape_factor,
    extrusion_strain,
)
from hoistbook.core.cost.process import Choice, Fields, Limit, Operation, Process, Stage
from hoistbook.core.cost.processes.extrusion.data import FIGURES

_REFERENCE_CIRCLE_M = 0.15


def section_m2(f: Fields) -> Array:
    """Metal of the section: m/(rho L). [m^2]

    Source
    ------
    first principles.
    """
    return f.mass_kg / (f.material_density_kg_per_m3 * f.tube_length_m)


def container_m2(f: Fields) -> Array:
    """Area of the container that takes the circle round the section. [m^2]"""
    diameter = np.maximum(f.container_frac * f.diameter_m, f.container_min_m)
    found: Array = 0.25 * np.pi * diameter**2
    return found


def extrusion_ratio(f: Fields) -> Array:
    """Area of the container over that of all strands. [1]"""
    found: Array = container_m2(f) / (section_m2(f) * np.maximum(f.cavity_count, 1.0))
    return found


def evaluate(f: Fields) -> Operation:
    """What one piece of profile takes.

    Notes
    -----
    A billet gives a length of (L - butt) A0/(n A) per strand; ends are lost of it, the rest is cut to pieces with a
    kerf each. Time per billet = length over speed + change of billet. Force = p A0, raised by the shape factor with
    the outline taken as 2 A/wall.

    Source
    ------
    published: M. P. Groover, eq. 18.22-18.24 (pressure; shape factor from memory); speeds and losses common practice.
    """
    strands = np.maximum(f.cavity_count, 1.0)
    section, container = section_m2(f), container_m2(f)
    diameter = np.sqrt(4.0 * container / np.pi)
    run_out = (1.0 - f.butt_frac) * f.billet_m * container / (section * strands)
    pieces = strands * run_out * (1.0 - f.ends_frac) / (f.tube_length_m + f.kerf_m)
    strain = extrusion_strain(extrusion_ratio(f), f.strain_a, f.strain_b)
    pressure = direct_extrusion_pressure_pa(f.flow_stress_pa, strain, f.billet_m, diameter)
    shape = extrusion_shape_factor(2.0 * section / f.wall_thickness_m, section)
    gross = f.material_density_kg_per_m3 * container * f.billet_m / pieces
    return Operation(
        stages=(
            Stage("press", run_out / (f.exit_m_per_s * f.speed_frac) / pieces),
            Stage("change of billet", f.dead_s / pieces),
        ),
        machine="extrusion press",
        machine_size=pressure * container * shape,
        crew=f.crew,
        reject_frac=f.reject_frac,
        setup_s=f.setup_s,
        gross_kg=gross,
        returned_kg=gross - f.mass_kg,
        recycled_frac=f.material_scrap_credit_frac,
        heat_j=gross * f.heat_j_per_kg,
        tools=f.die_money * (f.diameter_m / _REFERENCE_CIRCLE_M) ** f.die_exponent,
        tool_life=f.die_life_kg / gross,
    )


PROCESS = Process(
    name="extrusion",
    title="aluminium extrusion",
    family="form",
    needs=("mass_kg", "tube_length_m", "diameter_m", "wall_thickness_m"),
    optional=("cavity_count",),
    choices=(
        Choice("alloy", "alloy", MappingProxyType({"6082": "6082, 6005A, 6061", "6063": "6060, 6063"})),
        Choice(
            "section",
            "section",
            MappingProxyType(
                {"hollow": "one or two hollows", "solid": "no hollow", "multi-void": "many hollows"}
            ),
        ),
    ),
    figures=FIGURES,
    limits=(
        Limit(
            "a wall below 0.8 mm is not extruded in these alloys for structural parts; check the wall.",
            lambda f: f.wall_thickness_m < 0.0008,
        ),
        Limit(
            "the metal of the section does not fit into its circle; check mass, developed length and circle.",
            lambda f: section_m2(f) > 0.25 * np.pi * f.diameter_m**2 * 1.02,
        ),
        Limit(
            "the ratio of container to section is above 250, no press pushes that; state the strands of the die as "
            "its cavities.",
            lambda f: extrusion_ratio(f) > 250.0,
        ),
    ),
    evaluate=evaluate,
    notes="Ageing (heat treatment T5 or T6) and all sawing to angles, drilling and bending are steps of their own.",
    sketch="Developed length: along the profile. Outer diameter: the circle round the section. Cavities: strands of "
    "the die.",
)
