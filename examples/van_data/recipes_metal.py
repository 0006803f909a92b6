"""Recipes of metal parts: pressed, formed, cast, forged, turned."""

from __future__ import annotations

import math
from collections.abc import Callable

from van_data.making import (
    DEVELOPED,
    Made,
    Said,
    Step,
    boxed,
    density_of,
    finished,
    joined,
    mass_of,
    metal_of,
    wall_m,
)
from van_data.tree import Part


def _sheet(part: Part, said: Said, made: Made, code: str) -> float:
    """Sizes of a pressing; returns its developed area. [m2]"""
    wall = wall_m(part, said)
    developed = mass_of(part) / (density_of(code) * wall)
    depth = said.metres("depth")
    bends = said.number("bends")
    height = max(1.15 * depth, 14.0 * wall if bends else 0.0, 1.5 * wall)
    share = said.number("dev", DEVELOPED if depth or bends else 0.97)
    boxed(made, share * developed, said.number("aspect", 2.0), height)
    around = 2.0 * (made.sizes["envelope_length"] + made.sizes["envelope_width"])
    holes = said.number("holes")
    made.sizes |= {"wall_thickness": wall, "cut_length": 1.12 * around + 0.038 * holes, "hole_count": holes}
    if bends:
        made.sizes["bend_count"] = bends
    if depth:
        made.sizes["draw_depth"] = depth
    return developed


def press(part: Part, said: Said, made: Made, code: str) -> None:
    """Stamped sheet."""
    developed = _sheet(part, said, made, code)
    length = made.sizes["envelope_length"]
    line = "progressive" if length < 0.40 else "transfer" if length < 1.0 else "tandem"
    options = {"line": line}
    if said.words.get("surface") == "visible":
        options["surface"] = "visible"
    if "cavities" in said.words:
        made.sizes["cavity_count"] = said.number("cavities")
    made.steps.append(Step("sheet_stamping", options, code, "burnish and break on the cut edges"))
    joined(part, said, made, code)
    finished(said, made, 2.06 * developed)


def hot(part: Part, said: Said, made: Made, code: str) -> None:
    """Press-hardened sheet, trimmed by laser."""
    _sheet(part, said, made, code)
    made.sizes["cut_length"] *= 1.05
    made.steps.append(Step("press_hardening", {"coating": "aluminium-silicon"}, code, "grey bloom, 480 HV"))
    made.then("laser_trimming", "heat-tinted edge with fine striations")
    joined(part, said, made, code)


def roll(part: Part, said: Said, made: Made, code: str) -> None:
    """A section rolled from strip."""
    wall, length = wall_m(part, said), said.metres("length")
    strip = mass_of(part) / (density_of(code) * wall * length)
    made.sizes |= {"envelope_length": length, "envelope_width": 0.42 * strip, "envelope_height": 0.26 * strip,
                   "wall_thickness": wall, "bend_count": said.number("bends"), "hole_count": said.number("holes")}  # fmt: skip
    made.steps.append(
        Step(
            "roll_forming", {"seam": said.words.get("seam", "open")}, code, "one section, lines of the rolls"
        )
    )
    joined(part, said, made, code)
    finished(said, made, 2.03 * strip * length)


def extruded(part: Part, said: Said, made: Made, _: str) -> None:
    """A length of an aluminium section."""
    code = "aluminium billet, 6082"
    wall, length = (wall_m(part, said) if "mm" in part.material else 0.0025), said.metres("length")
    section = mass_of(part) / (2700.0 * length)
    made.sizes |= {"tube_length": length, "outer_diameter": said.metres("circle") or max(0.30 * section / wall, 1.4 * math.sqrt(section)),
                   "wall_thickness": wall, "hole_count": said.number("holes"), "bend_count": said.number("bends")}  # fmt: skip
    made.steps.append(
        Step(
            "extrusion",
            {"alloy": "6082", "section": said.words.get("section", "hollow")},
            code,
            "die lines, one section",
        )
    )
    made.then("cut_and_bend", "saw marks on the ends")
    joined(part, said, made, code)


def tube(part: Part, said: Said, made: Made, code: str) -> None:
    """A bent or straight tube."""
    wall, diameter = wall_m(part, said), said.metres("d")
    length = mass_of(part) / (density_of(code) * math.pi * (diameter - wall) * wall)
    made.sizes |= {"outer_diameter": diameter, "tube_wall": wall, "tube_length": 0.985 * length,
                   "bend_count": said.number("bends"), "end_form_count": said.number("ends")}  # fmt: skip
    made.steps.append(Step("tube_bending", {}, code, "round section with a seam inside"))
    if "heat" in said.words:
        made.sizes["wall_thickness_max"] = 1.1 * wall
        made.then(
            "heat_treatment", note="hardness not tested", assumed=True, options={"kind": said.words["heat"]}
        )
    joined(part, said, made, code)
    finished(said, made, math.pi * diameter * length)


def cast(process: str, evidence: str) -> Callable[[Part, Said, Made, str], None]:
    """Return the recipe of a cast part, machined."""

    def made_so(part: Part, said: Said, made: Made, code: str) -> None:
        mean = wall_m(part, said)
        density = density_of(code)
        surface = 1.85 * mass_of(part) / (density * mean)
        if process == "sand_casting":
            length, width = said.metres("length"), said.metres("width")
            disc = 0.785 if abs(length - width) < 1e-9 else 0.5
            made.sizes |= {"envelope_length": length, "envelope_width": width, "projected_area": disc * length * width,
                           "envelope_height": 0.30 * length}  # fmt: skip
            if "core" in said.words:
                made.sizes["core_count"] = said.number("core")
        else:
            height = max(said.metres("height", 45.0), 3.0 * mean)
            boxed(made, 0.30 * surface, said.number("aspect", 1.5), height)
        made.sizes |= {"wall_thickness": mean, "wall_thickness_max": 1.7 * mean}
        for word, quantity in (("slides", "slide_count"), ("cavities", "cavity_count")):
            if word in said.words:
                made.sizes[quantity] = said.number(word)
        metal = metal_of(code)
        options = {} if process == "permanent_mould_casting" else {"metal": metal}
        if process == "permanent_mould_casting":
            options = {"way": "gravity" if mass_of(part) < 2.0 else "low pressure"}
        made.steps.append(Step(process, options, code, evidence))
        if process == "permanent_mould_casting" and mass_of(part) < 2.0:
            made.then("heat_treatment", note="taken as T6 by hardness", assumed=True, options={"kind": "t6"})
        # Machining of magnesium has no model of its own; such a line names no faces.
        if metal != "magnesium":
            _machined(said, made, mass_of(part), density, metal)
        joined(part, said, made, code)
        finished(said, made, surface)

    return made_so


def _machined(
    said: Said, made: Made, mass_kg: float, density: float, metal: str, lathe: bool = False
) -> None:
    faces, threads = said.number("faces"), said.number("threads")
    # A machined face of a part is taken to grow with its size, two thirds of a power as areas do.
    face_m2 = 0.05 * (mass_kg / density) ** (2.0 / 3.0) * 3.0
    made.sizes |= {"machined_face_count": faces, "machined_area": face_m2, "hole_count": said.number("holes")}
    if threads:
        made.sizes |= {"thread_count": threads, "thread_diameter": said.metres("thread", 6.0)}
    allowance = {"steel": 0.0015, "iron": 0.0025}.get(metal, 0.0008)
    made.sizes["machined_volume"] = allowance * max(faces, 1.0) * face_m2
    if "holes" in said.words and said.number("holes"):
        made.sizes["hole_diameter"] = said.metres("hole", 8.5)
    options = {"metal": metal}
    if lathe:
        options["machine"] = "lathe"
    made.then("machining", "bright faces with tool marks", options=options)


def forged(part: Part, said: Said, made: Made, code: str) -> None:
    """Forged, tempered and machined."""
    mean = wall_m(part, said)
    projected = mass_of(part) / (density_of(code) * mean)
    boxed(made, projected, said.number("aspect", 2.0), 2.0 * mean)
    made.sizes["wall_thickness_max"] = 1.8 * mean
    made.steps.append(
        Step(
            "closed_die_forging",
            {"metal": "steel", "shape": said.words.get("shape", "complex")},
            code,
            "flash line, trimmed",
        )
    )
    made.then("heat_treatment", note="taken by hardness", assumed=True, options={"kind": "quench and temper"})
    _machined(said, made, mass_of(part), density_of(code), "steel")
    if "harden" in said.words:
        made.then("induction_hardening", "hard band on the seat of the bearing")
    finished(said, made, 2.4 * projected)


def turned(part: Part, said: Said, made: Made, code: str) -> None:
    """Turned from bar."""
    diameter = said.metres("d")
    length = mass_of(part) / (density_of(code) * 0.25 * math.pi * diameter**2) / 0.85
    made.sizes |= {"outer_diameter": diameter, "envelope_length": length, "envelope_width": diameter,
                   "envelope_height": diameter}  # fmt: skip
    made.steps.append(Step("bar_cutting", {}, code, "round bar, turned all over"))
    _machined(said, made, mass_of(part), density_of(code), "steel", lathe=True)
    turned_m2 = math.pi * diameter * length
    made.sizes |= {"machined_face_count": said.number("faces", 2.0), "machined_area": turned_m2 / 3.0,
                   "machined_volume": 0.15 * mass_of(part) / density_of(code) / 0.85}  # fmt: skip
    if "harden" in said.words:
        made.then("induction_hardening", "hard along the whole length")
    joined(part, said, made, code)
    finished(said, made, turned_m2)


def gear(part: Part, said: Said, made: Made, code: str) -> None:
    """A gear on its shaft: forged, turned, hobbed, case hardened, ground."""
    diameter = said.metres("d")
    disc = 0.25 * math.pi * diameter**2
    slender = mass_of(part) / (density_of(code) * disc) > diameter
    projected = 1.15 * mass_of(part) / (density_of(code) * 0.7 * diameter) if slender else 1.05 * disc
    made.sizes |= {"outer_diameter": diameter, "projected_area": projected, "tooth_count": said.number("teeth"),
                   "face_width": said.metres("face"), "case_depth": 0.0008}  # fmt: skip
    made.steps.append(
        Step(
            "closed_die_forging",
            {"metal": "steel", "shape": "simple"},
            code,
            "grain follows the shape in the section",
        )
    )
    _machined(Said("", {"faces": "6"}), made, mass_of(part), density_of(code), "steel", lathe=True)
    made.then("gear_hobbing", "hob marks in the root")
    made.then("carburising", "case 0.8 mm in the section, 60 HRC")
    made.then("gear_grinding", "ground flanks, root left black")
