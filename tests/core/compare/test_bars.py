import numpy as np
import pytest

from hoistbook.core.compare.bars import WeightedDraws, merge_groups
from hoistbook.core.compare.gap import reconcile
from hoistbook.core.compare.walk import NOT_EXPLAINED, range_walk

from . import vans

N = 20_000
EQUAL = WeightedDraws(np.full(N, 1.0 / N))


def normals(seed, count):
    return np.random.default_rng(seed).standard_normal((count, N))


def test_interval_of_a_normal():
    # published: two-sided 95 % point of the normal distribution, 1.960 (JCGM 100 Table G.1, from memory of the table);
    # tolerance: five standard errors of a 2.5 % quantile at 20,000 draws, 5 * sqrt(.025*.975/N)/0.0584 = 0.095.
    found = EQUAL.interval(3.0 + 2.0 * normals(1, 1)[0])
    assert found.value == pytest.approx(3.0, abs=5 * 2.0 / np.sqrt(N))
    assert (found.low, found.high) == pytest.approx((3.0 - 3.92, 3.0 + 3.92), abs=2 * 0.095)


def test_weights_move_the_band_as_bayes_says():
    # first principles: N(0, 1) draws weighted by a likelihood N(1; x, 1) are N(0.5, 1/2).
    x = normals(2, 1)[0]
    weight = np.exp(-0.5 * (x - 1.0) ** 2)
    draws = WeightedDraws(weight / weight.sum())
    found = draws.interval(x)
    half = 1.96 / np.sqrt(2.0)
    assert found.value == pytest.approx(0.5, abs=0.03)
    assert (found.low, found.high) == pytest.approx((0.5 - half, 0.5 + half), abs=0.12)
    # first principles: (Σw)²/Σw² tends to E[w]²/E[w²] = sqrt(3)/2 · exp(-1/6) of the draws for these two normals.
    assert draws.effective_count / N == pytest.approx(np.sqrt(3) / 2 * np.exp(-1 / 6), abs=0.02)


def test_sign_probability():
    # published: standard normal table, Φ(1) = 0.8413; tolerance five standard errors.
    assert EQUAL.sign_probability(1.0 + normals(3, 1)[0]) == pytest.approx(0.8413, abs=0.013)
    assert EQUAL.sign_probability(-1.0 + normals(3, 1)[0]) == pytest.approx(0.8413, abs=0.013)
    assert EQUAL.sign_probability(np.zeros(N)) == 0.5


def test_split_figure_is_merged_and_independent_ones_are_not():
    # first principles: two shares that only their sum pins down (A = tyres + drag force) are one bar.
    z = normals(4, 4)
    shares = {
        "tyres": 5.0 * z[0],
        "drag_force": -5.0 * z[0] + 0.5 * z[1],
        "mass": 2.0 * z[2],
        "label": 1.0 * z[3],
    }
    groups = {frozenset(g.names) for g in merge_groups(shares, EQUAL)}
    assert groups == {frozenset({"tyres", "drag_force"}), frozenset({"mass"}), frozenset({"label"})}
    reason = next(g.reason for g in merge_groups(shares, EQUAL) if len(g.names) == 2)
    assert reason == "the band of their sum is 10% of the wider one alone"


def test_merge_does_not_depend_on_the_order_of_the_causes():
    z = normals(5, 3)
    shares = {"a": z[0], "b": -z[0] + 0.1 * z[1], "c": 3.0 * z[2]}
    turned = dict(reversed(shares.items()))
    assert {frozenset(g.names) for g in merge_groups(shares, EQUAL)} == {
        frozenset(g.names) for g in merge_groups(turned, EQUAL)
    }
    with pytest.raises(ValueError, match="ratio = 0"):
        merge_groups(shares, EQUAL, ratio=0.0)


@pytest.fixture(scope="module")
def walk():
    n = 400
    x, y = vans.parameter_draws(n, 1), vans.parameter_draws(n, 2, shift=0.02)
    # Only A is known: tyres and drag force are anti-correlated draw by draw.
    for fields in (x, y):
        total = fields["test_mass_kg"] * 9.80665 * 0.008 + 30.0
        fields["tyre_coefficient"] = 0.008 * (1.0 + 0.1 * np.random.default_rng(9).standard_normal(n))
        fields["tyre_coefficient"] = np.random.default_rng(int(fields["gear_ratio"][0] * 1e3)).permutation(
            fields["tyre_coefficient"]
        )
        fields["drag_force_n"] = total - fields["test_mass_kg"] * 9.80665 * fields["tyre_coefficient"]
    rng = np.random.default_rng(8)
    one = vans.side("X", x, 250e3 + 1500.0 * rng.standard_normal(n))
    other = vans.side("Y", y, 232e3 + 1500.0 * rng.standard_normal(n))
    asked = vans.question(vans.wltc_duty())
    return range_walk(asked, reconcile(asked, one, other), one, other, (), comparison="as found")


def test_bars_add_up_to_the_gap(walk):
    # first principles: efficiency of the shares, and linearity of the mean.
    assert sum(bar.amount.value for bar in walk.bars) == pytest.approx(walk.gap.value, abs=1e-6)
    for bar in walk.bars:
        inside = sum(line.amount.value for line in bar.decisions) + bar.unexplained.value
        assert inside == pytest.approx(bar.amount.value, abs=1e-6)


def test_rest_is_last_and_bars_are_sorted(walk):
    assert [bar.origin == NOT_EXPLAINED for bar in walk.bars] == [False] * (len(walk.bars) - 1) + [True]
    sizes = [abs(bar.amount.value) for bar in walk.bars[:-1]]
    assert sizes == sorted(sizes, reverse=True)


def test_tyres_and_drag_force_are_one_bar_when_only_coefficients_are_known(walk):
    # first principles: mg·c_r + F_0 = A is known, its split is not.
    merged = [bar for bar in walk.bars if set(bar.merged) >= {"tyres", "drag_force"}]
    assert len(merged) == 1
    assert any("wheel spin-down" in remark for remark in walk.remarks)


def test_resolved_means_larger_than_the_detection_limit(walk):
    assert walk.detection_limit == pytest.approx(walk.gap.half_width)
    for bar in walk.bars:
        assert bar.resolved == (abs(bar.amount.value) >= walk.detection_limit)
