"""The true part tree of a van, read from its `.tree` file.

One line is one node, two blanks of indent are one level, `|` separates the name from what is said of it:

    Outer skin | 3.84 kg | hem 3.6 m | ~steel 0.65 mm | thickness 0.65 mm
    Hinge | 2 x 0.61 kg                    two pieces of 0.61 kg in one piece of the parent
    * 8 M8x20 T40 | torque 22              eight fasteners of a type of `fasteners.py`, and their drive
    Front door | LR                        left and right: the whole branch twice

Words after the `|`: a mass (kg or g), `x 12` (pieces of an assembly), LR, `sys`, `fn`, `side`, `~material`,
`note:`, a kind (part, fastener, fluid, loose); how it is held (`spot 46`, `hem 3.6 m`, `bond`, `mig`, `laser`, `fsw`,
`rivet-bond`, `press`, `clip n`); for fasteners a drive, `torque` and `from …` (access); a length or thickness to
be measured; how its mass is known when it is not weighed (`est`, `geo`, `lit` with the 95 % band in kg, `missing`);
`whole` (weighed as one besides), `whole off g` (that reading is wrong by so much: planted), `open 1` (only one of
several was taken apart), `hidden kg` (true mass inside that no line names).
"""

from __future__ import annotations

import re
from collections.abc import Iterator
from dataclasses import dataclass, field

from van_data.fasteners import FASTENERS

_MASS = re.compile(r"^(?:(\d+) x )?([\d.]+) (kg|g)$")
_JOIN = re.compile(r"^(spot|hem|bond|mig|laser|fsw|rivet-bond|press|clip)\b *([\d.]*)")
_SIZE = re.compile(r"^(thickness|length) ([\d.]+) (mm|m)$")
_DRIVE = re.compile(r"^(T\d+|E\d+|hex ?\d+)$")
JOIN_WORDS = {
    "spot": "spot welding", "hem": "hemming", "bond": "bonding", "mig": "arc welding", "laser": "laser welding",
    "fsw": "friction stir welding", "rivet-bond": "riveting and bonding", "press": "pressing in", "clip": "clipping",
}  # fmt: skip
REMOVABLE = {"press": True, "clip": True}


@dataclass(slots=True, eq=False)
class Part:
    """One node with its true mass. `mass_kg` is of one piece of a leaf; None for an assembly."""

    name: str
    level: int
    mass_kg: float | None = None
    count: int = 1
    kind: str = ""
    system: str = ""
    function: str = ""
    side: str = ""
    material: str = ""
    note: str = ""
    join: str = ""
    join_amount: str = ""
    fastener: str = ""
    drive: str = ""
    torque_n_m: float = 0.0
    access: str = ""
    thickness_mm: float = 0.0
    length_m: float = 0.0
    known_by: str = "weighed"
    known_band_kg: float = 0.0
    whole: bool = False
    whole_off_g: float = 0.0
    opened: int = 0
    hidden_kg: float = 0.0
    both_sides: bool = False
    tag: str = ""
    parent: Part | None = None
    children: list[Part] = field(default_factory=list)

    def walk(self) -> Iterator[Part]:
        """Yield this node and everything below it, in the order of the file."""
        yield self
        for child in self.children:
            yield from child.walk()

    def above(self) -> Part:
        """Return the assembly this node came out of.

        Raises
        ------
        LookupError
            This is the vehicle itself.
        """
        if self.parent is None:
            msg = f"{self.name!r} is the vehicle itself; nothing is above it."
            raise LookupError(msg)
        return self.parent

    def path(self) -> list[str]:
        """Return the names from the system down to this node."""
        return [] if self.parent is None else [*self.parent.path(), self.name]

    def true_mass_kg(self) -> float:
        """Return the true mass of one piece of this node with everything below it. [kg]"""
        if not self.children:
            if self.mass_kg is None:
                msg = f"{self.name!r} has neither a mass nor parts below it; give one, e.g. '| 0.42 kg'."
                raise ValueError(msg)
            return self.mass_kg
        return self.hidden_kg + sum(child.count * child.true_mass_kg() for child in self.children)

    def pieces_on_vehicle(self) -> int:
        """Return how many of these the whole vehicle has."""
        count = self.count
        above = self.parent
        while above is not None:
            count *= above.count
            above = above.parent
        return count

    def pieces_in_hand(self) -> int:
        """Return how many of these came apart: of several like assemblies sometimes only one was opened."""
        count = self.count
        above = self.parent
        while above is not None:
            count *= above.opened or above.count
            above = above.parent
        return count

    def effective_function(self) -> str:
        """Return the function this node serves: its own, or the nearest one above."""
        node: Part | None = self
        while node is not None:
            if node.function:
                return node.function
            node = node.parent
        return ""


def _fastener_line(text: str, level: int) -> Part:
    count, key, *drive = text.split()
    if key not in FASTENERS:
        msg = f"no fastener type {key!r} in line {text!r}; add it to fasteners.py."
        raise ValueError(msg)
    kind = FASTENERS[key]
    part = Part(
        kind.name, level, kind.mass_g / 1000.0, int(count), "fastener", material=kind.material, fastener=key
    )
    for word in drive:
        _say(part, word)
    if part.drive:
        part.name = f"{part.name}, {part.drive}"
    return part


def _say(part: Part, word: str) -> None:
    """Put one word of a line where it belongs."""
    if found := _MASS.match(word):
        part.count = int(found[1] or 1)
        part.mass_kg = float(found[2]) / (1.0 if found[3] == "kg" else 1000.0)
    elif found := _SIZE.match(word):
        if found[1] == "thickness":
            part.thickness_mm = float(found[2])
        else:
            part.length_m = float(found[2])
    elif _DRIVE.match(word):
        part.drive = word.replace("hex", "hex ").replace("hex  ", "hex ")
    elif found := _JOIN.match(word):
        part.join, part.join_amount = found[1], found[2]
    elif word in ("part", "fastener", "fluid", "loose"):
        part.kind = word
    elif word in ("left", "right"):
        part.side = word
    elif word == "LR":
        part.both_sides = True
    elif word == "missing":
        part.known_by = "missing"
    elif word.startswith("~"):
        part.material = word[1:]
    elif word.startswith("from "):
        part.access = word
    elif word.startswith("note: "):
        part.note = word[6:]
    else:
        head, _, tail = word.partition(" ")
        _say_number(part, head, tail, word)


def _say_number(part: Part, head: str, tail: str, word: str) -> None:
    if head == "x":
        part.count = int(tail)
    elif head == "sys":
        part.system = tail
    elif head == "fn":
        part.function = tail
    elif head == "side":
        part.side = tail
    elif head in ("est", "geo", "lit"):
        part.known_by = {"est": "estimated", "geo": "computed from geometry", "lit": "literature"}[head]
        part.known_band_kg = float(tail)
    elif head == "whole":
        part.whole = True
        part.whole_off_g = float(tail.removeprefix("off ")) if tail else 0.0
    elif head == "torque":
        part.torque_n_m = float(tail)
    elif head == "open":
        part.opened = int(tail)
    elif head == "hidden":
        part.hidden_kg = float(tail)
    else:
        msg = f"line {part.name!r}: cannot read {word!r}."
        raise ValueError(msg)


def _copy(part: Part, side: str, parent: Part | None) -> Part:
    """Copy a branch to one side; names carry the side as the trade writes it: noun, qualifier, side."""
    fields = {
        name: getattr(part, name) for name in Part.__dataclass_fields__ if name not in ("children", "parent")
    }
    copy = Part(**fields)
    copy.parent = parent
    copy.both_sides = False
    copy.side = part.side or side
    if part.both_sides:
        copy.name = f"{part.name}, {side}"
    copy.children = [_copy(child, side, copy) for child in part.children]
    return copy


def _mirror(part: Part) -> None:
    """Replace every branch marked LR by its left and right copy, and halve nothing: the mass is of one side."""
    children: list[Part] = []
    for child in part.children:
        _mirror(child)
        if child.both_sides:
            children += [_copy(child, side, part) for side in ("left", "right")]
        else:
            children.append(child)
    part.children = children


def parse(text: str, root_name: str) -> Part:
    """Read a tree. The lines of the top level become the systems below the vehicle itself.

    Raises
    ------
    ValueError
        An indent that is not two blanks per level, or a word that means nothing; the message shows the line.
    """
    root = Part(root_name, 0, kind="assembly")
    path = [root]
    for line in text.splitlines():
        if not line.strip() or line.lstrip().startswith("#"):
            continue
        indent = len(line) - len(line.lstrip())
        level = indent // 2 + 1
        words = [word.strip() for word in line.strip().split("|")]
        if indent % 2 or level > len(path):
            msg = f"line {line!r}: indent by two blanks, one level at a time."
            raise ValueError(msg)
        name = words[0]
        part = _fastener_line(name[2:], level) if name.startswith("* ") else Part(name, level)
        for word in words[1:]:
            _say(part, word)
        del path[level:]
        part.parent = path[-1]
        path[-1].children.append(part)
        path.append(part)
    _mirror(root)
    for part in root.walk():
        part.kind = part.kind or ("assembly" if part.children else "part")
    return root


def number(root: Part, letter: str) -> None:
    """Give every node its tag: each system starts at the next hundred after the last one ends.

    The numbers are what is printed on the bags: W-0400 is a system, W-0401 … what came out of it.
    """
    root.tag = f"{letter}-0000"
    following = 100
    for system in root.children:
        for offset, part in enumerate(system.walk()):
            part.tag = f"{letter}-{following + offset:04d}"
            last = following + offset
        following = (last // 100 + 1) * 100
