"""Conduction in a slab between two walls: until it is cool enough to leave the mould, or hot enough to cure."""

from __future__ import annotations

import math

import numpy as np

from hoistbook.core.arrays import Array

CENTRE_LINE = 4.0 / math.pi
"""Factor for the temperature in the middle of the slab."""
AVERAGE = 8.0 / math.pi**2
"""Factor for the mean temperature over the thickness: it is reached earlier than the same temperature in the middle."""
_NEAREST = 1e-3
FORMS = {"centre-line": CENTRE_LINE, "average": AVERAGE}
"""Both forms in print by their names; they must not be mixed."""


def slab_s(
    thickness_m: Array,
    diffusivity_m2_per_s: Array,
    start_k: Array,
    wall_k: Array,
    until_k: Array,
    factor: float,
) -> Array:
    """Time until a slab between two walls has come from one temperature to another. [s]

    Parameters
    ----------
    thickness_m : array
        Whole thickness; a slab cooled on one side counts twice. [m]
    diffusivity_m2_per_s : array
        k/(rho c). [m2/s]
    start_k, wall_k, until_k : array
        Only differences enter, so degrees Celsius do as well. [K]
    factor : float
        `CENTRE_LINE` or `AVERAGE`.

    Notes
    -----
    t = h^2/(pi^2 a) ln[factor (T_start - T_wall)/(T_until - T_wall)], first term of the series of a slab whose faces
    take the wall's temperature at once; good once the time is beyond some 0.1 h^2/a. It never falls below 0, where the
    slab is past the temperature from the start. A slab never takes the wall's temperature itself: what is to come
    nearer than a thousandth of the way counts as that, which keeps draws finite whose temperatures overlap; processes
    refuse it at the best estimate.

    Source
    ------
    published: cooling equation of an injection-moulding course, centre-line form (seen, second hand). From memory for
    both forms: G. Boothroyd, P. Dewhurst, W. Knight, Product Design for Manufacture and Assembly, eq. 8.6.

    Examples
    --------
    >>> import numpy as np
    >>> round(float(slab_s(np.array(0.002), 0.13e-6, 260.0, 54.0, 82.0, CENTRE_LINE)), 3)  # ABS, 2 mm
    6.975
    """
    left = np.maximum((until_k - wall_k) / (start_k - wall_k), _NEAREST)
    found: Array = (
        thickness_m**2 / (math.pi**2 * diffusivity_m2_per_s) * np.log(np.maximum(factor / left, 1.0))
    )
    return found
