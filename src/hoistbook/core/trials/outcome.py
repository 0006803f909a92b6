"""What a test of the intact vehicle says: figures with bands, what they stand on, and curves to look at."""

from __future__ import annotations

from dataclasses import dataclass

from hoistbook.core.arrays import Array
from hoistbook.core.quantities.quantity import Quantity
from hoistbook.core.vehicle.records import MassState


@dataclass(frozen=True, slots=True)
class Figure:
    """One result of a test.

    Parameters
    ----------
    key : str
        For scripts; ends in no unit, `value` has it.
    words : str
        What people call it.
    value : Quantity
    fact : str
        Key of `kinds.QUANTITY_KINDS` when it can be entered as a fact of the vehicle, else empty.
    duty : str
        Of that fact, where its quantity needs one.
    mass_state : MassState, optional
        Of that fact, where it is a mass.
    note : str
        What holds for this figure alone.
    """

    key: str
    words: str
    value: Quantity
    fact: str = ""
    duty: str = ""
    note: str = ""
    mass_state: MassState | None = None


@dataclass(frozen=True, slots=True, eq=False)
class Curve:
    """Points for a picture: what was measured, and what was fitted to it where something was.

    Parameters
    ----------
    name : str
    x_words, x_unit, y_words, y_unit : str
        Axes, in SI.
    x, y : array, shape (n,)
    fitted : array, shape (n,), optional
        What the fit, or the trace that was followed, says at x; y less this is the residual.
    half : array, shape (n,), optional
        Half width of the 95 % band of y.
    """

    name: str
    x_words: str
    x_unit: str
    y_words: str
    y_unit: str
    x: Array
    y: Array
    fitted: Array | None = None
    half: Array | None = None


@dataclass(frozen=True, slots=True, eq=False)
class Outcome:
    """Everything one evaluation of one log says.

    Parameters
    ----------
    kind : str
        "steady", "cycle", "charge", "discharge", "standby", "coastdown", "spindown", "corners".
    figures : tuple of Figure
    checks : tuple of str
        What was held against something else, and how far apart they are.
    assumptions : tuple of str
        One sentence for everything that was taken and not measured.
    set_aside : tuple of str
        Samples, stretches and runs that were not used, with the reason.
    curves : tuple of Curve
    jointly : tuple of str
        Keys of figures that were found together, so that their covariance says more than their bands.
    """

    kind: str
    figures: tuple[Figure, ...]
    checks: tuple[str, ...] = ()
    assumptions: tuple[str, ...] = ()
    set_aside: tuple[str, ...] = ()
    curves: tuple[Curve, ...] = ()
    jointly: tuple[str, ...] = ()

    def figure(self, key: str) -> Figure:
        """Return a figure by its key.

        Raises
        ------
        LookupError
            There is none; the message lists those there are.
        """
        for figure in self.figures:
            if figure.key == key:
                return figure
        msg = f"no figure {key!r} in this {self.kind} test; it has: {', '.join(f.key for f in self.figures)}."
        raise LookupError(msg)
