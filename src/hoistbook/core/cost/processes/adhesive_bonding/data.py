"""Figures of adhesive bonding."""

# fmt: off
from functools import partial

from hoistbook.core.cost.figure import TRADE, Figure, by_option

_money = partial(Figure, currency="USD", year=2023, index="general")
_money_by_option = partial(by_option, currency="USD", year=2023, index="general")

FIGURES = (
    Figure("bead_m_per_s", "speed along the bead", "m/s", 0.27, 0.15, 0.40, *TRADE),
    Figure("start_s", "start, end and move, per bead", "s", 1.5, 0.8, 3.0, *TRADE),
    Figure("load_s", "load, join and unload", "s", 15.0, 8.0, 30.0, *TRADE),
    *by_option("adhesive", "adhesive_kg_per_m3", "density", "kg/m3",
               {"structural epoxy": (1300.0, 1200.0, 1400.0), "sealer": (1300.0, 1100.0, 1500.0)}, *TRADE),
    *_money_by_option("adhesive", "adhesive_money_per_kg", "adhesive", "money/kg",
                      {"structural epoxy": (14.0, 8.0, 20.0), "sealer": (5.0, 3.0, 8.0)}, *TRADE),
    Figure("purged_frac", "purge and ends of drums, of what is laid", "1", 0.05, 0.02, 0.10, *TRADE),
    *_money_by_option("cure", "cure_money_per_m", "curing in an oven or station of its own, per bead", "money/m",
                      {"paint oven": (0.0, 0.0, 0.0), "own station": (0.10, 0.04, 0.25)}, *TRADE),
    Figure("crew", "people per cell", "1", 0.5, 0.2, 1.0, *TRADE),
    Figure("reject_frac", "rejects", "1", 0.005, 0.001, 0.015, *TRADE),
    Figure("setup_s", "change of fixture", "s", 1_200.0, 600.0, 2_400.0, *TRADE),
    _money("fixture_money", "fixtures, programs", "money", 20e3, 8e3, 45e3, *TRADE),
)
