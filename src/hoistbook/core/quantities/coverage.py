"""Coverage factors of the Student distribution."""

import math
from functools import lru_cache

from scipy.special import ndtri, stdtrit


@lru_cache(maxsize=4096)
def _two_sided_factor(dof: float, probability: float) -> float:
    tail = 0.5 * (1.0 + probability)
    return float(ndtri(tail)) if math.isinf(dof) else float(stdtrit(dof, tail))


def coverage_factor(dof: float, probability: float = 0.95) -> float:
    """Two-sided Student factor t_p(dof).

    Parameters
    ----------
    dof : float
        Degrees of freedom, at least 1; truncated to the next lower whole number as GUM G.4.1 asks.
    probability : float
        Coverage probability, between 0 and 1. [1]

    Returns
    -------
    float

    Raises
    ------
    ValueError
        dof below 1, or a probability outside (0, 1).

    Source
    ------
    from memory: GUM annex G, table G.2; values by SciPy's Student quantile.
    """
    if not 0.0 < probability < 1.0:
        msg = f"probability = {probability!r} is outside 0–1; give 0.95 for 95 %."
        raise ValueError(msg)
    if not dof >= 1.0 - 1e-9:
        msg = f"dof = {dof!r}: degrees of freedom are at least 1."
        raise ValueError(msg)
    # Round-off must not turn 4 degrees of freedom into 3.
    whole = dof if math.isinf(dof) else float(math.floor(dof * (1.0 + 1e-9)))
    return _two_sided_factor(max(whole, 1.0), probability)
