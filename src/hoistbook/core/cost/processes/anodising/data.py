"""Figures of anodising."""

# fmt: off
from hoistbook.core.cost.figure import TRADE, Figure

FIGURES = (
    Figure("usual_film_thickness_m", "thickness of the oxide where it is not stated", "m", 15e-6, 10e-6, 25e-6, *TRADE),
    Figure("current_a_per_m2", "current per surface", "A/m2", 160.0, 130.0, 260.0, "common practice",
           "none: 12-24 A/ft2"),
    Figure("voltage_v", "voltage of the bath", "V", 16.0, 14.0, 20.0, *TRADE),
    Figure("rectifier_frac", "efficiency of the rectifier", "1", 0.85, 0.80, 0.92, *TRADE),
    Figure("cooling_frac", "energy with cooling of the bath over that of the current", "1", 1.35, 1.2, 1.5, *TRADE),
    Figure("rack_m2", "surface on a rack", "m2", 10.0, 5.0, 18.0, *TRADE),
    Figure("station_count", "places in the anodising bath", "1", 5.0, 3.0, 8.0, *TRADE),
    Figure("hoist_s", "quickest time between two racks", "s", 330.0, 240.0, 480.0, *TRADE),
    Figure("bath_money_per_m2", "etch, baths, sealing and waste water", "money/m2", 0.9, 0.5, 1.8, *TRADE,
           currency="USD", year=2023, index="general"),
    Figure("crew", "people per line", "1", 5.0, 3.0, 8.0, *TRADE),
    Figure("reject_frac", "rejects", "1", 0.01, 0.005, 0.03, *TRADE),
    Figure("setup_s", "preparing a lot", "s", 300.0, 60.0, 900.0, *TRADE),
)
