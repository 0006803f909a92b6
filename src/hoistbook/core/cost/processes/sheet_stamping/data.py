"""Figures of stamping."""

# fmt: off
from hoistbook.core.cost.figure import TRADE, Figure, by_option

_BDK = "G. Boothroyd, P. Dewhurst, W. Knight, Product Design for Manufacture and Assembly, ch. 9"
_GROOVER = "M. P. Groover, Fundamentals of Modern Manufacturing"

FIGURES = (
    *by_option(
        "line", "stroke_s", "time between two strokes of a small part", "s",
        {"progressive": (1.0, 0.75, 1.5), "transfer": (3.3, 2.4, 5.0), "tandem": (5.5, 4.0, 7.5),
         "hand-fed": (0.0, 0.0, 0.0)},
        "common practice",
        "none: transfer 12-25, tandem 8-15 strokes a minute, progressive up to 80; by hand the feeding holds it all",
    ),
    *by_option(
        "line", "crew", "people per press or line", "1",
        {"progressive": (0.5, 0.25, 1.0), "transfer": (2.0, 1.0, 3.0), "tandem": (4.0, 2.0, 6.0),
         "hand-fed": (1.0, 1.0, 1.0)}, *TRADE,
    ),
    *by_option(
        "line", "setup_s", "change of dies", "s",
        {"progressive": (2_700.0, 1_800.0, 3_600.0), "transfer": (2_700.0, 900.0, 5_400.0),
         "tandem": (2_700.0, 600.0, 5_400.0), "hand-fed": (2_700.0, 1_800.0, 3_600.0)},
        "common practice", "none: 0.5-1 h per die, quick change of lines below it",
    ),
    *by_option(
        "line", "die_margin_m", "bed left free on each side of the die", "m",
        {"progressive": (0.15, 0.10, 0.25), "transfer": (0.25, 0.15, 0.40), "tandem": (0.60, 0.40, 0.90),
         "hand-fed": (0.15, 0.10, 0.25)}, *TRADE,
    ),
    *by_option(
        "line", "carrier_m", "strip that carries the parts, both sides", "m",
        {"progressive": (0.016, 0.008, 0.030), "transfer": (0.0, 0.0, 0.0), "tandem": (0.0, 0.0, 0.0),
         "hand-fed": (0.0, 0.0, 0.0)}, *TRADE,
    ),
    *by_option(
        "line", "binder_frac", "sheet for binder and run-out of a drawn part", "1",
        {"progressive": (0.10, 0.05, 0.20), "transfer": (0.30, 0.15, 0.50), "tandem": (0.30, 0.15, 0.50),
         "hand-fed": (0.20, 0.10, 0.30)}, *TRADE,
    ),
    *by_option(
        "surface", "reject_frac", "rejects", "1",
        {"hidden": (0.008, 0.003, 0.015), "visible": (0.015, 0.008, 0.03)}, *TRADE,
    ),
    *by_option(
        "surface", "visible_die_frac", "price of the dies over those of a hidden part", "1",
        {"hidden": (1.0, 1.0, 1.0), "visible": (1.4, 1.2, 1.8)}, *TRADE,
    ),
    Figure("feed_m_per_s", "mean speed of the strip while it is fed", "m/s", 0.4, 0.25, 0.6, *TRADE,
           note="the strip moves during half of the stroke"),
    Figure("draw_m_per_s", "speed of the punch while it draws", "m/s", 0.25, 0.15, 0.35, *TRADE),
    Figure("fill_frac", "share of the blank's box that the part fills", "1", 0.75, 0.60, 0.90, *TRADE),
    Figure("bridge_per_thickness", "bridge between parts over the gauge", "1", 1.25, 1.0, 1.5, *TRADE),
    Figure("bridge_min_m", "narrowest bridge", "m", 0.0012, 0.001, 0.002, *TRADE),
    Figure("coil_loss_frac", "sheet lost at the ends of coils and in setting up", "1", 0.01, 0.005, 0.02, *TRADE),
    *by_option(
        "line", "holes_per_station", "holes pierced in one station", "1",
        {"progressive": (5.0, 2.0, 10.0), "transfer": (12.0, 6.0, 24.0), "tandem": (25.0, 12.0, 50.0),
         "hand-fed": (6.0, 3.0, 12.0)},
        "common practice", "none: punches stand apart in a strip, a press of a line pierces most of a panel at once",
    ),
    *by_option(
        "line", "bends_per_station", "bends made in one station", "1",
        {"progressive": (2.0, 1.0, 3.0), "transfer": (3.0, 1.5, 5.0), "tandem": (6.0, 3.0, 10.0),
         "hand-fed": (2.0, 1.0, 3.0)},
        "common practice", "none: large dies flange several edges at once",
    ),
    Figure("bend_constant", "constant of the bending force", "1", 0.45, 0.33, 1.33, "common practice",
           f"{_GROOVER}, eq. 19.8 (published): 0.33 wiped, 1.33 in a V-die; mostly wiped, the share is a guess"),
    Figure("opening_per_thickness", "opening of the bending die over the gauge", "1", 3.0, 2.5, 8.0, *TRADE),
    Figure("first_draw_ratio", "greatest ratio of blank to cup in one draw", "1", 2.0, 1.8, 2.1, "published",
           f"{_GROOVER}, sec. 19.3.2: 2.0; limits common practice"),
    Figure("second_reduction_frac", "reduction of the second draw", "1", 0.30, 0.25, 0.33, "published",
           f"{_GROOVER}, sec. 19.3; limits common practice"),
    Figure("third_reduction_frac", "reduction of the third draw", "1", 0.16, 0.13, 0.18, "published",
           f"{_GROOVER}, sec. 19.3; limits common practice"),
    Figure("yield_frac", "yield strength over tensile strength", "1", 0.6, 0.5, 0.8, *TRADE),
    Figure("die_radius_per_thickness", "radius of the drawing die over the gauge", "1", 6.0, 4.0, 10.0, *TRADE),
    Figure("force_reserve_frac", "press force over the force of all stations", "1", 1.25, 1.2, 1.3, *TRADE),
    Figure("bed_pa", "press force per area of its bed", "Pa", 1.0e6, 0.8e6, 1.4e6, "common practice",
           "none: presses of 250, 600 and 1500 t have beds of about 2.6, 6.4 and 13 m2"),
    Figure("die_set_money", "die set, whatever its size", "money", 120.0, 90.0, 160.0, "from memory",
           f"{_BDK}, sec. 9.2; limits common practice", currency="USD", year=1990, index="tooling"),
    Figure("die_set_money_per_m2", "die set per usable area", "money/m2", 3_600.0, 2_700.0, 4_700.0, "from memory",
           f"{_BDK}, sec. 9.2: 0.36 USD/cm2; limits common practice", currency="USD", year=1990, index="tooling"),
    Figure("tool_shop_money_per_s", "hour of a tool shop", "money/s", 75.0 / 3600, 55.0 / 3600, 100.0 / 3600,
           "common practice", "none: 55-100 USD/h", currency="USD", year=2023, index="tooling"),
    Figure("hole_die_h", "die hours per hole", "h", 2.0, 1.0, 4.0, *TRADE),
    Figure("contour_die_h_per_m", "die hours per length of cut edge", "h/m", 15.0, 8.0, 30.0, *TRADE),
    Figure("progressive_die_frac", "progressive die over its dies one by one", "1", 2.0, 1.7, 2.4, "from memory",
           f"{_BDK}; limits common practice"),
    Figure("production_die_frac", "price of a die for production over its hours", "1", 2.5, 1.5, 4.0,
           "common practice", "none: design, try-out, sensors, hard inserts and spares; brings the hours to trade "
           "prices of 40-250 thousand for progressive dies of brackets"),
    Figure("operation_die_money", "die of one operation on 0.5 m2 of blank, transfer or tandem", "money",
           110e3, 60e3, 220e3, "common practice", "none: 60-250 thousand per operation of large body parts",
           currency="USD", year=2023, index="tooling"),
    Figure("operation_die_exponent", "growth of that price with area", "1", 0.6, 0.5, 0.7, *TRADE),
    Figure("parts_exponent", "growth of the die's price with parts per stroke", "1", 0.7, 0.6, 0.8, *TRADE),
    Figure("die_life", "strokes of a die", "1", 1e6, 0.5e6, 2e6, *TRADE),
)
