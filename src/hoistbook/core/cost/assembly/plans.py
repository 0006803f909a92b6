"""Motion plans: which motions a kind of joint takes. Packaged in `data/assembly/plans.csv`, each line replaceable."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from enum import StrEnum
from typing import Literal

Phase = Literal["each", "half turn", "engage", "once", "metre"]
Where = Literal["open", "joint"]


class Kind(StrEnum):
    """Kind of joint, as the plans and the line rules name it."""

    BOLT = "bolt"
    BOLT_AND_NUT = "bolt and nut"
    CLIP = "clip"
    MOULDED_CLIP = "moulded clip"
    CONNECTOR = "connector"
    HOSE_AND_CLAMP = "hose and clamp"
    CABLE_TIE = "cable tie"
    PRESS_FIT = "press fit"
    RIVET = "rivet"
    ADHESIVE = "adhesive"
    ELSEWHERE = "made elsewhere"
    """Welded, hemmed, cast in: time and cost belong to the process model of that step, so nothing here."""
    UNKNOWN = "not known"


@dataclass(frozen=True, slots=True)
class PlanLine:
    """One line of a plan: a motion code, or a figure in seconds (`machine`)."""

    phase: Phase
    code: str
    machine: str
    words: str
    where: Where
    mark: str
    source: str


Plans = Mapping[str, tuple[PlanLine, ...]]
"""Lines by kind; besides the kinds of joints: place part, fetch large part, lift part with an aid, change side, bend,
change bit."""
