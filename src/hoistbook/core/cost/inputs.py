"""What can be read off a part on the bench: one name, one SI unit, one meaning, and how it is read."""

from __future__ import annotations

from dataclasses import dataclass
from types import MappingProxyType


@dataclass(frozen=True, slots=True)
class Input:
    """One reading.

    Attributes
    ----------
    name : str
        Ends with its unit.
    words, unit, how : str
        As people say it, SI unit, and how it is read.
    low, high : float
        Outside it is refused as a slip. [unit]
    count : bool
        A whole number of things; not stated it is taken as none, which the result says.

    Notes
    -----
    `low` and `high` are common practice without a source: the reach of parts of road vehicles.
    """

    name: str
    words: str
    unit: str
    how: str
    low: float
    high: float
    count: bool = False

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


_ALL = (
    Input("mass_kg", "mass", "kg", "on the scale", 1e-5, 1_000.0),
    Input("length_m", "length of the envelope", "m", "calliper or tape, longest side", 5e-4, 12.0),
    Input("width_m", "width of the envelope", "m", "calliper or tape", 2e-4, 4.0),
    Input("height_m", "height of the envelope", "m", "calliper or tape, shortest side", 1e-4, 3.0),
    Input("projected_area_m2", "projected area", "m2", "outline from a photo with a scale", 1e-7, 20.0),
    Input("wall_thickness_m", "wall thickness, mean", "m", "calliper or ultrasonic, five places", 5e-5, 0.30),
    Input("wall_thickness_max_m", "wall thickness, thickest", "m", "calliper or ultrasonic", 5e-5, 0.30),
    Input("cut_length_m", "length of all cut edges, holes included", "m", "trace on a photo", 1e-3, 200.0),
    Input("bend_count", "bends", "1", "count", 0.0, 500.0, count=True),
    Input("bend_length_m", "length of all bend lines", "m", "tape", 0.0, 100.0),
    Input("draw_depth_m", "depth of the draw", "m", "depth gauge", 0.0, 1.5),
    Input("hole_count", "holes", "1", "count", 0.0, 2_000.0, count=True),
    Input("machined_face_count", "machined faces", "1", "count of bright faces", 0.0, 500.0, count=True),
    Input("machined_volume_m3", "volume cut away", "m3", "faces times allowance, holes", 0.0, 0.1),
    Input("machined_area_m2", "area of one machined face, mean", "m2", "calliper, bright faces and bores", 1e-7, 5.0),
    Input("hole_diameter_m", "diameter of the holes", "m", "calliper", 3e-4, 0.3),
    Input("hole_depth_m", "depth of the holes", "m", "depth gauge", 1e-4, 1.0),
    Input("thread_count", "tapped threads", "1", "count", 0.0, 500.0, count=True),
    Input("thread_diameter_m", "diameter of the threads", "m", "calliper", 1e-3, 0.1),
    Input("weld_length_m", "length of all welds", "m", "tape along the beads", 0.0, 200.0),
    Input("weld_throat_m", "throat of the weld", "m", "weld gauge", 5e-4, 0.03),
    Input("weld_start_count", "separate beads", "1", "count", 0.0, 2_000.0, count=True),
    Input("spot_count", "spot welds", "1", "count", 0.0, 10_000.0, count=True),
    Input("rivet_count", "rivets or flow-drill screws", "1", "count", 0.0, 5_000.0, count=True),
    Input("bead_length_m", "length of adhesive bead", "m", "tape", 0.0, 300.0),
    Input("bead_diameter_m", "diameter of adhesive bead", "m", "calliper", 5e-4, 0.03),
    Input("surface_area_m2", "surface, both sides", "m2", "outline times two, or from a scan", 1e-6, 100.0),
    Input("diameter_m", "outer diameter", "m", "calliper", 2e-4, 2.0),
    Input("tube_wall_m", "wall of the tube", "m", "calliper", 1e-4, 0.05),
    Input("tube_length_m", "developed length", "m", "tape along the middle line", 1e-3, 50.0),
    Input("end_form_count", "formed ends", "1", "count", 0.0, 100.0, count=True),
    Input("joint_count", "crimped or brazed joints", "1", "count", 0.0, 100.0, count=True),
    Input("insert_count", "inserts or metal parts moulded in", "1", "count", 0.0, 200.0, count=True),
    Input(
        "slide_count",
        "slides and lifters of the tool",
        "1",
        "count of undercut directions",
        0.0,
        40.0,
        count=True,
    ),
    Input("core_count", "sand cores", "1", "count of cavities without draft", 0.0, 60.0, count=True),
    Input(
        "surface_patch_count", "surface patches, inside and outside", "1", "count", 0.0, 5_000.0, count=True
    ),
    Input("cavity_count", "cavities of the tool", "1", "cavity mark, else 1", 1.0, 128.0, count=True),
    Input("tooth_count", "teeth", "1", "count", 5.0, 400.0, count=True),
    Input("face_width_m", "face width of the gear", "m", "calliper", 1e-3, 0.3),
    Input("case_depth_m", "case depth", "m", "section and hardness", 5e-5, 5e-3),
    Input("film_thickness_m", "thickness of the coat", "m", "film gauge", 5e-7, 1e-3),
    Input("circuit_count", "circuits", "1", "count", 0.0, 3_000.0, count=True),
    Input("clip_count", "clips and grommets", "1", "count", 0.0, 2_000.0, count=True),
    Input("connector_count", "connectors", "1", "count", 0.0, 500.0, count=True),
    Input("conductor_area_m2", "cross-section of a conductor", "m2", "strands, or the mark", 1e-8, 5e-4),
    Input("board_area_m2", "area of the board", "m2", "calliper", 1e-5, 0.5),
    Input("through_hole_count", "components with leads", "1", "count", 0.0, 5_000.0, count=True),
    Input("component_count", "components on the board", "1", "count", 0.0, 20_000.0, count=True),
    Input("rubber_thickness_m", "thickest section of rubber", "m", "calliper", 5e-4, 0.15),
)

INPUTS = MappingProxyType({one.name: one for one in _ALL})
"""Every reading by its name."""


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
