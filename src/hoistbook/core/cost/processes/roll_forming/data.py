"""Figures of roll forming."""

# fmt: off
from hoistbook.core.cost.figure import TRADE, Figure, by_option

FIGURES = (
    *by_option(
        "seam", "line_m_per_s", "speed of the line", "m/s",
        {"open": (0.40, 0.20, 0.70), "welded": (0.25, 0.12, 0.50)}, "common practice",
        "none: 12-40 m/min, less where the seam is welded",
    ),
    *by_option(
        "seam", "seam_power_j_per_m", "energy of the seam per length", "J/m",
        {"open": (0.0, 0.0, 0.0), "welded": (200e3, 100e3, 400e3)}, "common practice",
        "none: induction welder of 50 kW at 0.25 m/s",
    ),
    *by_option(
        "seam", "seam_pass_count", "passes for closing and welding", "1",
        {"open": (0.0, 0.0, 0.0), "welded": (5.0, 3.0, 8.0)}, *TRADE,
    ),
    Figure("first_pass_count", "passes for entry and straightening", "1", 4.0, 3.0, 6.0, *TRADE),
    Figure("passes_per_bend", "passes per bend", "1", 3.0, 2.0, 4.0, "common practice",
           "none: 90 degrees at about 15 degrees per pass, bends formed in pairs"),
    Figure("cutting_s", "stop for the shear", "s", 0.5, 0.0, 2.0, "common practice", "none: 0 with a flying shear"),
    Figure("punching_s", "time per hit of the punch ahead of the rolls", "s", 0.8, 0.5, 1.5, *TRADE),
    Figure("holes_per_hit", "holes of one hit", "1", 6.0, 2.0, 12.0, *TRADE),
    Figure("utilisation_frac", "part over strip bought", "1", 0.97, 0.94, 0.98, *TRADE),
    Figure("reject_frac", "rejects", "1", 0.01, 0.005, 0.02, *TRADE),
    Figure("crew", "people per line", "1", 1.5, 1.0, 2.0, *TRADE),
    Figure("setup_s", "change of rolls", "s", 14_400.0, 3_600.0, 28_800.0, *TRADE),
    Figure("roll_money", "rolls of one pass for a strip of 0.2 m", "money", 4_500.0, 2_500.0, 8_000.0, *TRADE,
           currency="USD", year=2023, index="tooling"),
    Figure("roll_exponent", "growth of that price with the width of the strip", "1", 0.5, 0.3, 0.8, *TRADE),
    Figure("punch_money", "cutting tool and punches", "money", 30e3, 15e3, 60e3, *TRADE,
           currency="USD", year=2023, index="tooling"),
    Figure("roll_life_m", "length that a set of rolls makes", "m", 2e6, 1e6, 5e6, *TRADE),
)
