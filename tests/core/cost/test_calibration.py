"""Quotes against closed forms, general-purpose libraries and simulated shops."""

import math
from dataclasses import replace

import numpy as np
import pytest
import scipy.stats
import statsmodels.api as sm

from core.cost.shop import fig, operation, process, scenario
from hoistbook.core.cost.calibration import (
    METHODS,
    Prior,
    Quote,
    calibrate,
    calibrated,
    least_squares,
    prior_of,
    quote_for,
    stated_scatter,
    unknown_scatter,
)
from hoistbook.core.cost.engine import cost_parts
from hoistbook.core.cost.route import PartToCost, Step
from hoistbook.core.quantities.quantity import Quantity

PRIOR = Prior(0.0, 0.12, fig("worth", 1.0), fig("dof", 4.0))
MISSES = np.array([0.20, 0.05, 0.12, 0.15, 0.08])
# computed: scipy.stats: Student's error of 4 degrees of freedom with the 95 % band of a normal one of 0.12.
SCALE = 0.12 * scipy.stats.norm.ppf(0.975) / scipy.stats.t.ppf(0.975, 4.0)


def quotes(misses=MISSES):
    return [Quote(f"P{i}", "shop", 10.0 * math.exp(miss), 10.0) for i, miss in enumerate(misses)]


def test_conjugate_normal_in_closed_form():
    # first principles: precisions add. Prior 0 ± 0.12, five quotes with mean 0.12 and scatter 0.10 each: weights
    # 69.444 and 500, mean 500 x 0.12/569.444, sd 1/sqrt(569.444).
    found = stated_scatter(MISSES, PRIOR, 0.10)
    assert found.center == pytest.approx(60.0 / (1.0 / 0.0144 + 500.0), rel=1e-12)
    assert found.bias_scale == pytest.approx(1.0 / math.sqrt(1.0 / 0.0144 + 500.0), rel=1e-12)
    assert found.next_scale == pytest.approx(math.hypot(found.bias_scale, 0.10), rel=1e-12)


def test_unknown_scatter_matches_a_numerical_posterior():
    # computed: the same prior as densities of scipy.stats (inverse gamma, normal), integrated on a grid of mean and
    # variance; 1e-3 for the grid.
    a0, k0 = 2.0, 1.0
    b0 = a0 * SCALE**2 / 2.0
    mean = np.linspace(-0.6, 0.8, 1_401)[:, None]
    variance = np.geomspace(1e-5, 1.0, 2_001)[None, :]
    log_p = scipy.stats.invgamma.logpdf(variance, a0, scale=b0) + scipy.stats.norm.logpdf(
        mean, 0.0, np.sqrt(variance / k0)
    )
    for miss in MISSES:
        log_p = log_p + scipy.stats.norm.logpdf(miss, mean, np.sqrt(variance))
    weight = np.exp(log_p - log_p.max()) * variance  # even steps of the logarithm
    weight /= weight.sum()
    found = unknown_scatter(MISSES, PRIOR)
    assert found.center == pytest.approx(float(np.sum(weight * mean)), rel=1e-3)
    covered = float(
        np.sum(
            weight
            * (
                scipy.stats.norm.cdf(math.log(found.band(found.next_scale)[1]), mean, np.sqrt(variance))
                - scipy.stats.norm.cdf(math.log(found.band(found.next_scale)[0]), mean, np.sqrt(variance))
            )
        )
    )
    assert covered == pytest.approx(0.95, abs=1e-3)
    assert found.dof == 9.0


def test_without_quotes_the_prior_stays():
    found = unknown_scatter(MISSES[:0], PRIOR)
    assert (found.center, found.next_scale, found.dof) == pytest.approx((0.0, SCALE, 4.0))
    # first principles: before any quote the next part has the band of the scenario.
    assert found.band(found.next_scale) == pytest.approx(
        (math.exp(-1.959964 * 0.12), math.exp(1.959964 * 0.12)), rel=1e-6
    )


def test_least_squares_matches_a_general_purpose_library():
    # computed: statsmodels, ordinary least squares on a constant: mean, its standard error and the 95 % prediction
    # interval of a new observation.
    fitted = sm.OLS(MISSES, np.ones_like(MISSES)).fit()
    frame = fitted.get_prediction([[1.0]]).summary_frame(alpha=0.05)
    found = least_squares(MISSES)
    assert found.center == pytest.approx(float(fitted.params[0]), rel=1e-12)
    assert found.bias_scale == pytest.approx(float(fitted.bse[0]), rel=1e-12)
    low, high = found.band(found.next_scale)
    assert math.log(low) == pytest.approx(float(frame["obs_ci_lower"].iloc[0]), rel=1e-9)
    assert math.log(high) == pytest.approx(float(frame["obs_ci_upper"].iloc[0]), rel=1e-9)


def test_leave_one_out_by_hand():
    # first principles: least squares predicts each of three from the mean of the two others.
    found = calibrate("cast", quotes(np.array([0.0, 0.3, 0.6])), PRIOR, "least squares")
    assert found.hold_out_ln == pytest.approx((-0.45, 0.0, 0.45))
    assert found.hold_out_rms_ln == pytest.approx(math.sqrt(2 * 0.45**2 / 3))
    assert found.before_rms_ln == pytest.approx(math.sqrt((0.09 + 0.36) / 3))


@pytest.mark.parametrize("method", METHODS)
def test_quotes_move_the_band_towards_them_and_narrow_it(method):
    many = np.tile(MISSES, 4)
    found = calibrate("cast", quotes(many), PRIOR, method, fig("scatter", 0.05))
    before, after = (math.log(high / low) for low, high in (found.before, found.after))
    assert after < before
    assert found.after[0] < math.exp(0.12) < found.after[1]
    assert found.bias_band[0] > found.after[0]
    assert found.bias_band[1] < found.after[1]
    assert found.hold_out_rms_ln < found.before_rms_ln
    assert "20 quotes" in found.sentences[0]


@pytest.mark.parametrize("method", METHODS)
def test_bands_of_simulated_shops_cover_what_they_say(method):
    # first principles: bias and scatter drawn as the method assumes, five quotes, then a sixth: 95 % of them within
    # the band; 3,000 shops give that to 0.4 %, 4 standard errors allowed.
    rng = np.random.default_rng(7)
    n, inside = 3_000, 0
    for _ in range(n):
        if method == "unknown scatter":
            a0 = 0.5 * PRIOR.dof.value
            sd = math.sqrt(a0 * SCALE**2 / 2.0 / rng.gamma(a0))
            bias = sd * rng.standard_normal()
        elif method == "stated scatter":
            sd, bias = 0.10, 0.12 * rng.standard_normal()
        else:
            sd, bias = rng.uniform(0.01, 0.5), rng.uniform(-1.0, 1.0)
        misses = bias + sd * rng.standard_normal(6)
        if method == "unknown scatter":
            found = unknown_scatter(misses[:5], PRIOR)
        elif method == "stated scatter":
            found = stated_scatter(misses[:5], PRIOR, 0.10)
        else:
            found = least_squares(misses[:5])
        low, high = found.band(found.next_scale)
        inside += low <= math.exp(misses[5]) <= high
    assert inside / n == pytest.approx(0.95, abs=4 * math.sqrt(0.95 * 0.05 / n))


def test_the_prior_is_the_band_of_the_scenario():
    # published: AACE 18R-97 class 3 by analogy: -20/+30 %.
    found = prior_of(scenario())
    assert math.exp(found.center_ln - 1.959964 * found.spread_ln) == pytest.approx(0.80, rel=1e-6)
    assert math.exp(found.center_ln + 1.959964 * found.spread_ln) == pytest.approx(1.30, rel=1e-6)


MADE = {
    "cast": process(
        "cast", lambda f: operation({"shot": 60.0}, "cell", crew=1.0, gross_kg=1.0, tools=36_000.0)
    )
}


def part(tag):
    return PartToCost(tag, tag, "A380", {"mass_kg": Quantity(0.85, "kg")}, (Step("cast"),))


def test_quotes_of_a_true_cost_that_is_a_tenth_higher_are_found():
    costs = cost_parts([part(f"P{i}") for i in range(8)], scenario(), MADE, n_draws=0).parts
    noise = np.random.default_rng(4).normal(0.0, 0.01, 8)
    told = []
    for cost, error in zip(costs.values(), noise, strict=True):
        lines = cost.by_name()
        outside = lines["packaging"] + lines["freight"] + lines["tools"]
        told.append(quote_for(cost, (cost.piece.value - outside) * 1.1 * math.exp(error) + outside, "shop"))
    found = calibrate("cast", told, prior_of(scenario()), "least squares")
    assert found.error.bias_ln == pytest.approx(math.log(1.1), abs=0.02)
    after = calibrated(scenario(), [found])
    moved = cost_parts([part("P0")], after, MADE, n_draws=2_000).parts["P0"]
    before = cost_parts([part("P0")], scenario(), MADE, n_draws=2_000).parts["P0"]
    assert moved.piece.high - moved.piece.low < 0.3 * (before.piece.high - before.piece.low)
    # A second calibration on the same quotes does not add to the first.
    assert quote_for(moved, told[0].quoted_money + outside, "shop").model_money == pytest.approx(
        told[0].model_money
    )
    assert calibrated(after, []).model_errors == after.model_errors


def test_wrong_quotes_are_refused():
    with pytest.raises(ValueError, match="no quotes"):
        calibrate("cast", [], PRIOR)
    with pytest.raises(ValueError, match="quoted twice by 'shop'"):
        calibrate("cast", [*quotes(), *quotes()], PRIOR)
    with pytest.raises(ValueError, match="at least 2"):
        calibrate("cast", quotes()[:1], PRIOR, "least squares")
    with pytest.raises(ValueError, match=r"quoted amount -1\.0"):
        Quote("P", "shop", -1.0, 1.0)
    with pytest.raises(ValueError, match=r"scatter_ln = 0\.0"):
        stated_scatter(MISSES, PRIOR, 0.0)
    cost = cost_parts([part("P")], scenario(), MADE, n_draws=0).parts["P"]
    with pytest.raises(ValueError, match="does not pay packaging"):
        quote_for(cost, 0.01, "shop")
    one = calibrate("cast", quotes()[:1], replace(PRIOR, center_ln=0.1))
    assert one.hold_out_rms_ln is None
    assert one.sentences[1] == "too few quotes to hold one out"
