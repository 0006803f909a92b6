"""The band an instrument gives its readings."""

import dataclasses
import math

import pytest
from hypothesis import given
from hypothesis import strategies as st

from hoistbook.core.quantities.instrument_limits import KINDS, instrument_kind, scale_minimum_kg
from hoistbook.core.quantities.instruments import Instrument, limit_si, reading, smallest_reading_si
from hoistbook.core.quantities.quantity import correlation, total

MM = 1e-3
G = 1e-3
DEGREE = math.pi / 180.0


def scale(accuracy_class="III", step_kg=1 * G, **more):
    return Instrument("B2", "scale", accuracy_class=accuracy_class, step_si=step_kg, **more)


def terms_of(quantity):
    return {source.name: c for source, c in quantity.terms}


@pytest.mark.parametrize(
    ("load_g", "in_service_g", "u_g"),
    # published: OIML R 76-1 limits of class III, e = 1 g (second hand: class table sheet; in service twice).
    [
        (250, 1.0, 0.5774),
        (500, 1.0, 0.5774),
        (501, 2.0, 1.1547),
        (2000, 2.0, 1.1547),
        (2001, 3.0, 1.7321),
        (5000, 3.0, 1.7321),
    ],
)
def test_class_iii_scale(load_g, in_service_g, u_g):
    q = reading(scale(), load_g * G, "W1")
    assert limit_si(scale(), load_g * G) / G == pytest.approx(in_service_g)
    assert terms_of(q)["instrument B2/calibration"] / G == pytest.approx(u_g, abs=5e-5)
    # first principles: step 1 g, d/sqrt(12).
    assert terms_of(q)["reading W1/resolution"] / G == pytest.approx(1.0 / math.sqrt(12.0))


@pytest.mark.parametrize(
    ("accuracy_class", "loads_e", "limits_e"),
    # published: breakpoints of R 76-1 classes II and IIII (class table sheet); from memory: class I. Verification.
    [
        ("I", (50_000, 50_001, 200_000, 200_001), (0.5, 1.0, 1.0, 1.5)),
        ("II", (5_000, 5_001, 20_000, 20_001, 100_000), (0.5, 1.0, 1.0, 1.5, 1.5)),
        ("IIII", (50, 51, 200, 201, 1_000), (0.5, 1.0, 1.0, 1.5, 1.5)),
    ],
)
def test_other_scale_classes_when_newly_verified(accuracy_class, loads_e, limits_e):
    instrument = scale(accuracy_class, in_service_factor=1.0)
    for load, limit in zip(loads_e, limits_e, strict=True):
        assert limit_si(instrument, load * G) / G == pytest.approx(limit)


@given(st.floats(0.02, 20.0), st.floats(0.02, 20.0))
def test_a_heavier_load_has_no_smaller_limit(a, b):
    low, high = sorted((a, b))
    assert limit_si(scale(), low) <= limit_si(scale(), high)


@pytest.mark.parametrize(
    ("accuracy_class", "step_kg", "minimum_e"),
    # published: Min of III and IIII (class table sheet of R 76-1); from memory: I, II.
    [
        ("III", 1e-3, 20),
        ("III", 5e-3, 20),
        ("IIII", 5e-3, 10),
        ("II", 0.01e-3, 20),
        ("II", 0.1e-3, 50),
        ("I", 1e-6, 100),
    ],
)
def test_a_weighing_below_the_smallest_load_is_refused(accuracy_class, step_kg, minimum_e):
    instrument = scale(accuracy_class, step_kg)
    assert scale_minimum_kg(accuracy_class, step_kg) == pytest.approx(minimum_e * step_kg)
    reading(instrument, minimum_e * step_kg, "W1")
    with pytest.raises(ValueError, match=r"reading W2 of scale B2: .* weigh several pieces together"):
        reading(instrument, (minimum_e - 1) * step_kg, "W2")


def test_the_smallest_load_can_be_set():
    assert smallest_reading_si(scale(minimum_si=0.005)) == 0.005
    assert reading(scale(minimum_si=0.005), 0.006, "W1").value == 0.006


@pytest.mark.parametrize(
    ("length_m", "from_end", "mpe_mm", "u_mm"),
    # published: 2014/32/EU annex X class II, as UK SI 2016/1153 schedule 1I. 3 m does not round up to 4.
    [
        (0.73, True, 0.7, 0.4041),
        (1.234, False, 0.7, 0.4041),
        (1.234, True, 0.9, 0.5196),
        (2.5, False, 0.9, 0.5196),
        (3.0, False, 0.9, 0.5196),
        (118.11023622047244 * 0.0254, False, 0.9, 0.5196),
    ],
)
def test_class_ii_tape(length_m, from_end, mpe_mm, u_mm):
    tape = Instrument("T1", "tape", accuracy_class="II")
    q = reading(tape, length_m, "L1", from_end=from_end)
    assert limit_si(tape, length_m, from_end=from_end) / MM == pytest.approx(mpe_mm)
    assert terms_of(q)["instrument T1/calibration"] / MM == pytest.approx(u_mm, abs=5e-5)
    assert terms_of(q)["reading L1/resolution"] / MM == pytest.approx(0.2887, abs=5e-5)


@pytest.mark.parametrize(
    ("accuracy_class", "mpe_mm"),
    # published: same, a + b·2 + c for 1.5 m from the hook: I 0.1 + 0.2 + 0.1, III 0.6 + 0.8 + 0.3.
    [("I", 0.4), ("2", 0.9), ("class iii", 1.7)],
)
def test_tape_classes(accuracy_class, mpe_mm):
    assert limit_si(Instrument("T1", "steel tape", accuracy_class=accuracy_class), 1.5) / MM == pytest.approx(
        mpe_mm
    )


@pytest.mark.parametrize(
    ("step_mm", "length_mm", "depth", "mpe_mm"),
    # from memory: JIS B 7507:2016 table 1; published: depth + 0.02 mm (a measuring-tool maker's handbook, 2021).
    [
        (0.01, 50, False, 0.02),
        (0.01, 50.1, False, 0.03),
        (0.01, 200, False, 0.03),
        (0.02, 300, False, 0.04),
        (0.01, 20, True, 0.04),
        (0.05, 20, False, 0.05),
        (0.05, 250, False, 0.08),
    ],
)
def test_calliper(step_mm, length_mm, depth, mpe_mm):
    calliper = Instrument("C1", "caliper", step_si=step_mm * MM)
    assert limit_si(calliper, length_mm * MM, depth=depth) / MM == pytest.approx(mpe_mm)
    deep = reading(calliper, length_mm * MM, "L1", depth=depth)
    assert terms_of(deep)["instrument C1/calibration"] / MM == pytest.approx(mpe_mm / math.sqrt(3.0))


def test_calliper_table_ends():
    with pytest.raises(ValueError, match="beyond the calliper table"):
        reading(Instrument("C1", "calliper"), 0.301, "L1")
    with pytest.raises(ValueError, match="coarser than the calliper table"):
        reading(Instrument("C1", "calliper", step_si=0.1 * MM), 0.1, "L1")


@pytest.mark.parametrize(
    ("torque", "capacity", "u"),
    # published: ISO 6789 setting type II class A (second hand: a tool maker's manual); computed: the figures.
    [(8.0, 10.0, 0.277), (40.0, 200.0, 0.924), (120.0, 200.0, 2.771)],
)
def test_torque_wrench(torque, capacity, u):
    wrench = Instrument("M1", "torque wrench", capacity_si=capacity)
    assert reading(wrench, torque, "T1").standard_uncertainty == pytest.approx(u, abs=5e-4)
    assert reading(wrench, torque, "T1").unit == "N.m"


def test_torque_wrench_is_not_used_below_a_fifth_of_its_range():
    wrench = Instrument("M1", "torque wrench", capacity_si=200.0)
    # published: ISO 6789 checks at 20, 60 and 100 % of maximum.
    with pytest.raises(ValueError, match=r"39 N.m is below the 40 N.m"):
        reading(wrench, 39.0, "T1")
    with pytest.raises(ValueError, match="above its capacity"):
        reading(wrench, 201.0, "T2")


@pytest.mark.parametrize(
    ("angle_deg", "limit_deg"),
    # common practice: ±0.1° near 0 and 90°, ±0.2° elsewhere.
    [(0.0, 0.1), (90.4, 0.1), (-90.0, 0.1), (12.0, 0.2), (45.0, 0.2), (-3.0, 0.2)],
)
def test_angle_gauge(angle_deg, limit_deg):
    gauge = Instrument("G1", "digital angle gauge")
    assert limit_si(gauge, angle_deg * DEGREE) / DEGREE == pytest.approx(limit_deg)
    assert reading(gauge, angle_deg * DEGREE, "A1").value == angle_deg * DEGREE


def test_spirit_level_laser_and_pads():
    # common practice: 0.5 mm/m is u = 0.29 mm/m and 0.02865°; laser ±2 mm at k = 2; pads 0.1 % with step 0.5 kg.
    level = Instrument("S1", "spirit level")
    assert reading(level, -0.004, "A1").standard_uncertainty == pytest.approx(0.29e-3, abs=5e-6)
    assert limit_si(level, 0.0) / DEGREE == pytest.approx(0.02865, abs=5e-6)
    laser = reading(Instrument("D1", "laser distance meter"), 4.0, "L1")
    assert terms_of(laser)["instrument D1/calibration"] / MM == pytest.approx(1.0)
    pad = reading(Instrument("P1", "corner pads"), 500.0, "W1")
    assert terms_of(pad) == pytest.approx(
        {
            "instrument P1/calibration": 0.5 / math.sqrt(3.0),
            "reading W1/resolution": 0.5 / math.sqrt(12.0),
            "reading W1/repeatability": 0.5,
        }
    )


def test_crane_scale_adds_half_the_swing():
    crane = Instrument("K1", "crane scale", accuracy_class="IIII", step_si=0.5)
    still, swinging = reading(crane, 200.0, "W1"), reading(crane, 200.0, "W1", swing_si=4.0)
    # first principles: rectangular of half width 2 kg.
    assert terms_of(swinging)["reading W1/swing"] == pytest.approx(2.0 / math.sqrt(3.0))
    assert swinging.standard_uncertainty == pytest.approx(
        math.hypot(still.standard_uncertainty, 2.0 / math.sqrt(3.0))
    )


def test_a_difference_of_two_indications_counts_the_step_twice():
    gross_less_tare = reading(scale(repeatability_si=0.3 * G), 0.5, "W1", difference=True)
    # first principles: d/sqrt(6); two readings, sqrt(2) times the repeatability.
    assert terms_of(gross_less_tare)["reading W1/resolution"] / G == pytest.approx(1.0 / math.sqrt(6.0))
    assert terms_of(gross_less_tare)["reading W1/repeatability"] / G == pytest.approx(0.3 * math.sqrt(2.0))


def test_readings_of_one_instrument_share_its_error_and_nothing_else():
    first, second = reading(scale(), 0.3, "W1"), reading(scale(), 0.4, "W2")
    other = reading(Instrument("B3", "scale", accuracy_class="III", step_si=1 * G), 0.4, "W3")
    calibration, step = 1.0 * G / math.sqrt(3.0), 1.0 * G / math.sqrt(12.0)
    # first principles: r = 1 for the calibration part, 0 for the step.
    assert correlation(first, second) == pytest.approx(calibration**2 / (calibration**2 + step**2))
    assert correlation(first, other) == 0.0
    many = total([reading(scale(), 0.3, f"W{k}") for k in range(100)])
    assert many.standard_uncertainty == pytest.approx(math.hypot(100 * calibration, 10 * step))


def test_a_certificate_or_a_stated_limit_replaces_the_table():
    by_certificate = scale(certificate_expanded_si=0.8 * G, certificate_factor=2.0, certificate_dof=12)
    q = reading(by_certificate, 5.0, "W1")
    # from memory: GUM 4.3.3, U/k.
    assert terms_of(q)["instrument B2/calibration"] / G == pytest.approx(0.4)
    assert by_certificate.calibration_source.dof == 12
    by_limit = Instrument("B4", "scale", step_si=1 * G, limit_si=2 * G)
    assert terms_of(reading(by_limit, 5.0, "W1"))["instrument B4/calibration"] / G == pytest.approx(
        2.0 / math.sqrt(3.0)
    )
    by_share = Instrument("V1", "other", "V", step_si=0.1, limit_si=0.2, limit_frac=0.01)
    # first principles: 0.2 V + 1 % of −30 V.
    assert limit_si(by_share, -30.0) == pytest.approx(0.5)
    assert reading(by_share, -30.0, "U1").value == -30.0


@pytest.mark.parametrize(
    ("build", "message"),
    [
        (lambda: Instrument("", "scale"), "needs an id"),
        (lambda: Instrument("B2", "scal", step_si=1 * G), "did you mean scale"),
        (lambda: Instrument("B2", "zebra", step_si=1 * G), "known kinds: scale, crane scale"),
        (lambda: Instrument("B2", "scale", step_si=1 * G), "its class is unknown"),
        (lambda: Instrument("B2", "scale", accuracy_class="III"), "reading step"),
        (lambda: scale("V"), "no scale class 'V'; known classes: I, II, III, IIII"),
        (lambda: scale("III", 0.0), "step 0"),
        (lambda: scale("III", 1.0, capacity_si=6.0), "is 6 steps; class III has 500 to 10000"),
        (lambda: scale("III", 1 * G, capacity_si=60.0), "is 60000 steps"),
        (lambda: scale("III", -1 * G), "step_si = -0.001"),
        (lambda: scale(limit_si=math.nan), "limit_si = nan"),
        (lambda: scale(certificate_expanded_si=1.0, certificate_factor=0.0), "certificate_factor = 0"),
        (lambda: Instrument("T1", "tape"), "class marked on the tape"),
        (lambda: Instrument("T1", "tape", accuracy_class="IIII"), "no tape class 'IIII'"),
        (lambda: Instrument("T1", "tape", "kg", "II"), "reads in m, not kg"),
        (lambda: Instrument("M1", "torque wrench"), "maximum torque as capacity"),
        (lambda: Instrument("X1", "other", "V", step_si=0.1), "needs a limit of error"),
        (lambda: Instrument("X1", "other", step_si=0.1, limit_si=1.0), "must state the unit"),
        (lambda: Instrument("X1", "other", "V", limit_si=1.0), "reading step"),
        (lambda: Instrument("X1", "other", "volt", step_si=0.1, limit_si=1.0), "not an SI symbol"),
        (lambda: reading(scale(), -0.1, "W1"), "reading W1 of scale B2: -0.1 kg is negative"),
        (lambda: reading(scale(), math.nan, "W1"), "value = nan is not a finite number"),
        (lambda: reading(scale(), 0.0, "W1"), "below the 0.02 kg"),
        (lambda: reading(scale(capacity_si=6.0), 6.1, "W1"), "above its capacity of 6 kg"),
        (lambda: reading(scale(), 1.0, ""), "has no id"),
        (lambda: reading(scale(), 1.0, "W1", swing_si=-1.0), "swing_si = -1.0"),
    ],
)
def test_errors_say_what_is_wrong(build, message):
    with pytest.raises(ValueError, match=message):
        build()


def test_every_kind_names_its_source_and_every_alias_finds_it():
    for key, kind in KINDS.items():
        assert kind.source
        assert kind.mark
        for name in (key, *kind.aliases, key.upper(), key.replace(" ", "_")):
            assert instrument_kind(name) is kind


def test_an_instrument_can_be_copied_with_a_change():
    assert dataclasses.replace(scale(), accuracy_class="II").accuracy_class == "II"
