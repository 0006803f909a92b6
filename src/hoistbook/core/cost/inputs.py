"""What can be read off a part on the bench: one name, one SI unit, one meaning, and how it is read.

Words and unit of a reading are those of the quantity it is recorded under; the tables of `core/vehicle` hold them.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from types import MappingProxyType

from hoistbook.core.vehicle.kinds import QUANTITY_KINDS
from hoistbook.core.vehicle.quantity_kind import QuantityKind


@dataclass(frozen=True, slots=True)
class Input:
    """One reading.

    Attributes
    ----------
    name : str
        Ends with its unit.
    kind : QuantityKind
        What a measurement of it is recorded as.
    how : str
        How it is read.
    low, high : float
        Outside it is refused as a slip. [unit]
    count : bool
        A whole number of things; not stated it is taken as none, which the result says.

    Notes
    -----
    `low` and `high` are common practice without a source: the reach of parts of road vehicles.
    """

    name: str
    kind: QuantityKind
    how: str
    low: float
    high: float
    count: bool = False

    @property
    def words(self) -> str:
        """As people say it."""
        return self.kind.words

    @property
    def unit(self) -> str:
        """SI unit."""
        return self.kind.unit

    def check(self, value: float, place: str) -> None:
        """Refuse a value that no part of a road vehicle has.

        Raises
        ------
        ValueError
            The value is outside `low`–`high`.
        """
        if not self.low <= value <= self.high:
            msg = (
                f"{place}: {self.words} = {value!r} {self.unit} is outside {self.low:g}–{self.high:g} {self.unit}; "
                "check the reading and its unit."
            )
            raise ValueError(msg)


_NAMED_OTHERWISE = {
    "length_m": "envelope_length",
    "width_m": "envelope_width",
    "height_m": "envelope_height",
    "diameter_m": "outer_diameter",
}
"""Readings that are recorded under another word than their own name: a length of the record may be any length."""


def _input(name: str, how: str, low: float, high: float, count: bool = False) -> Input:
    stem, _, unit = name.rpartition("_")
    key = _NAMED_OTHERWISE.get(name, stem if unit in ("kg", "m", "m2", "m3") else name)
    return Input(name, QUANTITY_KINDS[key], how, low, high, count)


# fmt: off
_ALL = (
    _input("mass_kg", "on the scale", 1e-5, 1_000.0),
    _input("length_m", "calliper or tape, longest side", 5e-4, 12.0),
    _input("width_m", "calliper or tape", 2e-4, 4.0),
    _input("height_m", "calliper or tape, shortest side", 1e-4, 3.0),
    _input("projected_area_m2", "outline from a photo with a scale", 1e-7, 20.0),
    _input("wall_thickness_m", "calliper or ultrasonic, five places", 5e-5, 0.30),
    _input("wall_thickness_max_m", "calliper or ultrasonic", 5e-5, 0.30),
    _input("cut_length_m", "trace on a photo", 1e-3, 200.0),
    _input("bend_count", "count", 0.0, 500.0, count=True),
    _input("bend_length_m", "tape", 0.0, 100.0),
    _input("draw_depth_m", "depth gauge", 0.0, 1.5),
    _input("hole_count", "count", 0.0, 2_000.0, count=True),
    _input("machined_face_count", "count of bright faces", 0.0, 500.0, count=True),
    _input("machined_volume_m3", "faces times allowance, holes", 0.0, 0.1),
    _input("machined_area_m2", "calliper, bright faces and bores", 1e-7, 5.0),
    _input("hole_diameter_m", "calliper", 3e-4, 0.3),
    _input("hole_depth_m", "depth gauge", 1e-4, 1.0),
    _input("thread_count", "count", 0.0, 500.0, count=True),
    _input("thread_diameter_m", "calliper", 1e-3, 0.1),
    _input("weld_length_m", "tape along the beads", 0.0, 200.0),
    _input("weld_throat_m", "weld gauge", 5e-4, 0.03),
    _input("weld_start_count", "count", 0.0, 2_000.0, count=True),
    _input("spot_count", "count", 0.0, 10_000.0, count=True),
    _input("rivet_count", "count", 0.0, 5_000.0, count=True),
    _input("bead_length_m", "tape", 0.0, 300.0),
    _input("bead_diameter_m", "calliper", 5e-4, 0.03),
    _input("surface_area_m2", "outline times two, or from a scan", 1e-6, 100.0),
    _input("diameter_m", "calliper", 2e-4, 2.0),
    _input("tube_wall_m", "calliper", 1e-4, 0.05),
    _input("tube_length_m", "tape along the middle line", 1e-3, 50.0),
    _input("end_form_count", "count", 0.0, 100.0, count=True),
    _input("joint_count", "count", 0.0, 100.0, count=True),
    _input("insert_count", "count", 0.0, 200.0, count=True),
    _input("slide_count", "count of undercut directions", 0.0, 40.0, count=True),
    _input("core_count", "count of cavities without draft", 0.0, 60.0, count=True),
    _input("surface_patch_count", "count", 0.0, 5_000.0, count=True),
    _input("cavity_count", "cavity mark, else 1", 1.0, 128.0, count=True),
    _input("tooth_count", "count", 5.0, 400.0, count=True),
    _input("face_width_m", "calliper", 1e-3, 0.3),
    _input("case_depth_m", "section and hardness", 5e-5, 5e-3),
    _input("film_thickness_m", "film gauge", 5e-7, 1e-3),
    _input("circuit_count", "count", 0.0, 3_000.0, count=True),
    _input("clip_count", "count", 0.0, 2_000.0, count=True),
    _input("connector_count", "count", 0.0, 500.0, count=True),
    _input("conductor_area_m2", "strands, or the mark", 1e-8, 5e-4),
    _input("board_area_m2", "calliper", 1e-5, 0.5),
    _input("through_hole_count", "count", 0.0, 5_000.0, count=True),
    _input("component_count", "count", 0.0, 20_000.0, count=True),
    _input("rubber_thickness_m", "calliper", 5e-4, 0.15),
)
# fmt: on

INPUTS: Mapping[str, Input] = MappingProxyType({one.name: one for one in _ALL})
"""Every reading by its name."""
INPUT_OF_KIND: Mapping[str, Input] = MappingProxyType({one.kind.key: one for one in _ALL})
"""Every reading by the quantity a measurement of it is recorded as."""


def known_input(name: str) -> Input:
    """Return a reading by its name.

    Raises
    ------
    LookupError
        No reading of this name; the message lists those there are.
    """
    found = INPUTS.get(name)
    if found is None:
        msg = f"no reading named {name!r}; known readings: {', '.join(INPUTS)}."
        raise LookupError(msg)
    return found
