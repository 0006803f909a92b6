"""Figures of electrocoating."""

# fmt: off
from hoistbook.core.cost.figure import TRADE, Figure

FIGURES = (
    Figure("usual_film_thickness_m", "thickness of the coat where it is not stated", "m", 22e-6, 18e-6, 25e-6,
           "common practice", "none: 18-25 um"),
    Figure("film_density_kg_per_m3", "density of the baked film", "kg/m3", 1_350.0, 1_250.0, 1_450.0, *TRADE),
    Figure("transfer_frac", "share of the paint that stays on parts", "1", 0.95, 0.90, 0.98, *TRADE),
    Figure("paint_money_per_kg", "paint, per solids", "money/kg", 7.0, 5.0, 10.0, *TRADE,
           currency="USD", year=2023, index="general"),
    Figure("pretreatment_money_per_m2", "cleaning and conversion coat", "money/m2", 0.18, 0.10, 0.35, *TRADE,
           currency="USD", year=2023, index="general"),
    Figure("line_m2_per_s", "surface that the line coats, as hung", "m2/s", 0.15, 0.08, 0.30, "common practice",
           "none: 300-1100 m2 an hour"),
    Figure("bath_j_per_m2", "heat and pumping of the baths", "J/m2", 2.0e6, 1.0e6, 4.0e6, *TRADE),
    Figure("specific_heat_j_per_kg_k", "specific heat of parts", "J/(kg.K)", 500.0, 460.0, 900.0, *TRADE),
    Figure("oven_rise_k", "rise of temperature in the oven", "K", 155.0, 140.0, 175.0, *TRADE),
    Figure("oven_frac", "share of the oven's energy that reaches the parts", "1", 0.15, 0.08, 0.25, *TRADE),
    Figure("crew", "people per line", "1", 6.0, 4.0, 10.0, *TRADE),
    Figure("reject_frac", "rejects", "1", 0.005, 0.002, 0.015, *TRADE),
    Figure("setup_s", "hanging plan of a lot", "s", 60.0, 0.0, 300.0, *TRADE),
)
