"""A made-up check that asks for everything a check can ask for: one figure, figures of several things, a choice."""

from hoistbook.core.checks.declared import Check, Choice, Names, Outcome, Reading
from hoistbook.core.checks.sketch import Dimension, Sketch

ARM = Reading(
    "arm_m",
    "arm, from the pin",
    "m",
    "tape",
    -2.0,
    2.0,
    "common practice: made up",
    0.003,
    "common practice: none",
    show="mm",
)
MASS = Reading("mass_kg", "mass", "kg", "scale", 0.0, 10.0, "made up", 0.01, "made up", each="bag")
SHARE = Reading("share_frac", "share", "1", "counted", 0.0, 1.0, "made up", each="bag", show="%")
PIN = Choice("pin", "the pin", {"free": "turns", "held tight": "does not turn"})
LEVER = Check(
    name="lever",
    title="Lever of bags",
    question="How hard does it turn?",
    family="joints",
    readings=(ARM, MASS, SHARE),
    outcomes=(Outcome("moment_n_m", "moment", "N.m"),),
    evaluate=lambda g: {"moment_n_m": 9.81 * g.arm_m * g.mass_kg.sum(axis=0)},
    verdict=lambda result, given: given.choice("pin"),
    sketch=Sketch("a lever", 20.0, (Dimension("arm_m", (0, 0), (10, 0)),)),
    cannot_say=("friction",),
    references=("first principles: lever",),
    method="",
    choices=(PIN,),
    names=(Names("bags", "names of the bags", "bag"),),
)
