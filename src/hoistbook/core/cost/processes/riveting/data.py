"""Figures of riveting."""

# fmt: off
from functools import partial

from hoistbook.core.cost.figure import TRADE, Figure, by_option

_money = partial(Figure, currency="USD", year=2023, index="general")
_money_by_option = partial(by_option, currency="USD", year=2023, index="general")

FIGURES = (
    *by_option("kind", "joint_s", "a joint with its move", "s",
               {"self-piercing rivet": (3.2, 2.5, 4.0), "flow-drill screw": (5.0, 4.0, 6.0)}, *TRADE),
    *_money_by_option("kind", "fastener_money", "rivet or screw", "money",
                      {"self-piercing rivet": (0.045, 0.03, 0.06), "flow-drill screw": (0.18, 0.12, 0.25)}, *TRADE),
    _money("die_money", "wear of dies, punches and bits, per joint", "money", 0.004, 0.001, 0.01, *TRADE),
    Figure("load_s", "load, clamp and unload", "s", 20.0, 10.0, 40.0, *TRADE),
    Figure("crew", "people per robot", "1", 0.4, 0.1, 1.0, *TRADE),
    Figure("reject_frac", "rejects", "1", 0.003, 0.001, 0.01, *TRADE),
    Figure("setup_s", "change of fixture", "s", 1_800.0, 900.0, 3_600.0, *TRADE),
    _money("fixture_money", "fixtures, programs", "money", 40e3, 15e3, 80e3, *TRADE),
    *by_option("kind", "thickest_m", "thickest stack", "m",
               {"self-piercing rivet": (10e-3, 10e-3, 10e-3), "flow-drill screw": (8e-3, 8e-3, 8e-3)}, *TRADE),
    Figure("usual_wall_thickness_m", "thickness of one sheet where it is not stated", "m", 2e-3, 1e-3, 3e-3, *TRADE),
)
