"""Draws of the parameters of two made-up vehicles: inputs for comparing two ways of working, never expected values."""

from __future__ import annotations

import numpy as np

from hoistbook.core.arrays import Array
from hoistbook.core.compare.causes import CAUSES
from hoistbook.core.compare.engine import Surroundings
from hoistbook.core.compare.gap import Question, ResidualPrior, Side
from hoistbook.core.energy.duty import Duty
from hoistbook.core.energy.model import EnergyParameters
from hoistbook.core.quantities.quantity import Origin
from hoistbook.reference.cycles import cycle

SURROUNDINGS = Surroundings(gravity_m_per_s2=9.80665, air_density_kg_per_m3=1.167)

CENTRE = {
    "test_mass_kg": (1750.0, 0.003),
    "rotating_frac": (0.03, 0.1),
    "tyre_coefficient": (0.008, 0.03),
    "drag_area_m2": (0.75, 0.03),
    "drag_force_n": (30.0, 0.1),
    "drag_force_b_n_s_per_m": (0.8, 0.1),
    "drag_force_c_n_s2_per_m2": (0.0, 0.0),
    "wheel_radius_m": (0.335, 0.002),
    "gear_ratio": (9.5, 0.0),
    "gear_efficiency_frac": (0.93, 0.003),
    "gear_efficiency_back_frac": (0.93, 0.003),
    "loss_c0_w": (200.0, 0.1),
    "loss_k1": (0.10, 0.1),
    "loss_k2": (2.0, 0.1),
    "loss_k3": (6e-7, 0.1),
    "return_frac": (0.8, 0.03),
    "cut_in_low_m_per_s": (5.0 / 3.6, 0.05),
    "cut_in_full_m_per_s": (15.0 / 3.6, 0.05),
    "regen_power_cap_w": (40e3, 0.05),
    "regen_torque_cap_n_m": (200.0, 0.05),
    "adhesion_frac": (0.8, 0.0),
    "driven_load_frac": (0.5, 0.0),
    "load_transfer": (0.2, 0.0),
    "accessory_power_w": (300.0, 0.05),
    "pack_voltage_v": (360.0, 0.01),
    "pack_resistance_ohm": (0.08, 0.1),
    "usable_energy_j": (55 * 3.6e6, 0.01),
    "charging_efficiency_frac": (0.89, 0.01),
    "label_factor_frac": (0.7, 0.005),
}


def parameter_draws(n_draws: int, seed: int, shift: float = 0.0) -> dict[str, Array]:
    """Independent normal draws of every parameter; `shift` moves each a little, as another vehicle would."""
    rng = np.random.default_rng(seed)
    return {
        name: centre * (1.0 + shift * (i % 5 - 2) + spread * rng.standard_normal(n_draws))
        for i, (name, (centre, spread)) in enumerate(CENTRE.items())
    }


def side(
    code: str,
    fields: dict[str, Array],
    stated: Array | None = None,
    family: str = "",
    origin: Origin = Origin.MEASURED,
) -> Side:
    return Side(
        code, family, fields, dict.fromkeys(fields, origin), stated, None if stated is None else origin
    )


def question(duty: Duty, quantity: str = "range", *, sd_ln: float = 0.3, use_fast: bool = True) -> Question:
    return Question(quantity, duty, SURROUNDINGS, ResidualPrior(sd_ln, 0.0), use_fast=use_fast)  # type: ignore[arg-type]


def us_duty() -> Duty:
    return Duty("us", (cycle("udds"), cycle("hwfet")), (0.55, 0.45), "range")


def wltc_duty() -> Duty:
    return Duty("wltc3b", (cycle("wltc3b"),), (1.0,), "energy")


def energy_parameters(fields: dict[str, Array]) -> EnergyParameters:
    return EnergyParameters(
        gravity_m_per_s2=SURROUNDINGS.gravity_m_per_s2,
        air_density_kg_per_m3=SURROUNDINGS.air_density_kg_per_m3,
        **fields,
    )


def mixed(x: dict[str, Array], y: dict[str, Array], switched: set[str]) -> dict[str, Array]:
    """Fields of X with those of the causes in `switched` taken from Y."""
    return {name: (y if cause.name in switched else x)[name] for cause in CAUSES for name in cause.fields}
