"""A bolted lap joint against EN 1993-1-8 and Shigley's double-shear splice."""

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from core.checks.worked import Worked, hold, result_of
from hoistbook.core.checks.joint_slip_shear.mechanics import (
    bearing_at_yield_n,
    shank_area_m2,
    shear_at_proof_n,
    shear_n,
    tear_out_n,
)
from hoistbook.core.checks.joint_slip_shear.model import BOOK, STANDARD

M10 = {
    "load_n": 5000.0,
    "bolts_count": 1.0,
    "preload_n": 20e3,
    "friction": 0.15,
    "diameter_m": 0.010,
    "pitch_m": 0.0015,
    "hole_m": 0.011,
    "end_m": 0.022,
    "side_m": 0.022,
    "plate_m": 0.003,
    "yield_pa": 355e6,
    "strength_pa": 440e6,
}
M20 = M10 | {
    "diameter_m": 0.020,
    "pitch_m": 0.0025,
    "hole_m": 0.022,
    "end_m": 0.044,
    "side_m": 0.044,
    "preload_n": 171.5e3,
    "friction": 0.4,
}
WORKED = (
    Worked(
        "joint_slip_shear",
        "published: EN 1993-1-8, eq. 3.6, M20 of 10.9, 0.7 × 1000 MPa × 245 mm², two faces, 0.4 over 1.25: 109.76 kN",
        M20,
        {"slip_n": (109.76e3, 1e-4)},
        {"shear": "double", "property_class": "10.9"},
    ),
    Worked(
        "joint_slip_shear",
        "computed on EN 1993-1-8: M10 of 10.9, thread in the face: 23.20 kN",
        M10,
        {"shear_n": (23.20e3, 1e-3)},
        {"property_class": "10.9"},
    ),
    Worked(
        "joint_slip_shear",
        "computed on EN 1993-1-8: M10 of 8.8, thread in the face: 22.27 kN; bearing of 3 mm at 440 MPa: 17.60 kN",
        M10,
        {"shear_n": (22.27e3, 1e-3), "bearing_n": (17.60e3, 1e-3)},
        {"property_class": "8.8"},
    ),
    Worked(
        "joint_slip_shear",
        "computed on EN 1993-1-8: M10 of 10.9, shank in the face: 37.7 kN",
        M10,
        {"shear_n": (37.7e3, 1e-3)},
        {"property_class": "10.9", "plane": "shank"},
    ),
)


@pytest.mark.parametrize("worked", WORKED, ids=lambda one: one.source[:60])
def test_worked_examples(worked):
    hold(worked)


def test_a_splice_of_a_book():
    # published: Shigley, 9th ed., example 8-6, four ¾-16 bolts of grade 5 in double shear, plates 1 × 4 in, design
    # factor 1.5; kip, kpsi, inches: 45.9 (thread), 57.8 (shank), 54 (bearing of the member), 85 (bearing of the bolt),
    # 93.5 (edge shear).
    n, plate, factor = 4.0, np.array(1.0), np.array(1.5)
    assert n * float(shear_at_proof_n(np.array(0.351), 1.0, np.array(85.0), factor)) == pytest.approx(
        45.9, abs=0.05
    )
    assert n * float(shear_at_proof_n(np.array(0.442), 1.0, np.array(85.0), factor)) == pytest.approx(
        57.8, abs=0.05
    )
    bearing = bearing_at_yield_n(np.array(0.75), plate, np.array(54.0), factor)
    assert 2.0 * float(bearing) == pytest.approx(54.0, abs=0.01)
    bolt = bearing_at_yield_n(np.array(0.75), plate, np.array(85.0), factor)
    assert 2.0 * float(bolt) == pytest.approx(85.0, abs=0.05)
    # The book's strip reaches from the middle of the bolt, 1.125 in, here from the edge of a hole of no width.
    edge = tear_out_n(np.array(1.125), np.array(0.0), plate, np.array(54.0), factor)
    assert 2.0 * float(edge) == pytest.approx(93.5, abs=0.05)


def test_a_shank_in_single_and_double_shear():
    # computed: 0.6 × 1040 MPa × π 6² mm²: 70.573 kN; both faces 141.1 kN (the factor 0.6: common practice).
    area = shank_area_m2(np.array(0.012))
    assert float(shear_n(area, 1.0, 1040e6, 0.6, np.array(1.0))) == pytest.approx(70.573e3, rel=1e-4)
    assert float(shear_n(area, 2.0, 1040e6, 0.6, np.array(1.0))) == pytest.approx(141.1e3, rel=1e-3)


@given(n=st.integers(2, 12))
def test_bolts_add_up_and_double_shear_doubles(n):
    # first principles: the load is split evenly; each face bears as much.
    one, many = (result_of("joint_slip_shear", M10 | {"bolts_count": x}) for x in (1.0, float(n)))
    double = result_of("joint_slip_shear", M10, {"shear": "double"})
    for name in ("slip_n", "held_n", "tear_out_n"):
        assert many.figure(name).value == pytest.approx(n * one.figure(name).value)
    for name in ("slip_n", "shear_n"):
        assert double.figure(name).value == pytest.approx(2.0 * one.figure(name).value)
    for name in ("bearing_n", "tear_out_n"):
        assert double.figure(name).value == one.figure(name).value


def test_a_stronger_bolt_buys_hardly_any_shear():
    # published: EN 1993-1-8: the factor falls from 0.6 to 0.5 as the strength rises from 800 to 1000 MPa: + 4.2 %.
    weak, strong = (result_of("joint_slip_shear", M10, {"property_class": name}) for name in ("8.8", "10.9"))
    ratio = strong.figure("shear_n").value / weak.figure("shear_n").value
    assert ratio == pytest.approx(500 / 480)
    assert "what it buys is preload" in strong.verdict


def test_formulas_are_left_out_outside_their_range():
    soft = result_of("joint_slip_shear", M10, {"plates": "other"})
    assert [one.formula for one in soft.figure("bearing_n").formulas] == []
    assert "left out" in soft.verdict
    # computed: 10 × 3 mm × 355 MPa / 1.25 = 8.52 kN.
    assert soft.figure("bearing_n").value == pytest.approx(8520.0)
    strong = result_of("joint_slip_shear", M10, {"property_class": "12.9"})
    assert "ends at class 10.9" in strong.verdict
    both = result_of("joint_slip_shear", M10)
    assert [one.formula for one in both.figure("shear_n").formulas] == [STANDARD, BOOK]


def test_the_preload_it_would_need():
    # first principles: with that preload the friction is the load.
    needed = result_of("joint_slip_shear", M10).figure("preload_needed_n").value
    assert result_of("joint_slip_shear", M10 | {"preload_n": needed}).figure(
        "slip_over_n"
    ).value == pytest.approx(0.0, abs=1e-6)


def test_no_permission_and_refusals():
    assert "never a permission" in result_of("joint_slip_shear", M10).verdict
    with pytest.raises(ValueError, match="nearer than"):
        result_of("joint_slip_shear", M10 | {"end_m": 0.012})
    with pytest.raises(ValueError, match="smaller than the bolt"):
        result_of("joint_slip_shear", M10 | {"hole_m": 0.0095})
    with pytest.raises(ValueError, match="below its yield"):
        result_of("joint_slip_shear", M10 | {"strength_pa": 300e6})
    with pytest.raises(ValueError, match="whole number"):
        result_of("joint_slip_shear", M10 | {"bolts_count": 2.5})
