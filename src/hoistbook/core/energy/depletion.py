"""Range and consumption from a charge-depleting test: US multi-cycle test and WLTP shortened procedure."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass


@dataclass(frozen=True, slots=True)
class Repeats:
    """The runs of one cycle inside a depletion test, in the order driven.

    Parameters
    ----------
    energy_j : tuple of float
        DC discharge energy of each run. [J]
    distance_m : tuple of float
        Distance driven in each run. [m]

    Raises
    ------
    ValueError
        No run, a different number of energies and distances, or one that is not above 0.
    """

    energy_j: tuple[float, ...]
    distance_m: tuple[float, ...]

    def __post_init__(self) -> None:
        if not self.energy_j or len(self.energy_j) != len(self.distance_m):
            msg = f"{len(self.energy_j)} energies and {len(self.distance_m)} distances; give one of each per run."
            raise ValueError(msg)
        for name in ("energy_j", "distance_m"):
            for value in getattr(self, name):
                if not (value > 0.0 and math.isfinite(value)):
                    msg = f"{name} = {value!r}: every run has a finite figure above 0."
                    raise ValueError(msg)


@dataclass(frozen=True, slots=True)
class Depletion:
    """Weighted result of one cycle: weights of its runs, DC consumption [J/m] and range [m]."""

    weights: tuple[float, ...]
    consumption_dc_j_per_m: float
    range_m: float

    def consumption_ac_j_per_m(self, recharge_allocation: float) -> float:
        """Wall consumption: DC consumption times the recharge allocation factor. [J/m]"""
        return recharge_allocation * self.consumption_dc_j_per_m


def usable_energy_j(segment_energies_j: Sequence[float]) -> float:
    """Usable energy: DC discharge of all segments from full to empty, constant-speed ones included. [J]

    Source
    ------
    from memory: SAE J1634 section 8; UN GTR 15 Annex 8, 3.4.4.2.
    """
    return math.fsum(segment_energies_j)


def recharge_allocation(recharge_wall_j: float, usable_j: float) -> float:
    """Recharge allocation factor: wall energy of the recharge per usable energy. [1]

    Raises
    ------
    ValueError
        Less wall energy than usable energy: charging would have to create energy.

    Source
    ------
    from memory: SAE J1634 section 8. Charging loss is one number for every cycle of a test.
    """
    if not recharge_wall_j >= usable_j > 0.0:
        msg = (
            f"recharge_wall_j = {recharge_wall_j!r} J for usable_j = {usable_j!r} J: the wall gives at least what the "
            "pack gave; check that both are in joule and of the same charge."
        )
        raise ValueError(msg)
    return recharge_wall_j / usable_j


def first_run_apart(runs: Repeats, usable_j: float) -> Depletion:
    """Weight the first, cold run with its own share of the charge only and the others alike.

    Parameters
    ----------
    runs : Repeats
        Two runs or more: the four UDDS of the multi-cycle test, the two WLTC or four city parts of the WLTP procedure.
    usable_j : float
        Usable energy of the whole test. [J]

    Raises
    ------
    ValueError
        A single run, or more energy in the runs than the test had.

    Notes
    -----
    K_1 = E_1/UBE, the others (1 − K_1)/(n − 1); consumption = Σ K_i E_i/D_i; range = UBE/consumption.

    Source
    ------
    from memory: SAE J1634 section 8 (UDDS); UN GTR 15 Annex 8, 4.4.2.1 (WLTC, city).
    """
    if len(runs.energy_j) < 2:
        msg = "1 run: the first run is set apart from the others; give two or more, or use alike()."
        raise ValueError(msg)
    first = runs.energy_j[0] / usable_j
    rest = (1.0 - first) / (len(runs.energy_j) - 1)
    return _weighted(runs, (first, *[rest] * (len(runs.energy_j) - 1)), usable_j)


def alike(runs: Repeats, usable_j: float) -> Depletion:
    """Weight every run alike: the two HFEDS of the multi-cycle test, which are driven warm.

    Raises
    ------
    ValueError
        More energy in the runs than the test had.

    Source
    ------
    from memory: SAE J1634 section 8, K = 1/2 each.
    """
    count = len(runs.energy_j)
    return _weighted(runs, (1.0 / count,) * count, usable_j)


def _weighted(runs: Repeats, weights: tuple[float, ...], usable_j: float) -> Depletion:
    if math.fsum(runs.energy_j) > usable_j:
        msg = (
            f"the runs took {math.fsum(runs.energy_j):g} J of usable_j = {usable_j:g} J; usable energy is that of all "
            "segments from full to empty."
        )
        raise ValueError(msg)
    consumption = math.fsum(
        w * energy / distance
        for w, energy, distance in zip(weights, runs.energy_j, runs.distance_m, strict=True)
    )
    return Depletion(weights, consumption, usable_j / consumption)


def wltp_consumption_j_per_m(recharge_wall_j: float, pure_electric_range_m: float) -> float:
    """Declared WLTP consumption: wall energy of the recharge over pure electric range. [J/m]

    Notes
    -----
    Charging losses are included and nothing is adjusted: a WLTP to US range ratio mixes cycle, factor and mass rule.

    Raises
    ------
    ValueError
        A figure is not above 0.

    Source
    ------
    published: UN GTR 15 Annex 8, 4.3.2.2 (text of 2014, second hand): EC = E_AC/range.
    """
    if not (recharge_wall_j > 0.0 and pure_electric_range_m > 0.0):
        msg = (
            f"recharge_wall_j = {recharge_wall_j!r} J, pure_electric_range_m = {pure_electric_range_m!r} m: "
            "give both above 0."
        )
        raise ValueError(msg)
    return recharge_wall_j / pure_electric_range_m


def wltp_interpolated_j_per_m(
    consumption_low_j_per_m: float,
    consumption_high_j_per_m: float,
    demand_low_j: float,
    demand_high_j: float,
    demand_j: float,
) -> float:
    """Consumption of one vehicle of an interpolation family, by its cycle energy demand. [J/m]

    Parameters
    ----------
    consumption_low_j_per_m, consumption_high_j_per_m : float
        Of the family's vehicles L and H. [J/m]
    demand_low_j, demand_high_j, demand_j : float
        Cycle energy demand at the wheels (traction) of L, H and the vehicle. [J]

    Raises
    ------
    ValueError
        H and L have the same demand, or the vehicle lies outside L to H.

    Source
    ------
    from memory: UN GTR 15 Annex 7, 3.2.3.2: EC = EC_L + (E − E_L)/(E_H − E_L) (EC_H − EC_L).
    """
    if not demand_low_j < demand_high_j:
        msg = f"demand_low_j = {demand_low_j!r}, demand_high_j = {demand_high_j!r}: vehicle H needs more than L."
        raise ValueError(msg)
    if not demand_low_j <= demand_j <= demand_high_j:
        msg = (
            f"demand_j = {demand_j!r} is outside {demand_low_j:g}–{demand_high_j:g} J: only between L and H."
        )
        raise ValueError(msg)
    share = (demand_j - demand_low_j) / (demand_high_j - demand_low_j)
    return consumption_low_j_per_m + share * (consumption_high_j_per_m - consumption_low_j_per_m)
