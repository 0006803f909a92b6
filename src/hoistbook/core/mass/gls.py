"""Least squares of weighings that say more than is unknown, with errors shared between readings.

Generalised least squares over all readings at once would need their full covariance matrix. The same answer comes from
treating each shared source as one more unknown with the prior z ~ (0, 1): the readings of one connected group (a
*block*) then have independent errors of their own, blocks meet only in the few shared sources, and what the blocks say
about these adds up.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray
from scipy.sparse import csr_array

from hoistbook.core.arrays import Array
from hoistbook.core.mass.large_blocks import fit_large

IntArray = NDArray[np.intp]

EXACT_READING_FRAC = 1e-6
"""Own band given to an exact reading of an over-determined block, as share of the block's largest band (numerical)."""

_RANK_TOLERANCE = 1e-9


@dataclass(frozen=True, slots=True)
class Block:
    """One connected group of readings with fewer unknowns than readings.

    Attributes
    ----------
    design : array or sparse array, shape (m, p)
        Pieces of each unknown on the scale at each reading. A sparse one is solved without dense factorisations
        (`large_blocks`): the same figures, in time that many readings do not let explode.
    values_kg : array, shape (m,)
        Readings.
    own_kg : array, shape (m,)
        Standard uncertainty of each reading that no other reading shares.
    shared_kg : array, shape (m, k)
        Sensitivity of each reading to the k shared sources of unit standard uncertainty.
    """

    design: Array | csr_array
    values_kg: Array
    own_kg: Array
    shared_kg: Array


@dataclass(frozen=True, slots=True)
class BlockFit:
    """What a block says about its unknowns.

    Attributes
    ----------
    gain : array, shape (p, m)
        Unknowns from readings that were corrected for the shared sources; a row of zeros for a dropped unknown.
    dropped : tuple of int
        Unknowns the readings cannot tell from the others (rank of the design below p); held at zero.
    tied : tuple of int
        Unknowns whose figure depends on the dropped ones having been held at zero.
    residual_kg, residual_u_kg : array, shape (m,)
        Reading minus fit, and its standard uncertainty, of this block alone.
    contradictory : bool
        Some residual is larger than its bound.
    widening_kg : array, shape (m,)
        Further standard uncertainty of each reading; zero unless contradictory.
    """

    gain: Array
    dropped: tuple[int, ...]
    tied: tuple[int, ...]
    residual_kg: Array
    residual_u_kg: Array
    contradictory: bool
    widening_kg: Array


@dataclass(frozen=True, slots=True)
class Fit:
    """All blocks, and what they say together about the shared sources.

    `shared_gain[k, :]` times the readings of all blocks (in order) is the estimate of shared source k, `shared`, in
    units of its standard uncertainty.
    """

    blocks: tuple[BlockFit, ...]
    shared_gain: Array
    shared: Array


def fit_blocks(blocks: Sequence[Block], shared_count: int, residual_bound: float = 2.0) -> Fit:
    """Solve every block, with the shared sources estimated from all of them.

    Parameters
    ----------
    blocks : sequence of Block
    shared_count : int
        Number of shared sources k, also when there is no block.
    residual_bound : float
        A block with a residual above this many standard uncertainties is contradictory. [1]

    Returns
    -------
    Fit

    Notes
    -----
    Whitened by their own errors, the readings of a block are y = A s + C z + e with unit e. With Q an orthonormal basis
    of the columns of A the unknowns drop out of (1 − Q Qᵀ) y = (1 − Q Qᵀ) C z + e; stacking these rows of all blocks on
    the prior 0 = z + e' gives z by ordinary least squares, and s = A⁺ (y − C z) block by block. This equals
    generalised least squares with the covariance D + C Cᵀ over all readings.

    A contradictory block does not take part in the estimate of the shared sources: one typing error would else shift
    every mass weighed on that scale. Its unknowns are weighted by the own errors alone, which are then widened by the
    Birge ratio sqrt(chi²/(m − p)), so that the band spans the readings that contradict each other.

    Source
    ------
    first principles (elimination of the unknowns; normal equations of the augmented system).
    Birge ratio: from memory, R. T. Birge, Phys. Rev. 40 (1932) 207.
    """
    alone = [_fit_alone(block, residual_bound) for block in blocks]
    starts = np.concatenate([[0], np.cumsum([block.values_kg.size for block in blocks])]).astype(np.intp)
    gain = np.zeros((shared_count, int(starts[-1])))
    sound = [i for i, fit in enumerate(alone) if not fit.contradictory]
    if sound and shared_count:
        # Rows of (1 - Q Qᵀ) C, where Q Qᵀ y = A s is the fit of the block by its own errors.
        owns = {i: _own(blocks[i]) for i in sound}
        stacked = [
            (blocks[i].shared_kg - blocks[i].design @ (alone[i].gain @ blocks[i].shared_kg))
            / owns[i][:, None]
            for i in sound
        ]
        q, r = np.linalg.qr(np.vstack([*stacked, np.eye(shared_count)]))
        first = 0
        for i, part in zip(sound, stacked, strict=True):
            weighted = q[first : first + part.shape[0]].T / owns[i]
            eliminated = weighted - np.asarray(blocks[i].design.T @ weighted.T).T @ alone[i].gain
            gain[:, starts[i] : starts[i + 1]] = np.linalg.solve(r, eliminated)
            first += part.shape[0]
    values = np.concatenate([block.values_kg for block in blocks]) if blocks else np.zeros(0)
    return Fit(tuple(alone), gain, gain @ values)


def _fit_alone(block: Block, residual_bound: float) -> BlockFit:
    own = _own(block)
    rows, columns = block.design.shape
    gain, kept, tied, residual, residual_u = _fitted(block, own)
    dropped = tuple(j for j in range(columns) if j not in set(kept))
    judged = residual_u > 0.0
    contradictory = bool(np.any(np.abs(residual[judged]) > residual_bound * residual_u[judged]))
    widening = np.zeros(rows)
    if contradictory:
        white = (block.values_kg - block.design @ (gain @ block.values_kg)) / own
        ratio = float(white @ white) / (rows - len(kept))
        widening = own * np.sqrt(max(ratio - 1.0, 0.0))
    return BlockFit(gain, dropped, tied, residual, residual_u, contradictory, widening)


def _fitted(block: Block, own: Array) -> tuple[Array, list[int], tuple[int, ...], Array, Array]:
    if not isinstance(block.design, csr_array):
        return _fit_dense(block.design, block.values_kg, own, block.shared_kg)
    try:
        return fit_large(block.design, block.values_kg, own, block.shared_kg)
    except ArithmeticError:  # the slow way tells more nearly dependent unknowns apart
        return _fit_dense(block.design.toarray(), block.values_kg, own, block.shared_kg)


def _fit_dense(
    design: Array, values_kg: Array, own: Array, shared_kg: Array
) -> tuple[Array, list[int], tuple[int, ...], Array, Array]:
    """Gain, columns kept, columns tied, residuals and their standard uncertainty of a small block."""
    rows, columns = design.shape
    kept, tied = _kept(design / own[:, None])
    gain = np.zeros((columns, rows))
    gain[kept] = np.linalg.pinv(design[:, kept] / own[:, None]) / own

    # Residuals of the block by itself, under its full covariance.
    covariance = np.diag(own**2) + shared_kg @ shared_kg.T
    root = np.linalg.cholesky(covariance)
    white = np.linalg.solve(root, design[:, kept])
    q = np.linalg.qr(white)[0]
    keep = np.eye(rows) - q @ q.T
    residual = root @ (keep @ np.linalg.solve(root, values_kg))
    spread = root @ keep
    residual_u = np.sqrt(np.einsum("ij,ij->i", spread, spread))
    # A reading that alone determines an unknown has no residual; rounding must not make one of it.
    judged = residual_u > 1e-9 * np.sqrt(np.diag(covariance))
    return gain, kept, tied, np.where(judged, residual, 0.0), np.where(judged, residual_u, 0.0)


def _own(block: Block) -> Array:
    scale = max(
        float(block.own_kg.max()),
        float(np.sqrt((block.shared_kg**2).sum(axis=1)).max()) if block.shared_kg.size else 0.0,
        EXACT_READING_FRAC * float(np.abs(block.values_kg).max()),
    )
    floor = EXACT_READING_FRAC * scale if scale > 0.0 else 1.0
    return np.maximum(block.own_kg, floor)


def _kept(matrix: Array) -> tuple[list[int], tuple[int, ...]]:
    """Columns that span the matrix (first come, first kept), and those of them tied to the rest."""
    norms = np.linalg.norm(matrix, axis=0)
    lengths = np.abs(np.diag(np.linalg.qr(matrix, mode="r")))
    if matrix.shape[0] >= matrix.shape[1] and (lengths > _RANK_TOLERANCE * norms).all():
        return list(range(matrix.shape[1])), ()
    vectors: list[Array] = []
    kept: list[int] = []
    dependent: list[int] = []
    for j in range(matrix.shape[1]):
        rest = matrix[:, j].copy()
        for _ in range(2):  # once more, or rounding leaves the basis not quite orthogonal
            for vector in vectors:
                rest -= (vector @ rest) * vector
        length = float(np.linalg.norm(rest))
        if length > _RANK_TOLERANCE * norms[j]:
            vectors.append(rest / length)
            kept.append(j)
        else:
            dependent.append(j)
    tied: set[int] = set()
    if dependent:
        mix = np.linalg.lstsq(matrix[:, kept], matrix[:, dependent], rcond=None)[0]
        tied = {kept[i] for i in np.flatnonzero((np.abs(mix) > _RANK_TOLERANCE).any(axis=1))}
    return kept, tuple(sorted(tied))
