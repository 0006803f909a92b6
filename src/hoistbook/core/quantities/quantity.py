"""A value that remembers where its error comes from.

A quantity is ``value + sum(c_i * z_i)``: each z_i is a *named*, independent, zero-mean source of unit standard
uncertainty and c_i the sensitivity to it. Two quantities that name the same source share that error, so covariances
never have to be stored: they follow from the names.
"""

import math
from collections.abc import Iterable, Sequence
from dataclasses import dataclass, replace

from hoistbook.core.quantities.coverage import coverage_factor
from hoistbook.core.quantities.dimension import dimension, power_symbol, product_symbol, quotient_symbol
from hoistbook.core.quantities.source import Origin, Shape, Source, weakest

__all__ = [
    "Origin",
    "Quantity",
    "Shape",
    "Source",
    "Terms",
    "combine",
    "correlation",
    "covariance",
    "coverage_factor",
    "total",
    "weakest",
]

Terms = tuple[tuple[Source, float], ...]


def _clash(a: Source, b: Source) -> ValueError:
    return ValueError(
        f"two different sources are both named {a.name!r}: {a} and {b}; a name means one error, so rename one of them."
    )


def _collected(parts: Iterable[tuple[Terms, float]]) -> Terms:
    """Add up coefficients by source name; a hot loop, 10,000 readings at a time."""
    sums: dict[str, float] = {}
    sources: dict[str, Source] = {}
    for terms, factor in parts:
        for source, coefficient in terms:
            name = source.name
            if name in sums:
                known = sources[name]
                if known is not source and known != source:
                    raise _clash(known, source)
                sums[name] += factor * coefficient
            else:
                sources[name] = source
                sums[name] = factor * coefficient
    if 0.0 in sums.values():  # an error that cancels exactly is no longer a part of the result
        return tuple((sources[name], c) for name, c in sums.items() if c != 0.0)
    return tuple(zip(sources.values(), sums.values(), strict=True))


@dataclass(frozen=True, slots=True)
class Quantity:
    """A value in an SI unit with its named sources of error.

    Parameters
    ----------
    value : float
        Best estimate, in `unit`.
    unit : str
        SI symbol, e.g. ``"kg"``, ``"N.s2/m2"``, ``"1"``.
    terms : tuple of (Source, float)
        Sensitivity to each source: the standard uncertainty it contributes, signed, in `unit`. A source given twice is
        added up.
    origin : Origin
        How the value is known.

    Raises
    ------
    ValueError
        A value or coefficient that is not finite, an unknown unit, or two different sources under one name.

    Notes
    -----
    ``+ - * / **`` propagate to first order (GUM 5.1.2). A term vanishes where its sensitivity does, as for ``x**2`` at
    x = 0: use `montecarlo.propagate` or `montecarlo.second_order_variance` there. A bare number in a sum is in the unit
    of the quantity.

    Source
    ------
    from memory: JCGM 100:2008 (GUM) 5.1–5.2; shared errors are F.1.2.3.

    Examples
    --------
    >>> scale = Source("instrument B2/calibration", "rectangular")
    >>> a = Quantity(2.0, "kg", ((scale, 0.003), (Source("reading 1"), 0.004)))
    >>> b = Quantity(1.5, "kg", ((scale, 0.003),))
    >>> round((a + b).standard_uncertainty, 6), round((a - b).standard_uncertainty, 6)
    (0.007211, 0.004)
    """

    value: float
    unit: str
    terms: Terms = ()
    origin: Origin = Origin.MEASURED

    __array_ufunc__ = None  # a numpy scalar times a quantity must be our product, not an object array

    def __post_init__(self) -> None:
        dimension(self.unit)
        if type(self.value) is not float:
            object.__setattr__(self, "value", float(self.value))
        if not math.isfinite(self.value):
            msg = f"value = {self.value!r} {self.unit} is not a finite number; a missing value is None, not a Quantity."
            raise ValueError(msg)
        if len({source.name for source, _ in self.terms}) != len(self.terms):
            object.__setattr__(self, "terms", _collected([(self.terms, 1.0)]))
        coefficients = [c for _, c in self.terms]
        if not all(map(math.isfinite, coefficients)):
            bad = next((source.name, c) for source, c in self.terms if not math.isfinite(c))
            msg = f"source {bad[0]!r}: its coefficient {bad[1]!r} {self.unit} is not a finite number."
            raise ValueError(msg)
        if any(
            type(c) is not float for c in coefficients
        ):  # numpy scalars would spread through every later result
            object.__setattr__(self, "terms", tuple((source, float(c)) for source, c in self.terms))

    @property
    def standard_uncertainty(self) -> float:
        """Combined standard uncertainty sqrt(sum c_i^2), in `unit` (GUM 5.1.2; sources are independent)."""
        return math.sqrt(math.fsum(c * c for _, c in self.terms))

    @property
    def dof(self) -> float:
        """Effective degrees of freedom, not truncated (Welch–Satterthwaite).

        Notes
        -----
        nu_eff = u^4 / sum(u_g^4 / nu_g). The formula needs independent components, and sources are independent;
        sources of one ensemble were estimated from the same repeats and form one component u_g^2 = sum c_i^2 with the
        ensemble's degrees of freedom. So the correlation of jointly observed inputs is allowed for, as long as the
        whole ensemble shares one sample. Other dependence between the *estimates of the uncertainties* is not: the
        figure is then only a guide.

        Source
        ------
        from memory: GUM G.4.1, eq. G.2b; Willink, Metrologia 44 (2007) 340–349 for jointly observed inputs.
        """
        groups: dict[str, tuple[float, float]] = {}
        denominator = 0.0
        variance = 0.0
        for source, c in self.terms:
            square = c * c
            variance += square
            if math.isinf(source.dof):
                continue
            if source.ensemble:
                groups[source.ensemble] = (groups.get(source.ensemble, (0.0, 0.0))[0] + square, source.dof)
            else:
                denominator += square * square / source.dof
        denominator += sum(square * square / dof for square, dof in groups.values())
        return variance * variance / denominator if denominator > 0.0 else math.inf

    def coverage_factor(self, probability: float = 0.95) -> float:
        """Two-sided Student factor t_p at the effective degrees of freedom, truncated down (GUM G.4.1, G.6.4)."""
        return coverage_factor(self.dof, probability)

    def expanded(self, probability: float = 0.95) -> float:
        """Expanded uncertainty U = t_p(nu_eff) u, in `unit` (GUM 6.2, G.3)."""
        return self.coverage_factor(probability) * self.standard_uncertainty

    def band(self, probability: float = 0.95) -> tuple[float, float]:
        """Return the interval value ± U: ``(low, high)`` in `unit`.

        Notes
        -----
        Treats the sum of the errors as normal or Student. One dominant rectangular source makes the band up to 17 % too
        wide (JCGM 101 9.2.4); `montecarlo.propagate` gives the interval of the distribution itself.
        """
        half = self.expanded(probability)
        return self.value - half, self.value + half

    def in_unit(self, unit: str) -> "Quantity":
        """Return the same quantity under another symbol of the same dimension, e.g. N.m instead of J.

        Raises
        ------
        ValueError
            The dimension differs.
        """
        _same_dimension(self.unit, unit)
        return replace(self, unit=unit)

    def __add__(self, other: "Quantity | float") -> "Quantity":
        if isinstance(other, Quantity):
            return _linear(self.value + other.value, self.unit, ((self, 1.0), (other, 1.0)), same_unit=True)
        return replace(self, value=self.value + other)

    __radd__ = __add__

    def __neg__(self) -> "Quantity":
        return _linear(-self.value, self.unit, ((self, -1.0),))

    def __sub__(self, other: "Quantity | float") -> "Quantity":
        if isinstance(other, Quantity):
            return _linear(self.value - other.value, self.unit, ((self, 1.0), (other, -1.0)), same_unit=True)
        return replace(self, value=self.value - other)

    def __rsub__(self, other: float) -> "Quantity":
        return _linear(other - self.value, self.unit, ((self, -1.0),))

    def __mul__(self, other: "Quantity | float") -> "Quantity":
        if isinstance(other, Quantity):
            unit = product_symbol(self.unit, other.unit)
            return _linear(self.value * other.value, unit, ((self, other.value), (other, self.value)))
        return _linear(self.value * other, self.unit, ((self, other),))

    __rmul__ = __mul__

    def __truediv__(self, other: "Quantity | float") -> "Quantity":
        if isinstance(other, Quantity):
            _nonzero(other.value, other.unit)
            ratio = self.value / other.value
            unit = quotient_symbol(self.unit, other.unit)
            return _linear(ratio, unit, ((self, 1.0 / other.value), (other, -ratio / other.value)))
        _nonzero(other, "1")
        return _linear(self.value / other, self.unit, ((self, 1.0 / other),))

    def __rtruediv__(self, other: float) -> "Quantity":
        return Quantity(other, "1") / self

    def __pow__(self, exponent: float) -> "Quantity":
        unit = power_symbol(self.unit, exponent)
        if self.value < 0.0 and exponent != round(exponent):
            msg = f"{self.value!r} {self.unit} to the power {exponent!r}: a negative value has no fractional power."
            raise ValueError(msg)
        if self.value == 0.0 and exponent < 1.0:
            msg = f"0 {self.unit} to the power {exponent!r}: no first-order slope there; use montecarlo.propagate."
            raise ValueError(msg)
        slope = exponent * self.value ** (exponent - 1.0)
        return _linear(self.value**exponent, unit, ((self, slope),))


def _same_dimension(a: str, b: str) -> None:
    if a != b and dimension(a) != dimension(b):
        msg = f"cannot combine {a} with {b}: they measure different things; check the units of both values."
        raise ValueError(msg)


def _nonzero(value: float, unit: str) -> None:
    if value == 0.0:
        msg = f"division by a quantity of value 0 {unit}: the quotient has no first-order estimate."
        raise ValueError(msg)


def _linear(
    value: float, unit: str, parts: Sequence[tuple[Quantity, float]], *, same_unit: bool = False
) -> Quantity:
    if same_unit:
        for part, _ in parts:
            _same_dimension(unit, part.unit)
    terms = _collected((part.terms, factor) for part, factor in parts)
    return Quantity(value, unit, terms, weakest(part.origin for part, _ in parts))


def combine(value: float, parts: Sequence[tuple[Quantity, float]], unit: str) -> Quantity:
    """Result of any function, from its value and its partial derivatives.

    Parameters
    ----------
    value : float
        f at the estimates, in `unit`.
    parts : sequence of (Quantity, float)
        Each input with its sensitivity df/dx, in `unit` per unit of that input.
    unit : str
        SI symbol of the result.

    Returns
    -------
    Quantity
        First-order propagation with every shared source taken once; origin is the weakest of the inputs.

    Source
    ------
    from memory: GUM 5.1.2, 5.2.2 (law of propagation of uncertainty, correlated inputs).
    """
    return _linear(value, unit, parts)


def total(
    quantities: Sequence[Quantity], weights: Sequence[float] | None = None, unit: str | None = None
) -> Quantity:
    """Weighted sum of many quantities in one pass.

    Parameters
    ----------
    quantities : sequence of Quantity
        All of one dimension.
    weights : sequence of float, optional
        One exact factor each (a count, for instance); all 1 when left out.
    unit : str, optional
        SI symbol of the result; needed only when the sequence may be empty.

    Returns
    -------
    Quantity
        Coefficients are accumulated by source name: what 10,000 weighings on one scale share does not average out.
        The sum of nothing is an exact 0.

    Raises
    ------
    ValueError
        Units of different dimension, a wrong number of weights, or nothing to sum and no `unit`.

    Source
    ------
    first principles: sum of w_i (x_i + sum_k c_ik z_k) has the coefficient sum_i w_i c_ik on z_k.
    """
    if weights is not None and len(weights) != len(quantities):
        msg = f"{len(quantities)} quantities but {len(weights)} weights; give one weight each."
        raise ValueError(msg)
    if unit is None:
        if not quantities:
            msg = "nothing to sum and no unit given; pass unit='kg' (or another) where the list may be empty."
            raise ValueError(msg)
        unit = quantities[0].unit
    for quantity in quantities:
        if quantity.unit != unit:
            _same_dimension(unit, quantity.unit)
    factors = [1.0] * len(quantities) if weights is None else weights
    value = math.fsum(w * q.value for w, q in zip(factors, quantities, strict=True))
    terms = _collected((q.terms, w) for w, q in zip(factors, quantities, strict=True))
    # Enum members hash slowly; few differ, so they are compared by identity.
    origin = Origin.MEASURED
    for quantity in quantities:
        if quantity.origin is not origin:
            origin = weakest((origin, quantity.origin))
    return Quantity(value, unit, terms, origin)


def covariance(a: Quantity, b: Quantity) -> float:
    """Covariance of two quantities, in the product of their units: sum over shared sources of c_a c_b (GUM F.1.2.3)."""
    small, large = (a, b) if len(a.terms) <= len(b.terms) else (b, a)
    wanted = {source.name: (source, c) for source, c in small.terms}
    products: list[float] = []
    for source, c in large.terms:
        match = wanted.get(source.name)
        if match is not None:
            if match[0] is not source and match[0] != source:
                raise _clash(match[0], source)
            products.append(c * match[1])
    return math.fsum(products)


def correlation(a: Quantity, b: Quantity) -> float:
    """Correlation coefficient of two quantities, in [-1, 1].

    Raises
    ------
    ValueError
        One of them is exact: its correlation is not defined.
    """
    scale = a.standard_uncertainty * b.standard_uncertainty
    if scale == 0.0:
        msg = "a quantity without uncertainty has no correlation with another; test standard_uncertainty > 0 first."
        raise ValueError(msg)
    return max(-1.0, min(1.0, covariance(a, b) / scale))
