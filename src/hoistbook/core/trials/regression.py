"""Regression of speed changes: readings with noise, forces with gusts, and runs that differ from each other."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass
from functools import cached_property
from itertools import pairwise

import numpy as np
from numpy.typing import NDArray
from scipy.linalg import cholesky_banded, solve_banded
from scipy.optimize import minimize_scalar

from hoistbook.core.arrays import Array

LOG_RATIO_REACH = (-16.0, 14.0)
"""Where the ratio of gusts to sensor noise is looked for, natural logarithm, 1/s: from 1e-7 to 1e6, beyond both of
which one of the two is nothing."""


@dataclass(frozen=True, slots=True, eq=False)
class Steps:
    """Equations Δv = X θ + Z ζ + error, one per step between two readings, of all runs one after another.

    Parameters
    ----------
    change : array, shape (n,)
        What the reading changed over the step.
    common : array, shape (n, p)
        Regressors whose coefficients every run shares.
    own : array, shape (n, q)
        Regressors with coefficients of their own in each cluster; q may be 0.
    duration_s : array, shape (n,)
        Length of each step. [s]
    linked : array of bool, shape (n,)
        Whether the step starts at the reading that the step before ended with; never across clusters.
    cluster : array of int, shape (n,)
        Number of the cluster, 0, 1, 2 …, never falling.
    """

    change: Array
    common: Array
    own: Array
    duration_s: Array
    linked: NDArray[np.bool_]
    cluster: NDArray[np.intp]

    @property
    def bounds(self) -> NDArray[np.intp]:
        """Where each cluster starts, and the end: shape (n_clusters + 1,)."""
        count = int(self.cluster[-1]) + 1
        return np.searchsorted(self.cluster, np.arange(count + 1))


@dataclass(frozen=True, slots=True, eq=False)
class Blocks:
    """What each cluster says of the shared coefficients, with its own ones taken out, for one ratio of the two errors.

    `information` (m, p, p) and `score` (m, p) are those of generalised least squares with unit sensor variance;
    `squares` (m,) are the squared whitened responses less what the cluster's own coefficients explain. Those own
    coefficients are `own_alone` (m, q) less `own_lever` (m, q, p) times the shared ones.
    """

    information: Array
    score: Array
    squares: Array
    own_alone: Array
    own_lever: Array
    log_determinant: float
    equation_count: int
    own_count: int

    def own(self, common: Array) -> Array:
        """Own coefficients of each cluster beside given shared ones, shape (m, q)."""
        return self.own_alone - self.own_lever @ common


def blocks(steps: Steps, ratio_per_s: float) -> Blocks:
    """Normal equations of each cluster.

    Parameters
    ----------
    steps : Steps
    ratio_per_s : float
        Variance of the gusts per second over the variance of a reading. [1/s]

    Notes
    -----
    A reading is v + e with white e of variance σ²; a force that jumps about adds a random walk of variance λσ² per
    second to v. The errors of the steps then have the tridiagonal covariance σ² T, T_ii = 2 + λ Δt_i and T_i,i+1 = −1
    where two steps share a reading. Its Cholesky factor is bidiagonal, so n steps cost O(n).

    Differencing loses the unknown start speed of a run and nothing else: the result is that of a fit of the whole speed
    trace with a free start speed, Σ = σ²(I + λ min(t_i, t_j)).

    Source
    ------
    first principles.
    """
    bands = np.zeros((2, len(steps.change)))
    bands[0] = 2.0 + ratio_per_s * steps.duration_s
    bands[1, :-1] = np.where(steps.linked[1:], -1.0, 0.0)
    factor = cholesky_banded(bands, lower=True, check_finite=False)
    table = np.column_stack((steps.common, steps.own, steps.change))
    white = solve_banded((1, 0), factor, table, check_finite=False)
    log_determinant = 2.0 * float(np.sum(np.log(factor[0])))
    p, q = steps.common.shape[1], steps.own.shape[1]
    bounds = steps.bounds
    normal = np.stack([white[a:b].T @ white[a:b] for a, b in pairwise(bounds.tolist())])
    keep = [*range(p), p + q]
    # A cluster driven one way only cannot tell its own coefficients apart: they share the least that explains it.
    own, across = normal[:, p : p + q, p : p + q], normal[:, p : p + q][:, :, keep]
    solved = np.linalg.pinv(own, hermitian=True) @ across
    normal = normal[:, keep][:, :, keep] - np.swapaxes(across, 1, 2) @ solved
    if q:
        log_determinant += float(np.sum(np.linalg.slogdet(own)[1]))
    return Blocks(
        normal[:, :p, :p],
        normal[:, :p, p],
        normal[:, p, p],
        solved[:, :, p],
        solved[:, :, :p],
        log_determinant,
        len(steps.change),
        q * len(normal),
    )


def likeliest_ratio(steps: Steps) -> float:
    """Ratio of gusts to sensor noise by restricted maximum likelihood. [1/s]

    Notes
    -----
    The ratio only sets weights: coefficients stay unbiased and the covariance between runs stays right where it is
    off, so its own uncertainty is not carried on.

    Source
    ------
    from memory: Patterson and Thompson, Biometrika 58 (1971) 545–554 (restricted maximum likelihood).
    """
    p = steps.common.shape[1]

    def loss(log_ratio: float) -> float:
        found = blocks(steps, math.exp(log_ratio))
        information = found.information.sum(axis=0)
        theta = np.linalg.solve(information, found.score.sum(axis=0))
        free = found.equation_count - found.own_count - p
        # Readings without any error would have a logarithm of 0.
        left = max(float(found.squares.sum() - theta @ found.score.sum(axis=0)), free * 1e-20)
        return float(free * math.log(left / free) + found.log_determinant + np.linalg.slogdet(information)[1])

    best = minimize_scalar(loss, bounds=LOG_RATIO_REACH, method="bounded", options={"xatol": 0.05})
    return math.exp(float(best.x))


@dataclass(frozen=True, eq=False)
class Clustered:
    """Shared coefficients from clusters that are independent of each other, whatever is correlated inside one.

    Attributes
    ----------
    estimate : array, shape (p,)
    information, score : array, shape (m, p, p) and (m, p)
        Of each cluster.
    scale : float
        Variance of a reading, from the scatter inside runs.
    """

    estimate: Array
    information: Array
    score: Array
    scale: float

    @property
    def cluster_count(self) -> int:
        """Number of clusters."""
        return len(self.information)

    @cached_property
    def inverse(self) -> Array:
        """Inverse of the whole information, shape (p, p)."""
        return np.asarray(np.linalg.inv(self.information.sum(axis=0)))

    @property
    def covariance_within(self) -> Array:
        """Covariance if scatter inside runs were all there is, shape (p, p)."""
        return self.scale * self.inverse

    @cached_property
    def adjustment(self) -> Array:
        """Matrices that make the squared scores of the residuals unbiased, shape (m, p, p)."""
        identity = np.eye(len(self.estimate))
        found = []
        for one in self.information:
            values, vectors = np.linalg.eigh(one)
            kept = values > 1e-12 * max(values[-1], 1e-300)
            root = vectors[:, kept] * np.sqrt(values[kept])
            back = (vectors[:, kept] / np.sqrt(values[kept])).T
            inner = np.eye(root.shape[1]) - root.T @ self.inverse @ root
            inner_values, inner_vectors = np.linalg.eigh(inner)
            if inner_values[0] <= 1e-9:  # this cluster alone settles some direction
                found.append(identity)
                continue
            found.append(root @ (inner_vectors / np.sqrt(inner_values)) @ inner_vectors.T @ back)
        return np.stack(found)

    @cached_property
    def covariance_between(self) -> Array:
        """Covariance from how the clusters differ, shape (p, p).

        Raises
        ------
        ValueError
            One cluster only.

        Notes
        -----
        V = H⁻¹ (Σ A_i s_i s_iᵀ A_iᵀ) H⁻¹ with the scores of the residuals s_i = g_i − H_i θ, and A_i chosen so that
        A_i (H_i − H_i H⁻¹ H_i) A_iᵀ = H_i: with m equal clusters A_i A_iᵀ = m/(m − 1), the variance of a mean. It needs
        no model of what happens inside a run.

        Source
        ------
        from memory: Bell and McCaffrey, Survey Methodology 28 (2002) 169–181 (bias-reduced linearisation), here in the
        space of the scores.
        """
        if self.cluster_count < 2:
            msg = "one cluster says nothing of how clusters differ; use the covariance within it, and say so."
            raise ValueError(msg)
        residual = self.score - self.information @ self.estimate
        moved = np.einsum("mij,mj->mi", self.adjustment, residual) @ self.inverse
        return np.asarray(moved.T @ moved)

    def dof(self, direction: Array) -> float:
        """Degrees of freedom of the variance of one linear combination of the coefficients, at least 1.

        Parameters
        ----------
        direction : array, shape (p,)
            Weights of the combination, e.g. (1, v, v²) for the force at a speed.

        Notes
        -----
        2 (E V)²/Var V of the variance V of `covariance_between`, were errors as the weights assume: m − 1 for m equal
        clusters, fewer for unequal ones.

        Source
        ------
        from memory: Bell and McCaffrey (2002), Satterthwaite's approximation.
        """
        lever = np.einsum("mji,j->mi", self.adjustment, self.inverse @ np.asarray(direction))
        spread = np.einsum("mi,mij,mj->m", lever, self.information, lever)
        towards = np.einsum("mi,mij->mj", lever, self.information)
        omega = np.diag(spread) - towards @ self.inverse @ towards.T
        return max(1.0, float(np.trace(omega) ** 2 / np.sum(omega * omega)))

    def shared_dof(self, directions: Sequence[Array]) -> float:
        """One number of degrees of freedom for figures that are jointly known: the middle of theirs, rounded.

        Notes
        -----
        Rounded, since bands take the whole degrees below, and equal clusters give 3.9997 where 4 is meant.
        """
        return max(1.0, float(np.rint(np.median([self.dof(direction) for direction in directions]))))


def clustered(found: Blocks) -> Clustered:
    """Solve for the shared coefficients.

    Raises
    ------
    ValueError
        The runs do not tell the coefficients apart.
    """
    information = found.information.sum(axis=0)
    scale = np.sqrt(np.diag(information))
    if not np.all(scale > 0.0) or np.linalg.cond(information / np.outer(scale, scale)) > 1e10:
        msg = (
            "the runs do not tell the terms of the road load apart; drive a wider span of speeds, or fix the middle "
            "term at 0."
        )
        raise ValueError(msg)
    estimate = np.linalg.solve(information, found.score.sum(axis=0))
    free = found.equation_count - found.own_count - len(estimate)
    left = float(found.squares.sum() - estimate @ found.score.sum(axis=0))
    return Clustered(estimate, found.information, found.score, max(left, 0.0) / max(free, 1))
