"""Worked examples of mass, centre of gravity and closure, to the digits printed."""

import math

import pytest

from hoistbook.core.mass import AxleLift, CornerMasses, Verdict, centre_of_gravity, closure
from hoistbook.core.mass.centre_of_gravity import height_m
from hoistbook.core.quantities.agreement import normalised_error
from hoistbook.core.quantities.quantity import Quantity, Source, covariance, total
from hoistbook.core.vehicle.mass_state import convert
from hoistbook.core.vehicle.records import MassState

PADS_COMMON = Source("pads/calibration")


def pad(name, value_kg, *, common_kg=0.3):
    terms = ((Source(name), 0.5),) + (((PADS_COMMON, common_kg),) if common_kg else ())
    return Quantity(value_kg, "kg", terms)


def corners(**options):
    names = ("front left", "front right", "rear left", "rear right")
    return CornerMasses(
        *(pad(n, v, **options) for n, v in zip(names, (452.0, 448.0, 520.0, 530.0), strict=True))
    )


WHEELBASE = Quantity(2.900, "m", ((Source("wheelbase"), 0.0015),))


def test_four_pads_with_a_common_calibration_error():
    # computed: uncertainty reference of this project, example J (numpy 2.4): m = 1950 kg, u(m) = 1.56205 kg; 1.000 kg
    # if the common part is forgotten; front 46.1538 %; x = 1.561538 m, u = 1.101 mm (0.749 pads, 0.808 wheelbase).
    cg = centre_of_gravity(corners(), wheelbase=WHEELBASE)
    assert cg.mass.value == 1950.0
    assert cg.mass.standard_uncertainty == pytest.approx(1.56205, abs=5e-6)
    assert corners(common_kg=0.0).total.standard_uncertainty == pytest.approx(1.0, abs=1e-12)
    assert 100.0 * cg.front_share.value == pytest.approx(46.1538, abs=5e-5)
    x = cg.behind_front_axle
    assert x is not None
    assert x.value == pytest.approx(1.561538, abs=5e-7)
    assert 1000.0 * x.standard_uncertainty == pytest.approx(1.101, abs=5e-4)
    by_source = {source.name: 1000.0 * c for source, c in x.terms}
    assert abs(by_source.pop("wheelbase")) == pytest.approx(0.808, abs=5e-4)
    assert math.hypot(*by_source.values()) == pytest.approx(0.749, abs=5e-4)
    # Sensitivities −0.80079 (front) and +0.68639 mm/kg (rear); a pad's own error is 0.5 kg.
    assert by_source["front left"] / 0.5 == pytest.approx(-0.80079, abs=5e-6)
    assert by_source["rear right"] / 0.5 == pytest.approx(0.68639, abs=5e-6)


def test_height_by_raising_the_rear_axle():
    # computed: uncertainty reference of this project, example K (method of ISO 10392, from memory): h = 0.600872 m,
    # u(h) = 7.565 mm with contributions 0.138, 4.898, 4.898, 0.164, 2.282, 2.000 mm.
    def own(name, value, u, unit):
        return Quantity(value, unit, ((Source(name), u),))

    h = height_m(
        AxleLift(
            own("raised", 938.0, 0.7, "kg"),
            own("angle", math.radians(12.0), math.radians(0.1), "rad"),
            own("radius", 0.335, 0.002, "m"),
        ),
        mass=own("mass", 1950.0, 1.2, "kg"),
        front_level=own("level", 900.0, 0.7, "kg"),
        wheelbase=own("wheelbase", 2.900, 0.0015, "m"),
    )
    assert h.value == pytest.approx(0.600872, abs=5e-7)
    assert 1000.0 * h.standard_uncertainty == pytest.approx(7.565, abs=5e-4)
    contributions = {source.name: abs(1000.0 * c) for source, c in h.terms}
    expected = {
        "wheelbase": 0.138,
        "raised": 4.898,
        "level": 4.898,
        "mass": 0.164,
        "angle": 2.282,
        "radius": 2.000,
    }
    assert contributions == pytest.approx(expected, abs=5e-4)


def test_a_scale_error_does_not_average_out_over_the_parts():
    # computed: uncertainty reference, example L: 2400 parts each u 0.577 g: 28.3 g independent, 1.385 kg fully common.
    u = 0.577e-3
    alone = total([Quantity(0.5, "kg", ((Source(f"part {i}"), u),)) for i in range(2400)])
    common = total([Quantity(0.5, "kg", ((Source("scale"), u),)) for _ in range(2400)])
    assert 1000.0 * alone.standard_uncertainty == pytest.approx(28.3, abs=0.05)
    assert common.standard_uncertainty == pytest.approx(1.385, abs=5e-4)


def test_normalised_error_of_a_roll_up_that_does_not_close():
    # computed: uncertainty reference, example L: 1950.0 (U 3.2) against 1941.5 (U 6.0): E_n = 1.250, does not close.
    k = 1.959963984540054  # first principles: 97.5 % quantile of the normal distribution
    scale = Quantity(1950.0, "kg", ((Source("pads"), 3.2 / k),))
    parts = Quantity(1941.5, "kg", ((Source("parts"), 6.0 / k),))
    assert normalised_error(scale, parts) == pytest.approx(1.250, abs=5e-4)
    result = closure(parts, scale)
    assert result.verdict is Verdict.DISAGREE
    assert result.normalised_error == pytest.approx(1.250, abs=5e-4)
    assert result.difference.value == pytest.approx(8.5)
    assert result.statement.startswith("parts and scale do not agree: 8.5")
    assert "more on the scale than in the parts" in result.statement


def test_curb_mass_in_running_order():
    # computed: teardown reference, example W3: electric car, curb 1800.0 kg → running order 1875.0 kg.
    found = convert(Quantity(1800.0, "kg"), MassState.CURB, MassState.RUNNING_ORDER)
    assert found.mass.value == 1875.0


def test_rounding_of_many_readings_against_calibration():
    # computed: teardown reference, example W4: 3000 parts on a 1 g scale round to 15.811 g, 600 on a 50 g scale to
    # 353.553 g; a calibration error of 0.1 % at 1800 kg is 1.8 kg and dominates.
    def readings(count, step_kg, each_kg):
        resolution = step_kg / math.sqrt(12.0)
        return total(
            [
                Quantity(
                    each_kg, "kg", ((Source(f"r{i}"), resolution), (Source("calibration"), 0.001 * each_kg))
                )
                for i in range(count)
            ]
        )

    fine, coarse = readings(3000, 0.001, 0.6), readings(600, 0.05, 3.0)
    calibration = Quantity(0.0, "kg", ((Source("calibration"), 1.0),))
    assert covariance(fine, calibration) == pytest.approx(1.8)
    assert 1000.0 * math.sqrt(fine.standard_uncertainty**2 - 1.8**2) == pytest.approx(15.811, abs=5e-4)
    assert 1000.0 * math.sqrt(coarse.standard_uncertainty**2 - 1.8**2) == pytest.approx(353.553, abs=5e-4)
