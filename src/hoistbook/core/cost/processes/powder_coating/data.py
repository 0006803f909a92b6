"""Figures of powder coating."""

# fmt: off
from hoistbook.core.cost.figure import TRADE, Figure, by_option

FIGURES = (
    *by_option(
        "overspray", "transfer_frac", "share of the powder that stays on parts", "1",
        {"reclaimed": (0.97, 0.93, 0.98), "lost": (0.60, 0.50, 0.70)}, "common practice",
        "none: 60 %, 98 % with reclaim",
    ),
    Figure("usual_film_thickness_m", "thickness of the coat where it is not stated", "m", 75e-6, 60e-6, 90e-6,
           "common practice", "none: 60-90 um"),
    Figure("film_density_kg_per_m3", "density of the film", "kg/m3", 1_500.0, 1_400.0, 1_650.0, "common practice",
           "none: 1.5 g/cm3"),
    Figure("powder_money_per_kg", "powder", "money/kg", 6.0, 4.0, 9.0, *TRADE,
           currency="USD", year=2023, index="general"),
    Figure("pretreatment_money_per_m2", "cleaning and conversion coat", "money/m2", 0.20, 0.10, 0.40, *TRADE,
           currency="USD", year=2023, index="general"),
    Figure("line_m2_per_s", "surface that the line coats, as hung", "m2/s", 0.06, 0.03, 0.12, "common practice",
           "none: 110-430 m2 an hour"),
    Figure("specific_heat_j_per_kg_k", "specific heat of parts", "J/(kg.K)", 550.0, 460.0, 900.0, *TRADE),
    Figure("oven_rise_k", "rise of temperature in the oven", "K", 165.0, 140.0, 185.0, *TRADE),
    Figure("oven_frac", "share of the oven's energy that reaches the parts", "1", 0.15, 0.08, 0.25, *TRADE),
    Figure("crew", "people per line", "1", 5.0, 3.0, 8.0, *TRADE),
    Figure("reject_frac", "rejects", "1", 0.015, 0.005, 0.03, *TRADE),
    Figure("setup_s", "change of colour", "s", 600.0, 120.0, 1_800.0, *TRADE),
)
