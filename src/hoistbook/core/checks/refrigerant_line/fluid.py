"""Properties of refrigerants from tables: double Chebyshev series in the logarithm of pressure and in enthalpy."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from typing import Literal

import numpy as np
from numpy.polynomial import chebyshev

from hoistbook.core.arrays import Array

Surface = Literal["temperature", "entropy", "pressure_volume", "log_viscosity"]
SURFACES: tuple[Surface, ...] = ("temperature", "entropy", "pressure_volume", "log_viscosity")
BEYOND = 1.05
"""How far past its edge, at ±1, a series is read before it has no value; it is smooth there but not held to "
"anything."""
_STEPS = 60
_CLOSE = 1e-7
"""Newton's method squares its error: a step of this size leaves about 1e-13 of the half width of the table."""


def _terms(at: Array, n: int) -> Array:
    """Chebyshev polynomials T₀…T₍ₙ₋₁₎ at points in −1…1, shape (n, points); no value beyond the table."""
    rows = np.empty((n, *at.shape))
    rows[0] = 1.0
    if n > 1:
        rows[1] = np.where(np.abs(at) <= BEYOND, at, np.nan)
    for order in range(2, n):
        rows[order] = 2.0 * rows[1] * rows[order - 1] - rows[order - 2]
    return rows


@dataclass(frozen=True, slots=True)
class Region:
    """A piece of the surface of states: vapour, liquid, or the dense gas above the critical pressure.

    Attributes
    ----------
    log_pressure : tuple of float
        Least and greatest ln(p/Pa).
    least_j_per_kg, most_j_per_kg : array, shape (orders,)
        Enthalpy at the edges as a series in ln p: of the vapour from saturation to the hottest state on file.
    surfaces : mapping of str to array, shape (orders of ln p, orders of enthalpy)
        T [K], s [J/(kg.K)], pv [J/kg], ln(µ/Pa.s).
    """

    log_pressure: tuple[float, float]
    least_j_per_kg: Array
    most_j_per_kg: Array
    surfaces: Mapping[Surface, Array]

    def at(self, pressure_pa: Array) -> Isobars:
        """Return the states at given pressures."""
        low, high = self.log_pressure
        x = (2.0 * np.log(pressure_pa) - low - high) / (high - low)
        orders = max(len(self.least_j_per_kg), *(len(one) for one in self.surfaces.values()))
        return Isobars(self, pressure_pa, _terms(x, orders))


class Isobars:
    """The states of a region at one pressure per draw; each surface is then a series in enthalpy alone."""

    __slots__ = ("_region", "_series", "_terms", "least_j_per_kg", "pressure_pa", "width_j_per_kg")

    def __init__(self, region: Region, pressure_pa: Array, terms: Array) -> None:
        self._region = region
        self._terms = terms
        self._series: dict[Surface, Array] = {}
        self.pressure_pa = pressure_pa
        self.least_j_per_kg: Array = self._edge(region.least_j_per_kg)
        self.width_j_per_kg: Array = self._edge(region.most_j_per_kg) - self.least_j_per_kg

    def _edge(self, series: Array) -> Array:
        edge: Array = np.einsum("r,rn->n", series, self._terms[: len(series)])
        return edge

    def _of(self, surface: Surface) -> Array:
        """Coefficients in enthalpy, shape (orders, draws)."""
        if surface not in self._series:
            table = self._region.surfaces[surface]
            self._series[surface] = np.einsum("ro,rn->on", table, self._terms[: len(table)])
        return self._series[surface]

    def _place(self, enthalpy_j_per_kg: Array) -> Array:
        place: Array = 2.0 * (enthalpy_j_per_kg - self.least_j_per_kg) / self.width_j_per_kg - 1.0
        return place

    def _value(self, surface: Surface, enthalpy_j_per_kg: Array) -> Array:
        series = self._of(surface)
        value: Array = np.einsum("on,on->n", series, _terms(self._place(enthalpy_j_per_kg), len(series)))
        return value

    def temperature_k(self, enthalpy_j_per_kg: Array) -> Array:
        """Temperature at an enthalpy. [K]"""
        return self._value("temperature", enthalpy_j_per_kg)

    def entropy_j_per_kg_k(self, enthalpy_j_per_kg: Array) -> Array:
        """Entropy at an enthalpy. [J/(kg.K)]"""
        return self._value("entropy", enthalpy_j_per_kg)

    def density_kg_per_m3(self, enthalpy_j_per_kg: Array) -> Array:
        """Density at an enthalpy. [kg/m3]"""
        density: Array = self.pressure_pa / self._value("pressure_volume", enthalpy_j_per_kg)
        return density

    def viscosity_pa_s(self, enthalpy_j_per_kg: Array) -> Array:
        """Dynamic viscosity at an enthalpy. [Pa.s]"""
        viscosity: Array = np.exp(self._value("log_viscosity", enthalpy_j_per_kg))
        return viscosity

    def enthalpy_at_temperature(self, temperature_k: Array) -> Array:
        """Enthalpy of the state of a temperature. [J/kg]"""
        return self._inverse("temperature", temperature_k)

    def enthalpy_at_entropy(self, entropy_j_per_kg_k: Array) -> Array:
        """Enthalpy of the state of an entropy. [J/kg]

        Below saturated vapour lies its mixture with liquid, where dh = T ds at the saturation temperature: some
        refrigerants become wet when they are compressed without loss from little superheat.
        """
        edge = self.least_j_per_kg
        missing = entropy_j_per_kg_k - self.entropy_j_per_kg_k(edge)
        dry = self._inverse("entropy", np.where(missing < 0.0, np.nan, entropy_j_per_kg_k))
        enthalpy: Array = np.where(missing < 0.0, edge + self.temperature_k(edge) * missing, dry)
        return enthalpy

    def _inverse(self, surface: Surface, wanted: Array) -> Array:
        """Newton's method, held between bounds: both surfaces rise with enthalpy at constant pressure."""
        series = self._of(surface)
        slopes = np.atleast_2d(chebyshev.chebder(series))
        wanted = np.broadcast_to(wanted, self.pressure_pa.shape)
        low, high = np.full(wanted.shape, -BEYOND), np.full(wanted.shape, BEYOND)
        left, right = (-1.0) ** np.arange(len(series)) @ series, series.sum(axis=0)
        place = np.clip(2.0 * (wanted - left) / (right - left) - 1.0, -BEYOND, BEYOND)
        for _ in range(_STEPS):
            terms = _terms(place, len(series))
            off = np.einsum("on,on->n", series, terms) - wanted
            low, high = np.where(off < 0.0, place, low), np.where(off > 0.0, place, high)
            step = place - off / np.einsum("on,on->n", slopes, terms[: len(slopes)])
            step = np.where((step >= low) & (step <= high), step, 0.5 * (low + high))
            moved = np.abs(step - place)
            place = step
            if not (moved > _CLOSE).any():
                break
        held = np.where((np.abs(place) < BEYOND) & np.isfinite(off), place, np.nan)
        enthalpy: Array = self.least_j_per_kg + 0.5 * (held + 1.0) * self.width_j_per_kg
        return enthalpy


@dataclass(frozen=True, slots=True)
class Fluid:
    """A refrigerant on file.

    Attributes
    ----------
    name : str
    saturation_k : tuple of float
        Least and greatest saturation temperature of the series.
    log_saturation : array, shape (orders,)
        ln(p/Pa) of saturated vapour as a series in temperature.
    suction, high, liquid : Region
        Vapour before the compressor, gas after it, what leaves the condenser or gas cooler. One region may serve twice.
    critical_pa : float
    """

    name: str
    saturation_k: tuple[float, float]
    log_saturation: Array
    suction: Region
    high: Region
    liquid: Region
    critical_pa: float

    def saturation_pa(self, temperature_k: Array) -> Array:
        """Pressure of saturated vapour. [Pa]"""
        low, high = self.saturation_k
        terms = _terms((2.0 * temperature_k - low - high) / (high - low), len(self.log_saturation))
        pressure: Array = np.exp(self.log_saturation @ terms)
        return pressure

    def saturation_temperature_k(self, pressure_pa: Array) -> Array:
        """Temperature of saturated vapour. [K]"""
        vapour = self.suction.at(pressure_pa)
        return vapour.temperature_k(vapour.least_j_per_kg)


def numbers(text: str) -> Array:
    """Numbers of a table in a module, separated by white space."""
    return np.array(text.split(), dtype=np.float64)


def region(
    log_pressure: tuple[float, float], shape: Sequence[int], edges: str, surfaces: Mapping[Surface, str]
) -> Region:
    """A region from the text of its tables, as scripts/refrigerant_tables.py writes it."""
    rows, columns = shape
    least, most = numbers(edges).reshape(2, rows)
    return Region(
        log_pressure,
        least,
        most,
        {name: numbers(text).reshape(rows, columns) for name, text in surfaces.items()},
    )
