"""What a joint's record says of the work: kind, direction, obstruction, drive, bead."""

from __future__ import annotations

import re
from dataclasses import dataclass

from hoistbook.core.cost.assembly.plans import Kind
from hoistbook.core.cost.fasteners.designation import LARGEST_PITCH_MM
from hoistbook.core.vehicle.records import Joint

NOT_STATED = "not stated"

_ELSEWHERE = (
    "weld",
    "hemming",
    "solder",
    "braz",
    "overmould",
    "casting in",
    "clinch",
    "crimp",
    "riveting and bonding",
)
# A bare "plug" may close a hole as well.
_CONNECTOR = re.compile(r"\b(connector|coupler|(?:electrical|high-voltage|HV|service) plug)", re.IGNORECASE)
_TIE = re.compile(r"\b(cable tie|tie)\b", re.IGNORECASE)
_CLAMP = re.compile(r"\b(clamp|hose|band)\b", re.IGNORECASE)
_NUT = re.compile(r"\bnuts?\b", re.IGNORECASE)
_BOLT = re.compile(r"\b(bolts?|screws?)\b", re.IGNORECASE)
_QUICK = re.compile(
    r"\b(clip|tie|fir-tree|push rivet|quarter-turn|bayonet|stud clip|edge clip)", re.IGNORECASE
)
_METRES = re.compile(r"(?P<value>\d+(?:[.,]\d+)?)\s*(?P<unit>mm|cm|m)\b")
_THREAD = re.compile(r"\bM(?P<d>\d+(?:\.\d+)?)(?:\s?[x×]\s?(?P<next>\d+(?:\.\d+)?))?")
_LENGTH_OF = {"m": 1.0, "cm": 0.01, "mm": 0.001}
# First match counts. "behind the plug" is an obstruction, "from behind" a direction.
_DIRECTIONS = (
    ("inside", ("inside", "load space", "interior", "cabin", "passenger")),
    ("below", ("below", "underneath", "under the", "bottom")),
    ("above", ("above", "top")),
    ("front", ("front", "ahead")),
    ("rear", ("rear", "behind", "back")),
    ("left", ("left",)),
    ("right", ("right",)),
    ("outside", ("outside",)),
)
_OBSTRUCTED = re.compile(
    r"\bbehind (?!the vehicle)\w|\b(?:lid|floor|cover|panel|lining|trim|wheel) (?:off|out)\b|"
    r"\b(?:through|obstructed|blind|hidden|covered|concealed|extension|reach(?:ed)? past)\b",
    re.IGNORECASE,
)


@dataclass(frozen=True, slots=True)
class JointReading:
    """What is read off one record.

    Attributes
    ----------
    kind : Kind
    direction : str
        Side the work is reached from, in the vehicle's frame; `NOT_STATED` where the record has none.
    obstructed : bool
    drive : str
        As recorded; empty where none.
    quick : bool
        Its fasteners are clips, ties and the like, counted apart from threaded ones.
    threaded : bool
    prestarted : bool
        Captive, or started before.
    diameter_m, pitch_m : float or None
        Thread; no pitch where it is the coarse one. [m]
    bead_m : float or None
        Length of adhesive, from the note. [m]
    note : str
        What was made of it, where that is not plain.
    """

    kind: Kind
    direction: str
    obstructed: bool
    drive: str
    quick: bool
    threaded: bool
    prestarted: bool
    diameter_m: float | None
    pitch_m: float | None
    bead_m: float | None
    note: str = ""


def read_joint(joint: Joint, fastener: str, part_names: str) -> JointReading:
    """Read a joint's record.

    Parameters
    ----------
    joint : Joint
    fastener : str
        Words of its fastener: the name of the node it points to, or its own text.
    part_names : str
        Names of the parts it joins; a connector is known by them.

    Returns
    -------
    JointReading
        `Kind.UNKNOWN` where process and fastener say nothing that has a motion plan.
    """
    kind, note = _kind(joint, fastener, part_names)
    direction = next(
        (
            name
            for name, words in _DIRECTIONS
            if any(re.search(rf"\b{w}", joint.access.casefold()) for w in words)
        ),
        NOT_STATED,
    )
    size = _THREAD.search(fastener)
    pitch_mm = float(size["next"] or 0.0) if size else 0.0  # or a length: M6×20
    length = _METRES.search(joint.note) if kind is Kind.ADHESIVE else None
    threaded = kind in (Kind.BOLT, Kind.BOLT_AND_NUT)
    return JointReading(
        kind=kind,
        direction=direction,
        obstructed=_OBSTRUCTED.search(joint.access) is not None,
        drive=joint.drive.strip(),
        quick=not threaded and (kind in (Kind.CLIP, Kind.CABLE_TIE) or bool(_QUICK.search(fastener))),
        threaded=threaded,
        prestarted=bool(re.search(r"\b(captive|pre-?started)\b", f"{fastener} {joint.note}", re.IGNORECASE)),
        diameter_m=float(size["d"]) / 1e3 if size else None,
        pitch_m=pitch_mm / 1e3 if 0.0 < pitch_mm <= LARGEST_PITCH_MM else None,
        bead_m=float(length["value"].replace(",", ".")) * _LENGTH_OF[length["unit"]] if length else None,
        note=note,
    )


def _kind(joint: Joint, fastener: str, part_names: str) -> tuple[Kind, str]:
    process = joint.process.casefold()
    if any(word in process for word in _ELSEWHERE):
        return (
            Kind.ELSEWHERE,
            f"{joint.process}: made in another step, whose process model has its time and cost",
        )
    if "screw" in process or "bolt" in process:
        both = _NUT.search(fastener) and _BOLT.search(fastener) and "rivet nut" not in fastener.casefold()
        return (Kind.BOLT_AND_NUT if both else Kind.BOLT), ""
    if any(word in process for word in ("clip", "snap", "hook", "insert", "spread", "plug")):
        if _CONNECTOR.search(f"{fastener} {part_names} {joint.note}"):
            return Kind.CONNECTOR, "taken as an electrical connector by its name"
        return (
            (Kind.CLIP, "")
            if fastener
            else (Kind.MOULDED_CLIP, "no clip of its own: taken as moulded on the part")
        )
    if "clamp" in process:
        if _TIE.search(fastener):
            return Kind.CABLE_TIE, ""
        if _CLAMP.search(f"{fastener} {part_names}") or not fastener:
            return Kind.HOSE_AND_CLAMP, ""
        return Kind.UNKNOWN, f"clamping with {fastener!r} has no motion plan"
    if "press" in process or "push" in process:
        return Kind.PRESS_FIT, ""
    if "rivet" in process:
        return Kind.RIVET, ""
    if "bond" in process or "adhesive" in process or "glu" in process or "seal" in process:
        return Kind.ADHESIVE, ""
    return Kind.UNKNOWN, f"process {joint.process!r} has no motion plan"
