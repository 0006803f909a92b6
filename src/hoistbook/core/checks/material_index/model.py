"""Material indices and the mass at equal duty against the first material."""

from __future__ import annotations

from hoistbook.core.arrays import Array
from hoistbook.core.checks.declared import Check, Found, Given, Outcome
from hoistbook.core.checks.found import CheckResult
from hoistbook.core.checks.material_index.data import CHOICES, DUTIES, NAMES, READINGS, SKETCH

ONE_TIE = 1.15
"""Ratio of indices below which materials are said to be alike as ties; project rule."""


def index(g: Given, duty: str) -> Array:
    """Modulus (GPa) or strength (MPa) to the power of the duty, over density (Mg/m³). [1]"""
    _, power, stiff = DUTIES[duty]
    figure = g.youngs_pa / 1e9 if stiff else g.strength_pa / 1e6
    found: Array = figure**power / (g.density_kg_per_m3 / 1e3)
    return found


def _evaluate(g: Given) -> Found:
    chosen = index(g, g.choice("duty"))
    return {
        "index": chosen,
        "mass_ratio": chosen[:1] / chosen,
        **{duty: index(g, duty) for duty in DUTIES},
    }


def _verdict(result: CheckResult, given: Given) -> str:
    names = given.names("material")
    words, _, _ = DUTIES[given.choice("duty")]
    if len(names) == 1:
        value = result.figure("index", names[0]).value
        return f"As a {words}, {names[0]} has an index of {value:.2f}; state a second material to compare it with."
    told = []
    for name in names[1:]:
        one = result.figure("mass_ratio", name)
        sure = (
            ""
            if one.high < 1.0 or one.low > 1.0
            else " (heavier or lighter cannot be told from these figures)"
        )
        told.append(f"{name} {one.value:.2f} times{sure}")
    tie = [result.figure("stiff_tie", name).value for name in names]
    said = f"As a {words}, for the same duty and shape, the mass would be, against {names[0]}: {', '.join(told)}."
    if max(tie) / min(tie) < ONE_TIE:
        said += (
            " As a stiff tie, or inside a given outline, they are within "
            f"{max(tie) / min(tie) - 1.0:.0%} of each other: a lighter material saves little there."
        )
    return said


CHECK = Check(
    name="material_index",
    title="Material for a duty",
    question="For this duty, what would the part weigh in another material?",
    family="links",
    readings=READINGS,
    choices=CHOICES,
    names=NAMES,
    outcomes=(
        Outcome("index", "index of the duty", "1", each="material"),
        Outcome("mass_ratio", "mass at equal duty over that of the first", "1", each="material"),
        Outcome("stiff_tie", "E/ρ, GPa and Mg/m³", "1", each="material"),
        Outcome("stiff_beam", "√E/ρ", "1", each="material"),
        Outcome("stiff_panel", "∛E/ρ", "1", each="material"),
        Outcome("strong_tie", "strength/ρ, MPa and Mg/m³", "1", each="material"),
        Outcome("strong_beam", "strength^⅔/ρ", "1", each="material"),
        Outcome("strong_panel", "√strength/ρ", "1", each="material"),
    ),
    evaluate=_evaluate,
    verdict=_verdict,
    sketch=SKETCH,
    cannot_say=(
        "Sections held to least gauges, outlines or shared tools: then less is won than the index says",
        "Fatigue, toughness, creep, heat, corrosion between metals, and what joining costs",
        "Laminates loaded off their fibres",
        "Cost: weigh it with the cost of the part",
    ),
    references=(
        (
            "from memory: Ashby, Materials Selection in Mechanical Design: indices of ties, beams and panels of one "
            "shape whose section or thickness is free"
        ),
    ),
    method="""
| duty | index, the greater the lighter | source |
|---|---|---|
| tie; outline given | E/ρ; σ/ρ | from memory: Ashby |
| beam, strut | E^½/ρ; σ^⅔/ρ | from memory: Ashby |
| panel | E^⅓/ρ; σ^½/ρ | from memory: Ashby |
| mass at equal duty | index of the first over its own | first principles |

E in GPa, σ in MPa, ρ in Mg/m³. Typical metals (from memory): steel 210, 7.85, 350; aluminium 6082-T6 70, 2.70, 260;
magnesium AZ91 45, 1.81, 150; titanium 6-4 114, 4.43, 880; glass fibre in one direction 40, 1.90, 800; polyamide with
30 % of glass 6, 1.37, 100.
""",
)
