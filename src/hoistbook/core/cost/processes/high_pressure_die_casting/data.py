"""Figures of high-pressure die casting."""

# fmt: off
from hoistbook.core.cost.figure import TRADE, Figure, by_option

_BDK = "G. Boothroyd, P. Dewhurst, W. Knight, Product Design for Manufacture and Assembly, ch. 10"

FIGURES = (
    *by_option(
        "metal", "dwell_s_per_m", "dwell per wall thickness", "s/m",
        {"aluminium": (470.0, 400.0, 540.0), "magnesium": (310.0, 260.0, 360.0), "zinc": (420.0, 360.0, 480.0)},
        "from memory", f"{_BDK}: 0.47, 0.31, 0.42 s/mm; limits ±15 % common practice",
    ),
    *by_option(
        "duty", "cavity_pressure_pa", "pressure in the cavity", "Pa",
        {"commercial": (50e6, 40e6, 60e6), "structural": (80e6, 60e6, 100e6)}, *TRADE,
    ),
    *by_option(
        "metal", "pressure_frac", "pressure over that for aluminium", "1",
        {"aluminium": (1.0, 1.0, 1.0), "magnesium": (1.0, 0.9, 1.1), "zinc": (0.44, 0.40, 0.60)},
        "from memory", f"{_BDK}: 48 MPa for aluminium and magnesium, 21 MPa for zinc; limits common practice",
    ),
    *by_option(
        "metal", "melt_loss_frac", "metal lost in melting, of the shot", "1",
        {"aluminium": (0.045, 0.03, 0.06), "magnesium": (0.065, 0.05, 0.08), "zinc": (0.03, 0.02, 0.05)}, *TRADE,
    ),
    *by_option(
        "metal", "melt_j_per_kg", "energy to melt and hold, per shot mass", "J/kg",
        {"aluminium": (4.5e6, 3.0e6, 7.0e6), "magnesium": (5.5e6, 4.0e6, 8.0e6), "zinc": (1.8e6, 1.2e6, 2.5e6)},
        "common practice", "none: gas-fired melting and holding, 0.8-1.9 kWh/kg for aluminium",
    ),
    *by_option(
        "metal", "die_life", "shots of a die", "1",
        {"aluminium": (110e3, 80e3, 150e3), "magnesium": (200e3, 150e3, 250e3), "zinc": (700e3, 500e3, 1e6)},
        *TRADE,
    ),
    *by_option(
        "duty", "reject_frac", "rejects", "1",
        {"commercial": (0.03, 0.02, 0.05), "structural": (0.05, 0.03, 0.08)}, *TRADE,
    ),
    Figure("clamp_reserve_frac", "clamp force over opening force", "1", 1.1, 1.05, 1.2, *TRADE),
    Figure("runner_area_frac", "area with runner and overflows over that of the part", "1", 1.6, 1.4, 2.0, *TRADE),
    Figure("shot_frac", "mass of the shot over that of the part", "1", 1.55, 1.3, 2.0, *TRADE),
    Figure("shot_s", "ladle and shot", "s", 6.0, 4.0, 8.0, *TRADE),
    Figure("biscuit_dwell_s", "dwell of biscuit and runner", "s", 10.0, 6.0, 14.0, *TRADE),
    Figure("handling_s", "open, extract and close", "s", 14.0, 10.0, 20.0, *TRADE),
    Figure("spray_s", "spray and blow", "s", 10.0, 6.0, 16.0, *TRADE),
    Figure("trim_s", "trim press beside the machine", "s", 15.0, 10.0, 25.0, *TRADE),
    Figure("slide_s", "time per slide", "s", 1.5, 0.5, 3.0, *TRADE),
    Figure("crew", "people per machine", "1", 0.5, 0.33, 1.0, *TRADE),
    Figure("setup_s", "die change", "s", 7_200.0, 3_600.0, 14_400.0, *TRADE),
    Figure("recycled_frac", "metal of a reject that comes back at full price", "1", 0.7, 0.6, 0.85, *TRADE),
    Figure(
        "die_money", "die of 0.03 m2 projected area, with trim die", "money", 200e3, 120e3, 320e3,
        "common practice", "none: trade range for a bracket of 1-4 kg, 60-250 thousand, besides trim die and fixture",
        currency="USD", year=2023, index="tooling",
    ),
    Figure(
        "die_exponent", "growth of the die's price with projected area", "1", 0.7, 0.6, 0.8,
        "common practice", "none: joins the trade ranges of brackets (0.03 m2) and large underbodies (2 m2)",
    ),
    Figure("cavity_exponent", "growth of the die's price with cavities", "1", 0.75, 0.7, 0.8, "from memory",
           "G. Boothroyd, P. Dewhurst, W. Knight, ch. 8: 0.7-0.766 for moulds"),
    Figure("slide_die_frac", "price of a slide over that of the die", "1", 0.10, 0.05, 0.15, *TRADE),
)
