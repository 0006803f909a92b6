import numpy as np
import pytest

from hoistbook.core.compare.bars import WeightedDraws
from hoistbook.core.compare.gap import ResidualPrior, model_value, normalised_side, reconcile

from . import vans

N = 6_000


def plain_side(code, sd_energy=0.0, seed=1, stated=None, family=""):
    """A side whose only doubt is its usable energy: range is proportional to it, so the algebra is closed."""
    fields = {name: np.full(N, centre) for name, (centre, _) in vans.CENTRE.items()}
    z = np.random.default_rng(seed).standard_normal(N)
    fields["usable_energy_j"] = fields["usable_energy_j"] * np.exp(sd_energy * z)
    return vans.side(code, fields, stated, family)


def question(sd_ln, correlation=0.0):
    asked = vans.question(vans.wltc_duty())
    return type(asked)(
        asked.quantity, asked.duty, asked.surroundings, ResidualPrior(sd_ln, correlation), seed=7
    )


def test_stated_range_teaches_the_parameters():
    # first principles: ln U ~ N(0, s²) and ln R = ln U + ln ρ with ln ρ ~ N(0, σ²). Given ln R = r the posterior of
    # ln U is N(r s²/(s² + σ²), s²σ²/(s² + σ²)): conjugate normals.
    s, sigma, r = 0.05, 0.08, 0.10
    x = plain_side("X", s)
    central = float(model_value(question(sigma), plain_side("X")).mean())
    x = vans.side("X", dict(x.fields), np.full(N, central * np.exp(r)))
    y = vans.side("Y", dict(plain_side("Y").fields), np.full(N, central))
    found = reconcile(question(sigma), x, y)
    ln_u = np.log(x.fields["usable_energy_j"] / vans.CENTRE["usable_energy_j"][0])
    interval = found.draws.interval(ln_u)
    assert interval.value == pytest.approx(r * s**2 / (s**2 + sigma**2), abs=0.004)
    assert interval.half_width == pytest.approx(1.96 * s * sigma / np.hypot(s, sigma), rel=0.07)


def test_family_shares_the_residual():
    # first principles: without stated values ln ρ_Y − ln ρ_X ~ N(0, 2σ²(1 − r)); the gap's band follows.
    sigma, r = 0.08, 0.75
    x, y = plain_side("X", family="f"), plain_side("Y", family="f")
    apart = reconcile(question(sigma), x, plain_side("Y"))
    together = reconcile(question(sigma, r), x, y)
    ratio = together.draws.interval(together.gap).half_width / apart.draws.interval(apart.gap).half_width
    assert ratio == pytest.approx(np.sqrt(1.0 - r), rel=0.06)
    assert "the gap is the model's own" in together.assumptions[0]


def test_one_stated_value_leaves_the_other_to_the_prior():
    # first principles: given ln ρ_X = 0.1 and correlation r, ln ρ_Y ~ N(0.1 r, σ²(1 − r²)).
    sigma, r = 0.08, 0.6
    x, y = plain_side("X", family="f"), plain_side("Y", family="f")
    central = model_value(question(sigma), x)
    x = vans.side("X", dict(x.fields), central * np.exp(0.1), "f")
    found = reconcile(question(sigma, r), x, y)
    interval = found.draws.interval(np.log(found.residual_y))
    assert interval.value == pytest.approx(0.1 * r, abs=0.004)
    assert interval.half_width == pytest.approx(1.96 * sigma * np.sqrt(1 - r**2), rel=0.06)
    assert found.assumptions == (
        "no stated range for Y: the model's own is used, and its band holds the model's error of 8.0%",
    )


def test_normalising_keeps_the_residual():
    # first principles: 10 % less usable energy is 10 % less range, whatever the residual.
    x = plain_side("X", stated=np.full(N, 260e3))
    residual = x.stated / model_value(question(0.1), x)
    fields = {**x.fields, "usable_energy_j": 0.9 * x.fields["usable_energy_j"]}
    moved = normalised_side(question(0.1), x, fields, residual)
    assert moved.stated == pytest.approx(np.full(N, 234e3), rel=1e-12)


def test_priors_that_make_no_sense_are_refused():
    with pytest.raises(ValueError, match="the model is never exact"):
        ResidualPrior(0.0, 0.0)
    with pytest.raises(ValueError, match="family_correlation = 1"):
        ResidualPrior(0.1, 1.0)
    x = plain_side("X", stated=np.full(N, -1.0))
    with pytest.raises(ValueError, match="X: the stated range must be positive"):
        reconcile(question(0.1), x, plain_side("Y"))


def test_equal_weights_are_equal():
    assert WeightedDraws(np.full(10, 0.1)).effective_count == pytest.approx(10.0)
