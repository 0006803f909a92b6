"""Figures of powder pressing."""

# fmt: off
from hoistbook.core.cost.figure import TRADE, Figure, by_option

_GROOVER = "M. P. Groover, Fundamentals of Modern Manufacturing"

FIGURES = (
    *by_option(
        "metal", "pressing_pa", "pressure on the powder", "Pa",
        {"iron": (600e6, 400e6, 700e6), "aluminium": (150e6, 70e6, 250e6)}, "common practice",
        f"none within the ends that {_GROOVER}, sec. 15.3.2 states: 70 MPa (aluminium) to 700 MPa (iron and steel)",
    ),
    *by_option(
        "metal", "density_frac", "density over that of the solid metal", "1",
        {"iron": (0.88, 0.82, 0.93), "aluminium": (0.92, 0.88, 0.96)}, *TRADE,
    ),
    *by_option(
        "levels", "die_money", "die, punches and core rods", "money",
        {"one": (20e3, 12e3, 30e3), "several": (42e3, 25e3, 65e3)}, "common practice", "none: 15-60 thousand",
        "USD", 2023, "tooling",
    ),
    *by_option(
        "levels", "levels_frac", "time over that of one level", "1",
        {"one": (1.0, 1.0, 1.0), "several": (1.3, 1.1, 1.6)}, *TRADE,
    ),
    *by_option(
        "sizing", "sizing_s", "size again after sintering", "s",
        {"none": (0.0, 0.0, 0.0), "sized": (4.0, 3.0, 6.0)}, "common practice", "none: 10-20 strokes a minute",
    ),
    *by_option(
        "sizing", "sizing_die_frac", "price of the sizing tools over that of the die", "1",
        {"none": (0.0, 0.0, 0.0), "sized": (0.5, 0.3, 0.8)}, *TRADE,
    ),
    Figure("stroke_s", "stroke of a flat part", "s", 2.6, 1.8, 4.0, "common practice",
           "none: 8-25 strokes a minute with the height"),
    Figure("stroke_s_per_m", "longer stroke per height", "s/m", 70.0, 40.0, 110.0, *TRADE),
    Figure("utilisation_frac", "part over powder bought", "1", 0.97, 0.95, 0.98, *TRADE),
    Figure("crew", "people per press", "1", 0.33, 0.2, 0.5, *TRADE),
    Figure("reject_frac", "rejects", "1", 0.01, 0.005, 0.025, *TRADE),
    Figure("setup_s", "change of tools", "s", 10_800.0, 5_400.0, 21_600.0, *TRADE),
    Figure("die_exponent", "growth of the die's price with area", "1", 0.4, 0.2, 0.6, *TRADE),
    Figure("die_life", "strokes of a set of tools", "1", 400e3, 100e3, 1e6, *TRADE),
)
