"""What recipes work with: from a few words about a part to the steps it was made in and the true sizes that these steps ask for.

The sizes agree with mass, wall and density of the part: a pressing of mass m and gauge t is cut from m/(density t) of
sheet, a profile of mass m and length l has the section m/(density l), and so on. Shape factors are invented.
"""

from __future__ import annotations

import math
import re
from dataclasses import dataclass, field

from van_data.tree import Part

DENSITY_KG_PER_M3 = {"steel": 7850.0, "aluminium": 2700.0, "ductile": 7150.0, "magnesium": 1790.0, "pp-gf30": 1130.0,
                     "pp-talc20": 1050.0, "pp": 905.0, "pa66-gf30": 1370.0, "pa66": 1135.0, "abs": 1050.0, "pc": 1200.0,
                     "epdm": 1175.0, "natural": 1100.0}  # fmt: skip
"""By the first word of a material's code: what the parts truly weigh."""
BONDED_KG_PER_M3 = 2400.0
"""Rubber with its metal parts, taken together."""
MAT_KG_PER_M2 = 1.3
FILL, DEVELOPED = 0.78, 0.72
"""Share of its box that a pressing fills, and projected over developed area, where a line says nothing else."""


@dataclass(frozen=True, slots=True)
class Step:
    """One step as it stands in the routes sheet."""

    process: str
    options: dict[str, str] = field(default_factory=dict)
    material: str = ""
    evidence: str = ""
    note: str = ""
    assumed: bool = False


@dataclass(slots=True)
class Made:
    """How one part was made: its steps, and its true sizes by quantity. [SI]"""

    steps: list[Step] = field(default_factory=list)
    sizes: dict[str, float] = field(default_factory=dict)

    def then(
        self, process: str, evidence: str = "", note: str = "", *, assumed: bool = False,
        options: dict[str, str] | None = None,
    ) -> None:  # fmt: skip
        """Add a step that works on the piece."""
        self.steps.append(Step(process, options or {}, "", evidence, note, assumed))


@dataclass(frozen=True, slots=True)
class Said:
    """What one line of `made.routes` says: recipe, numbers and words."""

    recipe: str
    words: dict[str, str]

    def number(self, key: str, usual: float = 0.0) -> float:
        """Return a number; `usual` where the line does not name it."""
        return float(self.words.get(key, usual))

    def metres(self, key: str, usual_mm: float = 0.0) -> float:
        """Return a length. [m]"""
        return self.number(key, usual_mm) / 1000.0


_CODES = (
    ("press-hardened", "steel sheet, press hardened"), ("dual-phase", "steel sheet, high strength"),
    ("high strength", "steel sheet, high strength"), ("case-hardened", "steel bar, case hardening"),
    ("steel tube", "steel tube"), ("forged", "steel bar, forging"), ("induction-hardened", "steel bar, alloy"),
    ("steel", "steel sheet, mild"), ("cast iron", "ductile iron, charge"), ("die-cast", "aluminium, die casting"),
    ("cast aluminium", "aluminium, foundry"), ("extrusion", "aluminium billet, 6082"), ("magnesium", "magnesium, die casting"),
    ("aluminium", "aluminium sheet"), ("pp-lgf", "pp-gf30"), ("pp-gf", "pp-gf30"), ("pp-td20", "pp-talc20"),
    ("pp", "pp"), ("pa66-gf30", "pa66-gf30"), ("pbt-gf30", "pa66-gf30"), ("pa66", "pa66"), ("abs", "abs"),
    ("copper", "copper wire"), ("rubber", "natural rubber"), ("epdm", "epdm"),
)  # fmt: skip
_USUAL = {
    "die_cast": "aluminium, die casting", "mould_cast": "aluminium, foundry", "sand_cast": "ductile iron, charge",
    "forged": "steel bar, forging", "gear": "steel bar, case hardening", "turned": "steel bar, alloy", "mat": "fibre mat",
    "hose": "bought", "line": "aluminium tube", "cable": "copper wire", "loom": "copper wire", "board": "fr4",
    "seal": "bought", "bearing": "bought", "fastener": "bought", "sleeve": "iron powder", "brake_pipe": "steel tube",
    "tube": "steel tube",
}  # fmt: skip


def code_of(part: Part, said: Said) -> str:
    """Return the code of the material as bought: what the line says, what the recipe takes, or by the tree's words."""
    if "code" in said.words:
        found = said.words["code"]
        return "magnesium, die casting" if found == "magnesium" else found
    if said.recipe in _USUAL:
        return _USUAL[said.recipe]
    text = part.material.lower()
    for word, code in _CODES:
        if word in text:
            return code
    msg = f"{part.name}: no material follows from {part.material!r}; add 'code …' to its line of made.routes."
    raise LookupError(msg)


def density_of(code: str) -> float:
    """Return what the material truly weighs. [kg/m3]"""
    return DENSITY_KG_PER_M3[re.split(r"[ ,]", code)[0]]


def metal_of(code: str) -> str:
    """Return the metal as the options of the processes name it."""
    head = code.split()[0].strip(",")
    return {"ductile": "iron"}.get(head, head)


def wall_m(part: Part, said: Said) -> float:
    """Return the wall: of the line, else of the tree. [m]"""
    if "t" in said.words:
        return said.metres("t")
    found = re.search(r"([\d.]+) mm", part.material)
    if found is None:
        msg = f"{part.name}: neither its material nor its line of made.routes names a wall; add 't …' in mm."
        raise ValueError(msg)
    return float(found[1]) / 1000.0


def mass_of(part: Part) -> float:
    """Return the true mass of one piece. [kg]"""
    return part.true_mass_kg()


def boxed(made: Made, projected_m2: float, aspect: float, height_m: float, fill: float = FILL) -> None:
    """Add the sizes of the envelope from the projected area, its aspect and how much of the box it fills."""
    length = math.sqrt(projected_m2 * aspect / fill)
    made.sizes |= {"envelope_length": length, "envelope_width": projected_m2 / (fill * length),
                   "envelope_height": height_m, "projected_area": projected_m2}  # fmt: skip


def joined(part: Part, said: Said, made: Made, code: str) -> None:
    """Add what joins the part to its neighbours, as the tree has it: spots, beads, seams, rivets."""
    metal = "aluminium" if code.startswith("aluminium") else "steel"
    wall = made.sizes.get("wall_thickness", made.sizes.get("tube_wall", 0.003))
    amount = said.number("weld") or float(part.join_amount or 0.0)
    join = said.words.get("join", "mig" if "weld" in said.words else part.join)
    if join == "spot":
        made.sizes["spot_count"] = amount
        made.then("spot_welding", "spots counted", options={"metal": metal})
    elif join in ("mig", "fsw"):
        stirred = join == "fsw"
        made.sizes |= {"weld_length": amount, "weld_throat": 0.7 * wall}
        note = "friction stir seam, costed as an arc weld: no model of its own" if stirred else ""
        made.then("arc_welding", "bead along the edge", note, assumed=stirred, options={"metal": metal})
    elif join == "laser":
        made.sizes["weld_length"] = amount
        made.then("laser_welding", "narrow seam")
    elif join in ("hem", "bond"):
        made.sizes |= {"bead_length": amount, "bead_diameter": 0.003 if join == "hem" else 0.005}
        made.then("adhesive_bonding", "bead seen after prising apart", "in the hem" if join == "hem" else "")
    elif join == "rivet-bond":
        made.sizes |= {"rivet_count": 9.0 * amount, "bead_length": amount, "bead_diameter": 0.005}
        made.sizes["rivet_count"] = float(round(made.sizes["rivet_count"]))
        made.then("riveting", "rivets counted")
        made.then("adhesive_bonding", "bead seen after prising apart")


def finished(said: Said, made: Made, surface_m2: float) -> None:
    """Add the coat the line names."""
    if "coat" not in said.words:
        return
    made.sizes["surface_area"] = surface_m2
    coat = said.words["coat"]
    options = {"way": "rack"} if coat == "zinc_plating" else {}
    made.then(coat, "dull silver" if coat.startswith("zinc") else "black film", options=options)
