"""Figures of high-voltage cable assembly."""

# fmt: off
from functools import partial

from hoistbook.core.cost.figure import TRADE, Figure

_money = partial(Figure, currency="USD", year=2023, index="general")

FIGURES = (
    Figure("usual_circuit_count", "cores where they are not stated", "1", 1.2, 1.0, 2.0, *TRADE),
    Figure("usual_connector_count", "connectors where they are not stated", "1", 2.0, 2.0, 2.0, *TRADE),
    Figure("strip_s", "cut and strip in layers, per end of a core", "s", 50.0, 40.0, 60.0, *TRADE),
    Figure("weld_s", "weld or crimp, per end of a core", "s", 22.0, 15.0, 30.0, *TRADE),
    Figure("ferrule_s", "ferrule of the shield, per connector", "s", 32.0, 25.0, 40.0, *TRADE),
    Figure("housing_s", "housing, seal, interlock, per connector", "s", 90.0, 60.0, 120.0, *TRADE),
    Figure("test_s", "insulation and high-potential test", "s", 45.0, 30.0, 60.0, *TRADE),
    Figure("cable_cut_frac", "ends cut off, of the cable", "1", 0.03, 0.02, 0.05, *TRADE),
    _money("sheath_money_per_m", "insulation, shield, sheath and their extrusion, per core of 50 mm2", "money/m",
           3.5, 2.0, 6.0, *TRADE),
    Figure("sheath_exponent", "growth of that price with cross-section", "1", 0.5, 0.4, 0.7, "common practice",
           "none: goes with the circumference"),
    _money("connector_money", "shielded connector", "money", 24.0, 12.0, 45.0, *TRADE),
    _money("terminal_money", "terminal, ferrule and seal, per end of a core", "money", 1.2, 0.6, 2.5, *TRADE),
    Figure("crew", "people per bench", "1", 1.0, 0.8, 1.2, *TRADE),
    Figure("reject_frac", "rejects", "1", 0.01, 0.003, 0.03, *TRADE),
    Figure("setup_s", "set-up", "s", 1_800.0, 900.0, 3_600.0, *TRADE),
    _money("tool_money", "crimp dies, sonotrodes, test adapters", "money", 40e3, 15e3, 80e3, *TRADE),
)
