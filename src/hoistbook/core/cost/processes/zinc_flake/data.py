"""Figures of zinc-flake coating."""

# fmt: off
from hoistbook.core.cost.figure import TRADE, Figure

FIGURES = (
    Figure("usual_film_thickness_m", "thickness of the coat where it is not stated", "m", 9e-6, 6e-6, 14e-6,
           "common practice", "none: two coats of 4-6 um"),
    Figure("coat_thickness_m", "thickness of one coat", "m", 5e-6, 4e-6, 7e-6, *TRADE),
    Figure("film_density_kg_per_m3", "density of the cured film", "kg/m3", 3_800.0, 3_200.0, 4_500.0, *TRADE),
    Figure("transfer_frac", "share of the dispersion that stays on parts", "1", 0.85, 0.75, 0.95, *TRADE),
    Figure("dispersion_money_per_kg", "dispersion, per solids", "money/kg", 14.0, 9.0, 22.0, *TRADE,
           currency="USD", year=2023, index="general"),
    Figure("cleaning_money_per_kg", "degreasing and blasting", "money/kg", 0.06, 0.03, 0.12, *TRADE,
           currency="USD", year=2023, index="general"),
    Figure("basket_kg", "parts in a basket", "kg", 50.0, 30.0, 90.0, *TRADE),
    Figure("dip_s", "dip and spin of a basket", "s", 140.0, 90.0, 240.0, *TRADE),
    Figure("specific_heat_j_per_kg_k", "specific heat of steel", "J/(kg.K)", 490.0, 470.0, 520.0, "from memory",
           "ASM Handbook vol. 1"),
    Figure("oven_rise_k", "rise of temperature in the oven", "K", 215.0, 160.0, 300.0, *TRADE),
    Figure("oven_frac", "share of the oven's energy that reaches the parts", "1", 0.30, 0.20, 0.45, *TRADE),
    Figure("crew", "people per line", "1", 3.0, 2.0, 4.0, *TRADE),
    Figure("reject_frac", "rejects", "1", 0.004, 0.001, 0.01, *TRADE),
    Figure("setup_s", "change of basket and bath", "s", 600.0, 300.0, 1_200.0, *TRADE),
)
