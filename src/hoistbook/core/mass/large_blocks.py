"""Least squares of a large connected group of weighings, with sparse factorisations only."""

from __future__ import annotations

import numpy as np
from scipy.sparse import csc_array, csr_array, diags_array, eye_array, hstack, vstack
from scipy.sparse.linalg import splu

from hoistbook.core.arrays import Array

_RIDGE_FRAC = 1e-13
_DEPENDENT_FRAC = 1e-8
"""Squared lengths, as share of that of the column: what is added to every column so that a dependent one leaves a
finite remainder, and the remainder below which it counts as dependent (numerical)."""

_NO_RESIDUAL_FRAC = 1e-7
"""A residual this much below the uncertainty of its reading is left by rounding (numerical)."""

_LEFT_INVERSE = 1e-6
"""Most by which gain times design may miss the unit matrix (numerical)."""

_COLUMNS_AT_ONCE = 256


def fit_large(
    design: csr_array, values_kg: Array, own_kg: Array, shared_kg: Array
) -> tuple[Array, list[int], tuple[int, ...], Array, Array]:
    """Solve one block as `gls` does, without dense factorisations.

    Parameters
    ----------
    design : sparse array, shape (m, p)
        Pieces of each unknown on the scale at each reading.
    values_kg, own_kg : array, shape (m,)
        Readings, and their own standard uncertainties, above 0.
    shared_kg : array, shape (m, k)
        Sensitivity to the shared sources.

    Returns
    -------
    gain, kept, tied, residual_kg, residual_u_kg
        As in `gls.BlockFit`; `kept` are the unknowns that are not dropped.

    Raises
    ------
    ArithmeticError
        The design is too close to singular for this way.

    Notes
    -----
    With D the own uncertainties, the system [[D², A], [Aᵀ, 0]] [λ; s] = [y; 0] gives s = gain y and λ = P y with
    P = D⁻² (1 − A gain). Under the full covariance V = D² + C Cᵀ the gain is G = gain (1 − C (1 + Cᵀ P C)⁻¹ Cᵀ P)
    (Woodbury), the residual y − A G y and its covariance V − A G V.

    Source
    ------
    first principles; checked in the tests against the dense solution of the same blocks.
    """
    rows, columns = design.shape
    kept = _independent(design)
    spanning = csr_array(design[:, kept])
    gain = np.zeros((columns, rows))
    gain[kept] = _gain(spanning, own_kg)
    dropped = sorted(set(range(columns)) - set(kept))
    tied: tuple[int, ...] = ()
    if dropped:
        mix = gain @ design[:, dropped].toarray()
        tied = tuple(np.flatnonzero((np.abs(mix) > _DEPENDENT_FRAC).any(axis=1)).tolist())

    # Residuals of the block by itself, under its full covariance.
    p_shared = (shared_kg - spanning @ (gain[kept] @ shared_kg)) / own_kg[:, None] ** 2
    inner = np.eye(shared_kg.shape[1]) + shared_kg.T @ p_shared
    full = gain[kept] - (gain[kept] @ shared_kg) @ np.linalg.solve(inner, p_shared.T)
    residual = values_kg - spanning @ (full @ values_kg)
    variance = own_kg**2 + (shared_kg**2).sum(axis=1)
    covered = full * own_kg**2 + (full @ shared_kg) @ shared_kg.T
    squares = variance - np.asarray(spanning.multiply(csr_array(covered.T)).sum(axis=1)).ravel()
    judged = squares > _NO_RESIDUAL_FRAC**2 * variance
    return (
        gain,
        kept,
        tied,
        np.where(judged, residual, 0.0),
        np.where(judged, np.sqrt(np.maximum(squares, 0.0)), 0.0),
    )


def _independent(design: csr_array) -> list[int]:
    """Columns that span the design, first come, first kept: what a column adds to those before it is its pivot."""
    lengths = np.sqrt(np.asarray(design.multiply(design).sum(axis=0)).ravel())
    scaled = csr_array(design @ diags_array(1.0 / lengths))
    normal = csc_array(scaled.T @ scaled + _RIDGE_FRAC * eye_array(lengths.size))
    factors = splu(
        normal, permc_spec="NATURAL", diag_pivot_thresh=0.0, options={"SymmetricMode": True, "Equil": False}
    )
    return [int(j) for j in np.flatnonzero(factors.U.diagonal() > _DEPENDENT_FRAC)]


def _gain(design: csr_array, own_kg: Array) -> Array:
    rows, columns = design.shape
    # In units of the middle uncertainty, so that both halves of the system are of one size.
    scale = float(np.median(own_kg))
    above = hstack([diags_array((own_kg / scale) ** 2), design], format="csr")
    below = hstack([design.T, csr_array((columns, columns))], format="csr")
    system = csc_array(vstack([above, below]))
    try:
        factors = splu(system)
    except RuntimeError as error:
        msg = f"{rows} readings of {columns} parts: {error}."
        raise ArithmeticError(msg) from error
    gain = np.empty((columns, rows))
    for first in range(0, rows, _COLUMNS_AT_ONCE):
        last = min(first + _COLUMNS_AT_ONCE, rows)
        wanted = np.zeros((rows + columns, last - first))
        wanted[np.arange(first, last), np.arange(last - first)] = 1.0
        found = factors.solve(wanted)
        found += factors.solve(wanted - system @ found)  # uncertainties may span six powers of ten
        gain[:, first:last] = found[rows : rows + columns]
    missed = gain @ design
    missed[np.arange(columns), np.arange(columns)] -= 1.0
    if not np.abs(missed).max() < _LEFT_INVERSE:
        msg = f"{rows} readings of {columns} parts: the system of weighings is close to singular."
        raise ArithmeticError(msg)
    return gain
