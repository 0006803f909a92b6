"""Every parameter of the energy model of one configuration, as far as it is known."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from types import MappingProxyType

import numpy as np

from hoistbook.core.arrays import Array
from hoistbook.core.energy.parameters import FIELD_NAMES, EnergyParameters
from hoistbook.core.energy.worked_out import Input
from hoistbook.core.quantities.assumption import Assumption, sentences
from hoistbook.core.quantities.quantity import Origin, Quantity
from hoistbook.core.quantities.sampling import joint_draws


@dataclass(frozen=True, slots=True)
class Resolved:
    """Energy parameters of one configuration, each with its band and origin.

    Attributes
    ----------
    owner : str
        Vehicle and configuration.
    values : mapping of field name to Quantity
        Every field of `EnergyParameters`.
    assumed : tuple of Assumption
        One for every figure that no fact gave, every conversion, and every fact kept aside.
    road_load_from_coefficients : bool
        Road load came as A, B, C: tyres and drag force are then told apart by the tyre coefficient alone.
    usable_energy_from_wall : bool
        Usable energy was inferred from the wall energy of a charge: it and charging are one thing.
    worked_out : mapping of field name to tuple of Input
        What the fields were worked out from that no fact or default gave as they stand.
    """

    owner: str
    values: Mapping[str, Quantity]
    assumed: tuple[Assumption, ...]
    road_load_from_coefficients: bool
    usable_energy_from_wall: bool
    worked_out: Mapping[str, tuple[Input, ...]] = field(default_factory=lambda: MappingProxyType({}))

    @property
    def assumptions(self) -> tuple[str, ...]:
        """What was assumed, as sentences."""
        return sentences(self.assumed)

    @property
    def origins(self) -> dict[str, Origin]:
        """How each field is known."""
        return {name: quantity.origin for name, quantity in self.values.items()}

    def draws(self, n_draws: int, seed: int) -> dict[str, Array]:
        """Draw every field: arrays of shape (n_draws,) by field name; shared sources are drawn once.

        Two vehicles resolved apart and drawn with the same seed share the draws of the sources they share.
        """
        rows = joint_draws([self.values[name] for name in FIELD_NAMES], n_draws, seed)
        return {name: np.ascontiguousarray(row) for name, row in zip(FIELD_NAMES, rows, strict=True)}

    def parameters(self, n_draws: int, seed: int) -> EnergyParameters:
        """Draw every field, as parameters of the model.

        Raises
        ------
        ValueError
            A draw is impossible (a divisor not above 0, cut-in speeds crossed); the message names field and draw.
        """
        return EnergyParameters(**self.draws(n_draws, seed))

    def central(self) -> EnergyParameters:
        """Return the parameters at the best estimates."""
        return EnergyParameters(**{name: self.values[name].value for name in FIELD_NAMES})
