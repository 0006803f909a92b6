"""Figures of laser trimming."""

# fmt: off
from hoistbook.core.cost.figure import TRADE, Figure

FIGURES = (
    Figure("laser_m_per_s", "laser along the edge", "m/s", 0.17, 0.10, 0.25, "common practice", "none: 6-15 m/min"),
    Figure("hole_s", "time per hole", "s", 1.25, 1.0, 1.5, *TRADE),
    Figure("load_s", "turn of the table", "s", 5.0, 3.0, 8.0, "common practice",
           "none: the second station is loaded meanwhile"),
    Figure("crew", "people per cell", "1", 0.5, 0.33, 1.0, *TRADE),
    Figure("reject_frac", "rejects", "1", 0.003, 0.001, 0.01, *TRADE),
    Figure("setup_s", "change of fixture", "s", 900.0, 600.0, 1_800.0, *TRADE),
    Figure("fixture_money", "pair of fixtures", "money", 30e3, 15e3, 60e3, *TRADE,
           currency="USD", year=2023, index="tooling"),
    Figure("fixture_life", "pieces of a pair of fixtures", "1", 1e6, 0.5e6, 2e6, *TRADE),
)
