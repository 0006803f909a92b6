"""Random draws of error sources: the same source, seed and count give the same numbers, whoever asks and when.

Each source has a stream of its own, keyed by a hash of seed and source name. Two vehicles that share a source
therefore share its draws, and their difference can be taken draw by draw.
"""

import hashlib
import math
from collections.abc import Sequence

import numpy as np

from hoistbook.core.arrays import Array
from hoistbook.core.quantities.quantity import Quantity, Source


def _generator(seed: int, name: str) -> np.random.Generator:
    digest = hashlib.sha256(f"{seed}\x00{name}".encode()).digest()
    return np.random.Generator(np.random.Philox(key=int.from_bytes(digest[:16], "little")))


class SourceStream:
    """The draws of one source, handed out piece by piece; the pieces together are the draws taken at once.

    Parameters
    ----------
    source : Source
    seed : int
        Any whole number.

    Notes
    -----
    Standardised draws z: standard uncertainty 1, mean 0. A student source is t-distributed with its dof and unit scale;
    the student sources of one ensemble share the chi-square divisor, so any linear combination of them is t-distributed
    with the same dof. Other shapes with finite dof are drawn with their shape; dof enters only the Welch–Satterthwaite
    formula there.

    Source
    ------
    from memory: JCGM 101 6.4.2 (rectangular), 6.4.4 (trapezoid), 6.4.5 (triangular), 6.4.6 (arcsine), 6.4.7 (normal),
    6.4.9 (t). Philox: counter-based generator of NumPy.
    """

    __slots__ = ("_divisor", "_main", "_source")

    def __init__(self, source: Source, seed: int) -> None:
        self._source = source
        self._main = _generator(seed, source.name)
        divisor_name = f"ensemble {source.ensemble}" if source.ensemble else f"source {source.name}"
        self._divisor = _generator(seed, f"chi-square of {divisor_name}")

    def take(self, n: int) -> Array:
        """Return the next n standardised draws, shape (n,)."""
        source, main = self._source, self._main
        match source.shape:
            case "normal":
                return main.standard_normal(n)
            case "student":
                scale: Array = np.sqrt(self._divisor.chisquare(source.dof, n) / source.dof)
                t: Array = main.standard_normal(n) / scale
                return t
            case "rectangular":
                return main.uniform(-math.sqrt(3.0), math.sqrt(3.0), n)
            case "arcsine":
                cycle: Array = math.sqrt(2.0) * np.sin(main.uniform(0.0, 2.0 * math.pi, n))
                return cycle
            case _:
                # Sum of two rectangular errors; half widths (1 ± beta) a / 2, triangular with beta = 0.
                beta = source.parameter
                half = math.sqrt(6.0 / (1.0 + beta * beta))
                pairs = main.uniform(-1.0, 1.0, (n, 2))
                # Not a matrix product: its rounding depends on n and on the machine.
                mixed: Array = 0.5 * half * ((1.0 + beta) * pairs[:, 0] + (1.0 - beta) * pairs[:, 1])
                return mixed


def _check_count(n: int) -> None:
    if n < 1:
        msg = f"n = {n!r} draws; ask for at least 1."
        raise ValueError(msg)


def draw_source(source: Source, n: int, seed: int) -> Array:
    """Draw one source.

    Parameters
    ----------
    source : Source
    n : int
        Number of draws, at least 1. The first n of a longer run are the same.
    seed : int

    Returns
    -------
    array, shape (n,)
        Standardised: mean 0, standard uncertainty 1.
    """
    _check_count(n)
    return SourceStream(source, seed).take(n)


def draws(quantity: Quantity, n: int, seed: int) -> Array:
    """Draw a quantity: value + sum of c times the draws of each source.

    Parameters
    ----------
    quantity : Quantity
    n : int
        Number of draws, at least 1.
    seed : int

    Returns
    -------
    array, shape (n,)
        In the unit of the quantity. Draws of quantities that share sources go together, with the same n and seed.
    """
    row: Array = joint_draws([quantity], n, seed)[0]
    return row


def joint_draws(quantities: Sequence[Quantity], n: int, seed: int) -> Array:
    """Draw many quantities; every shared source is drawn once.

    Parameters
    ----------
    quantities : sequence of Quantity
    n : int
        Number of draws, at least 1.
    seed : int

    Returns
    -------
    array, shape (n_quantities, n)
        Row i equals ``draws(quantities[i], n, seed)`` up to round-off.
    """
    _check_count(n)
    return JointStream(quantities, seed).take(n)


class JointStream:
    """Draws of several quantities, handed out block by block.

    Parameters
    ----------
    quantities : sequence of Quantity
    seed : int

    Raises
    ------
    ValueError
        Two different sources under one name.
    """

    __slots__ = ("_streams", "_users", "_values")

    def __init__(self, quantities: Sequence[Quantity], seed: int) -> None:
        self._values = np.array([q.value for q in quantities])
        sources: dict[str, Source] = {}
        users: dict[str, list[tuple[int, float]]] = {}
        for row, quantity in enumerate(quantities):
            for source, c in quantity.terms:
                known = sources.setdefault(source.name, source)
                if known is not source and known != source:
                    msg = f"two different sources are both named {source.name!r}; a name means one error: rename one."
                    raise ValueError(msg)
                users.setdefault(source.name, []).append((row, c))
        self._streams = {name: SourceStream(source, seed) for name, source in sources.items()}
        self._users = users

    def take(self, n: int) -> Array:
        """Return the next n draws of every quantity, shape (n_quantities, n)."""
        result: Array = np.repeat(self._values[:, None], n, axis=1)
        for name, stream in self._streams.items():
            z = stream.take(n)
            for row, c in self._users[name]:
                result[row] += c * z
        return result
