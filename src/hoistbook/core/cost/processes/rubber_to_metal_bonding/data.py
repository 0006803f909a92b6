"""Figures of rubber-to-metal bonding."""

# fmt: off
from functools import partial

from hoistbook.core.cost.figure import TRADE, Figure, by_option

_money = partial(Figure, currency="USD", year=2023, index="general")

FIGURES = (
    Figure("mould_k", "temperature of the mould", "K", 438.15, 428.15, 448.15, *TRADE),
    Figure("injected_k", "temperature of the rubber when it is in", "K", 373.15, 358.15, 388.15, *TRADE),
    Figure("core_below_k", "how far below the mould the middle is when its cure counts", "K", 10.0, 5.0, 16.0, *TRADE),
    *by_option(
        "weighed", "rubber_share_frac", "rubber in the mass of a piece with metal parts", "1",
        {"piece": (0.40, 0.20, 0.70), "rubber": (1.0, 1.0, 1.0)}, "common practice",
        "none: sleeves and plates weigh more than the rubber",
    ),
    Figure("cure_s", "time of cure at 160 C (t90)", "s", 210.0, 150.0, 300.0, *TRADE),
    Figure("inject_s", "inject", "s", 17.0, 10.0, 25.0, *TRADE),
    Figure("insert_s", "to load a metal part", "s", 4.0, 3.0, 5.0, *TRADE),
    Figure("demould_s", "open, demould, clean", "s", 45.0, 25.0, 90.0, *TRADE),
    Figure("usual_cavity_count", "cavities where they are not marked", "1", 16.0, 8.0, 32.0, *TRADE),
    Figure("cavity_pressure_pa", "pressure in the cavity", "Pa", 15e6, 10e6, 20e6, *TRADE),
    Figure("lost_frac", "flash and runner, of the rubber", "1", 0.20, 0.10, 0.35, *TRADE),
    Figure("reject_frac", "rejects", "1", 0.02, 0.01, 0.04, *TRADE),
    Figure("crew", "people per press", "1", 0.6, 0.33, 1.0, *TRADE),
    Figure("setup_s", "mould change", "s", 7_200.0, 3_600.0, 14_400.0, *TRADE),
    _money("prepare_money", "degrease, blast, primer and adhesive, per metal part", "money", 0.12, 0.05, 0.25,
           *TRADE),
    *by_option(
        "inserts", "insert_money", "a bought metal part", "money",
        {"bought": (0.70, 0.20, 2.00), "made": (0.0, 0.0, 0.0)}, *TRADE, currency="USD", year=2023, index="steel",
    ),
    Figure("mould_money", "mould of 16 cavities of 20 cm2", "money", 55e3, 25e3, 90e3, *TRADE, currency="USD",
           year=2023,
           index="tooling"),
    Figure("mould_exponent", "growth of the mould's price with cavities times area", "1", 0.6, 0.5, 0.7, *TRADE),
    Figure("mould_life", "shots of a mould", "1", 200e3, 100e3, 400e3, *TRADE),
)
