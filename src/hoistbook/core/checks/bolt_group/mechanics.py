"""Equations of a bolt group: shares of a load in its plane and out of it."""

from __future__ import annotations

import numpy as np

from hoistbook.core.arrays import Array


def in_plane_n(
    x: Array, y: Array, force: tuple[Array, Array], at: tuple[Array, Array]
) -> tuple[Array, Array]:
    """Forces of equal bolts on a load in their plane.

    Parameters
    ----------
    x, y : array, shape (bolts, n)
        [m]
    force, at : pair of array, shape (n,)
        Load [N] and where it acts [m].

    Returns
    -------
    pair of array, shape (bolts, n)
        What each carries. [N]

    Notes
    -----
    F/n + M (−y, x)/Σr², M and r about the centroid (published: Shigley's Mechanical Engineering Design, 9th ed., eq.
    8-57).
    """
    count = x.shape[0]
    along, across = x - x.mean(axis=0), y - y.mean(axis=0)
    moment = (at[0] - x.mean(axis=0)) * force[1] - (at[1] - y.mean(axis=0)) * force[0]
    turn = moment / (along**2 + across**2).sum(axis=0)
    return force[0] / count - turn * across, force[1] / count + turn * along


def about_seat_n(
    x: Array, y: Array, seat: tuple[Array, Array], force: tuple[Array, Array], at: tuple[Array, Array]
) -> tuple[Array, Array, Array]:
    """Forces of the bolts that hold the turning about a seat, and the seat's own: shape (bolts, n) twice, and (n,). [N]

    The seat takes force in every direction at its place (first principles: equilibrium about it).
    """
    along, across = x - seat[0], y - seat[1]
    moment = (at[0] - seat[0]) * force[1] - (at[1] - seat[1]) * force[0]
    turn = moment / (along**2 + across**2).sum(axis=0)
    of_x, of_y = -turn * across, turn * along
    return of_x, of_y, np.hypot(force[0] - of_x.sum(axis=0), force[1] - of_y.sum(axis=0))


def pulled_n(x: Array, y: Array, force: Array, at: tuple[Array, Array]) -> Array:
    """Pull on each bolt of a rigid unit: a + b x + c y in equilibrium with the load.

    Parameters
    ----------
    x, y : array, shape (bolts, n)
        [m]
    force : array, shape (n,)
        Off the joint. [N]
    at : pair of array, shape (n,)
        [m]

    Returns
    -------
    array, shape (bolts, n)
        [N]

    Notes
    -----
    Three bolts are determinate; more share as equal springs under a rigid unit (first principles).
    """
    along, across = x - x.mean(axis=0), y - y.mean(axis=0)
    sxx, syy, sxy = (along**2).sum(axis=0), (across**2).sum(axis=0), (along * across).sum(axis=0)
    to_x, to_y = force * (at[0] - x.mean(axis=0)), force * (at[1] - y.mean(axis=0))
    whole = sxx * syy - sxy**2
    by_x, by_y = (to_x * syy - to_y * sxy) / whole, (to_y * sxx - to_x * sxy) / whole
    pull: Array = force / x.shape[0] + by_x * along + by_y * across
    return pull


def in_line(x: Array, y: Array) -> Array:
    """How far from lying on one line the bolts are: 0 on a line, 1 for a square or a circle. [1]"""
    along, across = x - x.mean(axis=0), y - y.mean(axis=0)
    sxx, syy, sxy = (along**2).sum(axis=0), (across**2).sum(axis=0), (along * across).sum(axis=0)
    found: Array = 4.0 * (sxx * syy - sxy**2) / (sxx + syy) ** 2
    return found
