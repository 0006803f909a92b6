"""Figures of sawing."""

# fmt: off
from hoistbook.core.cost.figure import TRADE, Figure

FIGURES = (
    Figure("saw_m2_per_s", "section sawn per time", "m2/s", 1.0e-4, 0.5e-4, 2.0e-4, *TRADE),
    Figure("kerf_m", "width of the cut", "m", 2.0e-3, 1.5e-3, 3.0e-3, *TRADE),
    Figure("remnant_frac", "ends of the bar that are left over", "1", 0.03, 0.01, 0.06, *TRADE),
    Figure("feed_s", "feed and clamp", "s", 5.0, 3.0, 8.0, *TRADE),
    Figure("crew", "people per machine", "1", 0.25, 0.15, 0.5, *TRADE),
    Figure("reject_frac", "rejects", "1", 0.003, 0.0, 0.01, *TRADE),
    Figure("setup_s", "set-up", "s", 900.0, 600.0, 1_800.0, *TRADE),
)
