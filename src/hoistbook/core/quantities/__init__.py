"""SI values with named sources of error: arithmetic, instruments, units, repeats, Monte Carlo, printing."""

from hoistbook.core.quantities.agreement import normalised_error, probability_greater
from hoistbook.core.quantities.evaluation import correlated, joint_type_a
from hoistbook.core.quantities.instruments import Instrument, reading
from hoistbook.core.quantities.montecarlo import MonteCarlo, propagate
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
from hoistbook.core.quantities.sampling import draw_source, draws, joint_draws
from hoistbook.core.quantities.second_order import second_order_variance
from hoistbook.core.quantities.units import from_si, to_si

__all__ = [
    "Instrument",
    "MonteCarlo",
    "Origin",
    "Quantity",
    "Source",
    "combine",
    "correlated",
    "correlation",
    "covariance",
    "coverage_factor",
    "draw_source",
    "draws",
    "from_si",
    "joint_draws",
    "joint_type_a",
    "normalised_error",
    "probability_greater",
    "propagate",
    "reading",
    "second_order_variance",
    "to_si",
    "total",
    "weakest",
]
