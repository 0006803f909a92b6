"""Sums over the part tree with their bands: every total stays a linear map of the readings, so nothing counts twice."""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray
from scipy.sparse import coo_array, csr_array
from scipy.special import ndtri, stdtrit

from hoistbook.core.arrays import Array
from hoistbook.core.mass.gls import IntArray
from hoistbook.core.mass.layout import Layout
from hoistbook.core.mass.reconcile import Solution, cleaned
from hoistbook.core.quantities.quantity import Origin, Quantity, Source

_ORIGINS = tuple(Origin)


@dataclass(frozen=True, slots=True)
class Bands:
    """Totals side by side, each array of shape (r,): value, standard uncertainty, half-width of the 95 % band. [kg]

    `origin` is the rank of the weakest origin among the readings of each total.
    """

    value_kg: Array
    u_kg: Array
    half_kg: Array
    origin: IntArray

    def origins(self) -> tuple[Origin, ...]:
        """Weakest origin of each total."""
        return tuple(_ORIGINS[rank] for rank in self.origin.tolist())


class RollUp:
    """Totals of one vehicle.

    Parameters
    ----------
    tree : Layout
    solution : Solution

    Notes
    -----
    A total is a row of weights over the own masses of the nodes. Through the solution it becomes a row over the
    readings and so over the named sources: an assembly that was weighed is its own reading, whatever its pieces say,
    and a piece weighed inside it only moves mass between the lines below it.
    """

    __slots__ = (
        "_core",
        "_core_gain",
        "_core_sensitivity",
        "_ranks",
        "_shared",
        "_subtrees",
        "own_kg",
        "solution",
        "tree",
    )

    def __init__(self, tree: Layout, solution: Solution) -> None:
        self.tree = tree
        self.solution = solution
        self.own_kg = solution.own_masses_kg
        self._shared = solution.table.sensitivity_kg[:, solution.table.shared]
        self._core: IntArray = np.flatnonzero(np.abs(solution.shared_gain).sum(axis=0))
        self._core_gain = solution.shared_gain[:, self._core]
        # Estimated shared sources, in terms of the sources of the readings they were estimated from.
        self._core_sensitivity = np.asarray(
            self._core_gain @ solution.table.sensitivity_kg[self._core].toarray()
        )
        self._ranks = np.array([observation.value.origin.rank for observation in solution.observations])
        self._subtrees: csr_array | None = None

    @property
    def subtree_rows(self) -> csr_array:
        """Weights over the own masses of what is in one piece of every node, shape (n, n)."""
        if self._subtrees is None:
            self._subtrees = self.tree.subtree_sums()
        return self._subtrees

    def rows(self, weights: Sequence[Mapping[int, float]]) -> csr_array:
        """Rows of weights over the own masses from mappings of node place to weight."""
        row = [i for i, mapping in enumerate(weights) for _ in mapping]
        column = [place for mapping in weights for place in mapping]
        data = [weight for mapping in weights for weight in mapping.values()]
        shape = (len(weights), len(self.tree.nodes))
        return csr_array(coo_array((np.array(data, dtype=np.float64), (row, column)), shape=shape))

    def reading_weights(self, rows: csr_array) -> csr_array:
        """The same totals as rows over the readings, shape (r, m)."""
        return cleaned(csr_array(rows @ self.solution.map))

    def bands(self, rows: csr_array) -> Bands:
        """Value and band of many totals at once.

        Parameters
        ----------
        rows : sparse array, shape (r, n)
            Weights over the own masses of the nodes.

        Returns
        -------
        Bands
            The same figures as `quantities` gives with their sources.
        """
        weights = self.reading_weights(rows)
        direct = cleaned(csr_array(weights @ self.solution.table.sensitivity_kg))
        spread = (weights @ self._shared).toarray() if self._core.size else np.zeros((rows.shape[0], 0))
        variance = np.asarray(direct.multiply(direct).sum(axis=1)).ravel()
        if self._core.size:
            # (d − p E)(d − p E)ᵀ on the diagonal, where d is sparse and E the few estimated shared sources.
            e = self._core_sensitivity
            variance -= 2.0 * np.einsum("ij,ij->i", spread, np.asarray(direct @ e.T))
            variance += np.einsum("ij,jk,ik->i", spread, e @ e.T, spread)
        variance = np.maximum(variance, 0.0)
        u = np.sqrt(variance)
        half = u * _factors(variance, self._fourth_powers(direct, spread))
        ranks = weights.copy()
        ranks.data = self._ranks[weights.indices].astype(np.float64)
        weakest = ranks.max(axis=1).toarray().ravel() if ranks.nnz else np.zeros(rows.shape[0])
        return Bands(np.asarray(rows @ self.own_kg), u, half, weakest.astype(np.intp))

    def _fourth_powers(self, direct: csr_array, spread: Array) -> Array:
        """Sum over the components with finite degrees of freedom of u_g⁴ / nu_g (Welch–Satterthwaite), shape (r,)."""
        sources = self.solution.table.sources
        finite = np.array([j for j, source in enumerate(sources) if math.isfinite(source.dof)], dtype=np.intp)
        if finite.size == 0:
            return np.zeros(direct.shape[0])
        coefficients = direct[:, finite]
        if self._core.size:
            coefficients = csr_array(coefficients - csr_array(spread @ self._core_sensitivity[:, finite]))
        places: dict[str, int] = {}
        # A source on its own is its own component; those of one ensemble share their degrees of freedom.
        labels = [sources[j].ensemble or f"\0{sources[j].name}" for j in finite]
        component = np.array([places.setdefault(label, len(places)) for label in labels], dtype=np.intp)
        inverse_dof = np.zeros(len(places))
        inverse_dof[component] = [1.0 / sources[j].dof for j in finite]
        grouping = csr_array(
            (np.ones(finite.size), (np.arange(finite.size), component)), shape=(finite.size, len(places))
        )
        squares = csr_array(coefficients.multiply(coefficients)) @ grouping
        return np.asarray(squares.multiply(squares) @ inverse_dof)

    def quantities(self, rows: csr_array) -> tuple[Quantity, ...]:
        """Totals with all their named sources.

        Parameters
        ----------
        rows : sparse array, shape (r, n)
            Weights over the own masses of the nodes.

        Returns
        -------
        tuple of Quantity
            [kg]
        """
        weights = self.reading_weights(rows)
        table = self.solution.table
        direct = csr_array(weights @ table.sensitivity_kg)
        if self._core.size:
            direct = csr_array(direct - csr_array(weights @ self._shared) @ csr_array(self._core_sensitivity))
        values = np.asarray(rows @ self.own_kg).tolist()
        return tuple(
            Quantity(
                value,
                "kg",
                self._terms(direct.indices[first:last], direct.data[first:last]),
                self._weakest(weights.indices[weights.indptr[i] : weights.indptr[i + 1]]),
            )
            for i, (value, first, last) in enumerate(
                zip(values, direct.indptr[:-1], direct.indptr[1:], strict=True)
            )
        )

    def _terms(self, places: NDArray[np.integer], coefficients: Array) -> tuple[tuple[Source, float], ...]:
        if not places.size:
            return ()
        size = np.abs(coefficients)
        # What cancels between two readings of one instrument leaves rounding behind.
        kept = size > 1e-12 * float(size.max())
        sources = self.solution.table.sources
        return tuple(
            (sources[j], c) for j, c in zip(places[kept].tolist(), coefficients[kept].tolist(), strict=True)
        )

    def _weakest(self, readings: NDArray[np.integer]) -> Origin:
        return _ORIGINS[int(self._ranks[readings].max())] if readings.size else Origin.MEASURED

    def coefficients(self, weights: csr_array) -> Array:
        """Sensitivity of one row over the readings, shape (1, m), to every source of the solution, shape (q,). [kg]"""
        direct = np.asarray(
            (weights @ self.solution.table.sensitivity_kg).toarray(), dtype=np.float64
        ).ravel()
        return self.corrected(direct, (weights @ self._shared).toarray().ravel())

    def corrected(self, direct: Array, shared: Array) -> Array:
        """Take off what the estimated shared sources explain: `shared` is the sensitivity to them, shape (k,)."""
        return direct - shared @ self._core_sensitivity if self._core.size else direct

    def total(self) -> Quantity:
        """Sum of the parts of the whole vehicle. [kg]"""
        return self.quantities(self.subtree_rows[[0]])[0]

    def subtree(self, tag: str) -> Quantity:
        """One piece of a node with everything below it. [kg]"""
        return self.quantities(self.subtree_rows[[self.tree.index[tag]]])[0]

    def own(self, tag: str) -> Quantity:
        """One piece of a node without its listed children. [kg]"""
        return self.quantities(self.rows([{self.tree.index[tag]: 1.0}]))[0]


def _factors(variance: Array, fourth_powers: Array) -> Array:
    """Two-sided 95 % factors at the effective degrees of freedom, truncated as in `quantity.coverage_factor`."""
    factor = np.full(variance.shape, float(ndtri(0.975)))
    limited = fourth_powers > 0.0
    if limited.any():
        dof = np.maximum(np.floor(variance[limited] ** 2 / fourth_powers[limited] * (1.0 + 1e-9)), 1.0)
        factor[limited] = stdtrit(dof, 0.975)
    return factor
