"""Figures of closed-die forging."""

# fmt: off
from hoistbook.core.cost.figure import TRADE, Figure, by_option

_GROOVER = "M. P. Groover, Fundamentals of Modern Manufacturing, table 18.1"

FIGURES = (
    *by_option(
        "metal", "flow_stress_pa", "flow stress at forging heat", "Pa",
        {"steel": (80e6, 60e6, 100e6), "aluminium": (45e6, 35e6, 55e6)},
        "common practice", "none: steel at 1200 C, 6082 at 480 C",
    ),
    *by_option(
        "metal", "heat_j_per_kg", "energy to heat the billet", "J/kg",
        {"steel": (1.44e6, 1.26e6, 1.62e6), "aluminium": (0.9e6, 0.6e6, 1.3e6)},
        "common practice", "none: steel by induction to 1250 C 0.35-0.45 kWh/kg",
    ),
    *by_option(
        "metal", "heater_w", "power of the heater at the billet's side", "W",
        {"steel": (600e3, 400e3, 900e3), "aluminium": (200e3, 120e3, 300e3)}, *TRADE,
    ),
    *by_option(
        "metal", "handling_s", "moving, lubricating and, for aluminium, heating again", "s",
        {"steel": (4.0, 2.5, 7.0), "aluminium": (14.0, 9.0, 22.0)},
        "common practice", "none: press lines for 1-3 kg take 6-12 s in steel, 15-30 s in aluminium",
    ),
    *by_option(
        "metal", "scale_frac", "metal lost as scale", "1",
        {"steel": (0.02, 0.01, 0.03), "aluminium": (0.003, 0.001, 0.006)}, "common practice", "none: steel 1-3 %",
    ),
    *by_option(
        "metal", "die_life", "blows of a set of dies", "1",
        {"steel": (18e3, 10e3, 30e3), "aluminium": (50e3, 30e3, 80e3)}, *TRADE,
    ),
    *by_option(
        "shape", "shape_factor", "load over flow stress times area", "1",
        {"simple": (6.0, 5.0, 7.0), "complex": (8.0, 7.0, 9.0), "very complex": (10.0, 9.0, 12.0)},
        "from memory", f"{_GROOVER}: 6, 8, 10 with flash; limits common practice",
    ),
    *by_option(
        "shape", "blow_count", "blows", "1",
        {"simple": (2.0, 1.0, 3.0), "complex": (3.0, 2.0, 4.0), "very complex": (4.0, 3.0, 5.0)}, *TRADE,
    ),
    *by_option(
        "shape", "shape_die_frac", "price of the dies over those of a complex shape", "1",
        {"simple": (0.7, 0.6, 0.8), "complex": (1.0, 1.0, 1.0), "very complex": (1.4, 1.2, 1.7)}, *TRADE,
    ),
    Figure("blow_s", "time per blow", "s", 1.6, 1.2, 2.2, *TRADE),
    Figure("outline_frac", "length of the flash line over the circle of equal area", "1", 1.6, 1.2, 2.2, *TRADE),
    Figure("gutter_m", "flash beyond the land", "m", 0.012, 0.006, 0.020, *TRADE),
    Figure("bar_loss_frac", "ends of bars and saw cuts", "1", 0.03, 0.015, 0.05, *TRADE),
    Figure("reject_frac", "rejects", "1", 0.02, 0.01, 0.04, *TRADE),
    Figure("crew", "people per line", "1", 3.0, 2.0, 4.0, *TRADE),
    Figure("setup_s", "change of dies", "s", 7_200.0, 3_600.0, 14_400.0, *TRADE),
    Figure("die_money", "blocker, finisher and trim die for 0.02 m2", "money", 30e3, 15e3, 50e3, "common practice",
           "none: 15-60 thousand per set for chassis parts of 1-4 kg", currency="USD", year=2023, index="tooling"),
    Figure("die_exponent", "growth of that price with area", "1", 0.75, 0.6, 0.9, *TRADE),
    Figure("parts_exponent", "growth of that price with parts per blow", "1", 0.7, 0.6, 0.8, *TRADE),
)
