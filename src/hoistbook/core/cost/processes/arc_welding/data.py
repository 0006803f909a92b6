"""Figures of arc welding."""

# fmt: off
from functools import partial

from hoistbook.core.cost.figure import TRADE, Figure, by_option

_money = partial(Figure, currency="USD", year=2023, index="general")
_money_by_option = partial(by_option, currency="USD", year=2023, index="general")
_GROOVER = "M. P. Groover, Fundamentals of Modern Manufacturing"

FIGURES = (
    *by_option("by", "travel_m_per_s", "usual speed along the seam", "m/s",
               {"robot": (9e-3, 6e-3, 12e-3), "hand": (5.5e-3, 4e-3, 7e-3)}, *TRADE),
    *by_option("by", "arc_w", "power of the arc", "W", {"robot": (6e3, 4.5e3, 8e3), "hand": (4.5e3, 3.5e3,
               6e3)}, *TRADE),
    Figure("transfer_frac", "power that reaches the work (f1)", "1", 0.9, 0.85, 0.95, "from memory",
           f"{_GROOVER}, sec. 28.3: gas metal arc 0.9; limits common practice"),
    Figure("melting_frac", "heat in the work that melts metal (f2)", "1", 0.5, 0.4, 0.6, "published",
           f"{_GROOVER}, examples 28.2 and 29.1; limits common practice"),
    *by_option("metal", "melting_k", "melting point", "K",
               {"steel": (1760.0, 1740.0, 1800.0), "aluminium": (930.0, 850.0, 940.0)}, "from memory",
               f"{_GROOVER}, table 28.2"),
    *by_option("by", "arc_on_frac", "share of the time with an arc", "1",
               {"robot": (0.75, 0.60, 0.85), "hand": (0.30, 0.25, 0.35)}, *TRADE),
    Figure("start_s", "start, end and move, per bead", "s", 2.5, 2.0, 3.0, *TRADE),
    *by_option("by", "index_s", "index of the table", "s", {"robot": (4.0, 3.0, 6.0), "hand": (0.0, 0.0, 0.0)},
               *TRADE),
    Figure("load_s", "load and unload, beside a robot", "s", 25.0, 12.0, 45.0, *TRADE),
    Figure("wire_yield_frac", "metal of the bead over that of the wire", "1", 0.93, 0.88, 0.97, *TRADE),
    *by_option("metal", "wire_kg_per_m3", "density of the wire", "kg/m3",
               {"steel": (7850.0, 7850.0, 7850.0), "aluminium": (2700.0, 2700.0, 2700.0)}, "from memory",
               "ASM Handbook vol. 1 and 2"),
    *_money_by_option("metal", "wire_money_per_kg", "wire", "money/kg",
                      {"steel": (2.2, 1.6, 3.0), "aluminium": (8.5, 6.5, 11.0)}, *TRADE),
    Figure("gas_m3_per_s", "shielding gas while the arc burns", "m3/s", 0.25e-3, 0.2e-3, 0.3e-3, *TRADE),
    _money("gas_money_per_m3", "shielding gas", "money/m3", 6.0, 3.0, 12.0, *TRADE),
    *by_option("by", "crew", "people per cell or booth", "1", {"robot": (0.5, 0.25, 1.0), "hand": (1.0, 1.0,
               1.0)}, *TRADE),
    Figure("reject_frac", "rejects", "1", 0.01, 0.003, 0.03, *TRADE),
    Figure("setup_s", "change of fixture", "s", 1_800.0, 900.0, 3_600.0, *TRADE),
    _money("fixture_money", "fixtures, programs", "money", 45e3, 20e3, 80e3, *TRADE),
)
