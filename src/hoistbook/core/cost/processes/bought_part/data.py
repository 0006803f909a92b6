"""Figures of bought parts."""

# fmt: off
from functools import partial

from hoistbook.core.cost.figure import TRADE, Figure, by_option

_money_by_option = partial(by_option, currency="USD", year=2023, index="general")

FIGURES = (
    *_money_by_option("kind", "piece_money", "price without mass, at the reference volume", "money",
                      {"fastener": (0.015, 0.008, 0.03), "bearing": (0.60, 0.30, 1.20), "seal": (0.12, 0.05,
                      0.35)}, *TRADE),
    *_money_by_option("kind", "money_per_kg", "price with mass, at the reference volume", "money/kg",
                      {"fastener": (2.2, 1.5, 4.0), "bearing": (8.0, 5.0, 14.0), "seal": (6.0, 3.5, 15.0)},
                      "common practice", "none: trade ranges; of a seal: profiles of EPDM 4-8, of FKM above it"),
    Figure("reference_volume", "pieces a year for which the prices hold", "1", 1e6, 1e6, 1e6, *TRADE),
    Figure("volume_exponent", "fall of the price with volume", "1", -0.10, -0.18, -0.05, *TRADE),
    Figure("split_money", "price above which a bought part is split into its elements", "money", 12.5, 10.0, 15.0,
           "common practice", "US EPA, Light-Duty Technology Cost Analysis: about 10-15 USD of 2010 (published), kept "
           "as it is in later money", currency="USD", year=2023, index="general"),
)
