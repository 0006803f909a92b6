"""Figures of board assembly."""

# fmt: off
from functools import partial

from hoistbook.core.cost.figure import TRADE, Figure, by_option

_money = partial(Figure, currency="USD", year=2023, index="general")

FIGURES = (
    *by_option(
        "layers", "bare_money_per_m2", "bare board", "money/m2",
        {"4 layers": (1_000.0, 600.0, 1_500.0)}, "common practice", "none: 0.06-0.15 per cm2 of 4-layer FR4",
        currency="USD", year=2023, index="general",
    ),
    *by_option(
        "layers", "bare_money_per_m2", "bare board", "money/m2",
        {"2 layers": (600.0, 300.0, 1_000.0), "6 layers": (1_500.0, 900.0, 2_400.0)},
        "common practice", "none: carried over from 4 layers", currency="USD", year=2023, index="general",
    ),
    _money("place_money", "to place a component", "money", 0.008, 0.004, 0.015, *TRADE),
    _money("lead_money", "to insert and solder a component with leads", "money", 0.09, 0.05, 0.15, *TRADE),
    *by_option(
        "parts", "component_money", "a placed component, on average", "money",
        {"passive": (0.02, 0.008, 0.05), "mixed": (0.10, 0.04, 0.25), "power": (0.40, 0.15, 1.00)}, *TRADE,
        currency="USD", year=2023, index="general",
    ),
    _money("lead_component_money", "a component with leads, on average", "money", 0.8, 0.3, 2.0, *TRADE),
    _money("test_money", "test in circuit and at the end of the line", "money", 1.5, 0.5, 3.0, *TRADE),
    _money("coat_money_per_m2", "conformal coat", "money/m2", 25.0, 0.0, 60.0, *TRADE),
    Figure("price_factor", "a true price over that of the parameters", "1", 1.0, 0.6, 1.4, "common practice",
           "none: parametric estimates of boards are within 40 %"),
    Figure("reject_frac", "rejects", "1", 0.01, 0.003, 0.03, *TRADE),
    _money("tool_money", "stencils, adapters, programs", "money", 30e3, 10e3, 60e3, *TRADE),
)
