"""The routes sheet of a van, and the readings its steps ask for: truth plus an error that the band allows for."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from pathlib import Path

from hoistbook.core.cost.fasteners.designation import read_designation
from hoistbook.core.cost.inputs import INPUT_OF_KIND
from hoistbook.core.cost.processes import PROCESSES
from hoistbook.core.vehicle.kinds import QUANTITY_KINDS
from hoistbook.reference.fasteners import fastener_tables
from van_data.making import Made, Said
from van_data.noise import normal, uniform
from van_data.recipes import made_of
from van_data.tree import Part
from van_data.weighing import Session, shown
from van_data.workshop import CALLIPER, PHOTO, TAPE, Row

STATEMENTS = Path(__file__).with_name("made.routes")
LEFT_OUT_SHARE = 0.35
FOLLOWS: dict[str, tuple[tuple[str, ...], ...]] = {
    "cut_length": (("projected_area", "envelope_length"),),
    "projected_area": (("envelope_length", "envelope_width"),),
    "surface_area": (
        ("wall_thickness",),
        ("outer_diameter", "tube_wall", "tube_length"),
        ("projected_area",),
    ),
    "wall_thickness_max": (("wall_thickness",),),
    "weld_throat": (("wall_thickness",),),
}
"""Sizes that follow from others with a wider band: on a third of the parts nobody took them (planted)."""
_SAID_WHEN_NONE = ("connector_count",)
"""Counts that are written down when there are none, as a process would take its usual number otherwise."""
ASSUMED_SHARE = 0.25
_GAUGED = ("wall_thickness", "wall_thickness_max", "outer_diameter", "tube_wall", "hole_diameter", "thread_diameter",
           "bead_diameter", "rubber_thickness", "face_width", "weld_throat")  # fmt: skip
_TAPED = (
    "envelope_length",
    "envelope_width",
    "envelope_height",
    "draw_depth",
    "tube_length",
    "weld_length",
    "bead_length",
)
_BANDS = {"cut_length": 0.03, "surface_area": 0.06, "machined_area": 0.12, "machined_volume": 0.20, "case_depth": 0.08,
          "conductor_area": 0.02, "board_area": 0.02}  # fmt: skip
_UNITS = {"m": ("mm", 1e-3), "m2": ("cm2", 1e-4), "m3": ("cm3", 1e-6), "1": ("1", 1.0)}


@dataclass(frozen=True, slots=True)
class Routed:
    """One part with how it was made."""

    part: Part
    made: Made


def statements() -> dict[tuple[str, ...], Said]:
    """Return what `made.routes` says, by the end of a path.

    Raises
    ------
    ValueError
        A line that is not `path | recipe | words`, or a path twice.
    """
    found: dict[tuple[str, ...], Said] = {}
    for line in STATEMENTS.read_text(encoding="utf-8").splitlines():
        if not line.strip() or line.startswith("#"):
            continue
        pieces = [piece.strip() for piece in line.split("|")]
        if len(pieces) != 3:
            msg = f"made.routes, line {line!r}: write path | recipe | words."
            raise ValueError(msg)
        path, recipe, text = pieces
        words = {}
        for word in filter(None, (one.strip() for one in text.split(","))):
            key, _, value = word.partition(" ")
            words[key] = value
        names = tuple(path.split("/"))
        if names in found:
            msg = f"made.routes, line {line!r}: {path} stands twice."
            raise ValueError(msg)
        found[names] = Said(recipe, words)
    return found


def _plain(name: str) -> str:
    return name.removesuffix(", left").removesuffix(", right")


def routed(
    root: Part, said: Mapping[tuple[str, ...], Said], used: set[tuple[str, ...]] | None = None
) -> Iterator[Routed]:
    """Yield every part with a statement, and fasteners without a size, in the order of the tree; note what was used."""
    for part in root.walk():
        if part.children or part.parent is None:
            continue
        names = part.path()
        for path in (names, [_plain(name) for name in names]):
            key = next((tuple(path[-n:]) for n in (3, 2, 1) if tuple(path[-n:]) in said), None)
            if key is not None:
                if used is not None:
                    used.add(key)
                yield Routed(part, made_of(part, said[key]))
                break
        else:
            if part.kind == "fastener" and not _has_size(part):
                yield Routed(part, made_of(part, Said("fastener", {})))


def _has_size(part: Part) -> bool:
    """Whether a fastener is priced by its designation and drive; the others are bought by their mass."""
    try:
        read_designation(part.name, fastener_tables(), part.drive)
    except ValueError:
        return False
    return True


def mark_of(part: Part, maker: str) -> str:
    """Return the mark on a part: Dotterel's carried-over parts bear Turnstone's, being numbered alike."""
    return f"{maker}-{part.tag.split('-')[1]}-A"


def route_rows(parts: list[Routed]) -> list[Row]:
    """Rows of the routes sheet. A quarter of the heat treatments and coats were not looked into, and say so."""
    rows: list[Row] = []
    for one in parts:
        for number, step in enumerate(one.made.steps, start=1):
            guessed = step.assumed or (
                number > 1
                and step.process
                in ("electrocoat", "zinc_plating", "zinc_flake", "powder_coating", "adhesive_bonding")
                and uniform(f"{_plain(one.part.name)}/{step.process}/looked") < ASSUMED_SHARE
            )
            rows.append(
                {"part": one.part.tag, "step": number, "process": step.process.replace("_", " "),
                 "options": "; ".join(f"{key}: {value}" for key, value in step.options.items()),
                 "material": step.material, "seen": "assumed" if guessed else "observed",
                 "evidence": "" if guessed else step.evidence, "note": step.note}
            )  # fmt: skip
    return rows


def taken(part: Part, made: Made) -> list[str]:
    """Return the sizes that somebody took: those the steps ask for, or what they can be estimated from instead."""
    processes = [PROCESSES[step.process] for step in made.steps]
    needs = {name for process in processes for name in process.needs}
    asked = needs.union(*(process.optional for process in processes))
    found: set[str] = set()
    for quantity, true_si in made.sizes.items():
        name = INPUT_OF_KIND[quantity].name
        if name not in asked:
            continue
        # Only what a step must have is estimated where nobody took it.
        ways = FOLLOWS.get(quantity, ()) if name in needs else ()
        instead = next((each for each in ways if set(each) <= set(made.sizes)), ())
        if instead and uniform(f"{_plain(part.name)}/{quantity}/taken") < LEFT_OUT_SHARE:
            found |= set(instead)
        elif true_si or quantity in _SAID_WHEN_NONE:
            found.add(quantity)
    return [quantity for quantity in made.sizes if quantity in found]


def _read(session: Session, part: Part, quantity: str, true_si: float) -> None:
    unit, si = _UNITS[QUANTITY_KINDS[quantity].unit]
    if quantity == "conductor_area":
        unit, si = "mm2", 1e-6
    name = f"{part.tag}/{quantity}"
    columns: dict[str, object] = {"of": part.tag, "quantity": quantity, "method": "measured"}
    if unit == "1":
        session.read(**columns, value=round(true_si), unit="1", note="counted", plus_or_minus=0)
        return
    bench = None
    if quantity in _GAUGED or (quantity in _TAPED and true_si < 0.28):
        bench = CALLIPER
    elif quantity in _TAPED:
        bench = TAPE
    elif quantity == "projected_area":
        bench = PHOTO
    if bench is not None:
        own = {"S1": 1e-5, "L1": 0.0006}.get(bench.record.id, 0.004 * true_si)
        value = shown(bench, true_si + own * normal(f"{name}/own"), name)
        session.read(**columns, value=value, unit=unit, instrument=bench.record.id)
        return
    band = _BANDS[quantity]
    # Off by half its 95 % band as a standard deviation; three figures are all that is said.
    value = float(f"{true_si / si * (1.0 + 0.5 * band * normal(name)):.3g}")
    session.read(**columns, value=value, unit=unit, plus_or_minus=float(f"{band * value:.2g}"))


def size_up(session: Session, parts: list[Routed]) -> None:
    """Add the readings of sizes that the steps ask for."""
    for one in parts:
        for quantity in taken(one.part, one.made):
            _read(session, one.part, quantity, one.made.sizes[quantity])
