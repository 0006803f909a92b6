"""Figures of work on profiles."""

# fmt: off
from hoistbook.core.cost.figure import TRADE, Figure

FIGURES = (
    Figure("load_s", "load and unload", "s", 12.0, 8.0, 20.0, *TRADE),
    Figure("cut_s", "saw cut", "s", 10.0, 6.0, 15.0, *TRADE),
    Figure("cut_count", "saw cuts per piece", "1", 1.5, 1.0, 2.0, "common practice",
           "none: one cut parts two pieces, two where the ends are at an angle"),
    Figure("hole_s", "time per hole", "s", 4.0, 2.5, 7.0, *TRADE),
    Figure("bend_s", "stretch or rotary bend", "s", 35.0, 20.0, 60.0, *TRADE),
    Figure("crew", "people per cell", "1", 0.75, 0.5, 1.0, *TRADE),
    Figure("reject_frac", "rejects", "1", 0.01, 0.005, 0.02, *TRADE),
    Figure("setup_s", "change of fixture", "s", 2_700.0, 1_200.0, 5_400.0, *TRADE),
    Figure("fixture_money", "fixture for sawing and drilling", "money", 18e3, 10e3, 35e3, "common practice",
           "none: 10-80 thousand in all", currency="USD", year=2023, index="tooling"),
    Figure("bend_tool_money", "bending tool, first bend", "money", 25e3, 12e3, 45e3, *TRADE,
           currency="USD", year=2023, index="tooling"),
    Figure("tool_life", "pieces of a set of tools", "1", 500e3, 250e3, 1e6, *TRADE),
)
