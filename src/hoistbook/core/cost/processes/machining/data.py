"""Figures of machining."""

# fmt: off
from functools import partial

from hoistbook.core.cost.figure import TRADE, Figure, by_option

_TABLE = ("published", "cutting-condition table for carbide, rough turning (page of low authority, planning level)")
_DRILL = ("published", "tutorial table of HSS drills (low authority, planning level)")
_GROOVER = "M. P. Groover, Fundamentals of Modern Manufacturing"
_money = partial(Figure, currency="USD", year=2023, index="general")
_money_by_option = partial(by_option, currency="USD", year=2023, index="tooling")

FIGURES = (
    *by_option(
        "metal", "cutting_speed_m_per_s", "cutting speed of carbide", "m/s",
        {"aluminium": (11.7, 10.0, 13.3), "steel": (2.92, 2.5, 3.33), "iron": (1.25, 1.0, 1.5)}, *_TABLE,
    ),
    *by_option(
        "metal", "taylor_m_per_s", "speed at which a carbide edge lives one minute (Taylor's C)", "m/s",
        {"steel": (8.3, 7.0, 10.0)}, "from memory", f"{_GROOVER}, table 22.2: 500 m/min",
    ),
    *by_option(
        "metal", "taylor_m_per_s", "speed at which a carbide edge lives one minute (Taylor's C)", "m/s",
        {"aluminium": (26.5, 23.0, 31.0), "iron": (2.85, 2.4, 3.4)},
        "common practice", "none: some 25 min of life at the usual speed",
    ),
    Figure("taylor_exponent", "Taylor's exponent of carbide", "1", 0.25, 0.25, 0.25, "from memory",
           f"{_GROOVER}, table 22.2"),
    *by_option(
        "metal", "feed_per_tooth_m", "feed per tooth of a milling cutter", "m",
        {"aluminium": (0.20e-3, 0.12e-3, 0.30e-3), "steel": (0.15e-3, 0.10e-3, 0.25e-3),
         "iron": (0.20e-3, 0.12e-3, 0.30e-3)}, *TRADE,
    ),
    Figure("turning_feed_m", "feed per turn of a turning tool", "m", 0.25e-3, 0.20e-3, 0.30e-3, *_TABLE),
    Figure("cut_depth_m", "depth of a roughing cut", "m", 2.5e-3, 2.0e-3, 3.0e-3, *_TABLE),
    Figure("finish_depth_m", "depth of the finishing cut", "m", 0.5e-3, 0.3e-3, 1.0e-3, *TRADE),
    Figure("cutter_m", "diameter of the milling cutter", "m", 0.050, 0.032, 0.080, *TRADE),
    Figure("cutter_teeth", "teeth of the milling cutter", "1", 5.0, 4.0, 6.0, *TRADE),
    Figure("track_frac", "width of a track over that of the cutter", "1", 0.7, 0.6, 0.8, *TRADE),
    *by_option(
        "metal", "specific_energy_j_per_m3", "specific cutting energy", "J/m3",
        {"aluminium": (0.7e9, 0.6e9, 0.85e9), "steel": (1.9e9, 1.6e9, 2.2e9), "iron": (1.35e9, 1.1e9, 1.6e9)},
        "from memory", f"{_GROOVER}, table 20.2; of aluminium the limits are common practice",
    ),
    Figure("wear_factor", "power of a worn edge over that of a sharp one", "1", 1.1, 1.0, 1.25, "published",
           f"{_GROOVER}, sec. 20.4: 1.00-1.25"),
    Figure("efficiency_frac", "power at the edge over that of the motor", "1", 0.90, 0.85, 0.95, "published",
           f"{_GROOVER}, sec. 20.4: about 0.90; limits common practice"),
    Figure("spindle_w", "power of the spindle", "W", 12e3, 8e3, 20e3, *TRADE),
    Figure("spindle_per_s", "fastest spindle", "1/s", 200.0, 130.0, 300.0, *TRADE),
    *by_option(
        "metal", "drill_speed_m_per_s", "cutting speed of HSS drills", "m/s",
        {"aluminium": (4.8, 3.25, 6.5), "steel": (0.55, 0.50, 0.60), "iron": (0.50, 0.42, 0.58)}, *_DRILL,
    ),
    *by_option(
        "metal", "drill_feed_frac", "feed per turn of a drill over its diameter", "1",
        {"aluminium": (0.035, 0.032, 0.050), "steel": (0.024, 0.020, 0.033), "iron": (0.015, 0.012, 0.022)}, *_DRILL,
    ),
    *by_option(
        "drill", "carbide_factor", "speed of the drill over that of HSS", "1",
        {"carbide": (3.0, 2.0, 6.0), "HSS": (1.0, 1.0, 1.0)},
        "published", "drilling table 3-6, university shop sheet 2: they disagree; 3 chosen (low authority)",
    ),
    *by_option(
        "metal", "tap_speed_m_per_s", "cutting speed of taps", "m/s",
        {"aluminium": (0.42, 0.25, 0.67), "steel": (0.25, 0.13, 0.33), "iron": (0.20, 0.13, 0.30)}, *TRADE,
    ),
    Figure("pitch_frac", "pitch of a thread over its diameter", "1", 0.155, 0.145, 0.167, "computed",
           "coarse pitches of M6 to M12: 1/6, 1.25/8, 1.5/10, 1.75/12"),
    Figure("thread_depth_frac", "length of a thread over its diameter", "1", 1.8, 1.2, 2.5, *TRADE),
    Figure("usual_machined_area_m2", "area of a face where it is not stated", "m2", 15e-4, 4e-4, 50e-4, *TRADE),
    Figure("usual_hole_diameter_m", "diameter of the holes where it is not stated", "m", 8e-3, 5e-3, 12e-3, *TRADE),
    Figure("usual_hole_depth_m", "depth of the holes where it is not stated", "m", 15e-3, 8e-3, 30e-3, *TRADE),
    Figure("usual_thread_diameter_m", "thread where it is not stated", "m", 8e-3, 6e-3, 10e-3, *TRADE),
    Figure("holes_per_tool", "holes that one tool makes", "1", 4.0, 2.0, 8.0, *TRADE),
    Figure("tool_change_s", "from chip to chip when the tool changes", "s", 4.0, 2.0, 6.0, *TRADE),
    Figure("rapid_s", "rapid moves per feature", "s", 2.5, 1.5, 5.0, *TRADE),
    Figure("gauging_s", "gauging, per piece", "s", 2.0, 0.0, 6.0, *TRADE),
    *by_option(
        "machine", "clampings", "clampings of a piece", "1",
        {"3 axes": (1.5, 1.0, 3.0), "5 axes": (1.2, 1.0, 2.0), "lathe": (1.3, 1.0, 2.0)}, *TRADE,
    ),
    *by_option(
        "loading", "load_s", "load and unload, per clamping", "s",
        {"gantry": (10.0, 5.0, 15.0), "hand": (20.0, 10.0, 30.0)}, *TRADE,
    ),
    *by_option("loading", "crew", "people per machine", "1",
               {"gantry": (0.25, 0.15, 0.5), "hand": (0.7, 0.5, 1.0)}, *TRADE),
    Figure("edge_change_s", "time to change worn edges", "s", 120.0, 60.0, 240.0, *TRADE),
    _money("edge_money", "one edge of an insert", "money", 3.0, 1.5, 5.0, *TRADE),
    _money("drill_money_per_m", "wear of drills, per depth drilled", "money/m", 0.8, 0.3, 2.5, *TRADE),
    _money("tap_money", "wear of taps, per thread", "money", 0.02, 0.01, 0.05, *TRADE),
    Figure("chip_worth_frac", "worth of chips over that of solid offal", "1", 0.6, 0.4, 0.8, *TRADE),
    Figure("reject_frac", "rejects", "1", 0.01, 0.005, 0.02, *TRADE),
    Figure("setup_s", "set-up", "s", 3_600.0, 1_800.0, 10_800.0, *TRADE),
    *_money_by_option(
        "machine", "fixture_money", "fixtures and programs", "money",
        {"3 axes": (25e3, 10e3, 50e3), "5 axes": (35e3, 15e3, 70e3), "lathe": (8e3, 3e3, 20e3)}, *TRADE,
    ),
)
