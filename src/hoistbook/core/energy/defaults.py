"""What is taken for a figure nobody has stated: values with band, mark and source, handed in by `reference`."""

from __future__ import annotations

import math
from collections.abc import Mapping
from dataclasses import dataclass
from typing import Literal, get_args

from hoistbook.core.quantities.assumption import Assumption, AssumptionKind
from hoistbook.core.quantities.quantity import Origin, Quantity, Source
from hoistbook.core.vehicle.kinds import field_words, unit_text

DefaultShape = Literal["exact", "normal", "rectangular", "triangular"]
SHAPES: tuple[str, ...] = get_args(DefaultShape)

# Half width over standard uncertainty: 95 % of a normal error, the limits of a bounded one.
_DIVISORS = {"normal": 1.959963984540054, "rectangular": math.sqrt(3.0), "triangular": math.sqrt(6.0)}


@dataclass(frozen=True, slots=True)
class Default:
    """One assumed figure.

    Parameters
    ----------
    name : str
        Field of `EnergyParameters`.
    value : float
        In `unit` (SI).
    unit : str
    half_width : float
        Of the 95 % interval for a normal shape, of the limits for a bounded one, 0 for an exact one. In `unit`.
    shape : str
        "exact", "normal", "rectangular" or "triangular".
    mark, source, note : str
        Who says so.
    origin : Origin
        Assumed, except for constants and reference states that are what a document says.
    shares : str
        Name of the default whose error this one repeats; empty for an error of its own.
    """

    name: str
    value: float
    unit: str
    half_width: float
    shape: DefaultShape
    mark: str
    source: str
    note: str = ""
    shares: str = ""
    origin: Origin = Origin.ASSUMED

    def __post_init__(self) -> None:
        if self.shape not in SHAPES:
            msg = f"default {self.name!r}: no shape named {self.shape!r}; known shapes: {', '.join(SHAPES)}."
            raise ValueError(msg)
        if (self.shape == "exact") != (self.half_width == 0.0) or self.half_width < 0.0:
            msg = (
                f"default {self.name!r}: half_width = {self.half_width!r} does not go with shape {self.shape!r}; "
                "exact means 0, every other shape a positive half width."
            )
            raise ValueError(msg)

    def quantity(self, owner: str) -> Quantity:
        """Return the figure for one vehicle, with an error of its own.

        Parameters
        ----------
        owner : str
            Vehicle and configuration: two vehicles do not share what is not known of either.
        """
        if self.shape == "exact":
            return Quantity(self.value, self.unit, origin=self.origin)
        source = Source(f"default {self.shares or self.name}/{owner}", self.shape)
        return Quantity(
            self.value, self.unit, ((source, self.half_width / _DIVISORS[self.shape]),), self.origin
        )

    def assumption(self, owner: str) -> Assumption:
        """The figure for one vehicle as what was assumed of it."""
        return Assumption(
            AssumptionKind.DEFAULT,
            self.words,
            field=self.name,
            value=self.quantity(owner),
            half_width=self.half_width,
            mark=self.mark,
            source=self.source,
        )

    @property
    def words(self) -> str:
        """Value and who says so, in one line."""
        band = "" if self.shape == "exact" else f" ± {self.half_width:g}"
        unit = f" {unit_text(self.unit)}".rstrip()
        return f"{field_words(self.name)} = {self.value:g}{band}{unit} ({self.mark}: {self.source})"


@dataclass(frozen=True, slots=True)
class ResidualDefault:
    """Prior of the model residual: standard deviation of its logarithm and its correlation within a maker's family."""

    sd_ln: float
    family_correlation: float
    mark: str
    source: str


@dataclass(frozen=True, slots=True)
class EnergyDefaults:
    """Every assumed figure of the energy model.

    Parameters
    ----------
    fields : mapping of field name to Default
        Base figures.
    required : mapping of field name to str
        Fields without a default, with the reason and what to state instead.
    drivelines : mapping of set name to mapping of field name to Default
        Named drivelines; each replaces some of the base figures.
    surroundings : mapping of name to mapping of field name to Default
        Reference states of a duty (air density, label factor).
    residual : ResidualDefault
    """

    fields: Mapping[str, Default]
    required: Mapping[str, str]
    drivelines: Mapping[str, Mapping[str, Default]]
    surroundings: Mapping[str, Mapping[str, Default]]
    residual: ResidualDefault

    def joined(self, driveline: str, surroundings: str) -> dict[str, Default]:
        """Return the default of every field that has one, for a driveline and a reference state.

        Raises
        ------
        LookupError
            No such driveline or reference state; the message lists the known ones.
        """
        joined = dict(self.fields)
        for what, known, name in (
            ("driveline", self.drivelines, driveline),
            ("surroundings", self.surroundings, surroundings),
        ):
            if name not in known:
                msg = f"no {what} named {name!r}; known: {', '.join(known)}."
                raise LookupError(msg)
            joined.update(known[name])
        return joined
