"""Figures of tube bending."""

# fmt: off
from hoistbook.core.cost.figure import TRADE, Figure

FIGURES = (
    Figure("load_s", "load and unload", "s", 10.0, 8.0, 12.0, *TRADE),
    Figure("bend_s", "bend with turn and feed", "s", 4.0, 3.0, 5.0, *TRADE),
    Figure("end_form_s", "hit on an end", "s", 5.0, 4.0, 6.0, *TRADE),
    Figure("preparing_s", "saw, deburr and wash", "s", 11.0, 8.0, 15.0, *TRADE),
    Figure("moment_reserve_frac", "moment of the machine over the plastic moment", "1", 1.5, 1.3, 2.0, *TRADE),
    Figure("cut_loss_frac", "tube lost in cutting", "1", 0.03, 0.02, 0.04, *TRADE),
    Figure("crew", "people per machine", "1", 0.5, 0.33, 1.0, *TRADE),
    Figure("reject_frac", "rejects", "1", 0.01, 0.005, 0.02, *TRADE),
    Figure("setup_s", "change of tools", "s", 1_800.0, 900.0, 3_600.0, *TRADE),
    Figure("bend_tool_money", "bending tools of one radius", "money", 5_000.0, 3_000.0, 8_000.0, *TRADE,
           currency="USD", year=2023, index="tooling"),
    Figure("end_tool_money", "tools of one end form", "money", 2_500.0, 1_000.0, 5_000.0, *TRADE,
           currency="USD", year=2023, index="tooling"),
    Figure("gauge_money", "checking fixture", "money", 15e3, 8e3, 25e3, *TRADE,
           currency="USD", year=2023, index="tooling"),
    Figure("tool_life", "pieces of a set of tools", "1", 500e3, 250e3, 1e6, *TRADE),
)
