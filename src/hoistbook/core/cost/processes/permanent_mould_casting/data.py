"""Figures of permanent-mould casting."""

# fmt: off
from hoistbook.core.cost.figure import TRADE, Figure, by_option

FIGURES = (
    *by_option(
        "way", "yield_frac", "part over metal poured", "1",
        {"low pressure": (0.87, 0.80, 0.93), "gravity": (0.60, 0.50, 0.70)}, *TRADE,
    ),
    *by_option(
        "way", "fill_s", "pour or raise the metal", "s",
        {"low pressure": (18.0, 10.0, 30.0), "gravity": (14.0, 8.0, 25.0)}, *TRADE,
    ),
    *by_option(
        "way", "handling_s", "open, take out, clean, close", "s",
        {"low pressure": (45.0, 30.0, 70.0), "gravity": (40.0, 25.0, 60.0)}, *TRADE,
    ),
    Figure("mould_constant_s_per_m2", "mould constant of aluminium in iron", "s/m2", 7.5e5, 4e5, 1.2e6,
           "common practice", "none: knuckles with 30 mm sections are solid after about 3 min",
           note="form of M. P. Groover, eq. 10.7, exponent 2, with half the wall"),
    Figure("cooling_frac", "time in the mould over that until solid", "1", 1.15, 1.0, 1.4, *TRADE),
    Figure("core_s", "set a sand core", "s", 10.0, 5.0, 15.0, *TRADE),
    Figure("core_money", "sand core", "money", 1.2, 0.4, 4.0, "common practice", "none: bought, or at transfer price",
           currency="USD", year=2023, index="general"),
    Figure("melt_loss_frac", "metal lost in melting, of the metal poured", "1", 0.03, 0.015, 0.05, *TRADE),
    Figure("solid_j_per_kg_k", "specific heat, solid", "J/(kg.K)", 960.0, 920.0, 1_000.0, "from memory",
           "ASM Handbook vol. 2"),
    Figure("liquid_j_per_kg_k", "specific heat, liquid", "J/(kg.K)", 1_100.0, 1_050.0, 1_180.0, "from memory",
           "ASM Handbook vol. 2"),
    Figure("fusion_j_per_kg", "heat of fusion", "J/kg", 390e3, 380e3, 400e3, "from memory", "ASM Handbook vol. 2"),
    Figure("melting_degc", "melting temperature", "degC", 614.0, 610.0, 618.0, "from memory",
           "ASM Handbook vol. 2: liquidus of A356 613-615; limits common practice"),
    Figure("pouring_degc", "pouring temperature", "degC", 710.0, 690.0, 740.0, *TRADE),
    Figure("furnace_frac", "share of the furnaces' energy that reaches the metal", "1", 0.30, 0.20, 0.45, *TRADE),
    Figure("reject_frac", "rejects", "1", 0.05, 0.03, 0.08, *TRADE),
    Figure("recycled_frac", "metal of a reject that comes back at full price", "1", 0.75, 0.6, 0.9, *TRADE),
    Figure("crew", "people per machine", "1", 0.5, 0.33, 1.0, *TRADE),
    Figure("setup_s", "change of the mould, heating and coating", "s", 10_800.0, 5_400.0, 21_600.0, *TRADE),
    Figure("mould_money", "mould of 0.05 m2 projected area", "money", 75e3, 40e3, 130e3, "common practice",
           "none: 40-150 thousand", currency="USD", year=2023, index="tooling"),
    Figure("mould_exponent", "growth of that price with area", "1", 0.6, 0.5, 0.8, *TRADE),
    Figure("cavity_exponent", "growth of that price with cavities", "1", 0.75, 0.7, 0.8, *TRADE),
    Figure("slide_mould_frac", "price of a slide over that of the mould", "1", 0.10, 0.05, 0.15, *TRADE),
    Figure("core_box_money", "core box", "money", 15e3, 8e3, 30e3, "common practice", "none: 8-30 thousand",
           currency="USD", year=2023, index="tooling"),
    Figure("mould_life", "pours of a mould", "1", 60e3, 30e3, 100e3, *TRADE),
)
