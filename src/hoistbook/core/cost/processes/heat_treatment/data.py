"""Figures of heat treatment."""

# fmt: off
from hoistbook.core.cost.figure import TRADE, Figure, by_option

_SOAK = "none: an hour per 25 mm in steel"

FIGURES = (
    *by_option(
        "kind", "charge_kg", "mass of a charge; in the hot zone of a belt", "kg",
        {"quench and temper": (900.0, 600.0, 1_300.0), "anneal": (1_200.0, 800.0, 1_800.0),
         "t6": (1_000.0, 500.0, 1_800.0), "t5": (1_800.0, 1_000.0, 2_800.0), "sinter": (60.0, 35.0, 100.0)}, *TRADE,
    ),
    *by_option(
        "kind", "heat_up_s", "until the charge is hot; a belt has a zone for it", "s",
        {"quench and temper": (3_600.0, 2_400.0, 5_400.0), "anneal": (5_400.0, 3_600.0, 7_200.0),
         "t6": (3_600.0, 1_800.0, 5_400.0), "t5": (1_800.0, 1_200.0, 3_600.0), "sinter": (0.0, 0.0, 0.0)}, *TRADE,
    ),
    *by_option(
        "kind", "hold_s", "hold, whatever the wall", "s",
        {"quench and temper": (900.0, 600.0, 1_800.0), "anneal": (3_600.0, 1_800.0, 7_200.0),
         "t6": (18_000.0, 14_400.0, 21_600.0), "t5": (18_000.0, 10_800.0, 28_800.0),
         "sinter": (1_500.0, 1_200.0, 1_800.0)},
        "common practice", "none: solution 4-6 h; 20-30 min at sintering heat",
    ),
    *by_option(
        "kind", "hold_s_per_m", "longer hold per thickest wall", "s/m",
        {"quench and temper": (144e3, 100e3, 180e3), "anneal": (144e3, 100e3, 180e3), "t6": (0.0, 0.0, 0.0),
         "t5": (0.0, 0.0, 0.0), "sinter": (0.0, 0.0, 0.0)}, "common practice", _SOAK,
    ),
    *by_option(
        "kind", "second_s", "tempering or ageing in a second furnace", "s",
        {"quench and temper": (7_200.0, 5_400.0, 9_000.0), "anneal": (0.0, 0.0, 0.0),
         "t6": (21_600.0, 14_400.0, 28_800.0), "t5": (0.0, 0.0, 0.0), "sinter": (0.0, 0.0, 0.0)},
        "common practice", "none: tempering 2 h, ageing 4-8 h",
    ),
    *by_option(
        "kind", "heat_degc", "temperature", "degC",
        {"quench and temper": (860.0, 840.0, 900.0), "anneal": (700.0, 650.0, 750.0), "t6": (535.0, 525.0, 545.0),
         "t5": (175.0, 160.0, 200.0), "sinter": (1_120.0, 1_110.0, 1_140.0)}, *TRADE,
    ),
    *by_option(
        "kind", "second_degc", "temperature of the second furnace", "degC",
        {"quench and temper": (560.0, 450.0, 650.0), "anneal": (25.0, 25.0, 25.0), "t6": (170.0, 155.0, 190.0),
         "t5": (25.0, 25.0, 25.0), "sinter": (25.0, 25.0, 25.0)}, *TRADE,
    ),
    *by_option(
        "kind", "specific_heat_j_per_kg_k", "specific heat", "J/(kg.K)",
        {"quench and temper": (620.0, 560.0, 680.0), "anneal": (620.0, 560.0, 680.0), "t6": (960.0, 920.0, 1_000.0),
         "t5": (960.0, 920.0, 1_000.0), "sinter": (650.0, 580.0, 720.0)}, "from memory",
        "ASM Handbook vol. 1 and 2, mean to that temperature",
    ),
    *by_option(
        "kind", "crew", "people per plant", "1",
        {"quench and temper": (0.5, 0.3, 0.8), "anneal": (0.3, 0.2, 0.5), "t6": (0.4, 0.2, 0.6),
         "t5": (0.2, 0.1, 0.4), "sinter": (0.33, 0.2, 0.5)}, *TRADE,
    ),
    Figure("furnace_frac", "share of the furnace's energy that reaches the parts", "1", 0.35, 0.25, 0.50,
           "common practice", "none: hardening takes 0.35-0.8 kWh/kg"),
    Figure("reject_frac", "rejects, cracks and warp", "1", 0.005, 0.002, 0.01, *TRADE),
    Figure("setup_s", "preparing a lot", "s", 900.0, 300.0, 1_800.0, *TRADE),
)
