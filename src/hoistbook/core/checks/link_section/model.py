"""Stiffness, buckling and torsion of a link for its mass, once section and scale agree on that mass."""

from __future__ import annotations

import math

import numpy as np
from numpy.typing import NDArray

from hoistbook.core.arrays import Array
from hoistbook.core.checks.declared import Check, Found, Given, Limit, Outcome, Rule
from hoistbook.core.checks.found import CheckResult
from hoistbook.core.checks.link_section.data import CHOICES, METALS, READINGS, SKETCH
from hoistbook.core.checks.link_section.sections import SECTIONS, Section, widest_over_wall
from hoistbook.core.checks.words import kept

MUCH_STIFFER = 2.0
"""Ratio from which on the verdict tells of the torsion of a closed tube; project rule."""
MASS_GAP = 0.03
"""common practice: section and scale agree within 3 % before a stiffness is quoted."""
OUTSTAND, HELD, ROUND = 14.0, 42.0, 90.0
"""from memory: EN 1993-1-1, table 5.2, class 3: widest wall over thickness, in ε = √(235 MPa/yield), squared if
round."""


def transition(youngs: float, yields: Array) -> Array:
    """√(2π²E/Sy): slenderness where Johnson's parabola meets Euler (from memory: Shigley, pinned ends). [1]"""
    found: Array = np.sqrt(2.0 * math.pi**2 * youngs / yields)
    return found


def buckling_pa(youngs: float, yields: Array, slenderness: Array) -> Array:
    """Euler π²E/s², below the transition Johnson Sy − (Sy s/2π)²/E (from memory: Shigley, pinned ends). [Pa]"""
    euler = math.pi**2 * youngs / slenderness**2
    johnson = yields - (yields * slenderness / (2.0 * math.pi)) ** 2 / youngs
    found: Array = np.where(slenderness < transition(youngs, yields), johnson, euler)
    return found


def bowed_n(section: Section, youngs: float, yields: Array, length: Array, bow: Array) -> Array:
    """Axial load at which the outermost fibre of a bowed link yields.

    Notes
    -----
    (Sy − s)(e − s) = (c A y/I) e s for the mean stress s, with Euler's stress e in the plane of the bow (from memory:
    Perry; a bow like a half sine). [N]
    """
    euler = math.pi**2 * youngs * section.second_x_m4 / (section.area_m2 * length**2)
    bent = bow * section.area_m2 * section.fibre_m / section.second_x_m4
    middle = 0.5 * (yields + (1.0 + bent) * euler)
    stress = middle - np.sqrt(middle**2 - yields * euler)
    found: Array = stress * section.area_m2
    return found


def bowed_stiffness_n_per_m(section: Section, youngs: float, length: Array, bow: Array) -> Array:
    """1/(L/EA + 8c²L/(15EI)): a parabolic bow between pins (first principles: virtual work). [N/m]"""
    give = length / (youngs * section.area_m2) + 8.0 * bow**2 * length / (15.0 * youngs * section.second_x_m4)
    found: Array = 1.0 / give
    return found


def _tube_torsion_m4(area: Array, depth: Array) -> Array:
    """Torsion constant of a closed round tube of that area and diameter; a rod where there is no hole left. [m⁴]"""
    inside2 = np.maximum(depth**2 - 4.0 * area / math.pi, 0.0)
    outside2 = inside2 + 4.0 * area / math.pi
    found: Array = math.pi / 32.0 * (outside2**2 - inside2**2)
    return found


def _evaluate(g: Given) -> Found:
    metal = METALS[g.choice("material")]
    section = SECTIONS[g.choice("shape")](g.depth_m, g.width_m, g.wall_m, g.corner_m)
    youngs, length, area = metal.youngs_pa, g.length_m, section.area_m2
    mass = metal.density_kg_per_m3 * area * length
    bow = np.abs(g.bow_m)  # a band around a straight link bends it to either side
    slender = length / np.sqrt(section.least_second_m4 / area)
    buckling = buckling_pa(youngs, g.yield_pa, slender) * area
    capacity = np.minimum(buckling, bowed_n(section, youngs, g.yield_pa, length, bow))
    axial = bowed_stiffness_n_per_m(section, youngs, length, bow)
    straight = youngs * area / length
    torsion = youngs / 2.6 * section.torsion_m4 / length
    return {
        "capacity_n": capacity,
        "mass_gap_frac": np.abs((mass + g.ends_kg) / g.mass_kg - 1.0),
        "section_mass_kg": mass,
        "area_m2": area,
        "second_x_m4": section.second_x_m4,
        "second_y_m4": section.second_y_m4,
        "torsion_m4": section.torsion_m4,
        "shear_centre_m": section.shear_centre_m,
        "axial_n_per_m": axial,
        "bow_loss_frac": 1.0 - axial / straight,
        "torsion_n_m_per_rad": torsion,
        "buckling_n": buckling,
        "squash_n": g.yield_pa * area,
        "slenderness": slender,
        "transition": transition(youngs, g.yield_pa),
        "straight_per_mass": straight / mass,
        "axial_per_mass": axial / mass,
        "bending_per_mass": youngs * section.least_second_m4 / mass,
        "torsion_per_mass": torsion / mass,
        "capacity_per_mass": capacity / mass,
        "tube_torsion_ratio": _tube_torsion_m4(area, g.depth_m) / section.torsion_m4,
    }


def _verdict(result: CheckResult, given: Given) -> str:
    def value(name: str) -> float:
        return result.figure(name).value

    shape, metal = given.choice("shape"), METALS[given.choice("material")]
    gap = next(one for one in result.held if one.outcome == "mass_gap_frac")
    words = [
        (
            f"Section and scale differ by {value('mass_gap_frac'):.1%}; that they agree within {MASS_GAP:.0%} "
            f"{kept(gap)}."
        )
    ]
    if gap.margin < 0.0:
        words.append("Measure wall, bends and ends again before any figure below is quoted.")
    if value("capacity_n") < value("buckling_n"):
        why = f"its bow sets that; straight it would bear {value('buckling_n') / 1e3:.0f} kN"
    elif value("slenderness") < value("transition"):
        why = "it is stocky, yield governs"
    else:
        why = "it is slender, buckling governs"
    words.append(
        f"The {shape} of {metal.words} bears {value('capacity_n') / 1e3:.0f} kN along its axis against "
        f"{value('squash_n') / 1e3:.0f} kN of plain yield; {why}."
    )
    words.append(
        f"Straight, it has {value('straight_per_mass') / 1e6:.0f} kN/mm per kg along its axis, as any section of this "
        f"material and length has: for a straight link the shape buys no axial stiffness."
    )
    if value("bow_loss_frac") > 0.0:
        words.append(f"Its bow costs {value('bow_loss_frac'):.0%} of that.")
    ratio = value("tube_torsion_ratio")
    if ratio > MUCH_STIFFER:
        words.append(
            f"A closed tube of the same mass and depth is {ratio:.0f} times as stiff in torsion. A link between ball "
            f"joints or bushes needs none; one that carries spring, damper or anti-roll bar does."
        )
    return " ".join(words)


def _too_thin(g: Given) -> NDArray[np.bool_]:
    shape = g.choice("shape")
    outstand, held = widest_over_wall(shape, g.depth_m, g.width_m, g.wall_m)
    epsilon = np.sqrt(235e6 / g.yield_pa * METALS[g.choice("material")].youngs_pa / 210e9)
    most = ROUND * epsilon**2 if "tube" in shape else HELD * epsilon
    return np.asarray((outstand > OUTSTAND * epsilon) | (held > most))


def _no_hollow(g: Given) -> NDArray[np.bool_]:
    least = g.depth_m if "tube" in g.choice("shape") else np.minimum(g.depth_m, g.width_m)
    return np.asarray(2.0 * g.wall_m >= least)


CHECK = Check(
    name="link_section",
    title="Section of a link",
    question="Folded, tubular or forged: what does each gram of this link buy?",
    family="links",
    readings=READINGS,
    choices=CHOICES,
    outcomes=(
        Outcome("capacity_n", "axial load it bears: buckling, or first yield of the bow", "N", show="kN"),
        Outcome("mass_gap_frac", "difference of section and scale in mass", "1", show="%"),
        Outcome("section_mass_kg", "mass of the section between the pins", "kg"),
        Outcome("area_m2", "area", "m2", show="mm2"),
        Outcome("second_x_m4", "second moment, bending in the plane of the depth", "m4", show="mm4"),
        Outcome("second_y_m4", "second moment, bending across it", "m4", show="mm4"),
        Outcome("torsion_m4", "torsion constant", "m4", show="mm4"),
        Outcome("shear_centre_m", "shear centre from the centroid", "m", show="mm"),
        Outcome("axial_n_per_m", "stiffness along the axis, bow included", "N/m", show="kN/mm"),
        Outcome("bow_loss_frac", "share of it that the bow costs", "1", show="%"),
        Outcome("torsion_n_m_per_rad", "stiffness in torsion", "N.m/rad"),
        Outcome("buckling_n", "load at buckling, straight", "N", show="kN"),
        Outcome("squash_n", "load at plain yield", "N", show="kN"),
        Outcome("slenderness", "length over the least radius of gyration", "1"),
        Outcome("transition", "slenderness from which buckling is elastic", "1"),
        Outcome("straight_per_mass", "axial stiffness per mass, straight", "N/(m.kg)"),
        Outcome("axial_per_mass", "axial stiffness per mass, bow included", "N/(m.kg)"),
        Outcome("bending_per_mass", "least bending stiffness per mass", "N.m2/kg"),
        Outcome("torsion_per_mass", "torsional stiffness per mass", "N.m/(rad.kg)"),
        Outcome("capacity_per_mass", "axial load per mass", "N/kg", show="N/kg"),
        Outcome(
            "tube_torsion_ratio",
            "torsional stiffness of a closed tube of that mass and depth over its own",
            "1",
        ),
    ),
    evaluate=_evaluate,
    verdict=_verdict,
    sketch=SKETCH,
    limits=(
        Limit(
            "mass_gap_frac",
            "at most",
            MASS_GAP,
            "section against scale",
            "common practice",
            "none: within 3 % before a stiffness is quoted",
        ),
    ),
    rules=(
        Rule(
            (
                "the walls are so thin that they buckle before the link does (from memory: EN 1993-1-1, table 5.2, "
                "class 3): the formulas of the whole section do not hold"
            ),
            _too_thin,
        ),
        Rule("the wall is thicker than half the section: there is no such section", _no_hollow),
        Rule(
            "the bends are rounder than half the section",
            lambda g: 2.0 * g.corner_m > np.minimum(g.depth_m, g.width_m),
        ),
    ),
    cannot_say=(
        "Fatigue at edges, welds and eyes, which sets most gauges",
        (
            "An open section loaded through its centroid twists as well as bends, since its shear centre lies aside: "
            "torsional-flexural buckling is not in the load above"
        ),
        "Bushes and ball joints, softer than the link; eyes that tear",
        "Sections that change along the link: take the least one for strength, the mass tells how much they change",
    ),
    references=(
        "first principles: areas, second moments and corners of composed sections; virtual work of a bow",
        "from memory: thin open and closed walls in torsion (Saint-Venant, Bredt); shear centre of a channel",
        (
            "published: Pilkey, Analysis and Design of Elastic Beams, Wiley 2002, examples 1.1, 5.7, 5.14, 6.2, second "
            "hand: what the sections were held against"
        ),
        "from memory: Shigley's Mechanical Engineering Design: columns by Euler and Johnson; Perry for a bowed one",
        "from memory: EN 1993-1-1, table 5.2",
    ),
    method="""
| what | equation | source |
|---|---|---|
| area, second moments | rectangles and rounded corners, summed about the centroid | first principles |
| torsion, open; closed; round | Σ b t³/3; 4 Am² t/s; π(D⁴ − d⁴)/32; slit 2π r t³/3 | from memory |
| shear centre of a channel | 3 b²/(h + 6 b) behind the middle of the web | from memory |
| axial stiffness | 1/(L/EA + 8c²L/(15EI)) | first principles |
| per mass, straight | E/(ρL²), whatever the section | first principles |
| buckling, pinned | π²E/s²; below √(2π²E/Sy): Sy − (Sy s/2π)²/E | from memory: Shigley |
| bowed, first yield | (Sy − s)(e − s) = (c A y/I) e s | from memory: Perry |
| torsional stiffness | G J/L, G = E/2.6 | from memory |

Thin-wall torsion lies 0.3 to 4 % off finite elements; the shear centre of a channel within 1 %.
""",
)
