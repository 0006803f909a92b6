"""Runs a check: figures with bands, margins against limits, and what makes the band of the main one."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import replace

import numpy as np

from hoistbook.core.arrays import Array
from hoistbook.core.checks.declared import Check, Found, Limit, Outcome
from hoistbook.core.checks.drawn import CHECK_DRAWS, CHECK_SEED, Drawn, draw_check, formulas_of
from hoistbook.core.checks.found import ByFormula, CheckResult, Figured, Held
from hoistbook.core.checks.stated import Stated, in_reach, shown, shown_band, with_band

__all__ = ["CHECK_DRAWS", "CHECK_SEED", "Stated", "in_reach", "run_check", "shown", "shown_band", "with_band"]


def run_check(
    check: Check, stated: Stated, n_draws: int = CHECK_DRAWS, seed: int = CHECK_SEED
) -> CheckResult:
    """Work a check out.

    Parameters
    ----------
    check : Check
    stated : Stated
    n_draws : int
        At least 100.
    seed : int

    Returns
    -------
    CheckResult

    Raises
    ------
    ValueError
        An unknown name, readings that are missing or outside the range of the equation (all of them, a line each),
        readings that do not go together; the message says which range holds and why.

    Notes
    -----
    Monte Carlo (from memory: JCGM 101 7): readings that share a source of error share its draws. The share of a reading
    in the variance is the squared correlation of its draws with the main figure, a first-order index that is exact
    where the figure is linear in independent readings (from memory: JCGM 101 B.1 note; Saltelli et al., Global
    Sensitivity Analysis, ch. 1).
    """
    drawn = draw_check(check, stated, n_draws, seed)
    figures = tuple(_figures(drawn))
    held = tuple(one for limit in check.limits for one in _held(drawn, limit))
    shares = _shares(check, drawn.values, drawn.found)
    result = CheckResult(
        check.name,
        figures,
        held,
        "",
        _dominant(figures[0], shares),
        shares,
        drawn.assumed,
        (*drawn.caveats, *check.cannot_say),
        check.cautions,
        check.references,
        n_draws,
        seed,
    )
    return replace(result, verdict=check.verdict(result, drawn.given))


def _figures(drawn: Drawn) -> Iterator[Figured]:
    for outcome in drawn.check.outcomes:
        for item in drawn.items(outcome):
            by = tuple(
                _by_formula(drawn.check, outcome, formula, values)
                for formula, values in drawn.by_formula(outcome, item).items()
            )
            yield Figured(
                outcome.name,
                outcome.words,
                outcome.unit,
                outcome.show,
                item,
                by[0].value,
                min(one.low for one in by),
                max(one.high for one in by),
                by if len(by) > 1 else (),
                outcome.effect,
            )


def _by_formula(check: Check, outcome: Outcome, formula: str, values: Array) -> ByFormula:
    if not np.isfinite(values).all():
        bad = int((~np.isfinite(values)).sum())
        msg = (
            f"{check.title}: {outcome.words} has no value for {bad} of {values.size} draws; the band of a reading "
            "reaches where the equation has none: narrow it by measuring again."
        )
        raise ValueError(msg)
    low, high = np.quantile(values[1:], (0.025, 0.975))
    return ByFormula(formula, float(values[0]), float(low), float(high))


def _held(drawn: Drawn, limit: Limit) -> Iterator[Held]:
    outcome = next(one for one in drawn.check.outcomes if one.name == limit.outcome)
    sign = 1.0 if limit.side == "at most" else -1.0
    for row, item in enumerate(drawn.items(outcome)):
        margins = []
        bound = np.asarray(
            limit.bound(drawn.given) if callable(limit.bound) else limit.bound, dtype=np.float64
        )
        of_item = bound[row] if bound.ndim == 2 else bound
        for values in drawn.by_formula(outcome, item).values():
            margins.append(sign * (np.broadcast_to(of_item, values.shape) - values))
        every = np.stack(margins)
        bands = np.quantile(every[:, 1:], (0.025, 0.975), axis=1)
        yield Held(
            outcome.name,
            item,
            outcome.unit,
            limit.words,
            limit.side,
            limit.mark,
            limit.source,
            limit.safety,
            float(np.atleast_1d(of_item)[0]),
            float(margins[0][0]),
            float(bands[0].min()),
            float(bands[1].max()),
            float((every[:, 1:] >= 0.0).mean()),
        )


def _shares(check: Check, values: Mapping[str, Array], found: Found) -> tuple[tuple[str, float], ...]:
    main = _unit_rows(np.atleast_2d(next(iter(formulas_of(found[check.outcomes[0].name]).values())))[:1, 1:])
    if not main.any():
        return ()
    shares = []
    for name, drawn in values.items():
        rows = _unit_rows(np.atleast_2d(drawn)[:, 1:])
        if rows.any():
            shares.append((name, float(((rows @ main[0]) ** 2).sum())))
    return tuple(sorted(shares, key=lambda one: -one[1]))


def _unit_rows(rows: Array) -> Array:
    """Rows less their mean at length 1; what moves by no more than round-off is taken as not moving."""
    centred = rows - rows.mean(axis=1, keepdims=True)
    size = np.linalg.norm(centred, axis=1, keepdims=True)
    still = size <= 1e-12 * np.linalg.norm(rows, axis=1, keepdims=True)
    moving: Array = np.where(still, 0.0, centred / np.where(still, 1.0, size))
    return moving


def _dominant(main: Figured, shares: Sequence[tuple[str, float]]) -> str:
    if main.formulas:
        values = [one.value for one in main.formulas]
        widest = max(one.high - one.low for one in main.formulas)
        if max(values) - min(values) > widest:
            return "formula"
    return shares[0][0] if shares else ""
