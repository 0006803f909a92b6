"""Fasteners the trees speak of by a short key: name as printed and mass of one piece. [g]

The masses are invented to the nearest tenth of a gram; they were kept near those of flanged steel fasteners of the
same size (a flanged M8 x 25 screw weighs some 18 g: common practice, no source).
"""

from __future__ import annotations

from dataclasses import dataclass


@dataclass(frozen=True, slots=True)
class FastenerType:
    """One kind of fastener: printed name, mass, how it joins, material, and whether it comes out whole."""

    name: str
    mass_g: float
    process: str
    material: str
    removable: bool


def _screws() -> dict[str, FastenerType]:
    masses = {
        "M4x12": 1.9, "M5x16": 4.3, "M6x16": 6.6, "M6x20": 7.6, "M6x25": 8.7, "M6x30": 9.9,
        "M8x20": 15.6, "M8x25": 17.6, "M8x30": 19.7, "M8x40": 23.8, "M8x60": 32.1, "M8x100": 45.6,
        "M10x25": 31.5, "M10x35": 37.9, "M10x45": 44.3, "M10x60": 53.8, "M10x80": 66.5, "M10x100": 79.2,
        "M12x35": 56.0, "M12x50": 69.5, "M12x70": 87.4, "M12x90": 105.0,
        "M14x60": 118.0, "M14x90": 154.0, "M14x110": 179.0, "M16x120": 262.0,
    }  # fmt: skip
    return {
        key: FastenerType(
            f"Screw {key.replace('x', '×')}, flanged", mass, "screwing", "steel, zinc-flake coated", True
        )
        for key, mass in masses.items()
    }


FASTENERS: dict[str, FastenerType] = {
    **_screws(),
    "nM6": FastenerType("Nut M6, flanged", 3.3, "screwing", "steel, zinc-flake coated", True),
    "nM8": FastenerType("Nut M8, flanged", 7.4, "screwing", "steel, zinc-flake coated", True),
    "nM10": FastenerType("Nut M10, flanged", 14.1, "screwing", "steel, zinc-flake coated", True),
    "nM12": FastenerType("Nut M12, flanged", 21.9, "screwing", "steel, zinc-flake coated", True),
    "nM14": FastenerType("Nut M14, flanged", 34.0, "screwing", "steel, zinc-flake coated", True),
    "nM16": FastenerType("Nut M16, flanged", 48.5, "screwing", "steel, zinc-flake coated", True),
    "cn6": FastenerType("Captive nut M6", 4.6, "clipping", "spring steel", True),
    "cn8": FastenerType("Captive nut M8", 9.3, "clipping", "spring steel", True),
    "tap4": FastenerType("Tapping screw 4.2×16", 1.9, "screwing", "steel, zinc-plated", True),
    "tap5": FastenerType("Tapping screw 4.8×19", 3.0, "screwing", "steel, zinc-plated", True),
    "tap6": FastenerType("Tapping screw 6.3×25", 6.1, "screwing", "steel, zinc-plated", True),
    "clip": FastenerType("Trim clip", 1.6, "clipping", "POM", True),
    "xmas": FastenerType("Fir-tree clip", 1.1, "clipping", "PA66", False),
    "push": FastenerType("Push rivet, two-piece", 2.3, "clipping", "PA66", True),
    "edge": FastenerType("Edge clip", 1.9, "clipping", "PA66 on spring steel", True),
    "riv48": FastenerType("Blind rivet 4.8×12", 2.6, "riveting", "aluminium, steel stem", False),
    "riv64": FastenerType("Rivet 6.4×14", 4.9, "riveting", "steel", False),
    "hc": FastenerType("Spring band clamp", 11.5, "clamping", "spring steel", True),
    "worm": FastenerType("Worm-drive clamp", 16.8, "clamping", "stainless steel", True),
    "ear": FastenerType("Ear clamp", 5.2, "clamping", "stainless steel", False),
    "tie": FastenerType("Cable tie 4.8×200", 1.7, "clamping", "PA66", False),
    "tiem": FastenerType("Cable tie with fir-tree foot", 2.6, "clamping", "PA66", False),
    "banjo": FastenerType("Banjo bolt M10", 19.5, "screwing", "steel, zinc-flake coated", True),
    "wb14": FastenerType("Wheel bolt M14×1.5", 96.0, "screwing", "steel, zinc-flake coated", True),
}
