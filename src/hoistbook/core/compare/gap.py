"""The reconciled gap in range or consumption between two vehicles: causes, decisions, and what is left.

Level 1 shares the stated gap among causes by the exact Shapley value of every draw. Level 2 shares each cause among the
decisions found on the hoist by the Aumann–Shapley integral inside it, without ever dividing by the difference, so that
decisions that cancel keep their size. The model residual is a player of its own and is shown as unexplained.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace

import numpy as np

from hoistbook.core.arrays import Array
from hoistbook.core.compare.bars import WeightedDraws
from hoistbook.core.compare.causes import CAUSES, RESIDUAL
from hoistbook.core.compare.question import Decision, Question, ResidualPrior, Side
from hoistbook.core.compare.sharing import Pair, level_one, model_value, slopes_along
from hoistbook.core.quantities.assumption import Assumption, definition, sentences

__all__ = [
    "Decision",
    "GapDraws",
    "Question",
    "ResidualPrior",
    "Side",
    "model_value",
    "normalised_side",
    "reconcile",
]

_RESIDUAL_STREAM = (2, 71, 82)
"""Sets the draws of an unstated residual apart from every other use of the seed."""


@dataclass(frozen=True, slots=True)
class GapDraws:
    """A gap before it is summed up: one column per draw.

    Attributes
    ----------
    gap : array, shape (n_draws,)
        Y less X.
    shares : mapping of cause name to array
        They add up to `gap` in every draw; the residual is "not_explained".
    first_in, last_in : mapping of cause name to array
    decisions : mapping of (cause name, decision name) to array
    draws : WeightedDraws
    closing_error : float
        Largest mean absolute error of the path integral against the share it must return, over causes with decisions.
    value_x, value_y : array
        Stated values, or the model's times the drawn residual.
    assumed : tuple of Assumption
    """

    gap: Array
    shares: Mapping[str, Array]
    first_in: Mapping[str, Array]
    last_in: Mapping[str, Array]
    decisions: Mapping[tuple[str, str], Array]
    draws: WeightedDraws
    closing_error: float
    value_x: Array
    value_y: Array
    residual_x: Array
    residual_y: Array
    assumed: tuple[Assumption, ...] = ()

    @property
    def assumptions(self) -> tuple[str, ...]:
        """What was assumed, as sentences."""
        return sentences(self.assumed)


def _residuals(
    question: Question, x: Side, y: Side, model_x: Array, model_y: Array
) -> tuple[Array, Array, WeightedDraws, tuple[Assumption, ...]]:
    """Model residual ρ of both vehicles per draw, with the weight each draw has by the prior of ρ.

    With a stated value R, ρ = R/model(x) (for consumption its inverse), and the draw is weighted by the prior density
    of (ln ρ_X, ln ρ_Y): the model error enters as likelihood, so parameters that would need an unlikely residual
    count less (Bayes' theorem, self-normalised importance sampling). Without a stated value ρ is drawn from the prior,
    given the other vehicle's.
    """
    prior = question.residual
    correlation = prior.family_correlation if x.family and x.family == y.family else 0.0
    ln_x = _log_residual(question, x, model_x)
    ln_y = _log_residual(question, y, model_y)
    n_draws = model_x.shape[0]
    noise = np.random.default_rng([question.seed, *_RESIDUAL_STREAM]).standard_normal((2, n_draws))
    spread = prior.sd_ln * np.sqrt(1.0 - correlation**2)
    error = f"its band holds the model's error of {prior.sd_ln:.1%}"
    silent = ""
    if ln_x is not None and ln_y is not None:
        quadratic = (ln_x**2 - 2.0 * correlation * ln_x * ln_y + ln_y**2) / (1.0 - correlation**2)
        log_weight = -0.5 * quadratic / prior.sd_ln**2
    elif ln_x is not None:
        ln_y = correlation * ln_x + spread * noise[1]
        log_weight = -0.5 * (ln_x / prior.sd_ln) ** 2
        silent = f"no stated {question.quantity} for {y.code}: the model's own is used, and {error}"
    elif ln_y is not None:
        ln_x = correlation * ln_y + spread * noise[0]
        log_weight = -0.5 * (ln_y / prior.sd_ln) ** 2
        silent = f"no stated {question.quantity} for {x.code}: the model's own is used, and {error}"
    else:
        ln_x = prior.sd_ln * noise[0]
        ln_y = correlation * ln_x + spread * noise[1]
        log_weight = np.zeros(n_draws)
        both = f"{x.code} and {y.code}"
        silent = f"no stated {question.quantity} for {both}: the gap is the model's own, and {error}"
    weight = np.exp(log_weight - log_weight.max())
    assumed = (definition(silent),) if silent else ()
    return np.exp(ln_x), np.exp(ln_y), WeightedDraws(weight / weight.sum()), assumed


def _log_residual(question: Question, side: Side, model: Array) -> Array | None:
    if side.stated is None:
        return None
    if not np.all(side.stated > 0.0):
        msg = f"{side.code}: the stated {question.quantity} must be positive in every draw; its band reaches zero."
        raise ValueError(msg)
    ratio: Array = np.log(side.stated / model)
    return ratio if question.quantity == "range" else -ratio


def reconcile(
    question: Question,
    x: Side,
    y: Side,
    decisions: Sequence[Decision] = (),
    *,
    known_residuals: tuple[Array, Array, WeightedDraws] | None = None,
) -> GapDraws:
    """Share the gap Y − X among causes and decisions.

    Parameters
    ----------
    question : Question
    x, y : Side
        From X to Y.
    decisions : sequence of Decision
    known_residuals : tuple, optional
        Residuals and weights of another comparison of the same two vehicles (as found, for the normalised one).

    Returns
    -------
    GapDraws

    Raises
    ------
    ValueError
        A decision changes a parameter that no cause owns, or a stated value is not positive.

    Notes
    -----
    Level 1: share_i = Σ_S∌i w_S (v(S ∪ i) − v(S)) for every draw. Level 2:
    φ_{i,d} = Σ_S∌i w_S ∫₀¹ ∇_i v(S, x_i^X + tΔ)·δ_d dt, with slopes by central differences at Gauss–Legendre nodes.

    Source
    ------
    published: Shapley 1953 (level 1, see `shapley`); from memory: R. J. Aumann and L. S. Shapley, Values of Non-Atomic
    Games, 1974 (level 2).
    """
    known_fields = {name for cause in CAUSES for name in cause.fields}
    for decision in decisions:
        unknown = sorted(set(decision.change) - known_fields)
        if unknown:
            msg = f"decision {decision.name!r} changes {unknown[0]!r}, which no cause owns."
            raise ValueError(msg)
    pair = Pair(question, x, y)
    sums = level_one(pair)
    assumed: tuple[Assumption, ...] = ()
    if known_residuals is None:
        rho_x, rho_y, draws, assumed = _residuals(question, x, y, sums.model_x, sums.model_y)
    else:
        rho_x, rho_y, draws = known_residuals
    factor_x, factor_y = (rho_x, rho_y) if question.quantity == "range" else (1.0 / rho_x, 1.0 / rho_y)
    value_x, value_y = sums.model_x * factor_x, sums.model_y * factor_y
    zero = np.zeros_like(rho_x)
    players = [*pair.active, RESIDUAL]
    names = [*(cause.name for cause in CAUSES), RESIDUAL]

    def by_name(block: Array) -> dict[str, Array]:
        found = dict(zip(players, block, strict=True))
        return {name: found.get(name, zero) for name in names}

    # The residual multiplies every value, so both of its states follow from one set of sums.
    shares = by_name(sums.before_residual * factor_x + sums.after_residual * factor_y)
    residual_alone = np.stack([sums.model_x, sums.model_y]) * (factor_y - factor_x)
    first_in = by_name(np.concatenate([(sums.alone - sums.model_x) * factor_x, residual_alone[:1]]))
    last_in = by_name(np.concatenate([(sums.model_y - sums.without) * factor_y, residual_alone[1:]]))
    split: dict[tuple[str, str], Array] = {}
    closing = 0.0
    for cause in CAUSES:
        touching = [d for d in decisions if set(d.change) & set(cause.fields)]
        if not touching:
            continue
        fields = sorted({name for d in touching for name in d.change if name in cause.fields})
        slopes, error = slopes_along(pair, rho_x, rho_y, cause, fields, shares[cause.name])
        closing = max(closing, error)
        for decision in touching:
            parts = [slopes[name] * decision.change[name] for name in fields if name in decision.change]
            split[cause.name, decision.name] = np.sum(parts, axis=0)
    return GapDraws(
        gap=value_y - value_x,
        shares=shares,
        first_in=first_in,
        last_in=last_in,
        decisions=split,
        draws=draws,
        closing_error=closing,
        value_x=value_x,
        value_y=value_y,
        residual_x=rho_x,
        residual_y=rho_y,
        assumed=assumed,
    )


def normalised_side(question: Question, side: Side, fields: Mapping[str, Array], residual: Array) -> Side:
    """The vehicle with its unlike content stripped, added or scaled; its stated value moved by the model.

    Parameters
    ----------
    fields : mapping
        Energy parameters after normalising.
    residual : array, shape (n_draws,)
        The residual of the vehicle as found, which normalising keeps.
    """
    moved = replace(side, fields=fields, stated=None)
    model = model_value(question, moved)
    return replace(moved, stated=model * residual if question.quantity == "range" else model / residual)
