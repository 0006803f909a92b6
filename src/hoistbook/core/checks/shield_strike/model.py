"""A strike from below: its energy, the dent, what the plate bears by several formulas, and what it hands on."""

from __future__ import annotations

import math
from dataclasses import replace

import numpy as np

from hoistbook.core.arrays import Array
from hoistbook.core.checks.declared import Check, Found, Given, Limit, Outcome, Spread
from hoistbook.core.checks.found import CheckResult
from hoistbook.core.checks.shield_strike.data import CHOICES, PLATES, READINGS, SKETCH, Plate
from hoistbook.core.checks.words import NO_PERMISSION, kept

YARDSTICK_J = 150.0
"""published: bottom impact of GB 38031-2025, 8.2.16 (second hand): 150 J ± 3 J at three places."""
TEARING, WEN_JONES, SRI, BRL, LAMINATE = (
    "membrane tearing",
    "Wen and Jones",
    "SRI",
    "BRL, steel",
    "Caprino and Lopresto, laminate",
)
SRI_THICK, SRI_WIDE = (0.1, 0.8), (5.0, 8.0)
"""from memory: stated range of the SRI formula: thickness over diameter, span over diameter."""
BRL_J_PER_M3 = 1.43963e9


def strike_j(mass: Array, speed: Array, slope: Array) -> Array:
    """½ m (v tan θ)²: riding up a wedge lifts the share of the vehicle that stands on it. [J]"""
    energy: Array = 0.5 * mass * (speed * np.tan(slope)) ** 2
    return energy


def elastic_n_per_m(plate: Plate, thickness: Array, span: Array) -> Array:
    """K = 16πD/R², D = Et³/12(1 − ν²): clamped disc, load in the middle (from memory: Timoshenko; Roark). [N/m]"""
    rigidity = plate.youngs_pa * thickness**3 / (12.0 * (1.0 - plate.poisson**2))
    stiffness: Array = 16.0 * math.pi * rigidity / span**2
    return stiffness


def flow_pa(plate: Plate) -> float:
    """Mean of yield and strength. [Pa]"""
    return 0.5 * (plate.yield_pa + plate.strength_pa)


def dent_m(plate: Plate, energy: Array, thickness: Array, span: Array, striker: Array) -> Array:
    """Solve πσt w²/ln(R/a) + πσt² w = E, a plastic clamped disc; of a laminate √(2E/k). [m]"""
    if plate.laminate:
        elastic: Array = np.sqrt(2.0 * energy / elastic_n_per_m(plate, thickness, span))
        return elastic
    sigma = flow_pa(plate)
    a = math.pi * sigma * thickness / np.log(span / (0.5 * striker))
    b = math.pi * sigma * thickness**2
    dent: Array = (-b + np.sqrt(b * b + 4.0 * a * energy)) / (2.0 * a)
    return dent


def peak_n(plate: Plate, dent: Array, thickness: Array, span: Array, striker: Array) -> Array:
    """Force at the end of the dent: 2πσtw/ln(R/a) + πσt²; of a laminate k w. [N]"""
    if plate.laminate:
        return elastic_n_per_m(plate, thickness, span) * dent
    sigma = flow_pa(plate)
    force: Array = (
        2.0 * math.pi * sigma * thickness * dent / np.log(span / (0.5 * striker))
        + math.pi * sigma * thickness**2
    )
    return force


def tearing_j(plate: Plate, thickness: Array, span: Array, striker: Array) -> Array:
    """2πσt a² ln(R/a) ε: membrane strain at the edge of the striker reaches the strain of rupture. [J]"""
    a = 0.5 * striker
    energy: Array = 2.0 * math.pi * flow_pa(plate) * thickness * a**2 * np.log(span / a) * plate.strain
    return energy


def wen_jones_j(plate: Plate, thickness: Array, span: Array, striker: Array) -> Array:
    """2σ_y d³[(π/4)(t/d)² + (S/d)^0.21 (t/d)^1.47], S = 2R (from memory: J. Press. Vess. Tech. 118, 1996, 181). [J]"""
    slim = thickness / striker
    energy: Array = (
        2.0
        * plate.yield_pa
        * striker**3
        * (math.pi / 4.0 * slim**2 + (2.0 * span / striker) ** 0.21 * slim**1.47)
    )
    return energy


def sri_j(plate: Plate, thickness: Array, span: Array, striker: Array) -> Array:
    """σ_u d³/10.29 [42.7(t/d)² + (S/d)(t/d)] (from memory: Corbett, Reid and Johnson 1996). [J]"""
    slim = thickness / striker
    energy: Array = plate.strength_pa * striker**3 / 10.29 * (42.7 * slim**2 + 2.0 * span / striker * slim)
    return energy


def brl_j(thickness: Array, striker: Array) -> Array:
    """1.44e9 (d t)^1.5, steel only (from memory: BC-TOP-9A, rev. 2, 1974). [J]"""
    energy: Array = BRL_J_PER_M3 * (striker * thickness) ** 1.5
    return energy


def laminate_j(g: Given) -> Array:
    """K (t V d)^1.4, t and d in mm (from memory: Caprino and Lopresto 2001). [J]"""
    energy: Array = g.laminate_factor * (g.thickness_m * 1e3 * g.fibre_frac * g.striker_m * 1e3) ** 1.4
    return energy


def _borne(g: Given, plate: Plate) -> dict[str, Array]:
    """What the plate bears by every formula that holds for its material and size. [J]"""
    if plate.laminate:
        return {LAMINATE: laminate_j(g)}
    size = (g.thickness_m, g.span_m, g.striker_m)
    found = {TEARING: tearing_j(plate, *size), WEN_JONES: wen_jones_j(plate, *size)}
    slim, wide = float(g.thickness_m[0] / g.striker_m[0]), float(2.0 * g.span_m[0] / g.striker_m[0])
    if SRI_THICK[0] < slim < SRI_THICK[1] and SRI_WIDE[0] < wide < SRI_WIDE[1]:
        found[SRI] = sri_j(plate, *size)
    if plate.steel:
        found[BRL] = brl_j(g.thickness_m, g.striker_m)
    return found


def _evaluate(g: Given) -> Found:
    plate = PLATES[g.choice("material")]
    energy = strike_j(g.lifted_kg, g.speed_m_per_s, g.wedge_rad)
    size = (g.thickness_m, g.span_m, g.striker_m)
    dent = dent_m(plate, energy, *size)
    yardstick = dent_m(plate, np.full_like(energy, YARDSTICK_J), *size)
    borne = _borne(g, plate)
    areal = plate.density_kg_per_m3 * g.thickness_m
    return {
        "borne_j": Spread(borne),
        "strike_j": energy,
        "over_j": Spread({name: value - energy for name, value in borne.items()}),
        "dent_m": dent,
        "stroke_left_m": g.gap_m - dent,
        "peak_n": peak_n(plate, dent, *size),
        "yardstick_dent_m": yardstick,
        "yardstick_frac": Spread({name: value / YARDSTICK_J for name, value in borne.items()}),
        "elastic_n_per_m": elastic_n_per_m(plate, g.thickness_m, g.span_m),
        "areal_kg_per_m2": areal,
        "borne_per_mass": Spread({name: value / areal for name, value in borne.items()}),
    }


def _verdict(result: CheckResult, given: Given) -> str:
    borne, strike, dent = (result.figure(name) for name in ("borne_j", "strike_j", "dent_m"))
    plate = PLATES[given.choice("material")]
    words = [
        (
            f"A strike of {strike.value:.0f} J dents this {plate.words} by {dent.value * 1e3:.0f} mm and puts "
            f"{result.figure('peak_n').value / 1e3:.0f} kN "
            "on its fasteners."
        )
    ]
    if len(borne.formulas) > 1:
        values = [one.value for one in borne.formulas]
        words.append(
            f"The published formulas for what it bears differ by a factor of {max(values) / min(values):.1f} here, "
            f"from {min(values):.0f} to "
            f"{max(values):.0f} J: there is no one number."
        )
    else:
        words.append(f"One formula, a weak one, says what it bears: {borne.value:.0f} J.")
    if SRI not in [one.formula for one in borne.formulas] and not plate.laminate:
        words.append(
            f"The SRI formula is left out: it holds for a thickness of {SRI_THICK[0]:g} to {SRI_THICK[1]:g} and a "
            f"span of {SRI_WIDE[0]:g} to "
            f"{SRI_WIDE[1]:g} diameters of the striker."
        )
    if not plate.steel:
        words.append("The BRL formula is left out: it holds for steel only.")
    over = next(one for one in result.held if one.outcome == "over_j")
    words.append(f"By these formulas, that the shield is not pierced {kept(replace(over, safety=False))}.")
    if strike.value > max([one.value for one in borne.formulas] or [borne.value]):
        words.append(
            "It would be pierced before it is dented so far: dent and force hold for a plate that stays whole."
        )
    stroke = result.figure("stroke_left_m")
    if stroke.value < 0.0:
        words.append(
            f"The gap of {float(given.gap_m[0]) * 1e3:.0f} mm is smaller than the dent: what lies behind is loaded."
        )
    elif stroke.low < 0.0:
        words.append("The dent may close the gap: what lies behind may be loaded.")
    words.append(NO_PERMISSION)
    return " ".join(words)


CHECK = Check(
    name="shield_strike",
    title="Strike on a shield",
    question="How hard a hit does the underbody shield survive, and how does it compare with another material?",
    family="underbody",
    readings=READINGS,
    choices=CHOICES,
    outcomes=(
        Outcome("borne_j", "energy that the shield bears before it is pierced", "J"),
        Outcome("strike_j", "energy of the strike", "J"),
        Outcome("over_j", "energy borne less that of the strike", "J"),
        Outcome("dent_m", "dent of this strike", "m", show="mm"),
        Outcome("stroke_left_m", "gap left behind the dent", "m", show="mm"),
        Outcome("peak_n", "force handed to the fasteners", "N", show="kN"),
        Outcome("yardstick_dent_m", "dent at the 150 J of the published bottom impact", "m", show="mm"),
        Outcome("yardstick_frac", "energy borne over those 150 J", "1"),
        Outcome("elastic_n_per_m", "elastic stiffness in the middle", "N/m", show="N/mm"),
        Outcome("areal_kg_per_m2", "mass per area", "kg/m2"),
        Outcome("borne_per_mass", "energy borne per mass per area", "N.m3/kg"),
    ),
    evaluate=_evaluate,
    verdict=_verdict,
    sketch=SKETCH,
    limits=(
        Limit(
            "over_j",
            "at least",
            0.0,
            "strike against the formulas of perforation",
            "from memory",
            "formulas of the page",
            safety=True,
        ),
        Limit(
            "stroke_left_m",
            "at least",
            0.0,
            "dent against the gap",
            "first principles",
            "what lies behind is loaded once the gap closes",
            safety=True,
        ),
    ),
    cannot_say=(
        "A hemisphere pierces otherwise than the blunt strikers of the formulas",
        "Cold, which makes polymers brittle, and heat, which lets them creep: no rating without a temperature",
        "Edge bolts that pull through first: hold the force against them",
        "Repeated hits at one place; ribs, beads and real outlines of the span",
        "Whether the shield belonged to the tested battery or only to the vehicle: the standard allows both",
    ),
    references=(
        "published: GB 38031-2025, 5.2.16 and 8.2.16, in an English summary: hemisphere of 30 mm, 10 kg, 150 J",
        "from memory: clamped disc: Timoshenko and Woinowsky-Krieger; Roark",
        "first principles: plastic membrane of a clamped disc (same form from memory: Simonsen and Lauridsen 2000)",
        "from memory: Wen and Jones, J. Press. Vess. Tech. 118 (1996) 181",
        "from memory: SRI: Corbett, Reid and Johnson 1996; BRL: BC-TOP-9A rev. 2, 1974",
        "from memory: laminates: Caprino and Lopresto 2001, weak",
    ),
    method="""
| what | equation | source |
|---|---|---|
| strike | ½ m (v tan θ)² | first principles |
| dent | πσt w²/ln(R/a) + πσt² w = E, σ mean of yield and strength | first principles |
| force | 2πσtw/ln(R/a) + πσt² | first principles |
| tearing | 2πσt a² ln(R/a) ε | first principles, a lower bound in flavour |
| Wen and Jones | 2σ_y d³(π/4 (t/d)² + (S/d)^0.21 (t/d)^1.47), S = 2R | from memory |
| SRI | σ_u d³/10.29 (42.7(t/d)² + (S/d)(t/d)) | from memory |
| BRL | 1.44·10⁹ (d t)^1.5 J, steel only | from memory |
| laminate | K (t V d)^1.4 J, mm | from memory, weak |
""",
    cautions=(
        (
            "A battery that was struck can burn days later: quarantine by the maker's sheet and local law, licensed "
            "people only."
        ),
    ),
)
