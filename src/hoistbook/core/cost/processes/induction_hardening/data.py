"""Figures of induction hardening."""

# fmt: off
from hoistbook.core.cost.figure import TRADE, Figure

FIGURES = (
    Figure("scan_m_per_s", "speed of the coil", "m/s", 0.010, 0.005, 0.020, "common practice", "none: 5-20 mm/s"),
    Figure("index_s", "load, turn and quench", "s", 12.0, 8.0, 20.0, *TRADE),
    Figure("crew", "people per machine", "1", 0.33, 0.2, 0.5, *TRADE),
    Figure("reject_frac", "rejects, cracks and warp", "1", 0.007, 0.003, 0.015, *TRADE),
    Figure("setup_s", "change of coil", "s", 1_800.0, 900.0, 3_600.0, *TRADE),
    Figure("coil_money", "coil and centres", "money", 5_000.0, 2_500.0, 10_000.0, *TRADE,
           currency="USD", year=2023, index="tooling"),
    Figure("coil_life", "pieces of a coil", "1", 60e3, 20e3, 150e3, *TRADE),
)
