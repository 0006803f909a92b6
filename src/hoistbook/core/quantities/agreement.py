"""Do two values agree, and which is the larger? Shared errors cancel in both questions."""

import math

from scipy.special import ndtr

from hoistbook.core.quantities.quantity import Quantity, covariance


def normalised_error(a: Quantity, b: Quantity) -> float:
    """Normalised error E_n of two values; they agree when it is at most 1.

    Parameters
    ----------
    a, b : Quantity
        Of one dimension.

    Returns
    -------
    float
        |a − b| over the expanded uncertainty of the difference; 0 for equal values, infinite for exact ones.

    Raises
    ------
    ValueError
        Units of different dimension.

    Notes
    -----
    E_n = |a − b| / √(U_a² + U_b² − 2 k_a k_b cov(a, b)), U = k u. Without shared sources this is the formula of
    ISO 13528; with them the shared error, which cannot make a and b differ, is left out.

    Source
    ------
    from memory: ISO 13528, ISO/IEC 17043.
    """
    gap = abs((a - b).value)
    if gap == 0.0:
        return 0.0
    k_a, k_b = a.coverage_factor(), b.coverage_factor()
    square = a.expanded() ** 2 + b.expanded() ** 2 - 2.0 * k_a * k_b * covariance(a, b)
    return gap / math.sqrt(square) if square > 0.0 else math.inf


def probability_greater(a: Quantity, b: Quantity) -> float:
    """Probability that a is greater than b.

    Parameters
    ----------
    a, b : Quantity
        Of one dimension.

    Returns
    -------
    float
        Between 0 and 1; 0.5 when they are equal and exact.

    Raises
    ------
    ValueError
        Units of different dimension.

    Notes
    -----
    P = Φ((a − b)/√(u_a² + u_b² − 2 cov(a, b))): the difference is taken as normal. Compare draws where it is not.

    Source
    ------
    first principles: distribution of the difference of two jointly normal values.
    """
    difference = a - b
    u = difference.standard_uncertainty
    if u == 0.0:
        return 0.5 + 0.5 * ((difference.value > 0.0) - (difference.value < 0.0))
    return float(ndtr(difference.value / u))
