"""Figures of spot welding."""

# fmt: off
from functools import partial

from hoistbook.core.cost.figure import TRADE, Figure, by_option

_money = partial(Figure, currency="USD", year=2023, index="general")
_GROOVER = "M. P. Groover, Fundamentals of Modern Manufacturing, sec. 29.2"

FIGURES = (
    Figure("spot_s", "a spot with its move", "s", 3.2, 2.5, 4.5, *TRADE),
    *by_option("metal", "current_a", "welding current", "A",
               {"steel": (12e3, 8e3, 15e3)}, "published",
               f"{_GROOVER}: 5-20 kA, example 12 kA; limits common practice"),
    *by_option("metal", "current_a", "welding current", "A",
               {"aluminium": (30e3, 25e3, 36e3)}, *TRADE),
    *by_option("metal", "resistance_ohm", "resistance of the stack", "ohm",
               {"steel": (1e-4, 0.8e-4, 1.4e-4)}, "published", f"{_GROOVER}: about 1e-4; limits common practice"),
    *by_option("metal", "resistance_ohm", "resistance of the stack", "ohm",
               {"aluminium": (0.2e-4, 0.15e-4, 0.3e-4)}, *TRADE),
    Figure("current_s", "time of the current", "s", 0.2, 0.1, 0.4, "published",
           f"{_GROOVER}: 0.1-0.4 s, example 0.2 s"),
    Figure("nugget_m", "diameter of the nugget", "m", 6e-3, 5e-3, 7e-3, *TRADE),
    *by_option("metal", "melting_k", "melting point", "K",
               {"steel": (1760.0, 1740.0, 1800.0), "aluminium": (930.0, 850.0, 940.0)}, "from memory",
               "M. P. Groover, table 28.2"),
    Figure("usual_wall_thickness_m", "thickness of one sheet where it is not stated", "m", 1.2e-3, 0.8e-3,
           1.8e-3, *TRADE),
    Figure("dress_s", "dressing of the tips", "s", 12.0, 8.0, 20.0, *TRADE),
    *by_option("metal", "spots_per_dressing", "spots between two dressings", "1",
               {"steel": (220.0, 150.0, 300.0), "aluminium": (40.0, 20.0, 80.0)}, *TRADE),
    Figure("load_s", "load, clamp and unload", "s", 20.0, 10.0, 40.0, *TRADE),
    _money("spot_money", "tips and cooling water, per spot", "money", 0.012, 0.005, 0.03, *TRADE),
    Figure("crew", "people per robot", "1", 0.4, 0.1, 1.0, *TRADE),
    Figure("reject_frac", "rejects", "1", 0.005, 0.001, 0.015, *TRADE),
    Figure("setup_s", "change of fixture", "s", 1_800.0, 900.0, 3_600.0, *TRADE),
    _money("fixture_money", "fixtures, programs", "money", 40e3, 15e3, 80e3, *TRADE),
)
