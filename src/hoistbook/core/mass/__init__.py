"""Mass of a torn-down vehicle: which weighings count, what they say together, and what is still not weighed."""

from hoistbook.core.mass.book import (
    MassBook,
    Surplus,
    mass_book,
)
from hoistbook.core.mass.breakdown import Breakdown, Line
from hoistbook.core.mass.centre_of_gravity import AxleLift, CentreOfGravity, CornerMasses, centre_of_gravity
from hoistbook.core.mass.closure import Closure, Verdict, closure
from hoistbook.core.mass.coverage import Coverage, CoverLine
from hoistbook.core.mass.expected import AbsentItem, ExpectedItem, expected_absent
from hoistbook.core.mass.ledger import Flag, FlagKind, SetAside
from hoistbook.core.mass.next_to_weigh import Weighing, next_to_weigh
from hoistbook.core.mass.nodes import Cover, MassBasis, NodeMass
from hoistbook.core.mass.weighing_notes import AppliedMaterials, weighing_notes

__all__ = [
    "AbsentItem",
    "AppliedMaterials",
    "AxleLift",
    "Breakdown",
    "CentreOfGravity",
    "Closure",
    "CornerMasses",
    "Cover",
    "CoverLine",
    "Coverage",
    "ExpectedItem",
    "Flag",
    "FlagKind",
    "Line",
    "MassBasis",
    "MassBook",
    "NodeMass",
    "SetAside",
    "Surplus",
    "Verdict",
    "Weighing",
    "centre_of_gravity",
    "closure",
    "expected_absent",
    "mass_book",
    "next_to_weigh",
    "weighing_notes",
]
