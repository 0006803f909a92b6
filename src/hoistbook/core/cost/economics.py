"""Formulas of cost accounting that every process shares; plain numbers or arrays in, the same out."""

from __future__ import annotations

import math
from typing import Literal, TypeVar

import numpy as np

from hoistbook.core.arrays import Array

Number = TypeVar("Number", float, Array)
Learning = Literal["wright", "crawford"]
"""Wright: the cumulative average falls by the rate with each doubling. Crawford: the cost of the unit does."""

_NO_INTEREST = 1e-9
"""project rule: less than this is none; its share, below a millionth, would drown in the rounding of 1 + i."""


def capital_recovery_frac(interest_frac: Number, years: Number) -> Number:
    """Yearly payment per unit of capital: i (1 + i)^n / ((1 + i)^n - 1), and 1/n without interest. [1/year]

    Parameters
    ----------
    interest_frac : float or array of one number
        Per year, at least 0. [1]
    years : float or array of one number
        Over which it is paid back. [year]

    Raises
    ------
    ValueError
        Negative interest, or no years.

    Source
    ------
    published: L. Blank, A. Tarquin, Engineering Economy, sec. 6.2 (second hand).

    Examples
    --------
    >>> round(capital_recovery_frac(0.0425, 5), 6)
    0.226207
    """
    if not interest_frac >= 0.0:
        msg = f"interest_frac = {interest_frac!r}: interest is at least 0, e.g. 0.10 for 10 % a year."
        raise ValueError(msg)
    if not years > 0.0:
        msg = f"years = {years!r}: capital is paid back over more than 0 years."
        raise ValueError(msg)
    if interest_frac < _NO_INTEREST:
        return 1.0 / years
    growth = (1.0 + interest_frac) ** years
    found: Number = interest_frac * growth / (growth - 1.0)
    return found


def yearly_capital(
    investment: Number, install_frac: Number, residual: Number, interest_frac: float, years: float
) -> Number:
    """Yearly cost of a machine: (I (1 + f) - S/(1 + i)^n) times the capital recovery factor. [money/year]

    Parameters
    ----------
    investment : float or array
        Price of the machine. [money]
    install_frac : float or array
        Installation as a share of the price. [1]
    residual : float or array
        What it sells for at the end. [money]
    interest_frac, years : float
        As in `capital_recovery_frac`.

    Source
    ------
    published: Blank & Tarquin sec. 6.2 (second hand); the same as (P - S) CRF + S i.
    """
    recovery = capital_recovery_frac(interest_frac, years)
    discount = (1.0 + interest_frac) ** years
    found: Number = (investment * (1.0 + install_frac) - residual / discount) * recovery
    return found


def good_piece(spent: Number, reject_frac: Number, credit: Number) -> Number:
    """Cost of a good piece once rejects are paid for: (C - q k)/(1 - q). [money]

    Parameters
    ----------
    spent : float or array
        Everything spent on a piece up to and with this step. [money]
    reject_frac : float or array
        Share of the pieces that this step loses. [1]
    credit : float or array
        What a rejected piece brings back. [money]

    Source
    ------
    published: M. P. Groover, Fundamentals of Modern Manufacturing, sec. 1.5 (without credit); first principles.
    """
    return (spent - reject_frac * credit) / (1.0 - reject_frac)


def learning_exponent(rate_frac: float) -> float:
    """Exponent b = ln r/ln 2 of a learning curve that keeps the share r with each doubling. [1]

    Raises
    ------
    ValueError
        A rate outside 0–1.

    Source
    ------
    published: T. P. Wright 1936 (second hand).
    """
    if not 0.0 < rate_frac <= 1.0:
        msg = f"rate_frac = {rate_frac!r}: a learning rate is a share, e.g. 0.85; 1 means that nothing is learned."
        raise ValueError(msg)
    return math.log(rate_frac) / math.log(2.0)


def learned_frac(count: Array, rate_frac: float, theory: Learning) -> Array:
    """Cost of unit number `count`, as a share of the first unit's. [1]

    Parameters
    ----------
    count : array, shape (n,)
        Number of the unit, at least 1. [1]
    rate_frac : float
    theory : str
        "crawford": x^b. "wright": the average of x units is x^b, so unit x costs x^(b+1) - (x-1)^(b+1).

    Source
    ------
    published: Wright's and Crawford's forms as in learning-curve texts (second hand).
    """
    b = learning_exponent(rate_frac)
    if np.any(count < 1.0):
        msg = f"count = {float(np.min(count))!r}: units are counted from 1."
        raise ValueError(msg)
    if theory == "crawford":
        share: Array = count**b
        return share
    whole: Array = count ** (b + 1.0) - (count - 1.0) ** (b + 1.0)
    return whole


def average_learned_frac(count: float, rate_frac: float, theory: Learning) -> float:
    """Average over the first `count` units, as a share of the first unit's cost. [1]

    Notes
    -----
    Crawford: the sum of x^b up to 1,000 units term by term, beyond it by Euler and Maclaurin (error below 1e-9).
    """
    b = learning_exponent(rate_frac)
    if not count >= 1.0:
        msg = f"count = {count!r}: units are counted from 1."
        raise ValueError(msg)
    if theory == "wright":
        average: float = count**b
        return average
    whole = int(count)
    head = min(whole, 1_000)
    summed = float(np.sum(np.arange(1, head + 1, dtype=np.float64) ** b))
    if whole > head:
        tail = (whole ** (b + 1.0) - head ** (b + 1.0)) / (b + 1.0)
        summed += tail + 0.5 * (whole**b - head**b) + b / 12.0 * (whole ** (b - 1.0) - head ** (b - 1.0))
    return summed / whole
