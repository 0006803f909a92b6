"""Figures of extrusion."""

# fmt: off
from hoistbook.core.cost.figure import TRADE, Figure, by_option

_GROOVER = "M. P. Groover, Fundamentals of Modern Manufacturing"

FIGURES = (
    *by_option(
        "alloy", "exit_m_per_s", "speed of a solid section at the die", "m/s",
        {"6063": (0.60, 0.33, 1.00), "6082": (0.30, 0.13, 0.50)},
        "common practice", "none: 20-60 m/min in 6063, 8-30 m/min in 6082 and 6005A",
    ),
    *by_option(
        "alloy", "flow_stress_pa", "mean flow stress in the press", "Pa",
        {"6063": (22e6, 15e6, 30e6), "6082": (32e6, 25e6, 45e6)}, "common practice", "none: at 450-520 C",
    ),
    *by_option(
        "section", "speed_frac", "speed over that of a solid section", "1",
        {"solid": (1.0, 1.0, 1.0), "hollow": (0.8, 0.7, 0.9), "multi-void": (0.6, 0.45, 0.75)}, *TRADE,
    ),
    *by_option(
        "section", "die_money", "die for a circle of 0.15 m", "money",
        {"solid": (2_200.0, 1_500.0, 3_500.0), "hollow": (4_200.0, 3_000.0, 6_000.0),
         "multi-void": (6_500.0, 4_500.0, 8_500.0)},
        "common practice", "none: flat and porthole dies cost 1.5-8 thousand", "USD", 2023, "tooling",
    ),
    Figure("strain_a", "a of the extrusion strain", "1", 0.8, 0.8, 0.8, "published", f"{_GROOVER}, eq. 18.22"),
    Figure("strain_b", "b of the extrusion strain", "1", 1.35, 1.2, 1.5, "published",
           f"{_GROOVER}, eq. 18.22: 1.2-1.5"),
    Figure("container_frac", "container over the circle of the section", "1", 1.2, 1.1, 1.4, *TRADE),
    Figure("container_min_m", "smallest container", "m", 0.178, 0.127, 0.203, *TRADE),
    Figure("billet_m", "length of a billet", "m", 0.75, 0.5, 1.0, *TRADE),
    Figure("butt_frac", "butt left of a billet", "1", 0.075, 0.05, 0.10, *TRADE),
    Figure("ends_frac", "ends lost in stretching and at the joint of two billets", "1", 0.10, 0.06, 0.14,
           "common practice", "none: stretcher ends 3-6 %, joint between billets as much again; recovery 0.75-0.85"),
    Figure("kerf_m", "saw cut and trim per piece", "m", 0.005, 0.003, 0.010, *TRADE),
    Figure("dead_s", "change of billet", "s", 25.0, 20.0, 30.0, *TRADE),
    Figure("heat_j_per_kg", "energy to heat the billet", "J/kg", 0.9e6, 0.7e6, 1.3e6, *TRADE),
    Figure("reject_frac", "rejects", "1", 0.015, 0.005, 0.03, *TRADE),
    Figure("crew", "people per line", "1", 4.0, 3.0, 6.0, *TRADE),
    Figure("setup_s", "change of die", "s", 300.0, 120.0, 900.0, *TRADE),
    Figure("die_exponent", "growth of the die's price with the circle", "1", 1.2, 0.8, 1.6, *TRADE),
    Figure("die_life_kg", "metal that a die makes", "kg", 60e3, 30e3, 120e3, *TRADE),
)
