"""Named sources of error, and how a value is known."""

import math
from collections.abc import Iterable
from dataclasses import dataclass
from enum import Enum
from typing import Literal, get_args

Shape = Literal["normal", "student", "rectangular", "triangular", "trapezoid", "arcsine"]
SHAPES: tuple[str, ...] = get_args(Shape)


class Origin(Enum):
    """How a value is known, strongest first; a combination is as strong as its weakest member."""

    MEASURED = "measured"
    PUBLISHED = "published"
    INFERRED = "inferred"
    ASSUMED = "assumed"

    @property
    def rank(self) -> int:
        """Place in the order of strength: 0 measured … 3 assumed."""
        return _RANK[self]


_RANK = {origin: rank for rank, origin in enumerate(Origin)}


def weakest(origins: Iterable[Origin]) -> Origin:
    """Return the weakest of the origins; of none, ``Origin.MEASURED`` (which weakens nothing)."""
    return max(origins, key=_RANK.__getitem__, default=Origin.MEASURED)


@dataclass(frozen=True, slots=True)
class Source:
    """One named, zero-mean source of error, scaled to a standard uncertainty of 1.

    Parameters
    ----------
    name : str
        The identity: quantities that name the same source share its error completely. Name it after the
        instrument, certificate or reading it belongs to.
    shape : str
        ``normal``, ``student`` (unit scale, dof degrees of freedom), ``rectangular``, ``triangular``,
        ``trapezoid`` or ``arcsine``.
    parameter : float
        Trapezoid only: flat top over full width, beta in [0, 1]. [1]
    dof : float
        Degrees of freedom of the standard uncertainty, at least 1; infinite when it is taken as exactly known.
        They enter the effective degrees of freedom for every shape, and the drawn distribution for ``student`` only.
    ensemble : str
        Sources estimated together from one set of repeats (see `evaluation.correlated`) carry one ensemble name; their
        uncertainties share one set of degrees of freedom. Empty for a source on its own.

    Raises
    ------
    ValueError
        Empty name, unknown shape, beta outside [0, 1], dof below 1, or a student source with infinite dof.

    Notes
    -----
    The standard uncertainty of a student source is its scale, as in GUM 4.2; the standard deviation of the
    distribution that JCGM 101 6.4.9 assigns to it is sqrt(dof/(dof-2)) times larger (infinite for dof <= 2).

    Source
    ------
    from memory: JCGM 100:2008 (GUM) 4.2, 4.3; JCGM 101:2008 6.4.
    """

    name: str
    shape: Shape = "normal"
    parameter: float = 0.0
    dof: float = math.inf
    ensemble: str = ""

    def __post_init__(self) -> None:
        if not self.name:
            msg = "a source of error needs a name, after its instrument or reading, e.g. 'instrument B2/calibration'."
            raise ValueError(msg)
        if self.shape not in SHAPES:
            msg = f"source {self.name!r}: no shape named {self.shape!r}; known shapes: {', '.join(SHAPES)}."
            raise ValueError(msg)
        if not self.dof >= 1.0:  # also catches nan
            msg = (
                f"source {self.name!r}: dof = {self.dof!r}; it is at least 1, or math.inf when known exactly."
            )
            raise ValueError(msg)
        if self.shape == "student" and math.isinf(self.dof):
            msg = f"source {self.name!r}: a student source needs finite dof; with infinite dof use shape 'normal'."
            raise ValueError(msg)
        if self.shape == "trapezoid":
            if not 0.0 <= self.parameter <= 1.0:
                msg = f"source {self.name!r}: trapezoid beta {self.parameter!r} is outside 0–1 (top over full width)."
                raise ValueError(msg)
        elif self.parameter != 0.0:
            msg = f"source {self.name!r}: parameter = {self.parameter!r} means nothing for {self.shape!r}; leave it 0."
            raise ValueError(msg)
