"""From what is known about an error to its standard uncertainty: repeats (type A) and everything else (type B)."""

import math
from collections.abc import Mapping, Sequence

import numpy as np

from hoistbook.core.arrays import Array
from hoistbook.core.quantities.quantity import Origin, Quantity, Shape, Source, coverage_factor

# 1/Phi^-1(0.75): half of a normal distribution lies within 0.6745 u. GUM 4.3.5 prints 1.48.
FIFTY_PERCENT_FACTOR = 1.482602218505602


def _half_width(half_width: float, name: str) -> None:
    if not 0.0 <= half_width < math.inf:
        msg = f"{name}: half width {half_width!r}; give a finite half width that is not negative."
        raise ValueError(msg)


def _one_source(value: float, u: float, unit: str, source: Source, origin: Origin) -> Quantity:
    _half_width(u, source.name)
    return Quantity(value, unit, ((source, u),) if u > 0.0 else (), origin)


def exact(value: float, unit: str, origin: Origin = Origin.MEASURED) -> Quantity:
    """A value without error: a count, a definition."""
    return Quantity(value, unit, (), origin)


def normal(
    value: float,
    standard_uncertainty: float,
    unit: str,
    name: str,
    origin: Origin = Origin.MEASURED,
    dof: float = math.inf,
) -> Quantity:
    """A value with a standard uncertainty and a normal error called `name`."""
    return _one_source(value, standard_uncertainty, unit, Source(name, "normal", dof=dof), origin)


def rectangular(
    value: float,
    half_width: float,
    unit: str,
    name: str,
    origin: Origin = Origin.MEASURED,
    dof: float = math.inf,
) -> Quantity:
    """Limits value ± a, nothing known inside them: u = a/√3 (from memory: GUM 4.3.7)."""
    return _one_source(value, half_width / math.sqrt(3.0), unit, Source(name, "rectangular", dof=dof), origin)


def triangular(
    value: float,
    half_width: float,
    unit: str,
    name: str,
    origin: Origin = Origin.MEASURED,
    dof: float = math.inf,
) -> Quantity:
    """Limits value ± a, the middle most likely: u = a/√6 (from memory: GUM 4.3.9)."""
    return _one_source(value, half_width / math.sqrt(6.0), unit, Source(name, "triangular", dof=dof), origin)


def trapezoid(
    value: float,
    half_width: float,
    beta: float,
    unit: str,
    name: str,
    origin: Origin = Origin.MEASURED,
    dof: float = math.inf,
) -> Quantity:
    """Limits value ± a with a flat top ± beta·a: u = a √((1 + beta²)/6) (from memory: GUM 4.3.9)."""
    source = Source(name, "trapezoid", beta, dof)
    return _one_source(value, half_width * math.sqrt((1.0 + beta * beta) / 6.0), unit, source, origin)


def arcsine(
    value: float,
    half_width: float,
    unit: str,
    name: str,
    origin: Origin = Origin.MEASURED,
    dof: float = math.inf,
) -> Quantity:
    """Cycling between value ± a, as a thermostat does: u = a/√2 (published: GUM H.1 as worked in the manual of GTC)."""
    return _one_source(value, half_width / math.sqrt(2.0), unit, Source(name, "arcsine", dof=dof), origin)


def fifty_percent(
    value: float, half_width: float, unit: str, name: str, origin: Origin = Origin.MEASURED
) -> Quantity:
    """An even chance that it lies within value ± a: u = 1.48 a, normal (from memory: GUM 4.3.5)."""
    return normal(value, FIFTY_PERCENT_FACTOR * half_width, unit, name, origin)


def two_in_three(
    value: float, half_width: float, unit: str, name: str, origin: Origin = Origin.MEASURED
) -> Quantity:
    """Two chances in three that it lies within value ± a: u = a, normal (from memory: GUM 4.3.6)."""
    return normal(value, half_width, unit, name, origin)


def resolution(
    value: float,
    step: float,
    unit: str,
    name: str,
    origin: Origin = Origin.MEASURED,
    *,
    difference: bool = False,
) -> Quantity:
    """An indication with step d: u = d/√12; the difference of two indications: d/√6 (from memory: GUM F.2.2.1)."""
    if difference:
        return triangular(value, step, unit, name, origin)
    return rectangular(value, 0.5 * step, unit, name, origin)


def certificate(
    value: float,
    expanded: float,
    factor: float,
    unit: str,
    name: str,
    origin: Origin = Origin.MEASURED,
    dof: float = math.inf,
) -> Quantity:
    """A certificate's expanded uncertainty U and coverage factor k: u = U/k (from memory: GUM 4.3.3).

    Raises
    ------
    ValueError
        k is not above 0, or U is negative.
    """
    if not 0.0 < factor < math.inf:
        msg = f"{name}: coverage factor {factor!r}; give the k of the certificate, usually 2."
        raise ValueError(msg)
    return normal(value, expanded / factor, unit, name, origin, dof)


def stated_band(
    value: float,
    half_width: float,
    unit: str,
    name: str,
    origin: Origin = Origin.MEASURED,
    *,
    probability: float = 0.95,
    dof: float = math.inf,
) -> Quantity:
    """A stated band value ± U that holds with a probability: u = U/t_p(dof) (from memory: GUM 4.3.4)."""
    return normal(value, half_width / coverage_factor(dof, probability), unit, name, origin, dof)


def type_a(readings: Sequence[float], unit: str, name: str, origin: Origin = Origin.MEASURED) -> Quantity:
    """Mean of repeated readings with the uncertainty their scatter gives.

    Parameters
    ----------
    readings : sequence of float
        At least two, in `unit`.
    unit : str
    name : str
        Name of the error, e.g. ``"hose A12/repeats"``.
    origin : Origin

    Returns
    -------
    Quantity
        Mean with one student source: u = s/√n, dof = n − 1.

    Raises
    ------
    ValueError
        Fewer than two readings.

    Source
    ------
    from memory: GUM 4.2.2–4.2.3.
    """
    n = len(readings)
    if n < 2:
        msg = f"{name}: {n} reading(s) have no scatter; give at least two, or the band of the instrument."
        raise ValueError(msg)
    mean = math.fsum(readings) / n
    spread = math.sqrt(math.fsum((x - mean) ** 2 for x in readings) / (n - 1))
    return _one_source(mean, spread / math.sqrt(n), unit, Source(name, "student", dof=n - 1), origin)


def type_a_pooled(
    readings: Sequence[float],
    pooled_standard_deviation: float,
    pooled_dof: float,
    unit: str,
    name: str,
    origin: Origin = Origin.MEASURED,
) -> Quantity:
    """Mean of readings whose scatter is known from earlier work: u = s_p/√n with the earlier dof (GUM 4.2.4).

    Raises
    ------
    ValueError
        No reading, or a negative standard deviation.
    """
    if not readings:
        msg = f"{name}: no reading given."
        raise ValueError(msg)
    shape: Shape = "normal" if math.isinf(pooled_dof) else "student"
    u = pooled_standard_deviation / math.sqrt(len(readings))
    mean = math.fsum(readings) / len(readings)
    return _one_source(mean, u, unit, Source(name, shape, dof=pooled_dof), origin)


def correlated(
    values: Sequence[float],
    covariance: Sequence[Sequence[float]] | Array,
    names: Sequence[str],
    unit: str | Sequence[str],
    dof: float = math.inf,
    origin: Origin = Origin.MEASURED,
) -> tuple[Quantity, ...]:
    """Several values with a given covariance matrix, as quantities with shared sources.

    Parameters
    ----------
    values : sequence of float, length n
    covariance : array, shape (n, n)
        Symmetric, no negative eigenvalue; perfectly correlated values are allowed.
    names : sequence of str, length n
        Names of the values; together they name the sources.
    unit : str or sequence of str
        One SI symbol for all, or one each.
    dof : float
        Degrees of freedom of the whole matrix: number of joint observations − 1.
    origin : Origin

    Returns
    -------
    tuple of Quantity, length n
        Covariance and correlation of the quantities are the given ones.

    Raises
    ------
    ValueError
        Sizes that do not fit, repeated names, or a matrix that is not a covariance.

    Notes
    -----
    Cholesky: V = L Lᵀ, value_i = mean_i + Σ_k L_ik z_k. The z_k form one ensemble, so their dof is counted once:
    Welch–Satterthwaite treats all that comes from the matrix as one component (see `Quantity.dof`), and draws with
    finite dof are those of one multivariate t distribution.

    Source
    ------
    from memory: GUM 5.2, H.2 (data); Supplement 2 (JCGM 102) 5.3.2 for the multivariate t distribution.
    """
    n = len(values)
    matrix = np.asarray(covariance, dtype=np.float64)
    units = [unit] * n if isinstance(unit, str) else list(unit)
    if matrix.shape != (n, n) or len(names) != n or len(units) != n:
        msg = f"{n} values need {n} names, {n} units (or one) and a covariance of shape ({n}, {n}), not {matrix.shape}."
        raise ValueError(msg)
    if len(set(names)) != n:
        msg = f"names {list(names)} are not all different; each value needs its own."
        raise ValueError(msg)
    factor = _semidefinite_cholesky(matrix)
    ensemble = "+".join(names)
    shape: Shape = "normal" if math.isinf(dof) else "student"
    sources = [Source(f"{ensemble}/{k + 1}", shape, dof=dof, ensemble=ensemble) for k in range(n)]
    rows = factor.tolist()
    return tuple(
        Quantity(
            values[i],
            units[i],
            tuple((s, c) for s, c in zip(sources, rows[i], strict=True) if c != 0.0),
            origin,
        )
        for i in range(n)
    )


def _semidefinite_cholesky(matrix: Array) -> Array:
    """Lower triangular L with L Lᵀ = matrix; a column of zeros where a value depends on those before it."""
    scale = np.sqrt(np.maximum(np.diag(matrix), 0.0))
    safe = np.where(scale > 0.0, scale, 1.0)
    # Worked on correlations, so that volts beside amperes do not set the tolerance.
    r = matrix / np.outer(safe, safe)
    if not (
        np.all(np.isfinite(matrix))
        and np.allclose(r, r.T, rtol=0.0, atol=1e-9)
        and np.all(np.diag(matrix) >= 0.0)
    ):
        msg = (
            "the covariance is not a symmetric matrix of finite figures with variances that are not negative."
        )
        raise ValueError(msg)
    if float(np.linalg.eigvalsh(0.5 * (r + r.T))[0]) < -1e-9:
        msg = "the covariance has a negative eigenvalue: no set of errors has these correlations; check its signs."
        raise ValueError(msg)
    n = len(matrix)
    factor = np.zeros((n, n))
    for k in range(n):
        rest = r[k, k] - factor[k, :k] @ factor[k, :k]
        if rest <= 1e-12:
            continue
        factor[k, k] = math.sqrt(rest)
        factor[k + 1 :, k] = (r[k + 1 :, k] - factor[k + 1 :, :k] @ factor[k, :k]) / factor[k, k]
    result: Array = factor * safe[:, None]
    return result


def joint_type_a(
    readings: Mapping[str, Sequence[float]], units: Mapping[str, str], origin: Origin = Origin.MEASURED
) -> dict[str, Quantity]:
    """Means of several quantities read together n times, with the covariance their joint scatter gives.

    Parameters
    ----------
    readings : mapping of str to sequence of float
        One series per quantity, all of the same length n of at least 2; entry k of each was read at the same time.
    units : mapping of str to str
        SI symbol of each.
    origin : Origin

    Returns
    -------
    dict of str to Quantity
        Means; covariance of the means s(x, y)/n, dof n − 1.

    Raises
    ------
    ValueError
        Series of different length, or shorter than 2.

    Source
    ------
    from memory: GUM 5.2.3, eq. 17; example H.2.
    """
    lengths = {name: len(series) for name, series in readings.items()}
    if len(set(lengths.values())) != 1 or min(lengths.values()) < 2:
        msg = f"joint readings need series of one length of at least 2; got {lengths}."
        raise ValueError(msg)
    table = np.array(list(readings.values()), dtype=np.float64)
    n = table.shape[1]
    covariance = np.atleast_2d(np.cov(table)) / n
    names = list(readings)
    means = [math.fsum(series) / n for series in readings.values()]
    quantities = correlated(means, covariance, names, [units[name] for name in names], n - 1, origin)
    return dict(zip(names, quantities, strict=True))
