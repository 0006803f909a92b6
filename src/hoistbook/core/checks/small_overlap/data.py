"""Cut-offs, demerits, readings and drawing of the check of a frontal small overlap."""

from dataclasses import dataclass

from hoistbook.core.checks.declared import Choice, Names, Reading, Usual
from hoistbook.core.checks.sketch import Circle, Dimension, Label, Line, Sketch

PROTOCOL = "IIHS, Small Overlap Frontal Crashworthiness Evaluation Rating Protocol, version II, December 2012"
BANDS = ("good", "acceptable", "marginal", "poor")


@dataclass(frozen=True, slots=True)
class CutOffs:
    """Most intrusion of good, acceptable and marginal. [m] `verify`: not seen in the protocol's own text."""

    words: str
    metres: tuple[float, float, float]
    mark: str
    verify: bool


# from memory, verify: the protocol's cut-offs; the ten measures and that each has three cut-offs are published, second
# hand, in an open script that reads the numbers from a workbook
CUT_OFFS = {
    "lower_m": CutOffs("lower hinge pillar, footrest, toepan, pedals, resultant", (0.15, 0.225, 0.30), "from memory", verify=True),
    "rocker_m": CutOffs("rocker panel, average across", (0.05, 0.10, 0.15), "from memory", verify=True),
    "upper_m": CutOffs("upper hinge pillar, upper dash, instrument panel, resultant", (0.075, 0.125, 0.175), "from memory", verify=True),
    "column_m": CutOffs("steering column, along", (0.05, 0.10, 0.15), "from memory", verify=True),
}  # fmt: skip
LOWER_PLACES, UPPER_PLACES = 5, 3

# from memory, verify: demerits by band; published, second hand (a recalculation of the first results, August 2012): the
# most is 74, an acceptable structure alone gives 2, and the bands of the sum
DEMERITS = {
    "restraints and kinematics": (0, 2, 6, 10),
    "head and neck": (0, 2, 10, 20),
    "chest": (0, 2, 10, 20),
    "thigh and hip": (0, 2, 6, 10),
    "leg and foot": (0, 1, 2, 4),
    "structure": (0, 2, 6, 10),
}
OVERALL = (3, 9, 19)
OTHERS_MOST = sum(row[-1] for name, row in DEMERITS.items() if name != "structure")

NAMES = (
    Names("lower", "measures of the lower compartment but the rocker panel", "lower"),
    Names("upper", "measures of the upper compartment but the steering column", "upper"),
)
FINDINGS = {
    "none": "none of these",
    "opened": "a door that opened, torn seats or dash, a hinge pillar apart, a seam torn through: one band worse",
    "leak": "fuel leaked or high voltage was exposed: poor",
}
CHOICES = (
    Choice("side", "which side was struck", {"driver": "driver's side", "passenger": "passenger's side"}),
    Choice("findings", "what else was found", FINDINGS),
)  # fmt: skip
_BAND = "common practice: points measured before and after, to 5 mm"
_REACH = "first principles: beyond it there is no compartment; negative where a point moved away"

READINGS = (
    Reading("lower_m", "intrusion: lower hinge pillar, footrest, left toepan, brake pedal, parking-brake pedal", "m", "the same points measured before and after the test, resultant of the three directions, seat rails as datum", -0.3, 1.2, _REACH, 0.005, _BAND, each="lower", show="cm"),
    Reading("rocker_m", "intrusion of the rocker panel, average across", "m", "as above, across the vehicle", -0.3, 1.2, _REACH, 0.005, _BAND, show="cm"),
    Reading("upper_m", "intrusion: upper hinge pillar, upper dash, left instrument panel", "m", "as above, resultant", -0.3, 1.2, _REACH, 0.005, _BAND, each="upper", show="cm"),
    Reading("column_m", "intrusion of the steering column, along", "m", "as above, along the vehicle", -0.3, 1.2, _REACH, 0.005, _BAND, show="cm"),
    Reading("other_demerits", "demerits of restraints and injury measures together", "1", "from a report of the test", 0.0, float(OTHERS_MOST), "from memory: most of the five other categories", usual=Usual(0.0, 0.0, "common practice", "none: structure alone, the best the test could then say")),
)  # fmt: skip

SKETCH = Sketch(
    "Driver's compartment from the side after a small overlap; points that moved rearward.",
    56.0,
    (
        Line(((6, 10), (94, 10), (94, 15), (6, 15), (6, 10)), filled=True),
        Line(((14, 15), (14, 44), (34, 54), (84, 54))), Line(((20, 15), (20, 42)), heavy=True, dashed=True),
        Line(((14, 44), (40, 42), (46, 36)), heavy=True),
        Line(((40, 36), (54, 32)), heavy=True), Circle((56, 32), 2.0, heavy=True),
        Line(((22, 18), (30, 26)), heavy=True),
        Line(((62, 16), (80, 18), (90, 40)), heavy=True),
        Dimension("lower_m", (14, 22), (20, 22)),
        Dimension("upper_m", (14, 38), (20, 38)),
        Dimension("column_m", (56, 38), (64, 38)),
        Dimension("rocker_m", (40, 6), (50, 6)),
        Label("hinge pillar", (8, 50)), Label("rocker panel", (66, 6)), Label("seat", (74, 26)), Label("toepan", (36, 21)),
    ),
)  # fmt: skip
