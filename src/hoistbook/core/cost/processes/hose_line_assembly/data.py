"""Figures of the assembly of hoses and lines."""

# fmt: off
from hoistbook.core.cost.figure import TRADE, Figure, by_option

FIGURES = (
    *by_option(
        "joint", "joint_s", "time per joint", "s",
        {"crimped": (10.0, 8.0, 12.0), "brazed": (15.0, 10.0, 20.0)}, "common practice",
        "none: crimp with push-on 8-12 s, brazing 10-20 s on a carousel",
    ),
    *by_option(
        "joint", "joint_money", "ferrule, or filler and flux, per joint", "money",
        {"crimped": (0.25, 0.10, 0.50), "brazed": (0.12, 0.05, 0.25)}, *TRADE, "USD", 2023, "general",
    ),
    *by_option(
        "hose", "hose_money_per_m", "hose", "money/m",
        {"none": (0.0, 0.0, 0.0), "coolant": (3.0, 1.5, 5.0), "refrigerant": (6.0, 3.5, 9.0),
         "brake": (2.5, 1.5, 4.0)}, *TRADE, "USD", 2023, "general",
    ),
    *by_option(
        "test", "leak_test_s", "leak test", "s",
        {"helium": (45.0, 30.0, 60.0), "air": (20.0, 12.0, 30.0), "none": (0.0, 0.0, 0.0)}, *TRADE,
    ),
    *by_option(
        "test", "helium_money", "helium per test", "money",
        {"helium": (0.04, 0.01, 0.10), "air": (0.0, 0.0, 0.0), "none": (0.0, 0.0, 0.0)}, *TRADE, "USD", 2023, "general",
    ),
    Figure("load_s", "load and unload", "s", 10.0, 8.0, 15.0, *TRADE),
    Figure("fitting_s", "set a bracket, sleeve or isolator", "s", 8.0, 5.0, 12.0, *TRADE),
    Figure("dry_s", "dry and cap", "s", 10.0, 6.0, 15.0, *TRADE),
    Figure("fitting_money", "block, nut or connector on an end", "money", 1.6, 0.6, 3.5, *TRADE,
           currency="USD", year=2023, index="general"),
    Figure("insert_money", "bracket, sleeve or isolator", "money", 0.20, 0.08, 0.50, *TRADE,
           currency="USD", year=2023, index="general"),
    Figure("hose_loss_frac", "hose lost in cutting", "1", 0.025, 0.02, 0.03, *TRADE),
    Figure("test_place_count", "pieces in the leak test at a time", "1", 2.0, 1.0, 4.0, *TRADE),
    Figure("crew", "people per cell", "1", 1.5, 1.0, 2.0, *TRADE),
    Figure("reject_frac", "rejects, leaks", "1", 0.01, 0.005, 0.02, *TRADE),
    Figure("setup_s", "change of fixtures", "s", 1_200.0, 600.0, 2_400.0, *TRADE),
    Figure("fixture_money", "assembly and test fixtures", "money", 22e3, 10e3, 40e3, *TRADE,
           currency="USD", year=2023, index="tooling"),
    Figure("fixture_life", "pieces of a set of fixtures", "1", 500e3, 250e3, 1e6, *TRADE),
)
