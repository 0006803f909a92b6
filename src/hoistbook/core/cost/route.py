"""How a part is made: a chain of steps, with what was read off the part."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from types import MappingProxyType

from hoistbook.core.cost.inputs import known_input
from hoistbook.core.quantities.quantity import Quantity

_NO_READINGS: Mapping[str, Quantity] = MappingProxyType({})
_NO_CHOICES: Mapping[str, str] = MappingProxyType({})


@dataclass(frozen=True, slots=True)
class Step:
    """One step: process, its choices, and readings that belong to this step (else those of the part).

    `material` where the step brings in another material than the part is of; `origin` says who named the process:
    "observed", "proposed" or "assumed".
    """

    process: str
    choices: Mapping[str, str] = field(default_factory=lambda: _NO_CHOICES)
    readings: Mapping[str, Quantity] = field(default_factory=lambda: _NO_READINGS)
    material: str = ""
    note: str = ""
    origin: str = "observed"


@dataclass(frozen=True, slots=True)
class PartToCost:
    """A part with its readings and its route.

    Attributes
    ----------
    tag, name : str
    material : str
        Code of a material of the scenario.
    readings : mapping of str to Quantity
        By names of `inputs.INPUTS`, in their units.
    steps : tuple of Step
        In order; the first brings the material.
    pieces_per_vehicle : float
    pooled_volume : float
        Vehicles per year of sisters that carry the same part, besides those of the scenario. [1/year]
    region, supplier : str
        Where the scenario's own do not hold.
    estimated : tuple of str
        What was estimated from other readings, one sentence each.
    assembled : bool
        It is put together from parts that have costs of their own: its first step need not bring material.
    error_name : str
        Name by which its own share of the model's error is drawn; its tag when empty. Parts of one name miss alike: the
        same part on two vehicles, or seen in two scenarios.

    Raises
    ------
    ValueError
        No steps, a reading in another unit or out of reach, a mean wall above the thickest, or a wall thicker than the
        envelope.
    LookupError
        A reading nobody knows.
    """

    tag: str
    name: str
    material: str
    readings: Mapping[str, Quantity]
    steps: tuple[Step, ...]
    pieces_per_vehicle: float = 1.0
    pooled_volume: float = 0.0
    region: str = ""
    supplier: str = ""
    estimated: tuple[str, ...] = ()
    assembled: bool = False
    error_name: str = ""

    def __post_init__(self) -> None:
        if not self.steps:
            msg = (
                f"{self.tag}: the route has no step; name at least the process that gives the part its form."
            )
            raise ValueError(msg)
        if not self.pieces_per_vehicle > 0.0:
            msg = f"{self.tag}: {self.pieces_per_vehicle!r} pieces per vehicle; it must be above 0."
            raise ValueError(msg)
        if not self.pooled_volume >= 0.0:
            msg = f"{self.tag}: pooled volume {self.pooled_volume!r} per year; it cannot be negative."
            raise ValueError(msg)
        self._check(self.readings)
        for step in self.steps:
            self._check({**self.readings, **step.readings})

    def _check(self, readings: Mapping[str, Quantity]) -> None:
        for name, value in readings.items():
            one = known_input(name)
            if value.unit != one.unit:
                msg = f"{self.tag}: {one.words} is given in {value.unit!r}; give it in {one.unit!r}."
                raise ValueError(msg)
            one.check(value.value, self.tag)
        sizes = [readings[name].value for name in ("length_m", "width_m", "height_m") if name in readings]
        wall, thickest = readings.get("wall_thickness_m"), readings.get("wall_thickness_max_m")
        if wall is not None and thickest is not None and wall.value > thickest.value:
            msg = (
                f"{self.tag}: the mean wall of {wall.value * 1e3:g} mm is above the thickest of "
                f"{thickest.value * 1e3:g} mm; one of them is a slip."
            )
            raise ValueError(msg)
        for one_wall in (wall, thickest):
            if one_wall is not None and sizes and one_wall.value > min(sizes) * 1.0001:
                msg = (
                    f"{self.tag}: a wall of {one_wall.value * 1e3:g} mm is thicker than the envelope "
                    f"({min(sizes) * 1e3:g} mm); one of them is a slip."
                )
                raise ValueError(msg)
