"""Figures of case hardening."""

# fmt: off
from hoistbook.core.cost.figure import TRADE, Figure

FIGURES = (
    Figure("carbon_k", "temperature in carbon", "K", 1_198.15, 1_173.15, 1_223.15, "common practice",
           "none: 900-950 C"),
    Figure("charge_kg", "mass of a charge", "kg", 500.0, 300.0, 900.0, *TRADE),
    Figure("heat_up_s", "until the charge is hot", "s", 3_600.0, 2_400.0, 5_400.0, *TRADE),
    Figure("lowering_s", "lower to hardening heat and quench", "s", 2_700.0, 1_800.0, 4_500.0, *TRADE),
    Figure("temper_s", "tempering in a second furnace", "s", 7_200.0, 5_400.0, 10_800.0, *TRADE),
    Figure("temper_k", "temperature of tempering", "K", 453.15, 423.15, 473.15, *TRADE),
    Figure("specific_heat_j_per_kg_k", "specific heat", "J/(kg.K)", 640.0, 580.0, 700.0, "from memory",
           "ASM Handbook vol. 1, mean to 925 C"),
    Figure("furnace_frac", "share of the furnace's energy that reaches the parts", "1", 0.30, 0.20, 0.45, *TRADE),
    Figure("gas_money_per_s", "carbon gas while in carbon", "money/s", 6.0 / 3600, 3.0 / 3600, 12.0 / 3600,
           "common practice", "none: 3-12 USD/h per plant", currency="USD", year=2023, index="general"),
    Figure("crew", "people per plant", "1", 0.5, 0.3, 0.8, *TRADE),
    Figure("reject_frac", "rejects, warp", "1", 0.007, 0.003, 0.015, *TRADE),
    Figure("setup_s", "preparing a lot", "s", 900.0, 300.0, 1_800.0, *TRADE),
)
