"""Heights, ramp angles, obstacles, centre of gravity and balance on the lift against worked examples and statics."""

import math

import pytest
from hypothesis import given
from hypothesis import strategies as st

from core.checks.worked import Worked, hold, result_of
from hoistbook.core.checks import CHECKS
from hoistbook.core.checks.run import Stated, run_check
from hoistbook.core.quantities.evaluation import exact, normal

DEG = math.pi / 180.0
ANGLES = {
    "wheelbase_m": 2.900,
    "tyre_radius_m": 0.340,
    "front_x_m": 0.850,
    "front_z_m": 0.190,
    "rear_x_m": 0.930,
    "rear_z_m": 0.225,
    "belly_x_m": 1.450,
    "belly_z_m": 0.150,
}
LEVEL = {
    "datum_x_m": [0.0, 0.0, 2.900],
    "datum_y_m": [0.700, -0.700, 0.0],
    "datum_ride_m": [0.352, 0.350, 0.360],
    "datum_hoist_m": [1.752, 1.746, 1.771],
    "part_x_m": [0.820],
    "part_y_m": [0.0],
    "part_hoist_m": [1.548],
}
PARTS = ("dam", "cradle", "hose", "battery", "connector", "rear")
UNDER = {
    "part_x_m": [-0.820, -0.150, 0.250, 0.700, 0.820, 2.500],
    "part_z_m": [0.175, 0.165, 0.158, 0.150, 0.143, 0.160],
    "pitch_rad": 0.0,
}
CG = {
    "front_left_kg": 521.0,
    "front_right_kg": 509.0,
    "rear_left_kg": 566.0,
    "rear_right_kg": 554.0,
    "wheelbase_m": 2.900,
    "front_track_m": 1.600,
    "rear_track_m": 1.610,
    "raised_front_kg": 1069.63,
    "angle_rad": 15.0 * DEG,
    "radius_m": 0.340,
}
LIFT = {
    "mass_kg": 2150.0,
    "cg_x_m": 1.5107,
    "cg_y_m": 0.0,
    "front_pads_x_m": 0.900,
    "rear_pads_x_m": 2.000,
    "half_width_m": 0.6,
}
WORKED = (
    Worked(
        "ramp_angles",
        "computed: tyre-tangent planes, ramp at mid wheelbase",
        ANGLES,
        {
            "approach_rad": (13.1902 * DEG, 1e-5),
            "departure_rad": (14.2248 * DEG, 1e-5),
            "ramp_rad": (11.9577 * DEG, 1e-5),
        },
    ),
    Worked(
        "ramp_angles",
        "computed: the critical point 1200 mm behind the front axle",
        ANGLES | {"belly_x_m": 1.200},
        {"ramp_rad": (12.3414 * DEG, 1e-5)},
    ),
    Worked(
        "ride_height",
        "computed: three datums, barycentric weights 0.3586, 0.3586, 0.2828",
        LEVEL,
        {"height_m[part 1]": (0.146324, 1e-5), "shortcut_m[part 1]": (0.148, 1e-9)},
    ),
    Worked(
        "centre_of_gravity",
        "computed: corner weights and rear raised by 15 degrees, first-order GUM",
        CG,
        {
            "height_m": (0.539495, 1e-6),
            "behind_m": (1.510698, 1e-6),
            "left_m": (0.00895814, 1e-6),
            "mass_kg": (2150.0, 1e-12),
            "front_frac": (0.47907, 1e-5),
            "height_per_kg_m": (5.03e-3, 1e-3),
        },
    ),
    Worked(
        "lift_balance",
        "computed: statics; battery, front module, then dash and seats",
        LIFT
        | {"part_kg": [480.0, 300.0, 110.0], "part_x_m": [1.600, -0.100, 0.500], "part_y_m": [0.0, 0.0, 0.0]},
        {
            "left_kg[removal 1]": (1670.0, 1e-9),
            "cg_after_m[removal 1]": (1.4850, 5e-5),
            "front_kg[removal 1]": (781.8, 5e-4),
            "rear_kg[removal 1]": (888.2, 5e-4),
            "cg_after_m[removal 2]": (1.8321, 5e-5),
            "front_kg[removal 2]": (209.1, 5e-4),
            "rear_kg[removal 2]": (1160.9, 5e-4),
            "cg_after_m[removal 3]": (1.9484, 5e-5),
            "front_kg[removal 3]": (59.1, 2e-3),
            "rear_kg[removal 3]": (1200.9, 5e-4),
        },
    ),
    Worked(
        "lift_balance",
        "computed: statics; battery, then the rear axle",
        LIFT | {"part_kg": [480.0, 180.0], "part_x_m": [1.600, 2.950], "part_y_m": [0.0, 0.0]},
        {
            "cg_after_m[removal 2]": (1.3081, 1e-4),
            "front_kg[removal 2]": (937.3, 5e-4),
            "rear_kg[removal 2]": (552.7, 1e-3),
        },
    ),
)


@pytest.mark.parametrize("worked", WORKED, ids=lambda one: one.source)
def test_worked_examples(worked):
    hold(worked)


def test_crude_angles_are_smaller():
    # computed: atan(190/850) = 12.6002°.
    found = result_of("ramp_angles", ANGLES)
    tangent, crude = found.figure("approach_rad"), found.figure("crude_approach_rad")
    assert crude.value == pytest.approx(12.6002 * DEG, rel=1e-5)
    assert crude.value < tangent.value


@pytest.mark.parametrize(
    ("height", "first", "exposed"),
    [
        # computed: obstacle heights against a list of parts
        (0.145, "connector", {"connector": 2.0}),
        (0.155, "battery", {"battery": 5.0, "connector": 12.0}),
        (0.162, "hose", {"hose": 4.0, "battery": 12.0, "connector": 19.0, "rear": 2.0}),
    ],
)
def test_first_touched(height, first, exposed):
    found = result_of("first_touched", UNDER | {"obstacle_m": height}, names={"part": PARTS})
    assert [name for name in PARTS if found.figure("first", name).value == 1.0] == [first]
    touched = {
        name: found.figure("exposure_m", name).value * 1e3
        for name in PARTS
        if found.figure("exposure_m", name).value > 1e-12
    }
    assert touched == pytest.approx(exposed)


def test_shelter_of_what_stands_ahead():
    # computed: 22 mm higher, 970 mm behind, 1 degree of pitch: 5.0686 mm; lost at 1.29927 degrees.
    two = {"part_x_m": [-0.150, 0.820], "part_z_m": [0.143, 0.165], "obstacle_m": 0.1}
    found = result_of("first_touched", two | {"pitch_rad": 1.0 * DEG})
    assert found.figure("shelter_m", "part 2").value == pytest.approx(5.0686e-3, rel=1e-4)
    lost = result_of("first_touched", two | {"pitch_rad": 1.29927 * DEG})
    assert lost.figure("shelter_m", "part 2").value == pytest.approx(0.0, abs=1e-7)


def test_nothing_is_touched_by_a_low_obstacle():
    found = result_of("first_touched", UNDER | {"obstacle_m": 0.1}, names={"part": PARTS})
    # first principles: the lowest part sits 143 mm high.
    assert sum(found.figure("first", name).value for name in PARTS) == 0.0
    assert "touches none" in found.verdict


@pytest.mark.parametrize(("x", "u_mm"), [(0.820, 1.15636), (-0.820, 1.37938)])
def test_error_of_a_height(x, u_mm):
    # computed: 1 mm on the hoist for datums and part, none on the ground; outside the datums it grows.
    declared = CHECKS["ride_height"]
    values = {
        name: [exact(one, "m") for one in several] for name, several in (LEVEL | {"part_x_m": [x]}).items()
    }
    for name in ("datum_hoist_m", "part_hoist_m"):
        values[name] = [normal(one, 1e-3, "m", f"{name} {i}") for i, one in enumerate(LEVEL[name])]
    found = run_check(declared, Stated(values), n_draws=40_000).figure("height_m", "part 1")
    assert (found.high - found.low) / (2 * 1.959964) == pytest.approx(u_mm * 1e-3, rel=0.02)


def test_error_of_the_height_of_the_centre_of_gravity():
    # computed: pads 0.5 kg each, raised load 0.7 kg, angle 0.10°, radius 3 mm, wheelbase 2 mm, tracks 3 mm: 6.043 mm.
    errors = dict.fromkeys(("front_left_kg", "front_right_kg", "rear_left_kg", "rear_right_kg"), 0.5) | {
        "raised_front_kg": 0.7,
        "angle_rad": 0.10 * DEG,
        "radius_m": 0.003,
        "wheelbase_m": 0.002,
        "front_track_m": 0.003,
        "rear_track_m": 0.003,
    }
    declared = CHECKS["centre_of_gravity"]
    values = {
        name: normal(value, errors[name], declared.reading(name).unit, name) for name, value in CG.items()
    }
    found = run_check(declared, Stated(values), n_draws=40_000)
    height = found.figure("height_m")
    assert (height.high - height.low) / (2 * 1.959964) == pytest.approx(6.043e-3, rel=0.02)
    assert found.dominant == "raised_front_kg"


@given(scale=st.floats(0.9, 1.1))
def test_a_common_factor_of_the_scales_moves_only_the_mass(scale):
    # first principles: place and height are ratios of loads.
    loads = [name for name in CG if name.endswith("_kg")]
    one = result_of("centre_of_gravity", CG)
    other = result_of("centre_of_gravity", CG | {name: CG[name] * scale for name in loads})
    for name in ("height_m", "behind_m", "left_m"):
        assert other.figure(name).value == pytest.approx(one.figure(name).value, rel=1e-9)
    assert other.figure("mass_kg").value == pytest.approx(scale * one.figure("mass_kg").value)


def test_a_body_builders_form_says_the_same():
    # published: form of a van maker's body-builder guideline; computed: 199.4946 mm above the wheel centres.
    length, lift = 2.900, 2.900 * math.sin(15.0 * DEG)
    level = math.sqrt(length**2 - lift**2)
    x1 = 1030.0 * length / 2150.0
    x2 = 1069.63 * level / 2150.0
    y = x1 - math.sqrt((lift * x2 / level) ** 2 + x2**2)
    z = abs(y * math.tan(math.acos(lift / length)))
    found = result_of("centre_of_gravity", CG).figure("height_m").value - 0.340
    assert found == pytest.approx(z, rel=1e-8)
    assert found == pytest.approx(0.1994946, rel=1e-6)


@given(
    parts=st.lists(
        st.tuples(st.floats(1.0, 300.0), st.floats(-0.5, 3.5), st.floats(-0.5, 0.5)), min_size=1, max_size=5
    )
)
def test_pads_carry_what_is_left(parts):
    # first principles: the loads on the pads add up to the mass that remains, and their moments to its moment.
    kg, x, y = (list(column) for column in zip(*parts, strict=True))
    found = result_of("lift_balance", LIFT | {"part_kg": kg, "part_x_m": x, "part_y_m": y})
    for place in range(len(parts)):
        item = f"removal {place + 1}"
        pads = {
            (end, side): found.figure(f"{end}_{side}_kg", item).value
            for end in ("front", "rear")
            for side in ("left", "right")
        }
        left = found.figure("left_kg", item).value
        assert sum(pads.values()) == pytest.approx(left, rel=1e-9)
        moment = 0.9 * (pads["front", "left"] + pads["front", "right"]) + 2.0 * (
            pads["rear", "left"] + pads["rear", "right"]
        )
        assert moment == pytest.approx(left * found.figure("cg_after_m", item).value, rel=1e-9, abs=1e-6)


def test_the_step_that_would_unload_a_pad_is_named_before():
    parts = LIFT | {"part_kg": [480.0, 300.0], "part_x_m": [1.600, -0.100], "part_y_m": [0.0, 0.0]}
    found = result_of("lift_balance", parts, names={"removal": ("battery", "front module")})
    assert "BEFORE front module comes off: it would leave 209 kg on the front pads" in found.verdict
    assert "never a permission" in found.verdict
    # computed: 209.1 of 1370 kg.
    assert found.figure("least_share_frac").value == pytest.approx(209.1 / 1370.0, rel=1e-3)


def test_pads_that_do_not_hold_the_vehicle_are_refused():
    with pytest.raises(ValueError, match="set the pads anew"):
        result_of(
            "lift_balance", LIFT | {"cg_x_m": 2.1, "part_kg": [10.0], "part_x_m": [1.0], "part_y_m": [0.0]}
        )


def test_two_datums_hold_no_plane():
    with pytest.raises(ValueError, match="three datums"):
        result_of(
            "ride_height", LEVEL | {name: LEVEL[name][:2] for name in LEVEL if name.startswith("datum")}
        )


def test_the_pads_that_are_unloaded_are_named_also_across():
    # first principles: 1800 kg amid pads 1.5 m apart; 400 kg go from 1.2 m left: 1400 kg, 0.3429 m to the right, of
    # which the left pads bear (1 − 0.3429/0.75)/2 = 27.1 %, 380 kg.
    part = {"part_kg": [400.0], "part_x_m": [1.4], "part_y_m": [1.2]}
    level = LIFT | {"mass_kg": 1800.0, "cg_x_m": 1.4, "half_width_m": 0.75, "cg_y_m": 0.0}
    found = result_of("lift_balance", level | part | {"warn_share_frac": 0.30})
    assert "it would leave 380 kg on the left pads (least pair 27%" in found.verdict
    assert found.figure("left_kg", "removal 1").value == pytest.approx(1400.0)
    # The shop's own rule decides from where on it warns.
    assert "BEFORE" not in result_of("lift_balance", level | part | {"warn_share_frac": 0.25}).verdict
    # 700 kg leave 1100 kg, 0.7636 m to the right: 14 mm outside.
    over = result_of("lift_balance", level | part | {"part_kg": [700.0]})
    assert "tips the vehicle: its centre of gravity ends 14 mm outside the pads" in over.verdict
    assert "on the left ones" in over.verdict


def test_a_band_that_reaches_tipping_is_said():
    declared = CHECKS["lift_balance"]
    level = LIFT | {"part_kg": [400.0], "part_x_m": [1.4], "part_y_m": [0.9]}
    values = {
        name: [exact(one, declared.reading(name).unit) for one in value]
        if isinstance(value, list)
        else exact(value, declared.reading(name).unit)
        for name, value in level.items()
    }
    assert "may tip" not in run_check(declared, Stated(values), 100).verdict
    values["part_y_m"] = [normal(0.9, 2.0, "m", "place")]
    assert "may tip the vehicle" in run_check(declared, Stated(values), 400).verdict


def test_a_vehicle_beside_its_pads_is_refused():
    # first principles: a centre of gravity 0.45 m off the middle is not between pads 0.4 m off it.
    part = {"part_kg": [10.0], "part_x_m": [1.4], "part_y_m": [0.0]}
    with pytest.raises(ValueError, match="set the pads anew"):
        result_of("lift_balance", LIFT | part | {"cg_y_m": 0.45, "half_width_m": 0.4})


def test_an_obstacle_as_high_as_a_part_may_touch_it():
    # first principles: within a band that lies evenly about the obstacle it touches in half the cases.
    declared = CHECKS["first_touched"]
    values = {
        "part_x_m": [exact(0.2, "m"), exact(1.0, "m")],
        "part_z_m": [normal(0.15, 0.001, "m", "height"), exact(0.17, "m")],
        "obstacle_m": exact(0.15, "m"),
    }
    verdict = run_check(declared, Stated(values), 4000).verdict
    assert "touches none" not in verdict
    chance = int(verdict.partition("part 1 with a chance of ")[2].partition("%")[0])
    assert 45 <= chance <= 55
    assert "part 2" not in verdict.partition("Something")[0]


def test_the_pitch_of_the_verdict_is_that_from_hoist_to_road():
    # first principles: datums whose rear rises by 20 mm over 2 m of length: atan(0.01) = 0.573° up at the rear.
    plane = {
        "datum_x_m": [0.0, 0.0, 2.0, 2.0],
        "datum_y_m": [-0.5, 0.5, -0.5, 0.5],
        "datum_hoist_m": [1.5, 1.5, 1.5, 1.5],
        "datum_ride_m": [0.2, 0.2, 0.22, 0.22],
        "part_x_m": [1.0],
        "part_y_m": [0.0],
        "part_hoist_m": [1.5],
    }
    assert (
        "From hoist to road the body rises by +0.57° towards the rear"
        in result_of("ride_height", plane).verdict
    )
