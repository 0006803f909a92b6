"""Readings, scatter of tightening methods and drawing of the check of a bolt's preload."""

from hoistbook.core.checks.bolts import CLASSES
from hoistbook.core.checks.declared import Choice, Reading, Usual
from hoistbook.core.checks.sketch import Dimension, Label, Line, Sketch

VDI, HANDBOOK, NASA = "VDI 2230:1986", "Machinery's Handbook", "NASA"

# Preload of a piece lies within ± this share of the mean, by method and source; the first of each is shown.
# published, second hand: VDI 2230:1986 in a fastener house's table of tightening factors; Machinery's Handbook and
# NASA (NSTS 08307) in a compilation of methods of preload; from memory: impact driver, factor 2.5 to 4
SCATTER = {
    "torque": {f"{VDI}, most": 0.28, f"{VDI}, least": 0.23, f"{HANDBOOK}, torque wrench": 0.25, f"{NASA}, dry": 0.35, f"{NASA}, lubricated": 0.25},
    "tested torque": {f"{VDI}, most": 0.23, f"{VDI}, least": 0.17, f"{HANDBOOK}, torque wrench": 0.25, f"{NASA}, lubricated": 0.25},
    "driver": {f"{VDI}, most": 0.43, f"{VDI}, least": 0.26},
    "impact": {"factor 4": 0.6, "factor 2.5": 3.0 / 7.0},
    "feel": {f"{HANDBOOK}, by feel": 0.35},
    "to yield": {f"{VDI}, most": 0.12, f"{VDI}, least": 0.05, f"{HANDBOOK}, turn of nut": 0.15, f"{HANDBOOK}, yield sensing": 0.08},
}  # fmt: skip
METHODS = {
    "torque": "torque wrench or spindle, friction estimated",
    "tested torque": "torque wrench or spindle, friction tested on the joint",
    "driver": "precision power driver",
    "impact": "impact driver",
    "feel": "by feel",
    "to yield": "turned by angle beyond yield, or by a spindle that senses yield: the torque does not set the preload",
}
CHOICES = (
    Choice("property_class", "property class, stamped on the head", {name: f"class {name} of ISO 898-1" for name in CLASSES}),
    Choice("method", "how it is tightened", METHODS),
)  # fmt: skip
_BOLTS = "common practice: metric bolts of road vehicles"
_FRICTION = "oiled or coated steel, 0.08 to 0.16; its spread from piece to piece is in the scatter of the method and not counted twice"

READINGS = (
    Reading("torque_n_m", "tightening torque", "N.m", "from the tightening record; what it took to undo the bolt is another figure", 0.2, 1500.0, _BOLTS),
    Reading("diameter_m", "nominal diameter of the thread", "m", "calliper over the thread, rounded up to the size", 0.004, 0.030, _BOLTS, show="mm"),
    Reading("pitch_m", "pitch of the thread", "m", "thread gauge", 0.0005, 0.004, _BOLTS, show="mm"),
    Reading("contact_m", "outside diameter of the contact under the head", "m", "calliper on the witness mark", 0.006, 0.07, _BOLTS, 0.0003, "common practice: calliper on a witness mark, to 0.3 mm", show="mm"),
    Reading("hole_m", "diameter of the hole under the head", "m", "calliper", 0.004, 0.035, _BOLTS, 0.0001, "common practice: calliper to 0.1 mm", show="mm"),
    Reading("friction_thread", "friction in the thread", "1", "not measured at the hoist; by the coating", 0.04, 0.35, _BOLTS, usual=Usual(0.12, 0.0, "common practice", f"none: {_FRICTION}")),
    Reading("friction_head", "friction under the head", "1", "not measured at the hoist; by the coating", 0.04, 0.35, _BOLTS, usual=Usual(0.12, 0.0, "common practice", f"none: {_FRICTION}")),
    Reading("grip_m", "clamped thickness", "m", "calliper over the stack", 0.001, 0.4, _BOLTS, 0.0002, "common practice: calliper over a stack, to 0.2 mm", show="mm"),
    Reading("plain_m", "length of plain shank within it", "m", "calliper on the bolt", 0.0, 0.4, _BOLTS, usual=Usual(0.0, 0.0, "common practice", "none: threaded to the head"), show="mm"),
    Reading("bolt_youngs_pa", "modulus of elasticity of the bolt", "Pa", "by its material", 40e9, 230e9, "common practice: steel, titanium, aluminium bolts", usual=Usual(207e9, 0.0, "from memory", "Shigley's Mechanical Engineering Design, 9th ed.: steel 207 GPa"), show="GPa"),
    Reading("member_youngs_pa", "modulus of elasticity of what is clamped", "Pa", "by its material: steel 207, aluminium 71, magnesium 45 GPa", 40e9, 230e9, "first principles: metal members; plastic creeps away", usual=Usual(207e9, 0.0, "from memory", "Shigley's Mechanical Engineering Design, 9th ed.: steel 207 GPa"), show="GPa"),
    Reading("embedding_m", "what the surfaces settle by", "m", "by the number of surfaces: 3 µm in the thread, 2.5 under each of head and nut, 1.5 for each inner joint", 0.0, 60e-6, "from memory: VDI 2230; paint and coats of plastic settle by more", usual=Usual(9.5e-6, 3e-6, "from memory", "VDI 2230: head, nut, thread and one inner joint of smooth surfaces"), show="mm"),
    Reading("pull_n", "load that pulls the joint open, for each bolt", "N", "by the duty of the joint", 0.0, 500e3, _BOLTS, usual=Usual(0.0, 0.0, "common practice", "none: no load along the bolt")),
)  # fmt: skip

SKETCH = Sketch(
    "A bolt through two plates into a nut, in section.",
    62.0,
    (
        Line(((16, 24), (44, 24), (44, 42), (16, 42), (16, 24)), filled=True), Line(((56, 24), (84, 24), (84, 42), (56, 42), (56, 24)), filled=True),
        Line(((16, 33), (44, 33))), Line(((56, 33), (84, 33))),
        Line(((36, 42), (64, 42), (64, 52), (36, 52), (36, 42)), heavy=True),
        Line(((45, 42), (45, 8), (55, 8), (55, 42)), heavy=True),
        Line(((45, 30), (55, 30))), Line(((45, 27), (55, 27))), Line(((45, 24), (55, 24))), Line(((45, 14), (55, 14))), Line(((45, 11), (55, 11))),
        Line(((36, 24), (36, 15), (64, 15), (64, 24)), heavy=True),
        Line(((50, 2), (50, 61)), dashed=True),
        Dimension("contact_m", (36, 42), (64, 42), 16),
        Dimension("hole_m", (44, 40), (56, 40), -4),
        Dimension("grip_m", (90, 24), (90, 42)),
        Dimension("plain_m", (10, 30), (10, 42)),
        Dimension("diameter_m", (45, 8), (55, 8), -4),
        Dimension("pitch_m", (60, 11), (60, 14)),
        Label("nut or threaded hole", (80, 19)), Label("head", (70, 47)),
    ),
)  # fmt: skip
