"""Figures of gear grinding."""

# fmt: off
from functools import partial

from hoistbook.core.cost.figure import TRADE, Figure

_money = partial(Figure, currency="USD", year=2023, index="general")

FIGURES = (
    Figure("stock_m", "thickness ground off each flank", "m", 0.12e-3, 0.08e-3, 0.18e-3, *TRADE),
    Figure("specific_rate_m2_per_s", "volume ground per time and width of contact (Q'w)", "m2/s", 10e-6, 5e-6,
           15e-6, *TRADE),
    Figure("contact_frac", "width of contact over the depth of the tooth", "1", 1.0, 0.7, 1.3, *TRADE),
    Figure("passes", "passes", "1", 3.0, 2.0, 4.0, *TRADE),
    Figure("overrun_m", "way beyond the gear, per pass", "m", 10e-3, 6e-3, 16e-3, *TRADE),
    Figure("axial_m_per_s", "speed along the axis", "m/s", 5e-3, 3e-3, 10e-3, *TRADE),
    Figure("meshing_s", "finding the gaps, spark out", "s", 8.0, 4.0, 15.0, *TRADE),
    Figure("load_s", "load and unload", "s", 8.0, 5.0, 15.0, *TRADE),
    Figure("dressing_s", "dressing of the wheel", "s", 180.0, 90.0, 300.0, *TRADE),
    Figure("pieces_per_dressing", "gears between two dressings", "1", 25.0, 12.0, 50.0, *TRADE),
    Figure("crew", "people per machine", "1", 0.3, 0.2, 0.6, *TRADE),
    Figure("reject_frac", "rejects", "1", 0.01, 0.003, 0.02, *TRADE),
    Figure("setup_s", "set-up", "s", 5_400.0, 3_600.0, 10_800.0, *TRADE),
    _money("wheel_money_per_m3", "wheel and dresser, per volume ground", "money/m3", 250e3, 100e3, 600e3, *TRADE),
    _money("fixture_money", "arbor, clamping, dressing roll", "money", 25e3, 12e3, 50e3, *TRADE),
)
