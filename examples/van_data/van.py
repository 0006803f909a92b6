"""One invented van: what is true of it, what was written down of it, and how the two hang together."""

from __future__ import annotations

import math
from collections.abc import Mapping
from dataclasses import dataclass

from hoistbook.core.energy.parameters import EnergyParameters
from hoistbook.core.quantities.units import to_si
from hoistbook.core.vehicle.kinds import QUANTITY_KINDS
from van_data.weighing import Repeats
from van_data.workshop import Row

GRAVITY_M_PER_S2 = 9.80665
AIR_DENSITY_KG_PER_M3 = 1.189
"""Reference state of the world light-vehicle test, GTR 15: 293 K, 100 kPa."""
DUTY = "wltc3b"
BALLAST_KG = 100.0
"""Driver 75 kg and 25 kg of equipment: what the test mass is above the curb mass."""

Truth = Mapping[str, tuple[float, str]]


@dataclass(frozen=True, slots=True)
class Said:
    """A fact as written down: the truth plus an error, with the band that goes with it.

    `off` is the error in standard uncertainties of the own band, `shared_off` that of the shared source. A figure that
    is exact has `band` 0. `rounded` is the number of decimals written.
    """

    quantity: str
    origin: str
    band: float
    off: float = 0.0
    rounded: int = 2
    shared: str = ""
    shared_band: float = 0.0
    shared_off: float = 0.0
    evidence: str = ""
    note: str = ""
    shape: str = ""
    instrument: str = ""
    duty: str = ""
    degrees_of_freedom: int | None = None

    def row(self, configuration: str, truth: Truth) -> Row:
        """Return the row of the facts sheet."""
        true, unit = truth[self.quantity]
        value = round(true + 0.5 * (self.off * self.band + self.shared_off * self.shared_band), self.rounded)
        return {
            "configuration": configuration, "quantity": self.quantity, "value": value, "unit": unit,
            "plus or minus": self.band, "shape": self.shape, "degrees of freedom": self.degrees_of_freedom,
            "origin": self.origin, "basis": "specimen", "duty": self.duty, "instrument": self.instrument,
            "shared source": self.shared, "shared plus or minus": self.shared_band or None,
            "evidence": self.evidence, "note": self.note,
        }  # fmt: skip


@dataclass(frozen=True, slots=True)
class Effect:
    """What the approach to one function contributes; a row of the effects sheet."""

    function: str
    quantity: str
    value: float
    unit: str
    band: float
    origin: str
    evidence: str
    shared: str = ""
    shared_band: float = 0.0
    note: str = ""

    def row(self) -> Row:
        """Return the row of the effects sheet."""
        return {
            "function": self.function, "quantity": self.quantity, "value": self.value, "unit": self.unit,
            "plus or minus": self.band, "origin": self.origin, "shared source": self.shared,
            "shared plus or minus": self.shared_band or None, "evidence": self.evidence, "note": self.note,
        }  # fmt: skip


@dataclass(frozen=True, slots=True)
class Item:
    """Unlike content; a row of the content sheet."""

    item: str
    description: str
    rule: str
    quantity: str
    value: float
    unit: str
    band: float
    function: str = ""
    note: str = ""

    def row(self) -> Row:
        """Return the row of the content sheet."""
        return {
            "item": self.item, "description": self.description, "rule": self.rule, "quantity": self.quantity,
            "value": self.value, "unit": self.unit, "plus or minus": self.band, "function": self.function,
            "note": self.note,
        }  # fmt: skip


@dataclass(frozen=True, slots=True)
class Corners:
    """How the van stands on the pads: shares of the mass and height of the centre of gravity (truth)."""

    driven: str
    front_share: float
    left_share: float
    height_m: float
    wheelbase_m: float
    track_m: float
    lift_deg: float
    axle_height_m: float

    @property
    def driven_share(self) -> float:
        """Share of the mass on the driven axle."""
        return self.front_share if self.driven == "front" else 1.0 - self.front_share

    @property
    def load_transfer(self) -> float:
        """Height of the centre of gravity over wheelbase: braking loads a driven front axle (+), a rear one not (−)."""
        return math.copysign(self.height_m / self.wheelbase_m, 1.0 if self.driven == "front" else -1.0)


@dataclass(frozen=True, slots=True)
class Van:
    """Everything invented about one van. `residual` is the planted error of the model, `hidden_kg` mass no line names."""

    letter: str
    identity: Row
    configuration: Row
    truth: Truth
    residual: float
    hidden_kg: float
    corners: Corners
    facts: tuple[Said, ...]
    approaches: Mapping[str, str]
    absent: Mapping[str, str]
    shares: tuple[tuple[str, str, int], ...]
    content: tuple[Item, ...]
    effects: tuple[Effect, ...]
    repeats: tuple[Repeats, ...]
    together: tuple[tuple[tuple[str, ...], str], ...]
    correction: tuple[str, float, str]
    heights: tuple[tuple[str, float, str], ...]
    approach_readings: tuple[tuple[str, str, float, str, str], ...]
    start: str
    mark: str

    @property
    def configuration_id(self) -> str:
        """Name of the one configuration that was torn down."""
        return str(self.configuration["configuration"])

    def parameters(self, test_mass_kg: float) -> EnergyParameters:
        """Return the true energy parameters, for the chain of `hoistbook.core.energy`."""
        found = {}
        for quantity, (value, unit) in self.truth.items():
            field = QUANTITY_KINDS[quantity].field
            if field:
                found[field] = to_si(value, unit)[0]
        torque_n_m = self.truth["drag_torque"][0]
        found["drag_force_n"] = torque_n_m / found["wheel_radius_m"]
        found.setdefault("drag_force_b_n_s_per_m", 0.0)
        return EnergyParameters(
            **found,
            test_mass_kg=test_mass_kg,
            drag_force_c_n_s2_per_m2=0.0,
            gravity_m_per_s2=GRAVITY_M_PER_S2,
            air_density_kg_per_m3=AIR_DENSITY_KG_PER_M3,
            adhesion_frac=math.inf,
            driven_load_frac=self.corners.driven_share,
            load_transfer=self.corners.load_transfer,
            label_factor_frac=1.0,
        )
