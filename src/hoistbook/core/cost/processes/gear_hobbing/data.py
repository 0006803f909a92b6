"""Figures of hobbing."""

# fmt: off
from functools import partial

from hoistbook.core.cost.figure import TRADE, Figure

_money = partial(Figure, currency="USD", year=2023, index="general")

FIGURES = (
    Figure("hob_m", "diameter of the hob", "m", 0.080, 0.060, 0.110, *TRADE),
    Figure("hob_starts", "starts of the hob", "1", 2.0, 1.0, 4.0, *TRADE),
    Figure("hob_speed_m_per_s", "cutting speed", "m/s", 1.5, 1.1, 2.5, *TRADE),
    Figure("axial_feed_m", "feed along the axis, per turn of the gear", "m", 2.5e-3, 1.8e-3, 3.5e-3, *TRADE),
    Figure("overrun_m", "way of the hob beyond the gear", "m", 4e-3, 2e-3, 8e-3, *TRADE),
    Figure("load_s", "load and unload", "s", 8.0, 4.0, 15.0, *TRADE),
    Figure("deburr_s", "deburring, beside the hobber", "s", 15.0, 8.0, 25.0, *TRADE),
    Figure("crew", "people per machine", "1", 0.25, 0.15, 0.5, *TRADE),
    Figure("hob_life_m", "length of teeth that a hob cuts, all regrinds together", "m", 4_000.0, 1_500.0,
           8_000.0, *TRADE),
    _money("hob_money", "hob with its regrinds and coatings", "money", 2_500.0, 1_200.0, 5_000.0, *TRADE),
    Figure("chip_worth_frac", "worth of chips over that of solid offal", "1", 0.6, 0.4, 0.8, *TRADE),
    Figure("reject_frac", "rejects", "1", 0.005, 0.002, 0.015, *TRADE),
    Figure("setup_s", "set-up", "s", 3_600.0, 1_800.0, 7_200.0, *TRADE),
    _money("fixture_money", "arbor and clamping", "money", 12e3, 5e3, 25e3, *TRADE),
)
