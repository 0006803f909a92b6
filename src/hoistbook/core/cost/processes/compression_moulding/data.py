"""Figures of compression moulding."""

# fmt: off
from functools import partial

from hoistbook.core.cost.figure import TRADE, Figure, by_option

_money_by_option = partial(by_option, currency="USD", year=2023, index="tooling")

FIGURES = (
    *by_option("stock", "pressure_pa", "pressure on the piece", "Pa",
               {"fibre mat": (0.8e6, 0.2e6, 1.5e6), "SMC": (7.5e6, 5e6, 10e6)}, *TRADE),
    *by_option("stock", "oven_s", "heating before the press, per piece and oven", "s",
               {"fibre mat": (80.0, 45.0, 120.0), "SMC": (0.0, 0.0, 0.0)}, *TRADE),
    Figure("oven_count", "ovens that feed one press", "1", 2.0, 2.0, 2.0, *TRADE),
    *by_option("stock", "press_s", "form and cool, or close and open", "s",
               {"fibre mat": (40.0, 25.0, 60.0), "SMC": (20.0, 15.0, 30.0)}, *TRADE),
    *by_option("stock", "cure_s_per_m", "cure over thickness", "s/m",
               {"fibre mat": (0.0, 0.0, 0.0), "SMC": (25e3, 20e3, 30e3)}, *TRADE),
    Figure("load_s", "charge and unload", "s", 12.0, 8.0, 20.0, *TRADE),
    Figure("trim_m_per_s", "speed of water jet or trimmer", "m/s", 0.28, 0.17, 0.42, *TRADE),
    Figure("trim_index_s", "load and unload the trimmer", "s", 10.0, 6.0, 20.0, *TRADE),
    *by_option("stock", "offal_frac", "offal, of what is put in", "1",
               {"fibre mat": (0.20, 0.10, 0.30), "SMC": (0.045, 0.03, 0.06)}, *TRADE),
    Figure("crew", "people for the line", "1", 1.5, 1.0, 2.5, *TRADE),
    *by_option("stock", "reject_frac", "rejects", "1",
               {"fibre mat": (0.015, 0.005, 0.03), "SMC": (0.03, 0.015, 0.06)}, *TRADE),
    Figure("setup_s", "tool change", "s", 5_400.0, 2_700.0, 10_800.0, *TRADE),
    *by_option("stock", "heat_j_per_kg", "heat put into what is charged", "J/kg",
               {"fibre mat": (0.6e6, 0.4e6, 1.0e6), "SMC": (0.3e6, 0.2e6, 0.5e6)}, *TRADE),
    *_money_by_option("stock", "tool_money", "tool of 1 m2, with trimming die or fixture", "money",
                      {"fibre mat": (105e3, 55e3, 170e3), "SMC": (550e3, 300e3, 900e3)}, *TRADE),
    Figure("tool_exponent", "growth of the tools' price with area", "1", 0.7, 0.6, 0.8, *TRADE),
    *by_option("stock", "tool_life", "pieces of a tool", "1",
               {"fibre mat": (500e3, 200e3, 1e6), "SMC": (300e3, 150e3, 600e3)}, *TRADE),
)
