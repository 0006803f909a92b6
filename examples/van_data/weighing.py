"""Take a true part tree to the bench: the rows of the parts, joints and measurements sheets."""

from __future__ import annotations

from dataclasses import dataclass, field
from datetime import datetime, timedelta

from van_data.fasteners import FASTENERS
from van_data.noise import normal, uniform
from van_data.tree import JOIN_WORDS, REMOVABLE, Part
from van_data.workshop import (
    BALANCE,
    BENCH,
    CALLIPER,
    COUNTING,
    HEIGHT,
    SCALES,
    TAPE,
    WRENCHES,
    Bench,
    Row,
    first_fitting,
)

OWN_ERROR_STEPS = {"P1": 0.12, "B1": 0.12, "B2": 0.08, "F1": 0.08}
"""Standard deviation of one weighing, in steps of the scale: small against the limit, as R 76 asks."""
MINUTES_PER_READING = 2.4
SHIFT_MINUTES = 460
PEOPLE = ("JB", "MO", "LS")


@dataclass(frozen=True, slots=True)
class Repeats:
    """Repeat readings of one part, each off by so many grams besides its own error (planted)."""

    path: str
    off_g: tuple[float, ...]
    note: str = ""


@dataclass(slots=True)
class Session:
    """One teardown: numbers its readings and joints and keeps its clock."""

    letter: str
    start: str
    readings: list[Row] = field(default_factory=list)
    joints: list[Row] = field(default_factory=list)

    def stamp(self) -> str:
        """Return the time of the next reading; work stops at the end of a shift and on weekends."""
        shift, minutes = divmod(len(self.readings) * MINUTES_PER_READING, SHIFT_MINUTES)
        weeks, day = divmod(int(shift), 5)
        moment = datetime.fromisoformat(self.start) + timedelta(days=7 * weeks + day, minutes=minutes)
        return moment.strftime("%Y-%m-%d %H:%M")

    def read(self, **columns: object) -> str:
        """Add one row to the measurements and return its reading id."""
        number = len(self.readings) + 1
        reading = f"{self.letter}-M{number:04d}"
        person = PEOPLE[int(number // 60) % len(PEOPLE)]
        row: Row = {"reading": reading, "person": person, "time": self.stamp()}
        row |= {name.replace("_", " "): value for name, value in columns.items() if value not in ("", None)}
        self.readings.append(row)
        return reading


def _decimal(value: float, step: float) -> float:
    """Clear the binary dust off a display value, so that 43.1 is written as 43.1."""
    text = f"{step:.10f}".rstrip("0")
    return round(value, len(text.split(".")[1]))


def shown(bench: Bench, true_si: float, name: str) -> float:
    """Return the display of an instrument, in the unit of its row."""
    spread = OWN_ERROR_STEPS.get(bench.record.id, 0.0)
    value = bench.shows(true_si, spread * normal(name)) / bench.per_unit
    return _decimal(value, (bench.record.step_si or 0.01) / bench.per_unit)


def _scale(part: Part, true_kg: float) -> Bench:
    # What is light is put on the finest scale that still has it in its range.
    order = (BALANCE, *SCALES) if true_kg < 1.1 * 0.005 else (COUNTING, BENCH, *SCALES)
    return first_fitting(order, true_kg, f"{part.tag} {part.name}")


def weigh(session: Session, part: Part, *, scope: str = "", off_g: float = 0.0, **columns: object) -> str:
    """Put all pieces of a part in hand on a scale and write down what it shows."""
    pieces = part.pieces_in_hand()
    true_kg = pieces * part.true_mass_kg() + off_g / 1000.0
    bench = _scale(part, true_kg)
    name = f"{part.tag}/{scope or 'self'}/{columns.get('replicate', 1)}"
    return session.read(
        of=part.tag, quantity="mass", value=shown(bench, true_kg, name), unit=bench.row["unit"],
        pieces=pieces if pieces > 1 else None, scope=scope, method="weighed", instrument=bench.record.id,
        evidence=f"photo {part.tag}" if uniform(name) < 0.3 else "", **columns,
    )  # fmt: skip


def _say_mass(session: Session, part: Part) -> None:
    """Write down the mass of a leaf: weighed, or known some other way, or not at all."""
    if part.known_by == "missing":
        return
    if part.known_by == "weighed":
        weigh(session, part)
        return
    true_kg = part.pieces_on_vehicle() * part.true_mass_kg()
    # The guess is off by a standard deviation of half its 95 % band; two digits are all that is said.
    value = round(true_kg + 0.5 * part.known_band_kg * normal(f"{part.tag}/{part.known_by}"), 2)
    session.read(
        of=part.tag, quantity="mass", value=value, unit="kg", pieces=part.pieces_on_vehicle(), method=part.known_by,
        plus_or_minus=part.known_band_kg, note=part.note,
    )  # fmt: skip


def _size_up(session: Session, part: Part) -> None:
    """Measure thickness and length where the tree asks for them."""
    if part.thickness_mm:
        true_m = part.thickness_mm / 1000.0 + 1e-5 * normal(f"{part.tag}/sheet")
        value = shown(CALLIPER, true_m, f"{part.tag}/thickness")
        session.read(of=part.tag, quantity="thickness", value=value, unit="mm", method="measured", instrument="S1",
                     note="mean of three places, coated")  # fmt: skip
    if part.length_m:
        true_m = part.length_m + 0.0015 * normal(f"{part.tag}/laid")
        session.read(of=part.tag, quantity="length", value=shown(TAPE, true_m, f"{part.tag}/length"), unit="mm",
                     method="measured", instrument="L1", note="between ends, laid along the middle line")  # fmt: skip


def _held(part: Part) -> list[Part]:
    """Return what a fastener line holds: the part listed before it, and its other side where both are there."""
    siblings = part.above().children
    before = [p for p in siblings[: siblings.index(part)] if p.kind != "fastener"]
    if len(before) > 1 and before[-1].name == before[-2].name.replace(", left", ", right"):
        return before[-2:]
    return before[-1:]


def _join(session: Session, part: Part) -> None:
    """Write the joint of a fastener line, or of a part that is welded, bonded, pressed or clipped."""
    number = f"{session.letter}-J{len(session.joints) + 1:04d}"
    if part.fastener:
        kind = FASTENERS[part.fastener]
        names = [p.tag for p in (*_held(part), part.above())]
        row: Row = {
            "joint": number, "parts": "; ".join(names), "process": kind.process, "fastener": part.tag,
            "fastener count": part.count, "drive": part.drive, "access": part.access, "removable": kind.removable,
        }  # fmt: skip
    elif part.join and part.parent is not None:
        amount = part.join_amount
        row = {
            "joint": number, "parts": f"{part.tag}; {part.parent.tag}", "process": JOIN_WORDS[part.join],
            "fastener count": int(amount) if amount and "." not in amount else None,
            "removable": REMOVABLE.get(part.join, False), "note": f"{amount} m" if "." in amount else "",
        }  # fmt: skip
    else:
        return
    session.joints.append(row)
    if part.torque_n_m:
        # Breakaway scatters by a tenth round what it was tightened to: common practice, no source.
        true = part.torque_n_m * (1.0 + 0.06 * normal(f"{part.tag}/breakaway"))
        wrench = first_fitting(WRENCHES, true, part.tag)
        session.read(
            of=number, subject_kind="joint", quantity="torque", value=round(wrench.shows(true, 0.0), 1), unit="N·m",
            method="measured", instrument=wrench.record.id, note="breakaway, first screw",
        )  # fmt: skip


def _part_row(part: Part, note: str) -> Row:
    kind = part.kind
    return {
        "tag": part.tag, "parent": part.parent.tag if part.parent else None, "name": part.name, "kind": kind,
        "count": part.count if part.count != 1 else None, "system": part.system, "function": part.function,
        "side": part.side, "material": part.material, "note": note,
    }  # fmt: skip


def find(root: Part, path: str) -> Part:
    """Return the one node whose names from a system down end in this path, e.g. `Load floor/Tie-down ring`."""
    names = path.split("/")
    found = []
    for part in root.walk():
        if part.path()[-len(names) :] == names:
            found.append(part)
    if len(found) != 1:
        msg = f"{path!r} names {len(found)} parts of {root.name}; write more of the path."
        raise ValueError(msg)
    return found[0]


def part_rows(root: Part, notes: dict[str, str]) -> list[Row]:
    """Rows of the parts sheet, the vehicle first; `notes` by tag come before the note of the tree."""
    return [
        _part_row(part, "; ".join(text for text in (notes.get(part.tag, ""), part.note) if text))
        for part in root.walk()
    ]


def take_apart(root: Part, session: Session, repeats: tuple[Repeats, ...]) -> None:
    """Weigh, measure and note the joints of everything, in the order of the tree."""
    again = {find(root, repeat.path).tag: repeat for repeat in repeats}
    for part in root.walk():
        if part.parent is None:
            continue
        if part.whole:
            weigh(session, part, scope="subtree", off_g=part.whole_off_g)
        if part.children:
            continue
        _say_mass(session, part)
        for number, off_g in enumerate(again[part.tag].off_g if part.tag in again else (), start=2):
            weigh(session, part, off_g=off_g, replicate=number, note=again[part.tag].note)
        _size_up(session, part)
        _join(session, part)


def together(session: Session, parts: list[Part], note: str) -> None:
    """Weigh several parts at once: one reading that covers them all."""
    true_kg = sum(part.pieces_in_hand() * part.true_mass_kg() for part in parts)
    bench = _scale(parts[0], true_kg)
    session.read(
        of=parts[0].tag, quantity="mass", value=shown(bench, true_kg, f"{parts[0].tag}/together"),
        unit=bench.row["unit"], method="weighed", instrument=bench.record.id,
        covers="; ".join(f"{part.tag} × {part.pieces_in_hand()}" for part in parts), note=note,
    )  # fmt: skip


def correct(session: Session, tag: str, wrong: float, note: str) -> None:
    """Turn the first reading of a part into a wrong one and add the right one, which supersedes it."""
    row = next(r for r in session.readings if r["of"] == tag and r["quantity"] == "mass")
    right = row["value"]
    row["value"] = wrong
    session.read(
        of=tag, quantity="mass", value=right, unit=row["unit"], method="weighed", instrument=row["instrument"],
        supersedes=row["reading"], note=note,
    )  # fmt: skip


def height(session: Session, tag: str, true_mm: float, note: str) -> None:
    """Measure the lowest point of a part above the ground, van at ride height."""
    value = shown(HEIGHT, true_mm / 1000.0, f"{tag}/height")
    session.read(
        of=tag, quantity="height", value=value, unit="mm", method="measured", instrument="H1", note=note
    )
