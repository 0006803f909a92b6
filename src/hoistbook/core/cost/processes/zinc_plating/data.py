"""Figures of zinc and zinc-nickel plating."""

# fmt: off
from hoistbook.core.cost.figure import TRADE, Figure, by_option

_FARADAY = "Faraday's law: 65.38 g/mol, z = 2, 7140 kg/m3; zinc with 14 % nickel: 58.69 g/mol, alloy 7300 kg/m3"

FIGURES = (
    *by_option(
        "metal", "deposit_m3_per_c", "metal laid down per charge", "m3/C",
        {"zinc": (4.745e-11, 4.745e-11, 4.745e-11), "zinc-nickel": (4.57e-11, 4.52e-11, 4.62e-11)},
        "first principles", _FARADAY,
    ),
    *by_option(
        "metal", "film_density_kg_per_m3", "density of the coat", "kg/m3",
        {"zinc": (7_140.0, 7_140.0, 7_140.0), "zinc-nickel": (7_300.0, 7_200.0, 7_400.0)}, "from memory",
        "ASM Handbook vol. 2; alloy by mixture",
    ),
    *by_option(
        "metal", "efficiency_frac", "cathode efficiency", "1",
        {"zinc": (0.85, 0.65, 0.96), "zinc-nickel": (0.55, 0.45, 0.80)}, "common practice",
        "none: acid zinc 0.95, alkaline 0.65-0.8; alkaline zinc-nickel about half",
    ),
    *by_option(
        "metal", "anode_money_per_kg", "metal of the coat", "money/kg",
        {"zinc": (3.2, 2.6, 4.0), "zinc-nickel": (7.0, 5.0, 10.0)}, *TRADE, "USD", 2023, "general",
    ),
    *by_option(
        "metal", "bath_money_per_m2", "baths, passivation and waste water", "money/m2",
        {"zinc": (0.40, 0.20, 0.80), "zinc-nickel": (0.90, 0.50, 1.60)}, *TRADE, "USD", 2023, "general",
    ),
    *by_option(
        "way", "current_a_per_m2", "current per surface", "A/m2",
        {"barrel": (80.0, 50.0, 120.0), "rack": (200.0, 150.0, 300.0)}, "common practice",
        "none: barrel 0.5-1.2 A/dm2, rack 1.5-3 A/dm2",
    ),
    *by_option(
        "way", "voltage_v", "voltage of the bath", "V",
        {"barrel": (9.0, 6.0, 12.0), "rack": (5.0, 4.0, 7.0)}, *TRADE,
    ),
    *by_option(
        "way", "crew", "people per line", "1",
        {"barrel": (3.0, 2.0, 4.0), "rack": (5.0, 3.0, 8.0)}, "common practice", "none: racks are hung by hand",
    ),
    *by_option(
        "way", "station_count", "places in the plating bath", "1",
        {"barrel": (6.0, 3.0, 10.0), "rack": (4.0, 2.0, 8.0)}, *TRADE,
    ),
    Figure("usual_film_thickness_m", "thickness of the coat where it is not stated", "m", 8e-6, 5e-6, 12e-6,
           "common practice", "none: 8 um"),
    Figure("barrel_kg", "parts in a barrel", "kg", 80.0, 50.0, 120.0, *TRADE),
    Figure("rack_m2", "surface on a rack", "m2", 8.0, 4.0, 14.0, *TRADE),
    Figure("hoist_s", "quickest time between two carriers", "s", 300.0, 180.0, 420.0, *TRADE),
    Figure("rectifier_frac", "efficiency of the rectifier", "1", 0.85, 0.80, 0.92, *TRADE),
    Figure("reject_frac", "rejects", "1", 0.005, 0.002, 0.015, *TRADE),
    Figure("setup_s", "preparing a lot", "s", 300.0, 60.0, 900.0, *TRADE),
)
