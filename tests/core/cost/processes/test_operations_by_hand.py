"""Whole operations worked by hand from the best estimates, in the units of the trade: mm, min, cm2.

first principles: each number below is the arithmetic of the page of its process; the figures are typed in, not read.
"""

import math

import pytest

from core.cost.processes.trial import number, operation
from hoistbook.core.cost.processes import PROCESSES


def check(one, times, **totals):
    found = [number(each.time_s) for each in one.stages]
    assert found == pytest.approx(times, rel=2e-3)
    for name, value in totals.items():
        assert number(getattr(one, name)) == pytest.approx(value, rel=2e-3), name


def test_a_bracket_is_milled():
    one = operation(
        PROCESSES["machining"], {}, "aluminium, die casting", machined_face_count=2.0, machined_area_m2=15e-4,
        machined_volume_m3=60e-6, hole_count=5.0, hole_diameter_m=8e-3, hole_depth_m=15e-3, thread_count=2.0,
        thread_diameter_m=8e-3,
    )  # fmt: skip
    # first principles: cutter 50 mm, 5 teeth, 0.2 mm, 11.7 m/s: 74.48 turns/s, 74.48 mm/s; track 35 mm.
    advance = 11_700 / (math.pi * 50) * 5 * 0.20
    approach = (50 - math.sqrt(50**2 - 35**2)) / 2
    faces = 2 * (1_500 / (35 * advance) + approach / advance)
    core = 8 * (1 - 0.155)
    light = 5 * math.pi / 4 * 64 * 15 + 2 * math.pi / 4 * core**2 * 14.4 + 0.5 * 1_500 * 2
    # first principles: tool 35 x 2.5 mm x advance = 6517 mm3/s is below the spindle's 12 kW x 0.9/(0.7 x 1.1).
    rough = (60_000 - light) / (35 * 2.5 * advance)
    turns = 200.0  # of the spindle, less than 14.4 m/s asks for
    point = 0.5 * math.tan(math.radians(90 - 59))
    drill = 5 * (15 + 8 * point) / (turns * 0.035 * 8) + 2 * (14.4 + core * point) / (turns * 0.035 * core)
    pitch = 0.155 * 8
    tap = 2 * 2 * (14.4 + 3 * pitch) / (pitch * 420 / (math.pi * 8))
    life = 60 * (26.5 / 11.7) ** 4
    pieces = math.floor(life / (faces + rough))
    check(
        one,
        [faces + rough, drill, tap, (1 + 2 + 2) * 4.0, 9 * 2.5, 1.5 * 10.0, 120 / pieces + 2.0],
        gross_kg=60e-6 * 2_720,
        returned_kg=60e-6 * 2_720 * 0.6,
        consumables=5 * 3.0 / pieces + 0.8 * (5 * 0.015 + 2 * 0.0144) + 2 * 0.02,
        machine_size=1.0,
        tools=25_000.0,
        crew=0.25,
    )


def test_a_shaft_is_turned_and_drilled_slowly():
    one = operation(
        PROCESSES["machining"], {"metal": "steel", "machine": "lathe", "drill": "carbide", "loading": "hand"},
        "steel bar, alloy", machined_face_count=3.0, machined_area_m2=4e-3, machined_volume_m3=40e-6, hole_count=1.0,
        hole_diameter_m=10e-3, hole_depth_m=20e-3, thread_count=0.0, thread_diameter_m=8e-3,
    )  # fmt: skip
    # first principles: 2920 mm/s x 0.25 mm = 730 mm2/s; roughed 2.5 mm deep, 1825 mm3/s, well below the spindle's 5167.
    light = math.pi / 4 * 100 * 20 + 3 * 4_000 * 0.5
    cut = 3 * 4_000 / 730 + (40_000 - light) / (730 * 2.5)
    drill = (20 + 5 * math.tan(math.radians(31))) / (550 * 3 / (math.pi * 10) * 0.24)
    pieces = math.floor(60 * (8.3 / 2.92) ** 4 / cut)
    check(
        one,
        [cut, drill, 0.0, 2 * 4.0, 4 * 2.5, 1.3 * 20.0, 120 / pieces + 2.0],
        consumables=3.0 / pieces + 0.8 * 0.02,
        tools=8_000.0,
    )


def test_a_bar_and_gears():
    bar = operation(PROCESSES["bar_cutting"], {}, "steel bar, alloy", mass_kg=1.0, diameter_m=0.05)
    section = math.pi / 4 * 25.0  # cm2
    lost = section * 0.2 * 7.85e-3 + 0.03
    check(bar, [5.0, section / 1.0], gross_kg=1.0 + lost, returned_kg=lost, machine_size=1.0)
    gear = {"tooth_count": 41.0, "face_width_m": 0.025, "diameter_m": 0.086}
    hob = operation(PROCESSES["gear_hobbing"], {}, "steel bar, alloy", **gear)
    way = 25 + math.sqrt(4.5 * (80 - 4.5)) + 4
    chips = 0.5 * math.pi * 82 * 4.5 * 25 * 7.85e-6
    check(
        hob,
        [41 * way / (1_500 / (math.pi * 80) * 2.5 * 2), 8.0, 15.0],
        gross_kg=chips,
        returned_kg=0.6 * chips,
        consumables=2_500 * 41 * 0.025 / 4_000,
        machine_size=1.0,
    )
    grind = operation(PROCESSES["gear_grinding"], {}, "steel bar, alloy", **gear)
    stock = 2 * 41 * 25 * 4.5 * 0.12  # mm3
    check(
        grind,
        [stock / (10 * 4.5), 3 * 10 / 5, 8.0, 8.0, 180 / 25],
        gross_kg=stock * 7.85e-6,
        consumables=stock * 1e-9 * 250e3,
        machine_size=1.0,
    )
    seat = operation(
        PROCESSES["grinding"], {}, "steel bar, alloy", machined_area_m2=4e-3, machined_face_count=2.0
    )
    check(
        seat,
        [2 * 4_000 * 0.15 / (5 * 30), 12.0, 60 / 20, 12.0],
        gross_kg=1_200 * 7.85e-6,
        consumables=1_200e-9 * 60e3,
        machine_size=1.0,
    )


def test_a_clip_is_moulded():
    one = operation(
        PROCESSES["injection_moulding"], {"runner": "cold"}, "pa66-gf30", mass_kg=0.012, projected_area_m2=16e-4,
        wall_thickness_max_m=2e-3, cavity_count=8.0, slide_count=1.0, insert_count=2.0, surface_patch_count=30.0,
        height_m=0.02,
    )  # fmt: skip
    part = 12 / 1.37  # cm3
    runner = 0.37 * (part / 16) ** -0.33
    clamp = 16 * 8 * (1 + runner) * 0.5 * 131.0 * 1.1 * 100  # N: cm2 x MPa x 100
    cool = 4.0 / (math.pi**2 * 0.11) * math.log(4 / math.pi * 200 / 38) * 1.15
    fill = 2 * part * 8 * (1 + runner) * 131.0 / (0.0125 * clamp)
    dry, stroke = 1.7 * (clamp / 300e3) ** 0.48, 20 * (clamp / 300e3) ** 0.42
    reset = 1 + 1.75 * dry * math.sqrt((2 * 2 + 5) / stroke)
    ground = min(12 * runner, 0.075 * 12 * (1 + runner))
    hours = 5 + 0.085 * 16**1.2 + 45 * 3**1.27 + 2.5 * 4 + 80
    cavities = hours * 75 * 8**0.73
    side = math.sqrt(8) * 4 * (1 + 0.01 + 0.0001) + (math.sqrt(8) + 1) * 7.5
    index = 2.3 / 1.65  # tools: 2007 to 2023
    base = (830 + 5.25 * side**2 * (2 + 15) * 7.85e-3) * index
    check(
        one,
        [fill / 8, cool / 8, reset / 8, 6.0],
        machine_size=clamp,
        gross_kg=1e-3 * (12 * (1 + runner) * 1.0075 - ground),
        returned_kg=1e-3 * (12 * runner - ground),
        tools=cavities * (1 + 0.55) + base * (1 + 1.0),
        tool_life=700e3 * 8,
    )
    hot = operation(
        PROCESSES["injection_moulding"], {"runner": "hot"}, "pa66-gf30", mass_kg=0.012, projected_area_m2=16e-4,
        wall_thickness_max_m=2e-3, cavity_count=8.0, slide_count=1.0, insert_count=2.0, surface_patch_count=30.0,
        height_m=0.02,
    )  # fmt: skip
    check(
        hot,
        [
            2 * part * 131.0 / (0.0125 * 16 * 0.5 * 131.0 * 1.1 * 100) / 8,
            cool / 8,
            number(hot.stages[2].time_s),
            6.0,
        ],
        tools=cavities * (1 + 0.55 + 0.4) + base * (1 + 1.0 + 2.0),
        gross_kg=0.012 * (1.0075 * (1 + 0.02 * runner) - 0.02 * runner),
    )
    area = operation(
        PROCESSES["injection_moulding"], {"mould": "by area of the base"}, "pa66-gf30", mass_kg=0.012,
        projected_area_m2=16e-4, wall_thickness_max_m=2e-3, cavity_count=8.0, slide_count=1.0, insert_count=2.0,
        surface_patch_count=30.0, height_m=0.02,
    )  # fmt: skip
    bare = (
        1_000 + 0.45 * side**2 * 17**0.4
    ) * 2.3  # tools: 1990 to 2023; the factor scales both amounts alike
    assert number(area.tools) == pytest.approx(2 * bare + cavities, rel=2e-3)


def test_sheets_and_mats_are_pressed():
    tray = operation(
        PROCESSES["thermoforming"], {"cooling": "average"}, "pp", mass_kg=2.5, projected_area_m2=0.8,
        wall_thickness_m=3e-3, cut_length_m=5.0,
    )  # fmt: skip
    cool = (3 * 1.6) ** 2 / (math.pi**2 * 0.08) * math.log(8 / math.pi**2 * (438 - 318) / (361.15 - 318))
    check(
        tray,
        [12 + cool, 15 * 9.0, 5 / 0.28 + 15],
        gross_kg=2.5 / 0.8,
        returned_kg=2.5 / 0.8 - 2.5,
        tools=83_000 * 0.8**0.7,
        machine_size=0.8,
    )
    mat = operation(
        PROCESSES["compression_moulding"], {}, "fibre mat", mass_kg=1.5, projected_area_m2=1.2,
        wall_thickness_max_m=4e-3, cut_length_m=7.0,
    )  # fmt: skip
    check(
        mat,
        [12.0, 40.0, 80 / 2, 7 / 0.28 + 10],
        gross_kg=1.5 / 0.8,
        returned_kg=1.5 / 0.8 - 1.5,
        heat_j=1.5 / 0.8 * 0.6e6,
        machine_size=0.8e6 * 1.2,
        tools=105e3 * 1.2**0.7,
    )
    panel = operation(
        PROCESSES["compression_moulding"], {"stock": "SMC"}, "smc", mass_kg=5.0, projected_area_m2=0.9,
        wall_thickness_max_m=3e-3, cut_length_m=5.0,
    )  # fmt: skip
    check(
        panel,
        [12.0, 20 + 25 * 3, 0.0, 5 / 0.28 + 10],
        gross_kg=5 / 0.955,
        heat_j=5 / 0.955 * 0.3e6,
        machine_size=7.5e6 * 0.9,
        tools=550e3 * 0.9**0.7,
    )


def test_a_bushing_is_bonded():
    one = operation(
        PROCESSES["rubber_to_metal_bonding"], {}, "natural rubber", mass_kg=0.12, projected_area_m2=25e-4,
        rubber_thickness_m=0.012, insert_count=2.0, cavity_count=12.0,
    )  # fmt: skip
    heat = 144 / (math.pi**2 * 0.09) * math.log(4 / math.pi * 65 / 10)
    check(
        one,
        [8.0, 17 / 12, heat / 12, 210 * 2**-0.5 / 12, 45 / 12],
        machine_size=25e-4 * 12 * 15e6,
        gross_kg=0.4 * 0.12 / 0.8,
        consumables=0.24,
        bought=1.40,
        tools=55e3 * (12 * 25 / (16 * 20)) ** 0.6,
        tool_life=200e3 * 12,
    )


def test_joints_are_made():
    arc = operation(PROCESSES["arc_welding"], weld_length_m=0.8, weld_throat_m=3e-3, weld_start_count=8.0)
    arc_s = 800 / 9
    wire = 9 * 800 * 7.85e-6 / 0.93
    check(
        arc,
        [arc_s, max(8 * 2.5 + 4, arc_s / 3), 25.0],
        consumables=wire * 2.2 + 0.25e-3 * arc_s * 6.0,
        machine_size=1.0,
    )
    spots = operation(PROCESSES["spot_welding"], spot_count=50.0, wall_thickness_m=1e-3)
    check(spots, [160.0, 50 * 12 / 220, 20.0], consumables=0.6, machine_size=1.0, tools=40e3)
    seam = operation(PROCESSES["laser_welding"], weld_length_m=2.0, weld_start_count=4.0)
    check(seam, [2 / 0.065, 4 * 1.0 + 4.0, 20.0], consumables=2 / 0.065 * 4e-3, machine_size=1.0, tools=70e3)
    bead = operation(
        PROCESSES["adhesive_bonding"], {"adhesive": "sealer", "cure": "own station"}, bead_length_m=4.0,
        bead_diameter_m=4e-3, weld_start_count=3.0,
    )  # fmt: skip
    laid = math.pi / 4 * 16e-6 * 4 * 1_300
    check(bead, [4 / 0.27, 4.5, 15.0], consumables=laid * 1.05 * 5 + 0.40, machine_size=1.0, tools=20e3)
    rivets = operation(PROCESSES["riveting"], rivet_count=40.0, wall_thickness_m=2e-3)
    check(rivets, [128.0, 20.0], bought=1.8, consumables=0.16, machine_size=1.0, tools=40e3)


def test_cables_are_made_up():
    cable = operation(
        PROCESSES["cable_assembly"], {}, "copper wire", mass_kg=2.0, tube_length_m=1.5, conductor_area_m2=35e-6,
        circuit_count=2.0, connector_count=2.0,
    )  # fmt: skip
    metal = 8.96e-3 * 35 * 3.0
    check(
        cable,
        [200.0, 88.0, 64.0, 180.0, 45.0],
        gross_kg=1.03 * metal,
        returned_kg=0.03 * metal,
        bought=3.5 * (35 / 50) ** 0.5 * 3.09 + 48 + 4 * 1.2,
        tools=40e3,
        machine_size=1.0,
    )
    harness = operation(
        PROCESSES["harness_assembly"], {}, "copper wire", mass_kg=4.0, tube_length_m=3.0, conductor_area_m2=0.5e-6,
        circuit_count=60.0, connector_count=20.0, joint_count=6.0, clip_count=40.0,
    )  # fmt: skip
    copper = 60 * 3 * 1.03 * 0.5 * 8.96e-3
    check(
        harness,
        [240.0, 60 * 3 * 6.5, 660.0, 120.0, 7.5 * 22, 240.0, 80.0, 110.0],
        gross_kg=copper,
        returned_kg=copper * 0.03 / 1.03,
        consumables=7.5 * 0.12,
        bought=60 * 3 * 1.03 * 0.5e-6 * 1.8 * 4_000 + 120 * 0.04 + 20 * 0.60 + 40 * 0.12,
        tools=60e3,
        machine_size=1.0,
    )


def test_a_price_by_mass_and_volume():
    one = operation(PROCESSES["bought_part"], {"kind": "seal"}, mass_kg=0.05, pieces_per_year=1e5)
    assert number(one.bought) == pytest.approx((0.12 + 6 * 0.05) * 10**0.1, rel=1e-9)
