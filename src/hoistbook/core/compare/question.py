"""What is asked of a gap: the two vehicles, the decisions found on them, and what is known of the model beforehand."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from types import MappingProxyType

from hoistbook.core.arrays import Array
from hoistbook.core.compare.engine import GapQuantity, Surroundings
from hoistbook.core.energy.duty import Duty
from hoistbook.core.energy.worked_out import Input
from hoistbook.core.quantities.quantity import Origin


@dataclass(frozen=True, slots=True)
class Side:
    """One vehicle of a gap.

    Attributes
    ----------
    code, family : str
        Vehicles of one family share part of the model's error.
    fields : mapping of field name to array, shape (n_draws,)
        Energy parameters, one draw per column, shared sources drawn once for both vehicles.
    origins : mapping of field name to Origin
    stated : array, shape (n_draws,), or None
        Draws of the stated range [m] or consumption [J/m]; None when nothing was stated.
    stated_origin : Origin or None
    worked_out : mapping of field name to tuple of Input
        Fields that were worked out, with the figures they were worked out from.
    """

    code: str
    family: str
    fields: Mapping[str, Array]
    origins: Mapping[str, Origin]
    stated: Array | None = None
    stated_origin: Origin | None = None
    worked_out: Mapping[str, tuple[Input, ...]] = field(default_factory=lambda: MappingProxyType({}))


@dataclass(frozen=True, slots=True)
class Decision:
    """What one decision changes from X to Y: per energy parameter an array of shape (n_draws,), in SI."""

    name: str
    words: str
    change: Mapping[str, Array]
    origins: tuple[Origin, ...] = ()


@dataclass(frozen=True, slots=True)
class ResidualPrior:
    """What is known beforehand of the model's error: ln ρ ~ N(0, sd²), correlated within a maker's family."""

    sd_ln: float
    family_correlation: float

    def __post_init__(self) -> None:
        if not self.sd_ln > 0.0:
            msg = f"sd_ln = {self.sd_ln!r}: the model is never exact; give a positive relative error, e.g. 0.08."
            raise ValueError(msg)
        if not 0.0 <= self.family_correlation < 1.0:
            msg = f"family_correlation = {self.family_correlation!r}: give 0 up to below 1."
            raise ValueError(msg)


@dataclass(frozen=True, slots=True)
class Question:
    """What is asked: quantity, duty, surroundings and the prior of the residual; fixed before results are seen."""

    quantity: GapQuantity
    duty: Duty
    surroundings: Surroundings
    residual: ResidualPrior
    seed: int = 1
    use_fast: bool = True
