"""Figures of sand casting."""

# fmt: off
from hoistbook.core.cost.figure import TRADE, Figure, by_option

_A1, _A2 = "ASM Handbook vol. 1", "ASM Handbook vol. 2"

FIGURES = (
    *by_option(
        "metal", "yield_frac", "casting over metal poured", "1",
        {"iron": (0.65, 0.55, 0.75), "aluminium": (0.55, 0.45, 0.65)}, *TRADE,
    ),
    *by_option(
        "metal", "mould_constant_s_per_m2", "mould constant in sand", "s/m2",
        {"iron": (1.3e6, 0.8e6, 2.0e6), "aluminium": (2.0e6, 1.4e6, 2.6e6)}, "common practice",
        "none; the example of M. P. Groover, 10.3, has 3.26 min/cm2 = 1.96e6 s/m2",
    ),
    *by_option(
        "metal", "melt_loss_frac", "metal lost in melting, of the metal poured", "1",
        {"iron": (0.02, 0.01, 0.04), "aluminium": (0.035, 0.02, 0.06)}, *TRADE,
    ),
    *by_option(
        "metal", "solid_j_per_kg_k", "specific heat, solid", "J/(kg.K)",
        {"iron": (700.0, 620.0, 780.0), "aluminium": (960.0, 920.0, 1_000.0)}, "from memory", f"{_A1}, {_A2}",
    ),
    *by_option(
        "metal", "liquid_j_per_kg_k", "specific heat, liquid", "J/(kg.K)",
        {"iron": (850.0, 800.0, 920.0), "aluminium": (1_100.0, 1_050.0, 1_180.0)}, "from memory", f"{_A1}, {_A2}",
    ),
    *by_option(
        "metal", "fusion_j_per_kg", "heat of fusion", "J/kg",
        {"iron": (235e3, 210e3, 260e3), "aluminium": (390e3, 380e3, 400e3)}, "from memory", f"{_A1}, {_A2}",
    ),
    *by_option(
        "metal", "melting_degc", "melting temperature", "degC",
        {"iron": (1_150.0, 1_140.0, 1_180.0), "aluminium": (614.0, 610.0, 618.0)}, "from memory", f"{_A1}, {_A2}",
    ),
    *by_option(
        "metal", "pouring_degc", "pouring temperature", "degC",
        {"iron": (1_400.0, 1_350.0, 1_450.0), "aluminium": (730.0, 700.0, 760.0)}, *TRADE,
    ),
    *by_option(
        "metal", "furnace_frac", "share of the furnaces' energy that reaches the metal", "1",
        {"iron": (0.57, 0.45, 0.68), "aluminium": (0.30, 0.20, 0.45)}, "common practice",
        "none: iron takes 550-700 kWh/t in practice",
    ),
    *by_option(
        "metal", "crew", "people per line, with pouring, shake-out and fettling", "1",
        {"iron": (9.0, 6.0, 13.0), "aluminium": (7.0, 5.0, 10.0)}, *TRADE,
    ),
    Figure("mould_s", "time per mould", "s", 16.0, 10.0, 36.0, "common practice",
           "none: 100-350 moulds an hour; 600 are claimed for flaskless lines (M. P. Groover, sec. 11.1)"),
    Figure("mould_length_m", "usable length of a mould", "m", 0.70, 0.50, 0.90, *TRADE),
    Figure("mould_width_m", "usable width of a mould", "m", 0.55, 0.40, 0.70, *TRADE),
    Figure("sand_wall_m", "sand between two castings", "m", 0.040, 0.025, 0.060, *TRADE),
    Figure("cooling_moulds", "moulds on the cooling line", "1", 250.0, 120.0, 400.0, *TRADE),
    Figure("shake_out_frac", "time until shake-out over that until solid", "1", 5.0, 2.0, 10.0, *TRADE),
    Figure("core_s", "set a core", "s", 3.0, 2.0, 6.0, *TRADE),
    Figure("core_money", "sand core", "money", 1.2, 0.4, 4.0, "common practice",
           "none: bought, or at transfer price; 20-90 s of a core shooter", currency="USD", year=2023, index="general"),
    Figure("sand_frac", "sand over metal poured", "1", 4.5, 3.0, 6.0, *TRADE),
    Figure("sand_money_per_kg", "sand, clay and dust, renewed and carried away", "money/kg", 0.012, 0.006, 0.025,
           *TRADE, currency="USD", year=2023, index="general"),
    Figure("reject_frac", "rejects", "1", 0.04, 0.02, 0.06, *TRADE),
    Figure("recycled_frac", "metal of a reject that comes back at full price", "1", 0.8, 0.7, 0.95, *TRADE),
    Figure("setup_s", "change of pattern", "s", 600.0, 180.0, 1_200.0, *TRADE),
    Figure("pattern_money", "pattern plates for one casting of 0.05 m2", "money", 18e3, 8e3, 35e3, "common practice",
           "none: 8-40 thousand", currency="USD", year=2023, index="tooling"),
    Figure("pattern_exponent", "growth of that price with area and number of castings", "1", 0.6, 0.5, 0.8, *TRADE),
    Figure("core_box_money", "core box", "money", 15e3, 8e3, 30e3, "common practice", "none: 8-30 thousand",
           currency="USD", year=2023, index="tooling"),
    Figure("pattern_life", "moulds of a pattern", "1", 200e3, 100e3, 400e3, *TRADE),
)
