"""Figures of laser welding."""

# fmt: off
from functools import partial

from hoistbook.core.cost.figure import TRADE, Figure, by_option

_money = partial(Figure, currency="USD", year=2023, index="general")

FIGURES = (
    Figure("travel_m_per_s", "speed along the seam", "m/s", 0.065, 0.033, 0.10, *TRADE),
    Figure("laser_w", "power of the beam", "W", 4.5e3, 3e3, 6e3, *TRADE),
    Figure("spot_m", "diameter of the focus", "m", 0.4e-3, 0.2e-3, 0.6e-3, *TRADE),
    Figure("keyhole_w_per_m2", "power per area from which a keyhole opens", "W/m2", 1e10, 1e10, 1e10, "from memory",
           "laser welding texts: 1e6 W/cm2"),
    Figure("seam_s", "move between seams", "s", 1.0, 0.3, 2.5, *TRADE),
    *by_option("loading", "load_s", "load, clamp and unload, beside the laser", "s",
               {"hand": (20.0, 10.0, 40.0), "automatic": (6.0, 3.0, 12.0)}, "common practice",
               "none: several parts by hand on a turntable; small ones fed by a line"),
    Figure("index_s", "index of the table", "s", 4.0, 3.0, 6.0, *TRADE),
    _money("glass_money_per_s", "protective glass and gas while the beam is on", "money/s", 4e-3, 1e-3, 10e-3,
           *TRADE),
    *by_option("loading", "crew", "people per cell", "1",
               {"hand": (0.7, 0.33, 1.0), "automatic": (0.25, 0.1, 0.5)}, *TRADE),
    Figure("reject_frac", "rejects", "1", 0.01, 0.003, 0.03, *TRADE),
    Figure("setup_s", "change of fixture", "s", 1_800.0, 900.0, 3_600.0, *TRADE),
    _money("fixture_money", "fixtures, programs", "money", 70e3, 30e3, 130e3, *TRADE),
)
