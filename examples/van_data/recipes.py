"""Recipes of polymers, rubber, lines, cables and bought parts, and the table of all recipes."""

from __future__ import annotations

import math
from collections.abc import Callable

from van_data import recipes_metal as metal
from van_data.making import (
    BONDED_KG_PER_M3,
    MAT_KG_PER_M2,
    Made,
    Said,
    Step,
    boxed,
    code_of,
    density_of,
    mass_of,
    wall_m,
)
from van_data.tree import Part


def _moulded(part: Part, said: Said, made: Made, code: str) -> None:
    wall = wall_m(part, said)
    developed = 0.92 * mass_of(part) / (density_of(code) * wall)
    height = max(said.metres("height", 40.0), 2.5 * wall)
    boxed(made, said.number("share", 0.62) * developed, said.number("aspect", 2.0), height)
    made.sizes |= {"wall_thickness": wall, "wall_thickness_max": 1.2 * wall}
    for word, quantity in (
        ("slides", "slide_count"),
        ("inserts", "insert_count"),
        ("cavities", "cavity_count"),
    ):
        if word in said.words:
            made.sizes[quantity] = said.number(word)
    made.steps.append(Step("injection_moulding", {}, code, "gate, ejector marks, material stamp"))


def _thermoformed(part: Part, said: Said, made: Made, code: str) -> None:
    wall = wall_m(part, said)
    developed = mass_of(part) / (density_of(code) * wall)
    boxed(made, 0.70 * developed, said.number("aspect", 1.5), said.metres("height", 40.0))
    sizes = made.sizes
    sizes |= {
        "wall_thickness": wall,
        "cut_length": 2.4 * (sizes["envelope_length"] + sizes["envelope_width"]),
    }
    made.steps.append(Step("thermoforming", {}, code, "one side sharp, wall thin in the corners"))


def _mat(part: Part, said: Said, made: Made, code: str) -> None:
    boxed(
        made,
        0.9 * mass_of(part) / MAT_KG_PER_M2,
        said.number("aspect", 1.5),
        max(0.05, said.metres("t", 4.0)),
    )
    sizes = made.sizes
    sizes |= {"wall_thickness_max": said.metres("t", 4.0),
              "cut_length": 2.3 * (sizes["envelope_length"] + sizes["envelope_width"])}  # fmt: skip
    made.steps.append(
        Step("compression_moulding", {"stock": "fibre mat"}, "fibre mat", "fibres pressed flat at the rim")
    )


def _rubber(part: Part, said: Said, made: Made, code: str) -> None:
    inserts = said.number("inserts")
    density = BONDED_KG_PER_M3 if inserts else density_of(code)
    height = said.metres("height", 30.0)
    made.sizes |= {"projected_area": 1.25 * mass_of(part) / (density * height), "rubber_thickness": said.metres("section"),
                   "insert_count": inserts}  # fmt: skip
    if "cavities" in said.words:
        made.sizes["cavity_count"] = said.number("cavities")
    note = "by the mass of the whole: its rubber was not weighed by itself" if inserts else ""
    made.steps.append(
        Step("rubber_to_metal_bonding", {"inserts": "bought"}, code, "flash at the parting line", note)
    )


def _hose(part: Part, said: Said, made: Made, code: str) -> None:
    length = part.length_m or said.metres("length")
    made.sizes |= {"tube_length": length, "joint_count": said.number("joints"),
                   "connector_count": said.number("connectors"), "insert_count": said.number("sleeves")}  # fmt: skip
    options = {"hose": said.words.get("kind", "coolant"), "test": "air"}
    made.steps.append(Step("hose_line_assembly", options, code, "print along the hose"))


def _line(part: Part, said: Said, made: Made, code: str) -> None:
    made.sizes |= {"outer_diameter": said.metres("d"), "tube_wall": said.metres("wall"), "tube_length": part.length_m,
                   "bend_count": said.number("bends"), "end_form_count": said.number("ends", 2.0),
                   "connector_count": said.number("connectors")}  # fmt: skip
    made.steps.append(Step("tube_bending", {}, code, "drawn tube, marks of the bending die"))
    if said.recipe == "brake_pipe":
        made.then(
            "hose_line_assembly",
            "flared ends with nuts",
            options={"joint": "crimped", "hose": "none", "test": "air"},
        )
        return
    made.sizes |= {"joint_count": said.number("joints"), "insert_count": said.number("sleeves")}
    note = (
        "its hose is not in this step: one length was read, that of the whole"
        if "EPDM" in part.material
        else ""
    )
    made.then(
        "hose_line_assembly",
        "brazed blocks",
        note,
        options={"joint": "brazed", "hose": "none", "test": "helium"},
    )


def _cable(part: Part, said: Said, made: Made, code: str) -> None:
    made.sizes |= {"tube_length": part.length_m or said.metres("length"), "conductor_area": said.number("area") / 1e6,
                   "circuit_count": said.number("cores", 1.0), "connector_count": said.number("connectors")}  # fmt: skip
    made.steps.append(Step("cable_assembly", {}, code, "orange, print along the cable"))


def _loom(part: Part, said: Said, made: Made, code: str) -> None:
    made.sizes |= {"circuit_count": said.number("circuits"), "tube_length": said.metres("mean"),
                   "conductor_area": said.number("area", 0.5) / 1e6, "connector_count": said.number("connectors"),
                   "clip_count": said.number("clips")}  # fmt: skip
    made.steps.append(
        Step("harness_assembly", {"cover": "spot tape"}, code, "circuits counted at the connectors")
    )


def _board(_: Part, said: Said, made: Made, code: str) -> None:
    made.sizes |= {"board_area": said.number("area") / 1e4, "component_count": said.number("components"),
                   "through_hole_count": said.number("leaded")}  # fmt: skip
    made.steps.append(Step("board_assembly", {"layers": "4 layers"}, code, "components counted on a photo"))


def _bought(part: Part, said: Said, made: Made, _: str) -> None:
    made.steps.append(
        Step("bought_part", {"kind": said.recipe}, "bought", "mark of a maker of standard parts")
    )


def _sleeve(part: Part, said: Said, made: Made, code: str) -> None:
    height = said.metres("height")
    area = mass_of(part) / (6800.0 * height)
    diameter = said.metres("d")
    wall = 0.5 * (diameter - math.sqrt(max(diameter**2 - 4.0 * area / math.pi, 0.0)))
    made.sizes |= {"projected_area": area, "wall_thickness": wall, "wall_thickness_max": 1.02 * wall}
    made.steps.append(Step("powder_metal", {"metal": "iron"}, code, "porous face, no draft"))
    made.then("heat_treatment", note="part of the process", assumed=True, options={"kind": "sinter"})


def _either(kind: str, so: str, else_so: str) -> Callable[[Part, Said, Made, str], None]:
    def made_so(part: Part, said: Said, made: Made, code: str) -> None:
        recipe = so if kind in part.material else else_so
        words = dict(said.words)
        if recipe == "roll" and said.recipe == "edge":
            words["coat"] = "electrocoat"
        if recipe == "mat":
            words["t"] = "3.5"
        again = Said(recipe, words)
        RECIPES[recipe](part, again, made, code_of(part, again) if recipe != "mat" else "fibre mat")

    return made_so


RECIPES: dict[str, Callable[[Part, Said, Made, str], None]] = {
    "press": metal.press, "hot": metal.hot, "roll": metal.roll, "extruded": metal.extruded, "tube": metal.tube,
    "die_cast": metal.cast("high_pressure_die_casting", "ejector marks, parting line"),
    "mould_cast": metal.cast("permanent_mould_casting", "stub of the riser, smooth skin"),
    "sand_cast": metal.cast("sand_casting", "grain of the sand, stub of the feeder"),
    "forged": metal.forged, "turned": metal.turned, "gear": metal.gear, "moulded": _moulded, "thermoformed": _thermoformed, "mat": _mat,
    "rubber": _rubber, "hose": _hose, "line": _line, "brake_pipe": _line, "cable": _cable, "loom": _loom, "board": _board,
    "seal": _bought, "bearing": _bought, "fastener": _bought, "sleeve": _sleeve,
    "edge": _either("aluminium", "extruded", "roll"), "frame": _either("aluminium", "extruded", "roll"),
    "liner": _either("fleece", "mat", "thermoformed"), "shield": _either("steel", "press", "mat"),
}  # fmt: skip


def made_of(part: Part, said: Said) -> Made:
    """Return the steps and true sizes of a part."""
    made = Made()
    either = said.recipe in ("edge", "frame", "liner", "shield")
    RECIPES[said.recipe](part, said, made, "" if either else code_of(part, said))
    return made
