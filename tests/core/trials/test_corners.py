"""Corner weights and axle lift: the worked examples of the uncertainty reference, and readings turned round."""

import math

import pytest

from hoistbook.core.quantities.evaluation import normal
from hoistbook.core.quantities.quantity import Quantity, Source
from hoistbook.core.trials.corners import LiftGeometry, PadReading, corner_weights
from hoistbook.core.trials.spindown import CORNERS

COMMON = Source("pads/calibration")
MASSES = dict(zip(CORNERS, (452.0, 448.0, 520.0, 530.0), strict=True))


def pad(reading_id, corner, kg, own=0.5, common=0.3, **more):
    terms = ((COMMON, common), (Source(f"reading {reading_id}/repeatability"), own))
    return PadReading(reading_id, corner, Quantity(kg, "kg", terms), **more)


def level(**more):
    return [pad(f"{corner} 1", corner, kg, **more) for corner, kg in MASSES.items()]


def test_four_corner_pads_partly_correlated():
    wheelbase = normal(2.9, 1.5e-3, "m", "tape")
    found = corner_weights(level(), LiftGeometry(wheelbase=wheelbase))
    # computed: worked example J of the uncertainty reference: 1950 kg, u 1.56205 kg; 46.1538 %; 1.561538 m, u 1.101 mm.
    assert found.centre.mass.value == 1950.0
    assert found.centre.mass.standard_uncertainty == pytest.approx(1.56205, abs=1e-5)
    assert found.centre.front_share.value == pytest.approx(0.461538, abs=1e-6)
    assert found.centre.behind_front_axle.value == pytest.approx(1.561538, abs=1e-6)
    assert found.centre.behind_front_axle.standard_uncertainty == pytest.approx(1.101e-3, abs=1e-6)
    assert found.centre.height is None
    assert any("not turned round" in note for note in found.assumptions)


def raised(front_kg):
    return [pad(f"{corner} up", corner, 0.5 * front_kg, raised=True) for corner in CORNERS[:2]]


def test_height_from_raising_the_rear_axle():
    geometry = LiftGeometry(
        Quantity(2.9, "m"), None, Quantity(math.radians(12.0), "rad"), Quantity(0.335, "m")
    )
    found = corner_weights([*level(), *raised(938.0)], geometry)
    # computed: worked example K of the uncertainty reference: 0.600872 m.
    assert found.centre.height.value == pytest.approx(0.600872, abs=1e-6)
    assert found.lifted_front.value == 938.0
    low = LiftGeometry(Quantity(2.9, "m"), None, Quantity(math.radians(5.0), "rad"), Quantity(0.335, "m"))
    assert any("below 8°" in check for check in corner_weights([*level(), *raised(915.0)], low).checks)
    without = corner_weights([*level(), *raised(938.0)], LiftGeometry(Quantity(2.9, "m")))
    assert without.centre.height is None
    assert any("no height" in note for note in without.assumptions)


def test_turning_round_takes_out_what_belongs_to_the_place():
    lean = {"front left": 2.0, "front right": -2.0, "rear left": 1.0, "rear right": -1.0}
    readings = [
        pad(
            f"{corner} {turned} {i}",
            corner,
            MASSES[corner] + (-1 if turned else 1) * lean[corner],
            turned=turned,
        )
        for corner in CORNERS
        for turned in (False, True)
        for i in range(1 if turned else 3)
    ]
    found = corner_weights(readings)
    # first principles: the error of a place changes sides when the vehicle is turned, however often each way is read.
    assert found.corners.front_left.value == pytest.approx(452.0)
    assert found.corners.rear_right.value == pytest.approx(530.0)
    assert dict(found.turned_by_kg) == pytest.approx({corner: -2.0 * kg for corner, kg in lean.items()})
    assert found.assumptions == ()
    # The calibration that all pads share stays, the scatter of single readings averages out.
    assert dict(found.corners.front_left.terms)[COMMON] == pytest.approx(0.3)


def test_readings_that_contradict_are_named():
    readings = [*level(own=0.2), pad("front left 2", "front left", 460.0, own=0.2)]
    found = corner_weights(readings)
    assert any("front left" in check and "differ by more" in check for check in found.checks)


def test_missing_readings_are_refused():
    with pytest.raises(ValueError, match="rear right: no reading with the vehicle level"):
        corner_weights(level()[:3])
    with pytest.raises(ValueError, match="read both, or neither"):
        corner_weights([*level(), raised(938.0)[0]])
    with pytest.raises(LookupError, match="no corner 'middle'"):
        corner_weights([*level(), pad("m", "middle", 1.0)])
