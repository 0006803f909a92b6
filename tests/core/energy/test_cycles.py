"""Totals, moments and faults of drive cycles, packaged and the user's own."""

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from hoistbook.core.energy.cycles import Cycle, Phase, moments
from hoistbook.reference.cycles import CYCLE_NAMES, cycle, parse_cycle, read_cycle

MPH = 0.44704  # m/s, exact by definition
MILE = 1609.344  # m, exact by definition

# computed: distance by trapezoid, mean and maximum of the traces as printed in the regulations, in a separate script
# (NumPy 2.4, float64); every digit printed. name: (samples, T s, distance m, mean, max, steps at rest, max and min a)
TOTALS = {
    "udds": (1370, 1369, 11990.238656, 19.592 * MPH, 56.7 * MPH, 241, 1.475, -1.475),
    "hwfet": (766, 765, 16506.549664, 48.267 * MPH, 59.9 * MPH, 4, 1.431, -1.475),
    "us06": (601, 600, 12887.582048, 48.048 * MPH, 80.3 * MPH, 39, 3.755, -3.085),
    "wltc3b": (1801, 1800, 23266.277778, 46.533 / 3.6, 131.3 / 3.6, 226, 1.667, -1.500),
}


@pytest.mark.parametrize("name", CYCLE_NAMES)
def test_totals(name):
    trace = cycle(name)
    samples, seconds, distance, mean, top, at_rest, fastest, slowest = TOTALS[name]
    assert len(trace.speed_m_per_s) == samples
    assert trace.duration_s == seconds
    assert trace.distance_m == pytest.approx(distance, abs=5e-7)
    assert trace.distance_m / trace.duration_s == pytest.approx(mean, abs=0.0005 * MPH)
    assert trace.speed_m_per_s.max() == pytest.approx(top, rel=1e-12)
    assert len(trace.step_speed) - len(trace.moving) == at_rest
    assert trace.step_acceleration.max() == pytest.approx(fastest, abs=5e-4)
    assert trace.step_acceleration.min() == pytest.approx(slowest, abs=5e-4)
    assert trace.speed_m_per_s[0] == trace.speed_m_per_s[-1] == 0.0


# published: agency images of the schedules (UDDS 1369 s, 7.45 mi, 19.59 mph; HWFET 765 s, 10.26 mi, 48.3 mph), second
# hand through a provenance note; from memory: US06 8.01 mi, 80.3 mph, agency schedule page.
@pytest.mark.parametrize(
    ("name", "miles", "mean_mph", "half_digit"),
    [("udds", 7.45, 19.59, 0.005), ("hwfet", 10.26, 48.3, 0.05), ("us06", 8.01, None, None)],
)
def test_published_totals(name, miles, mean_mph, half_digit):
    trace = cycle(name)
    assert trace.distance_m / MILE == pytest.approx(miles, abs=0.005)
    if mean_mph is not None:
        assert trace.distance_m / trace.duration_s / MPH == pytest.approx(mean_mph, abs=half_digit)


# published: UN GTR 15 Annex 1 (second hand): 589 s 3095 m, 433 s 4756 m, 455 s 7162 m, 323 s 8254 m; 56.5, 76.6, 97.4,
# 131.3 km/h. computed: the decimals of the distances and the moments I2, I3, K+ (separate script, every digit printed).
WLTC = {
    "low": (589, 3095, 56.5, 3094.527778, 27504.635545, 281924.054130, 639.523534),
    "medium": (433, 4756, 76.6, 4755.888889, 67755.616512, 1041358.050529, 944.876157),
    "high": (455, 7162, 97.4, 7161.722222, 143119.045782, 3111618.323302, 959.355324),
    "extra high": (323, 8254, 131.3, 8254.138889, 243298.262346, 7540783.018604, 1034.395062),
}


@pytest.mark.parametrize("name", WLTC)
def test_wltc_phases(name):
    seconds, metres, top, i1, i2, i3, kinetic = WLTC[name]
    phase = cycle("wltc3b").phase(name)
    assert phase.duration_s == seconds
    assert phase.distance_m == pytest.approx(metres, abs=0.5)
    assert phase.speed_m_per_s.max() * 3.6 == pytest.approx(top, rel=1e-12)
    m = moments(phase)
    assert (m.i1_m, m.i2_m2_per_s, m.i3_m3_per_s2) == pytest.approx((i1, i2, i3), abs=5e-7)
    assert m.kinetic_up_j_per_kg == pytest.approx(kinetic, abs=5e-7)


def test_wltc_sums_are_the_reference_checksums():
    # published: sums of speeds in km/h per phase and in total (checksums of the package wltp 0.1.2a0). Each phase
    # begins with the sample that ends the one before, at rest.
    trace = cycle("wltc3b")
    sums = [trace.phase(name).speed_m_per_s.sum() * 3.6 for name in WLTC]
    assert sums == pytest.approx([11140.3, 17121.2, 25782.2, 29714.9], abs=1e-6)
    assert trace.speed_m_per_s.sum() * 3.6 == pytest.approx(83758.6, abs=1e-6)


def test_udds_bags():
    # computed: 5779.199008 m and 6211.039648 m; published: 3.591 and 3.859 mi (agency cycle list).
    bags = [cycle("udds").phase(name).distance_m for name in ("bag 1", "bag 2")]
    assert bags == pytest.approx([5779.199008, 6211.039648], abs=5e-7)
    assert [bag / MILE for bag in bags] == pytest.approx([3.591, 3.859], abs=5e-4)


# computed: separate script, every digit printed (S2 to 4, S3 to 3 decimals).
MOMENTS = {
    "udds": (11990.238656, 163891.6698, 163936.272466, 2627755.790, 2628604.217767, 2098.429950, 1128),
    "hwfet": (16506.549664, 371722.1881, 371727.889656, 8539416.155, 8539652.127430, 1164.929089, 761),
    "us06": (12887.582048, 348680.3529, 348729.019062, 9921691.796, 9923219.782973, 2711.709558, 561),
    "wltc3b": (23266.277778, 481635.8657, 481677.560185, 11974505.277, 11975683.446566, 3578.150077, 1574),
}


@pytest.mark.parametrize("name", CYCLE_NAMES)
def test_moments(name):
    s1, s2, i2, s3, i3, kinetic, moving = MOMENTS[name]
    m = moments(cycle(name))
    assert (m.s1_m, m.i1_m) == pytest.approx((s1, s1), abs=5e-7)
    assert m.s2_m2_per_s == pytest.approx(s2, abs=5.1e-5)
    assert m.s3_m3_per_s2 == pytest.approx(s3, abs=5.1e-4)
    assert (m.i2_m2_per_s, m.i3_m3_per_s2) == pytest.approx((i2, i3), abs=5.1e-7)
    assert (m.kinetic_up_j_per_kg, m.kinetic_down_j_per_kg) == pytest.approx((kinetic, kinetic), abs=5.1e-7)
    assert len(cycle(name).moving) == moving


@given(
    st.lists(st.floats(0.0, 40.0), min_size=2, max_size=20).filter(lambda v: max(v) > 1e-3), st.integers(2, 5)
)
def test_exact_moments_do_not_depend_on_sampling(speeds, pieces):
    # first principles: a straight line stays the same line when more of its points are listed.
    speed = np.array(speeds)
    time = np.arange(len(speed), dtype=float)
    fine = np.linspace(0.0, len(speed) - 1.0, pieces * (len(speed) - 1) + 1)
    coarse = moments(Cycle("a", "a", speed, time))
    split = moments(Cycle("b", "b", np.interp(fine, time, speed), fine))
    assert (split.i1_m, split.i2_m2_per_s, split.i3_m3_per_s2) == pytest.approx(
        (coarse.i1_m, coarse.i2_m2_per_s, coarse.i3_m3_per_s2), rel=1e-9, abs=1e-9
    )
    # first principles: u^n at the mean speed is at most the mean of v^n (Jensen), and a refinement comes closer.
    assert coarse.s2_m2_per_s <= split.s2_m2_per_s + 1e-9
    assert split.s2_m2_per_s <= split.i2_m2_per_s + 1e-9


def test_uneven_sampling():
    # first principles: 0 to 10 m/s in 4 s, 10 m/s for 1 s: 20 m + 10 m.
    trace = Cycle("ramp", "ramp", np.array([0.0, 10.0, 10.0]), np.array([0.0, 4.0, 5.0]))
    assert trace.distance_m == 30.0
    assert trace.step_acceleration.tolist() == [2.5, 0.0]


@pytest.mark.parametrize(
    ("speed", "time", "phases", "message"),
    [
        ([0.0, 1.0], [0.0, 1.0, 2.0], (), "one speed per time"),
        ([0.0], [0.0], (), "two samples"),
        ([0.0, -1.0], [0.0, 1.0], (), "sample 1: time 1 s, speed -1 m/s"),
        ([0.0, np.nan], [0.0, 1.0], (), "sample 1"),
        ([0.0, 1.0, 2.0], [0.0, 1.0, 1.0], (), "sample 2: time 1 s does not come after 1 s"),
        ([0.0, 1.0, 2.0], [0.0, 1.0, 2.0], (Phase("town", 0.0, 1.5),), "'town' ends at 1.5 s"),
        ([0.0, 1.0, 2.0], [0.0, 1.0, 2.0], (Phase("town", 2.0, 1.0),), "not after 2 s"),
    ],
)
def test_faulty_traces_are_refused(speed, time, phases, message):
    with pytest.raises(ValueError, match=message):
        Cycle("faulty", "faulty", np.array(speed), np.array(time), phases)


def test_unknown_names_list_the_known_ones():
    with pytest.raises(LookupError, match=r"udds, hwfet, us06, wltc3b; did you mean 'wltc3b'\?"):
        cycle("wltc")
    with pytest.raises(LookupError, match="low, medium, high, extra high"):
        cycle("wltc3b").phase("town")


@pytest.mark.parametrize(("unit", "factor"), [("km/h", 1.0 / 3.6), ("mph", MPH), ("m/s", 1.0)])
def test_a_users_own_cycle(tmp_path, unit, factor):
    file = tmp_path / "round trip.csv"
    file.write_text(
        "# title: To the depot\n# source: own log\n# phases: out 0-2.5; back 2.5-7\n\n"
        f"note,Speed [{unit}],time [s]\nstart,0,0\n,36,2.5\nend,0,7\n",
        encoding="utf-8",
    )
    trace = read_cycle(file)
    assert (trace.name, trace.title, trace.source) == ("round trip", "To the depot", "own log")
    # first principles: the mean of 0 and 36 over 2.5 s and again over 4.5 s.
    assert trace.distance_m == pytest.approx(18.0 * factor * 7.0, rel=1e-12)
    assert trace.phase("back").duration_s == 4.5


@pytest.mark.parametrize(
    ("text", "message"),
    [
        ("time [s],speed\n0,0\n", r"own.csv line 1: no column headed like 'speed \[km/h\]'"),
        ("time [s],speed [knots]\n0,0\n", "own.csv line 1: speed is in 'knots'"),
        ("time [min],speed [mph]\n0,0\n", "own.csv line 1: time is in 'min'"),
        ("time [s],speed [mph],speed [km/h]\n0,0,0\n", "two columns are headed speed"),
        ("time [s],speed [mph]\n0,0\n1,fast\n", "own.csv line 3: speed = 'fast' is not a number"),
        ("time [s],speed [mph]\n0,0\n1\n", "own.csv line 3: speed = ''"),
        ("time [s],speed [mph]\n0,0\n1,nan\n", "own.csv line 3: speed = 'nan' is not a finite number"),
        ("# phases: somewhere\ntime [s],speed [mph]\n0,0\n1,1\n", "own.csv: phase 'somewhere'"),
        ("time [s],speed [mph]\n1,0\n0,1\n", "own.csv: cycle 'own', sample 1"),
        ("", "own.csv: no header line"),
    ],
)
def test_a_faulty_file_is_named_with_its_line(text, message):
    with pytest.raises(ValueError, match=message):
        parse_cycle(text.splitlines(), "own", "own.csv")


DRIVE = "# title: Zür Halde\ntime [s],speed [km/h]\n0,0\n1,36\n2,0\n"


@pytest.mark.parametrize("encoding", ["utf-8", "utf-8-sig", "utf-16", "latin-1"])
@pytest.mark.parametrize("mark", [",", ";", "\t"])
@pytest.mark.parametrize("end", ["\n", "\r\n", "\r"])
def test_a_cycle_file_as_any_program_saves_it(tmp_path, encoding, mark, end):
    file = tmp_path / "own.csv"
    file.write_bytes(DRIVE.replace(",", mark).replace("\n", end).encode(encoding))
    trace = read_cycle(file)
    assert trace.title == "Zür Halde"
    # first principles: a mean of 5 m/s for 2 s.
    assert trace.distance_m == pytest.approx(10.0, rel=1e-12)


@pytest.mark.parametrize(
    ("rows", "message"),
    [
        ("1,10,5", "own.csv line 2: 3 cells below 2 headings; write numbers with a decimal point"),
        ("1,1_0", "line 2: speed = '1_0' is not a number"),
        ("1,\u0661\u0660", "line 2: speed = .* the digits 0-9"),
        ("1,0x10", "line 2: speed = '0x10'"),
        ("1,infinity", "line 2: speed = 'infinity'"),
        ('1,"5', "line 2: not proper CSV"),
        ("1," + "9" * 200_000, "line 2: not proper CSV"),
        ("0,0\n1,1001\n2,0", r"line 3: 1001 km/h is faster .* check the unit in the heading, speed \[km/h\]"),
        ("0,0\n1,1e200\n2,0", "faster than any road vehicle"),
        ("0,0\n5,30\n65.5,30", "line 4: 60.5 s since the sample before, while moving"),
    ],
)
def test_no_file_is_read_by_halves_or_guessed(rows, message):
    with pytest.raises(ValueError, match=message):
        parse_cycle(f"time [s],speed [km/h]\n{rows}\n".splitlines(), "own", "own.csv")


def test_a_long_halt_and_a_fast_vehicle_are_no_fault():
    rows = "time [s],speed [km/h],\n0,0,\n3600,0,\n3660,1000,\n3720,0,\n"
    # first principles: 500 km/h for 120 s.
    assert parse_cycle(rows.splitlines(), "own", "own.csv").distance_m == pytest.approx(500.0 / 3.6 * 120.0)


@given(st.binary(max_size=400) | st.text(alphabet="time[s],pedkm/h;\t0123456789.#\n\r\"' :-", max_size=300))
def test_any_bytes_are_a_cycle_or_a_sentence(tmp_path_factory, data):
    file = tmp_path_factory.mktemp("any") / "any.csv"
    head = b"time [s],speed [km/h]\n0,0\n"
    content = data if isinstance(data, bytes) else data.encode()
    for before in (b"", head):
        file.write_bytes(before + content)
        try:
            found = str(read_cycle(file).distance_m > 0.0)
        except ValueError as error:
            found = str(error)
        assert found == "True" or "any.csv" in found
