"""Figures of press hardening."""

# fmt: off
from hoistbook.core.cost.figure import TRADE, Figure, by_option

_KT = "H. Karbasian, A. E. Tekkaya, A review on hot stamping, J. Mater. Process. Technol. 2010"

FIGURES = (
    *by_option(
        "coating", "furnace_s_per_m", "time in the furnace per gauge", "s/m",
        {"aluminium-silicon": (240e3, 180e3, 300e3), "zinc": (200e3, 150e3, 260e3), "bare": (160e3, 120e3, 220e3)},
        "from memory", f"{_KT}: 4-6 min for 1-1.5 mm, 6-10 min for 2 mm, aluminium-silicon; others common practice",
    ),
    *by_option(
        "coating", "scale_removal_money_per_m2", "blasting off the scale, both sides", "money/m2",
        {"aluminium-silicon": (0.0, 0.0, 0.0), "zinc": (0.6, 0.3, 1.2), "bare": (1.5, 0.8, 3.0)},
        *TRADE, currency="USD", year=2023, index="general",
    ),
    Figure("transfer_s", "from furnace to die", "s", 3.0, 2.0, 4.0, *TRADE),
    Figure("closing_s", "close and form", "s", 2.0, 1.0, 3.0, *TRADE),
    Figure("unloading_s", "open and unload", "s", 2.5, 2.0, 3.0, *TRADE),
    Figure("specific_heat_j_per_kg_k", "specific heat of the hot sheet", "J/(kg.K)", 650.0, 600.0, 700.0,
           "common practice", "none: mean between 150 and 700 C"),
    Figure("contact_w_per_m2_k", "heat passed between sheet and die", "W/(m2.K)", 2_000.0, 1_200.0, 3_000.0,
           "from memory", f"{_KT}: 1000-3500 with pressure; limits common practice"),
    Figure("forming_degc", "temperature at the start of the quench", "degC", 700.0, 650.0, 780.0, *TRADE),
    Figure("release_degc", "temperature at which the part is taken out", "degC", 150.0, 120.0, 200.0, *TRADE),
    Figure("die_degc", "temperature of the die", "degC", 60.0, 40.0, 90.0, *TRADE),
    Figure("contact_pressure_pa", "mean pressure on the part", "Pa", 15e6, 10e6, 30e6, *TRADE),
    Figure("furnace_length_m", "length of the roller hearth", "m", 35.0, 25.0, 45.0, *TRADE),
    Figure("furnace_gap_m", "gap between blanks in the furnace", "m", 0.10, 0.05, 0.20, *TRADE),
    Figure("utilisation_frac", "part over sheet bought", "1", 0.65, 0.55, 0.75, *TRADE),
    Figure("reject_frac", "rejects", "1", 0.015, 0.01, 0.02, *TRADE),
    Figure("crew", "people per line", "1", 2.0, 1.0, 3.0, *TRADE),
    Figure("setup_s", "change of dies", "s", 3_600.0, 1_800.0, 7_200.0, *TRADE),
    Figure("laser_count", "laser cells beside the line", "1", 3.0, 2.0, 4.0, *TRADE),
    Figure("laser_m_per_s", "laser along the edge", "m/s", 0.17, 0.10, 0.25, "common practice", "none: 6-15 m/min"),
    Figure("laser_hole_s", "laser per hole", "s", 1.25, 1.0, 1.5, *TRADE),
    Figure("laser_load_s", "turn of the laser's table", "s", 5.0, 3.0, 8.0, *TRADE),
    Figure("die_money", "cooled die and blanking die for 0.5 m2 of part", "money", 330e3, 180e3, 600e3,
           "common practice", "none: 1.5-2.5 times a cold die of 60-250 thousand, and the blanking die",
           currency="USD", year=2023, index="tooling"),
    Figure("die_exponent", "growth of the die's price with area", "1", 0.6, 0.5, 0.7, *TRADE),
    Figure("parts_exponent", "growth of the die's price with parts per stroke", "1", 0.8, 0.7, 0.9, *TRADE),
    Figure("die_life", "strokes of a die", "1", 300e3, 200e3, 500e3, *TRADE),
)
