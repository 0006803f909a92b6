"""Figures of grinding."""

# fmt: off
from functools import partial

from hoistbook.core.cost.figure import TRADE, Figure

_money = partial(Figure, currency="USD", year=2023, index="general")

FIGURES = (
    Figure("stock_m", "thickness ground away", "m", 0.15e-3, 0.08e-3, 0.30e-3, *TRADE),
    Figure("specific_rate_m2_per_s", "volume ground per time and width of wheel (Q'w)", "m2/s", 5e-6, 2e-6,
           10e-6, *TRADE),
    Figure("wheel_m", "width of wheel in contact", "m", 0.030, 0.015, 0.050, *TRADE),
    Figure("spark_out_s", "spark out and feed, per surface", "s", 6.0, 3.0, 12.0, *TRADE),
    Figure("dressing_s", "dressing of the wheel", "s", 60.0, 30.0, 120.0, *TRADE),
    Figure("pieces_per_dressing", "pieces between two dressings", "1", 20.0, 8.0, 50.0, *TRADE),
    Figure("load_s", "load and unload", "s", 12.0, 6.0, 25.0, *TRADE),
    Figure("crew", "people per machine", "1", 0.4, 0.2, 1.0, *TRADE),
    Figure("reject_frac", "rejects", "1", 0.01, 0.005, 0.03, *TRADE),
    Figure("setup_s", "set-up", "s", 3_600.0, 1_800.0, 7_200.0, *TRADE),
    _money("wheel_money_per_m3", "wheel and dresser, per volume ground", "money/m3", 60e3, 20e3, 150e3, *TRADE),
    _money("fixture_money", "work holding and gauges", "money", 10e3, 4e3, 25e3, *TRADE),
)
