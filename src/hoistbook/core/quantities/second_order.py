"""The next terms of the law of propagation, for models whose first-order sensitivities vanish or change quickly."""

import math
from collections.abc import Callable, Mapping

from hoistbook.core.quantities.quantity import Quantity, Source


def _kurtosis(source: Source) -> float:
    """Fourth moment of the standardised source; student counts as normal (GUM works with its scale)."""
    match source.shape:
        case "rectangular":
            return 9.0 / 5.0
        case "triangular":
            return 12.0 / 5.0
        case "arcsine":
            return 3.0 / 2.0
        case "trapezoid":
            # Two independent rectangular errors with half widths in the ratio (1 + beta):(1 - beta).
            a, b = (1.0 + source.parameter) ** 2, (1.0 - source.parameter) ** 2
            return 3.0 - 1.2 * (a * a + b * b) / (a + b) ** 2
        case _:
            return 3.0


def second_order_variance(
    model: Callable[..., float], inputs: Mapping[str, Quantity], *, step: float = 0.05
) -> tuple[float, float]:
    """Variance of a result to first order, and with the terms of the next order.

    Parameters
    ----------
    model : callable
        Called with one keyword float per input; returns a float.
    inputs : mapping of str to Quantity
        Shared sources are allowed: derivatives are taken with respect to the independent sources.
    step : float
        Step of the central differences, in standard uncertainties. [1]

    Returns
    -------
    (float, float)
        First-order variance, and the variance with second-order terms, both in the square of the result's unit.

    Raises
    ------
    ValueError
        The step is not above 0, or the model is not finite around the estimates.

    Notes
    -----
    With z the sources and f_i, f_ij, … derivatives at the estimate:
    sum f_i^2 + sum_i [(kappa_i - 1)/4 f_ii^2 + kappa_i/3 f_i f_iii] + sum_{i != j} [f_ij^2/2 + f_i f_ijj],
    which is the formula of GUM 5.1.2 (note) with the fourth moment kappa_i = 3 of a normal source; other shapes use
    their own kappa. Sources must be symmetric, which all shapes are. The variance with second-order terms can be
    negative when the model bends too strongly for a Taylor series: then use `montecarlo.propagate`.

    Source
    ------
    from memory: GUM 5.1.2, note. First principles for kappa: variance of f_i z + f_ii z^2/2 + f_iii z^3/6.
    """
    if not step > 0.0:
        msg = f"step = {step!r} standard uncertainties; give a positive step such as 0.05."
        raise ValueError(msg)
    sources: dict[str, Source] = {}
    for quantity in inputs.values():
        for source, _ in quantity.terms:
            sources[source.name] = source
    names = tuple(sources)
    shift_of = {name: {s.name: c for s, c in quantity.terms} for name, quantity in inputs.items()}

    def f(moves: dict[str, float]) -> float:
        point = {
            name: quantity.value + sum(shift_of[name].get(source, 0.0) * z for source, z in moves.items())
            for name, quantity in inputs.items()
        }
        result = model(**point)
        if not math.isfinite(result):
            msg = f"the model is not finite at {point}; it needs room of 2 steps around the estimates."
            raise ValueError(msg)
        return result

    h = step
    middle = f({})
    first = variance = 0.0
    slopes: dict[str, float] = {}
    for name in names:
        up, down, up2, down2 = f({name: h}), f({name: -h}), f({name: 2 * h}), f({name: -2 * h})
        f_i = (8.0 * (up - down) - (up2 - down2)) / (12.0 * h)
        f_ii = (up - 2.0 * middle + down) / h**2
        f_iii = (up2 - 2.0 * up + 2.0 * down - down2) / (2.0 * h**3)
        kappa = _kurtosis(sources[name])
        slopes[name] = f_i
        first += f_i * f_i
        variance += (kappa - 1.0) / 4.0 * f_ii**2 + kappa / 3.0 * f_i * f_iii
    for index, a in enumerate(names):
        for b in names[index + 1 :]:
            pp, pm = f({a: h, b: h}), f({a: h, b: -h})
            mp, mm = f({a: -h, b: h}), f({a: -h, b: -h})
            a_up, a_down, b_up, b_down = f({a: h}), f({a: -h}), f({b: h}), f({b: -h})
            f_ab = (pp - pm - mp + mm) / (4.0 * h * h)
            f_abb = ((pp - 2.0 * a_up + pm) - (mp - 2.0 * a_down + mm)) / (2.0 * h**3)
            f_aab = ((pp - 2.0 * b_up + mp) - (pm - 2.0 * b_down + mm)) / (2.0 * h**3)
            variance += f_ab**2 + slopes[a] * f_abb + slopes[b] * f_aab
    return first, first + variance
