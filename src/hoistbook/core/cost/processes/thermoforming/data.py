"""Figures of thermoforming."""

# fmt: off
from functools import partial

from hoistbook.core.cost.figure import TRADE, Figure

_money = partial(Figure, currency="USD", year=2023, index="tooling")

FIGURES = (
    Figure("heat_s_per_m2", "radiant heating over thickness squared", "s/m2", 15e6, 10e6, 20e6, "common practice",
           "none: trade range 30-60 s/mm at 3 mm; the time grows with the square"),
    Figure("sides_factor", "cooling thickness over that of the sheet: 1 cooled on both sides, 2 on one", "1",
           1.6, 1.3, 2.0,
           *TRADE),
    Figure("forming_k", "temperature of the sheet when it is formed", "K", 438.0, 425.0, 450.0, *TRADE),
    Figure("tool_k", "temperature of the tool", "K", 318.0, 308.0, 333.0, *TRADE),
    Figure("index_s", "clamp, index, form and release", "s", 12.0, 8.0, 18.0, *TRADE),
    Figure("trim_m_per_s", "speed of trimming", "m/s", 0.28, 0.17, 0.42, *TRADE),
    Figure("trim_index_s", "load and unload the trimmer", "s", 15.0, 8.0, 25.0, *TRADE),
    Figure("offal_frac", "offal, of the sheet", "1", 0.20, 0.10, 0.30, *TRADE),
    Figure("crew", "people for the line", "1", 1.0, 0.5, 2.0, *TRADE),
    Figure("reject_frac", "rejects", "1", 0.02, 0.01, 0.04, *TRADE),
    Figure("setup_s", "tool change", "s", 5_400.0, 2_700.0, 10_800.0, *TRADE),
    _money("tool_money", "aluminium tool of 1 m2", "money", 55e3, 30e3, 100e3, *TRADE),
    _money("trim_money", "trimming fixture or die of 1 m2", "money", 28e3, 15e3, 50e3, *TRADE),
    Figure("tool_exponent", "growth of the tools' price with area", "1", 0.7, 0.6, 0.8, *TRADE),
    Figure("tool_life", "pieces of a tool", "1", 400e3, 200e3, 800e3, *TRADE),
)
