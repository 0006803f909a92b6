"""Known quotes tell how far a process model misses: its error is updated on the logarithm of the cost."""

from __future__ import annotations

import math
from collections.abc import Callable, Iterable, Sequence
from dataclasses import dataclass, replace
from types import MappingProxyType
from typing import Literal

import numpy as np
from scipy.special import ndtri, stdtrit

from hoistbook.core.arrays import Array
from hoistbook.core.cost.figure import Figure
from hoistbook.core.cost.result import PartCost
from hoistbook.core.cost.scenario import ModelError, Scenario

Method = Literal["unknown scatter", "stated scatter", "least squares"]
METHODS: tuple[Method, ...] = ("unknown scatter", "stated scatter", "least squares")
Basis = Literal["make", "buy"]
"""What a quote is of: making the piece, or the delivered piece of a supplier."""
BASES: tuple[Basis, ...] = ("make", "buy")
_OUTSIDE = ("packaging", "freight", "tools")
"""Lines that no process model makes."""
_AGAIN = "calibration"


@dataclass(frozen=True, slots=True)
class Quote:
    """A known price against what the model says.

    Attributes
    ----------
    tag, source : str
        Part, and whose quote of when it is.
    quoted_money, model_money : float
        Of what the model answers for: without packaging, freight and tools. [money]

    Raises
    ------
    ValueError
        An amount that is not positive.
    """

    tag: str
    source: str
    quoted_money: float
    model_money: float

    def __post_init__(self) -> None:
        for name, value in (("quoted", self.quoted_money), ("model", self.model_money)):
            if not (value > 0.0 and math.isfinite(value)):
                msg = f"{self.tag}: {name} amount {value!r}; quotes are compared by their ratio; give one above 0."
                raise ValueError(msg)

    @property
    def miss_ln(self) -> float:
        """ln(quoted/model). [1]"""
        return math.log(self.quoted_money / self.model_money)


def quote_for(cost: PartCost, quoted_money: float, source: str, basis: Basis = "buy") -> Quote:
    """Set a quote of a piece against its cost.

    Parameters
    ----------
    cost : PartCost
    quoted_money : float
        In the money of the cost. "buy": delivered, with mark-ups, tools paid the same way as in the cost. "make": what
        making the piece costs, without mark-ups, packaging, freight and tools. [money]
    source : str
    basis : str

    Raises
    ------
    ValueError
        A quote that does not even pay packaging, freight and tools, or is so far from the cost that it is for
        something else.

    Notes
    -----
    Lines outside the model are taken off both; an earlier calibration is taken off the model.
    """
    if basis == "make":
        made = math.fsum(line.value_money for line in cost.lines if line.step)
        return _near(Quote(cost.tag, source, quoted_money, made), cost.currency)
    lines = cost.by_name()
    outside = sum(lines.get(name, 0.0) for name in _OUTSIDE)
    model = sum(value for name, value in lines.items() if name not in (*_OUTSIDE, _AGAIN))
    if not quoted_money > outside:
        msg = (
            f"{cost.tag}: a quote of {quoted_money!r} {cost.currency} does not pay packaging, freight and tools "
            f"({outside:.4g}); check its terms."
        )
        raise ValueError(msg)
    return _near(Quote(cost.tag, source, quoted_money - outside, model), cost.currency)


FARTHEST = 1_000.0
"""project rule: a quote farther than by this factor from its model is a slip of unit, currency or part. Quotes that
models of parts are judged by lie within a factor of a few (common practice)."""


def _near(quote: Quote, currency: str) -> Quote:
    quoted, model = quote.quoted_money, quote.model_money
    if not model / FARTHEST <= quoted <= model * FARTHEST or not model > 0.0:
        msg = (
            f"{quote.tag}: a quote of {quoted:.4g} {currency} against {model:.4g} {currency} of the model is more than "
            f"{FARTHEST:,.0f} times off; check its price, its currency, and that it is for one piece of this part."
        )
        raise ValueError(msg)
    return quote


@dataclass(frozen=True, slots=True)
class Prior:
    """What is taken of a model before any quote.

    Attributes
    ----------
    center_ln, spread_ln : float
        ln(true/model) of the next part: centre and standard deviation. [1]
    worth_quotes : Figure
        How many quotes the centre is worth.
    dof : Figure
        Degrees of freedom of the scatter.
    """

    center_ln: float
    spread_ln: float
    worth_quotes: Figure
    dof: Figure


WORTH = Figure(
    "prior_worth_quotes", "quotes that the band of an uncalibrated model is worth", "1", 1.0, 0.5, 2.0,
    "common practice", "none: one, so that two quotes outweigh it",
)  # fmt: skip
DOF = Figure(
    "prior_dof", "degrees of freedom of the scatter before any quote", "1", 4.0, 3.0, 10.0,
    "common practice", "none: few, so that quotes decide how far parts scatter",
)  # fmt: skip
SCATTER = Figure(
    "quote_scatter_ln", "scatter of quotes about the model, once its bias is known", "1", 0.12, 0.08, 0.20,
    "common practice", "none: quotes of several suppliers for one part spread by 10-20 %",
)  # fmt: skip


def prior_of(scenario: Scenario, worth_quotes: Figure = WORTH, dof: Figure = DOF) -> Prior:
    """Return the band of the scenario's uncalibrated models as a prior.

    Notes
    -----
    The band runs from 1 + low to 1 + high: its centre in logarithms is their mean, its spread their distance over 2 x
    1.96.
    """
    low, high = (math.log1p(scenario.figures[name].value) for name in ("model_low_frac", "model_high_frac"))
    return Prior(0.5 * (low + high), (high - low) / (2.0 * _Z), worth_quotes, dof)


_Z = 1.959963984540054


@dataclass(frozen=True, slots=True)
class Calibration:
    """What quotes make of a process model.

    Attributes
    ----------
    process : str
    method : str
    error : ModelError
        For the scenario.
    before, after : (float, float)
        95 % band of true over model for the next part.
    bias_band : (float, float)
        95 % band of the bias alone: true over model on average.
    hold_out_rms_ln, before_rms_ln : float or None
        Root mean square error of quotes predicted from the others, and by the model as it was; None below 2 (least
        squares: 3) quotes. [1]
    hold_out_covered_frac : float or None
        Share of the held-out quotes within their band.
    hold_out_ln : tuple of float
        Error of each held-out quote.
    sentences : tuple of str
    """

    process: str
    method: Method
    error: ModelError
    before: tuple[float, float]
    after: tuple[float, float]
    bias_band: tuple[float, float]
    hold_out_rms_ln: float | None
    before_rms_ln: float | None
    hold_out_covered_frac: float | None
    hold_out_ln: tuple[float, ...]
    sentences: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class Posterior:
    """Student error of the next quote and of the bias: centre, scales, degrees of freedom (infinite: normal)."""

    center: float
    next_scale: float
    bias_scale: float
    dof: float

    @property
    def own_share_frac(self) -> float:
        """Share of the variance of the next quote that is its own: all but that of the bias. [1]"""
        return 1.0 - (self.bias_scale / self.next_scale) ** 2 if self.next_scale else 0.0

    def band(self, scale: float) -> tuple[float, float]:
        """95 % band of the factor."""
        t = float(ndtri(0.975)) if math.isinf(self.dof) else float(stdtrit(self.dof, 0.975))
        return math.exp(self.center - t * scale), math.exp(self.center + t * scale)


def unknown_scatter(misses: Array, prior: Prior) -> Posterior:
    """Update bias and scatter together (normal-inverse-gamma).

    Notes
    -----
    Prior m0, k0 quotes, a0 = dof/2, b0 so that the next quote has the prior's 95 % band: its scale is s = 1.96 s0/t
    with the 97.5 % point t of Student's distribution, b0 = a0 s^2/(1 + 1/k0). Then kn = k0 + n,
    mn = (k0 m0 + n y)/kn, an = a0 + n/2, bn = b0 + S/2 + k0 n (y - m0)^2/(2 kn), with mean y and sum of squares S
    about it. The next quote is Student-t with 2 an degrees of freedom about mn, scale^2 = bn (1 + 1/kn)/an; the bias
    has bn/(an kn).

    Source
    ------
    from memory: conjugate analysis of the normal with unknown mean and variance, as in texts on Bayesian statistics.
    """
    n = misses.size
    k0, a0 = prior.worth_quotes.value, 0.5 * prior.dof.value
    scale = prior.spread_ln * _Z / float(stdtrit(prior.dof.value, 0.975))
    b0 = a0 * scale**2 / (1.0 + 1.0 / k0)
    mean = float(np.mean(misses)) if n else 0.0
    squares = float(np.sum((misses - mean) ** 2)) if n else 0.0
    kn, an = k0 + n, a0 + 0.5 * n
    center = (k0 * prior.center_ln + n * mean) / kn
    bn = b0 + 0.5 * squares + 0.5 * k0 * n * (mean - prior.center_ln) ** 2 / kn
    return Posterior(center, math.sqrt(bn * (1.0 + 1.0 / kn) / an), math.sqrt(bn / (an * kn)), 2.0 * an)


def stated_scatter(misses: Array, prior: Prior, scatter_ln: float) -> Posterior:
    """Update the bias with a known scatter of quotes (conjugate normal).

    Notes
    -----
    Bias N(m0, s0^2), quotes N(bias, t^2): 1/sn^2 = 1/s0^2 + n/t^2, mn = sn^2 (m0/s0^2 + n y/t^2); the next part is
    N(mn, sn^2 + t^2). Here the band of the uncalibrated model is that of its bias alone.

    Source
    ------
    from memory: conjugate normal with known variance, as in texts on Bayesian statistics.
    """
    if not scatter_ln > 0.0:
        msg = f"scatter_ln = {scatter_ln!r}: quotes scatter; state e.g. 0.12 for 12 %."
        raise ValueError(msg)
    n = misses.size
    precision = 1.0 / prior.spread_ln**2 + n / scatter_ln**2
    center = (prior.center_ln / prior.spread_ln**2 + float(np.sum(misses)) / scatter_ln**2) / precision
    return Posterior(center, math.sqrt(1.0 / precision + scatter_ln**2), math.sqrt(1.0 / precision), math.inf)


def least_squares(misses: Array) -> Posterior:
    """Mean of the misses and their spread, without any prior.

    Raises
    ------
    ValueError
        Fewer than two quotes.

    Source
    ------
    from memory: prediction interval of a mean, s sqrt(1 + 1/n) with n - 1 degrees of freedom.
    """
    n = misses.size
    if n < 2:
        msg = f"{n} quote: least squares needs at least 2; take the method 'unknown scatter'."
        raise ValueError(msg)
    spread = float(np.std(misses, ddof=1))
    return Posterior(
        float(np.mean(misses)), spread * math.sqrt(1.0 + 1.0 / n), spread / math.sqrt(n), n - 1.0
    )


def calibrate(
    process: str,
    quotes: Sequence[Quote],
    prior: Prior,
    method: Method = "unknown scatter",
    scatter: Figure = SCATTER,
) -> Calibration:
    """Update the error of one process model by quotes for its parts.

    Parameters
    ----------
    process : str
        The first step of their routes: its error stands for that of the route.
    quotes : sequence of Quote
    prior : Prior
    method : str
        "unknown scatter" (Bayes, bias and scatter), "stated scatter" (Bayes, bias alone) or "least squares".
    scatter : Figure
        For "stated scatter".

    Raises
    ------
    ValueError
        An unknown method, no quotes or too few, or two quotes for one part from one source.

    Notes
    -----
    `error` is that of the next part: the bias, which all parts of the process share, and the scatter, of which each
    part has its own.
    """
    if method not in METHODS:
        msg = f"no method named {method!r}; known: {', '.join(METHODS)}."
        raise ValueError(msg)
    if not quotes:
        msg = f"{process}: no quotes; give at least one."
        raise ValueError(msg)
    named: set[tuple[str, str]] = set()
    for one in quotes:
        if (one.tag, one.source) in named:
            msg = f"{one.tag}: quoted twice by {one.source!r}; keep one."
            raise ValueError(msg)
        named.add((one.tag, one.source))
    misses = np.array([one.miss_ln for one in quotes])
    fit: Callable[[Array], Posterior]
    if method == "unknown scatter":
        nothing, fit = unknown_scatter(misses[:0], prior), lambda some: unknown_scatter(some, prior)
    elif method == "stated scatter":
        nothing = Posterior(prior.center_ln, prior.spread_ln, prior.spread_ln, math.inf)
        fit = lambda some: stated_scatter(some, prior, scatter.value)  # noqa: E731
    else:
        nothing, fit = Posterior(prior.center_ln, prior.spread_ln, prior.spread_ln, math.inf), least_squares
    found = fit(misses)
    held = _held_out(misses, fit, 3 if method == "least squares" else 2)
    after = found.band(found.next_scale)
    noun = "quote" if len(quotes) == 1 else "quotes"
    said = (
        f"{process}: {len(quotes)} {noun} ({method}); true over model {math.exp(found.center):.3f}, next part "
        f"{after[0]:.2f}–{after[1]:.2f}"
    )
    sentences = [said]
    if held is None:
        rms = before_rms = covered = None
        errors: Array = misses[:0]
        sentences.append("too few quotes to hold one out")
    else:
        errors, inside = held
        rms, before_rms = (float(np.sqrt(np.mean(one**2))) for one in (errors, misses))
        covered = float(np.mean(inside))
        sentences.append(
            f"held out one by one, quotes are met within {rms:.1%} (root mean square of the logarithm) against "
            f"{before_rms:.1%} by the model as it was; {covered:.0%} of them within their band"
        )
    return Calibration(
        process,
        method,
        ModelError(found.center, found.next_scale, found.dof, said, found.own_share_frac),
        nothing.band(nothing.next_scale),
        after,
        found.band(found.bias_scale),
        rms,
        before_rms,
        covered,
        tuple(float(error) for error in errors),
        tuple(sentences),
    )


def _held_out(misses: Array, fit: Callable[[Array], Posterior], least: int) -> tuple[Array, Array] | None:
    """Error of each quote predicted from the others, and whether it lies within its band."""
    if misses.size < least:
        return None
    errors, inside = [], []
    for place, miss in enumerate(misses):
        found = fit(np.delete(misses, place))
        low, high = found.band(found.next_scale)
        errors.append(miss - found.center)
        inside.append(low <= math.exp(miss) <= high)
    return np.array(errors), np.array(inside, dtype=np.float64)


def calibrated(scenario: Scenario, found: Iterable[Calibration]) -> Scenario:
    """Return the scenario with errors of the calibrated processes; the others keep theirs."""
    errors = {**scenario.model_errors, **{one.process: one.error for one in found}}
    return replace(scenario, model_errors=MappingProxyType(errors))
