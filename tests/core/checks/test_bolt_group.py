"""A group of bolts against Shigley's example 8-7 and a worked unit on three bolts and on two."""

import math

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from core.checks.worked import Worked, hold, result_of
from hoistbook.core.checks.bolt_group.mechanics import about_seat_n, in_plane_n, pulled_n

BOOK = {
    "x_m": [0.075, 0.075, -0.075, -0.075],
    "y_m": [0.060, -0.060, 0.060, -0.060],
    "load_x_m": 0.425,
    "load_y_m": 0.0,
    "force_y_n": -16e3,
    "preload_high_n": 100e3,
    "loss_n": 0.0,
}
NAMED = {"bolt": ("A", "B", "D", "C")}
UNIT = {
    "x_m": [0.0, 0.120, 0.060],
    "y_m": [0.0, 0.0, 0.100],
    "load_x_m": 0.140,
    "load_y_m": 0.100 / 3,
    "force_y_n": 1176.798,
    "preload_high_n": 27.36e3,
    "loss_n": 0.0,
    "friction": 0.15,
}
UNIT_NAMED = {"bolt": ("A", "B", "C")}
WORKED = (
    Worked(
        "bolt_group",
        "published: Shigley, 9th ed., example 8-7: 16 kN at 425 mm on bolts at ±75, ±60 mm: 21.0 and 14.8 kN "
        "(20.97, 14.79)",
        BOOK,
        {
            "shared_n[A]": (20.97e3, 5e-4),
            "shared_n[B]": (20.97e3, 5e-4),
            "shared_n[C]": (14.79e3, 5e-4),
            "shared_n[D]": (14.79e3, 5e-4),
            "worst_n": (20.97e3, 5e-4),
        },
        names=NAMED,
    ),
    Worked(
        "bolt_group",
        "computed: 6 kg at 20 g off three bolts, 226.8, 831.0, 598.9 N; factor 1.6: a safety of 3.09, without C 1.87",
        UNIT | {"tightening_factor": 1.6},
        {
            "shared_n[A]": (226.8, 1e-3),
            "shared_n[B]": (831.0, 1e-3),
            "shared_n[C]": (598.9, 1e-3),
            "used_frac": (1 / 3.09, 2e-3),
            "without_worst_n[C]": (1372.9, 1e-3),
            "without_used_frac[C]": (1 / 1.87, 3e-3),
            "without_rise_frac[C]": (0.65, 5e-3),
        },
        names=UNIT_NAMED,
    ),
    Worked(
        "bolt_group",
        "computed: the same at a tightening factor of 2.5: a safety of 1.98, without C 1.20",
        UNIT | {"tightening_factor": 2.5},
        {"used_frac": (1 / 1.98, 3e-3), "without_used_frac[C]": (1 / 1.20, 4e-3)},
        names=UNIT_NAMED,
    ),
    Worked(
        "bolt_group",
        "computed: 1176.8 N off the joint, a third of the way to C: a hook there carries 392.3 N, A and B 784.5 N",
        UNIT | {"tightening_factor": 1.6, "force_z_n": 1176.798, "load_x_m": 0.060},
        {"pull_n[C]": (392.3, 3e-4), "pull_n[A]": (784.5 / 2, 3e-4), "pull_n[B]": (784.5 / 2, 3e-4)},
        {"seat": "seat"},
        UNIT_NAMED,
    ),
)


@pytest.mark.parametrize("worked", WORKED, ids=lambda one: one.source[:60])
def test_worked_examples(worked):
    hold(worked)


def test_two_bolts_of_the_worked_unit():
    # computed: A and B alone bear 196.1 and 1372.9 N.
    x, y = np.array([[0.0], [0.120]]), np.zeros((2, 1))
    force, at = (np.zeros(1), np.array([1176.798])), (np.array([0.140]), np.array([0.1 / 3]))
    assert np.hypot(*in_plane_n(x, y, force, at))[:, 0] == pytest.approx([196.1, 1372.9], abs=0.1)


places = st.lists(st.tuples(st.floats(-0.5, 0.5), st.floats(-0.5, 0.5)), min_size=3, max_size=8).filter(
    lambda several: np.std([x for x, _ in several]) > 0.02 and np.std([y for _, y in several]) > 0.02
)
pushes = st.tuples(*[st.floats(-1e4, 1e4)] * 2)


@given(bolts=places, push=pushes, at=st.tuples(*[st.floats(-1.0, 1.0)] * 2))
def test_shares_are_in_equilibrium_with_the_load(bolts, push, at):
    # first principles: forces add up to the load, moments to its moment, with and without a seat.
    x, y = (np.array(one)[:, None] for one in zip(*bolts, strict=True))
    force, where = tuple(np.array([f]) for f in push), tuple(np.array([f]) for f in at)
    moment = at[0] * push[1] - at[1] * push[0]
    of_x, of_y = in_plane_n(x, y, force, where)
    assert of_x.sum() == pytest.approx(push[0], abs=1e-6)
    assert of_y.sum() == pytest.approx(push[1], abs=1e-6)
    assert (x * of_y - y * of_x).sum() == pytest.approx(moment, abs=1e-6)
    seat = (x[0], y[0])
    by_x, by_y, borne = about_seat_n(x[1:], y[1:], seat, force, where)
    rest = np.array([push[0] - by_x.sum(), push[1] - by_y.sum()])
    assert borne[0] == pytest.approx(np.hypot(*rest), abs=1e-6)
    turned = (x[1:] * by_y - y[1:] * by_x).sum() + x[0, 0] * rest[1] - y[0, 0] * rest[0]
    assert turned == pytest.approx(moment, abs=1e-6)


@given(bolts=places, at=st.tuples(*[st.floats(-1.0, 1.0)] * 2), pull=st.floats(-1e4, 1e4))
def test_pulls_are_in_equilibrium(bolts, at, pull):
    # first principles: as above, about both axes.
    x, y = (np.array(one)[:, None] for one in zip(*bolts, strict=True))
    spread = np.linalg.svd(np.hstack([x - x.mean(), y - y.mean()]), compute_uv=False)
    if spread[1] < 0.05 * spread[0]:
        return
    found = pulled_n(x, y, np.array([pull]), tuple(np.array([f]) for f in at))
    assert found.sum() == pytest.approx(pull, abs=1e-6)
    assert (found * x).sum() == pytest.approx(pull * at[0], abs=1e-5)
    assert (found * y).sum() == pytest.approx(pull * at[1], abs=1e-5)


@given(turn=st.floats(0.0, 2.0 * math.pi))
@settings(max_examples=30)
def test_turning_the_sheet_changes_nothing(turn):
    # first principles: shares do not know the axes.
    c, s = math.cos(turn), math.sin(turn)
    turned = UNIT | {
        "x_m": [c * x - s * y for x, y in zip(UNIT["x_m"], UNIT["y_m"], strict=True)],
        "y_m": [s * x + c * y for x, y in zip(UNIT["x_m"], UNIT["y_m"], strict=True)],
        "load_x_m": c * UNIT["load_x_m"] - s * UNIT["load_y_m"],
        "load_y_m": s * UNIT["load_x_m"] + c * UNIT["load_y_m"],
        "force_x_n": -s * UNIT["force_y_n"],
        "force_y_n": c * UNIT["force_y_n"],
    }
    one, other = (result_of("bolt_group", stated) for stated in (UNIT, turned))
    for a, b in zip(one.figures, other.figures, strict=True):
        assert b.value == pytest.approx(a.value, rel=1e-6, abs=1e-6)


def test_a_load_through_the_middle_is_shared_evenly():
    # first principles: no turning.
    even = result_of("bolt_group", UNIT | {"load_x_m": 0.060})
    for name in ("bolt 1", "bolt 2", "bolt 3"):
        assert even.figure("shared_n", name).value == pytest.approx(1176.798 / 3)


def test_a_seat_relieves_the_bolts_and_is_loaded():
    # first principles: about the seat at C, 0.060 and 0.100: M = 0.080 × 1176.8 N, Σr² = 2 (0.06² + 0.1²) m².
    bare, seated = (
        result_of("bolt_group", UNIT | {"tightening_factor": 1.6}, {"seat": name}, UNIT_NAMED)
        for name in ("none", "seat")
    )
    r = math.hypot(0.06, 0.1)
    expected = 0.08 * 1176.798 * r / (2 * r * r)
    assert seated.figure("without_worst_n", "C").value == pytest.approx(expected)
    assert seated.figure("without_worst_n", "C").value < bare.figure("without_worst_n", "C").value
    # first principles: the load less what the bolts push aside, along (0.1 × 2) and across (none) of the seat.
    turn = 0.08 * 1176.798 / (2 * r * r)
    assert seated.figure("seat_n", "C").value == pytest.approx(math.hypot(turn * 0.2, 1176.798))
    assert "seat_n" not in [one.name for one in bare.figures]


def test_leaving_out_a_bolt_far_from_the_load_can_help():
    # first principles: two bolts 100 mm apart share a load between them evenly; a third 300 mm aside turns it on them:
    # 1/3 + 0.11667/0.086667 × 0.16667 = 0.5577 of the load on the worst.
    readings = UNIT | {"x_m": [0.0, 0.1, -0.3], "y_m": [0.0] * 3, "load_x_m": 0.05, "load_y_m": 0.0}
    found = result_of("bolt_group", readings, names={"bolt": ("a", "b", "far")})
    assert found.figure("worst_n").value == pytest.approx(0.557692 * 1176.798, rel=1e-5)
    assert found.figure("without_rise_frac", "far").value == pytest.approx(0.5 / 0.557692 - 1.0, rel=1e-4)
    assert "one bolt fewer can hold better" in found.verdict


def test_one_bolt_alone_hardly_holds_turning():
    # first principles: F + M/r at 6 mm: 1176.8 × (1 + 0.020/0.006) N about bolt B.
    pair = UNIT | {"x_m": [0.0, 0.120], "y_m": [0.0, 0.0], "head_m": 0.006}
    found = result_of("bolt_group", pair, names={"bolt": ("A", "B")})
    assert found.figure("without_worst_n", "A").value == pytest.approx(1176.798 * (1.0 + 0.020 / 0.006))


def test_refusals():
    with pytest.raises(ValueError, match="choose the seat"):
        result_of("bolt_group", UNIT | {"force_z_n": 100.0})
    with pytest.raises(ValueError, match="stand on a line"):
        result_of("bolt_group", UNIT | {"force_z_n": 100.0, "y_m": [0.0, 0.0, 0.0]}, {"seat": "seat"})
    with pytest.raises(ValueError, match="2 to 16 bolts"):
        result_of("bolt_group", UNIT | {"x_m": [0.0], "y_m": [0.0]})
    with pytest.raises(ValueError, match="no preload"):
        result_of("bolt_group", UNIT | {"loss_n": 30e3})
    with pytest.raises(ValueError, match="at one place"):
        result_of("bolt_group", UNIT | {"x_m": [0.1] * 3, "y_m": [0.1] * 3})
    with pytest.raises(ValueError, match="no load"):
        result_of("bolt_group", UNIT | {"force_y_n": 0.0})
