"""The vapour-compression cycle that a refrigerant line belongs to."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from hoistbook.core.arrays import Array
from hoistbook.core.checks.refrigerant_line.fluid import Fluid, Isobars


@dataclass(frozen=True, slots=True)
class Cycle:
    """A cycle without line losses, one value per draw.

    Attributes
    ----------
    fluid : Fluid
    low_pa, high_pa : array
        Pressure of evaporator, and of condenser or gas cooler.
    suction_j_per_kg, before_valve_j_per_kg : array
        Enthalpy out of the evaporator, and of what goes to the expansion valve.
    discharge_j_per_kg : array
        Enthalpy behind the compressor.
    flow_kg_per_s : array
    efficiency_frac : array
        Isentropic, of the compressor.
    vapour, gas : Isobars
        States at the two pressures.
    """

    fluid: Fluid
    low_pa: Array
    high_pa: Array
    suction_j_per_kg: Array
    before_valve_j_per_kg: Array
    discharge_j_per_kg: Array
    flow_kg_per_s: Array
    efficiency_frac: Array
    vapour: Isobars
    gas: Isobars

    @property
    def work_j_per_kg(self) -> Array:
        """Work of the compressor."""
        work: Array = self.discharge_j_per_kg - self.suction_j_per_kg
        return work

    @property
    def cooling_j_per_kg(self) -> Array:
        """Heat that the evaporator takes up."""
        cooling: Array = self.suction_j_per_kg - self.before_valve_j_per_kg
        return cooling


def compression_j_per_kg(vapour: Isobars, enthalpy: Array, gas: Isobars, efficiency: Array) -> Array:
    """Work from a state to a pressure: isentropic rise of enthalpy over the efficiency.

    Parameters
    ----------
    vapour : Isobars
        At the inlet.
    enthalpy : array, shape (n,)
        There. [J/kg]
    gas : Isobars
        At the outlet.
    efficiency : array, shape (n,)
        Isentropic. [1]

    Returns
    -------
    array, shape (n,)
        [J/kg]
    """
    work: Array = (gas.enthalpy_at_entropy(vapour.entropy_j_per_kg_k(enthalpy)) - enthalpy) / efficiency
    return work


def cycle(
    fluid: Fluid,
    low_pa: Array,
    superheat_k: Array,
    high_pa: Array,
    before_valve_k: Array,
    cooling_w: Array,
    efficiency: Array,
) -> Cycle:
    """Work out a cycle.

    Parameters
    ----------
    fluid : Fluid
    low_pa, high_pa : array, shape (n,)
        Pressures of evaporation and of heat rejection. [Pa]
    superheat_k : array, shape (n,)
        Out of the evaporator. [K]
    before_valve_k : array, shape (n,)
        Temperature of what goes to the expansion valve. [K]
    cooling_w : array, shape (n,)
    efficiency : array, shape (n,)
        Isentropic. [1]

    Returns
    -------
    Cycle
        Not a number where a state lies outside the tables.

    Source
    ------
    first principles: energy balance of a single-stage cycle with an isenthalpic valve.
    """
    vapour, gas = fluid.suction.at(low_pa), fluid.high.at(high_pa)
    saturated = vapour.temperature_k(vapour.least_j_per_kg)
    suction = np.where(
        superheat_k > 0.0, vapour.enthalpy_at_temperature(saturated + superheat_k), vapour.least_j_per_kg
    )
    before_valve = fluid.liquid.at(high_pa).enthalpy_at_temperature(before_valve_k)
    flow = cooling_w / (suction - before_valve)
    discharge = suction + compression_j_per_kg(vapour, suction, gas, efficiency)
    return Cycle(fluid, low_pa, high_pa, suction, before_valve, discharge, flow, efficiency, vapour, gas)


def with_suction_line(of: Cycle, drop_pa: Array, gained_j_per_kg: Array) -> tuple[Array, Array]:
    """Work and density at the inlet of the compressor behind a suction line that throttles and warms the vapour.

    Parameters
    ----------
    of : Cycle
    drop_pa : array, shape (n,)
    gained_j_per_kg : array, shape (n,)
        Heat picked up. [J/kg]

    Returns
    -------
    work_j_per_kg, density_kg_per_m3 : array, shape (n,)
    """
    vapour = of.fluid.suction.at(of.low_pa - drop_pa)
    enthalpy = of.suction_j_per_kg + gained_j_per_kg
    work = compression_j_per_kg(vapour, enthalpy, of.gas, of.efficiency_frac)
    return work, vapour.density_kg_per_m3(enthalpy)


def with_discharge_line(of: Cycle, drop_pa: Array) -> Array:
    """Work where the compressor must also overcome the drop of a discharge line. [J/kg]"""
    gas = of.fluid.high.at(of.high_pa + drop_pa)
    return compression_j_per_kg(of.vapour, of.suction_j_per_kg, gas, of.efficiency_frac)
