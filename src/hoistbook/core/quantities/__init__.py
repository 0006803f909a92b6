"""SI values with named sources of error: arithmetic, instruments, units, repeats, Monte Carlo, printing."""

from hoistbook.core.quantities.quantity import (
    Origin,
    Quantity,
    Source,
    combine,
    correlation,
    covariance,
    coverage_factor,
    total,
    weakest,
)

__all__ = [
    "Origin",
    "Quantity",
    "Source",
    "combine",
    "correlation",
    "covariance",
    "coverage_factor",
    "total",
    "weakest",
]
