"""Figures of harness assembly."""

# fmt: off
from functools import partial

from hoistbook.core.cost.figure import TRADE, Figure, by_option

_money = partial(Figure, currency="USD", year=2023, index="general")

FIGURES = (
    Figure("usual_conductor_area_m2", "cross-section where it is not stated", "m2", 0.5e-6, 0.35e-6, 0.85e-6, *TRADE),
    Figure("cut_s", "cut, strip and crimp by machine, per circuit", "s", 4.0, 3.0, 5.0, *TRADE),
    Figure("insert_s", "insert a terminal", "s", 5.5, 4.0, 7.0, *TRADE),
    Figure("lay_s_per_m", "lay a circuit on the board, per length", "s/m", 6.5, 5.0, 8.0, *TRADE),
    Figure("splice_s", "splice", "s", 20.0, 15.0, 25.0, *TRADE),
    *by_option("cover", "tape_s_per_m", "tape, per length of trunk", "s/m",
               {"spot tape": (22.0, 15.0, 30.0), "full tape": (55.0, 40.0, 70.0)}, *TRADE),
    Figure("clip_s", "clip or grommet", "s", 6.0, 4.0, 12.0, *TRADE),
    Figure("seal_s", "seal and lock, per connector", "s", 4.0, 3.0, 5.0, *TRADE),
    Figure("test_s", "electrical test", "s", 110.0, 60.0, 180.0, *TRADE),
    Figure("trunk_per_m", "length of trunk and branches over mean length of a circuit", "1", 2.5, 1.5, 4.0, *TRADE),
    Figure("wire_cut_frac", "wire cut off", "1", 0.03, 0.02, 0.06, *TRADE),
    Figure("insulation_m3_per_m3", "volume of insulation over that of the conductor", "1", 1.8, 1.2, 2.5, *TRADE),
    _money("insulation_money_per_m3", "insulation, extruded", "money/m3", 4_000.0, 2_500.0, 7_000.0, *TRADE),
    _money("terminal_money", "terminal", "money", 0.04, 0.015, 0.10, *TRADE),
    _money("connector_money", "connector housing with seals", "money", 0.60, 0.20, 2.00, *TRADE),
    _money("clip_money", "clip or grommet", "money", 0.12, 0.04, 0.40, *TRADE),
    *by_option("cover", "cover_money_per_m", "tape and tubes, per length of trunk", "money/m",
               {"spot tape": (0.12, 0.05, 0.25), "full tape": (0.35, 0.15, 0.70)}, *TRADE, currency="USD", year=2023,
               index="general"),
    Figure("crew", "people per board", "1", 1.0, 1.0, 1.0, *TRADE),
    Figure("reject_frac", "rejects", "1", 0.005, 0.001, 0.02, *TRADE),
    Figure("setup_s", "change of board", "s", 1_200.0, 600.0, 2_400.0, *TRADE),
    _money("board_money", "boards, test adapters, applicators", "money", 60e3, 20e3, 150e3, *TRADE),
)
