"""Range or consumption of every combination of two vehicles' causes, for many draws at once.

Three ideas make 2^10 combinations × 10,000 draws × two cycles a matter of a second:
only four causes change the forces at the wheels and two more the power at the shaft, so 64 cycle sums serve 1,024
combinations; a cycle is condensed once for all of them (`condense`); and accessories, pack resistance, usable energy,
charging, label factor and residual act after the sums, the pack through moments Σ P^k dt.
Error bounds: docs/engines/gap.md.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field
from typing import Literal

import numpy as np

from hoistbook.core.arrays import Array
from hoistbook.core.compare import kernels
from hoistbook.core.compare.causes import (
    AUXILIARIES,
    BATTERY,
    CAUSES,
    CHARGING,
    DRAG_AREA,
    DRAG_FORCE,
    DRIVE_UNIT,
    LABEL,
    MASS,
    RECUPERATION,
    RESIDUAL,
    TYRES,
)
from hoistbook.core.compare.condense import EXACT_POWERS, CondensedCycle, Reach, condense
from hoistbook.core.energy.cycles import Cycle
from hoistbook.core.energy.duty import Duty

GapQuantity = Literal["range", "energy"]
State = Mapping[str, Array]
"""One state of a cause: each field it owns as an array of shape (n_draws,)."""
States = Mapping[str, Sequence[State]]
"""States of each cause by its name, and of the residual as {RESIDUAL: [{"residual": array}, …]}."""

ORDER: tuple[str, ...] = (*(cause.name for cause in CAUSES), RESIDUAL)
"""Order of the axes of `Combinations.values`."""

# I = (P/V) Σ C_k (R P/V²)^k with the Catalan numbers C_k, so R I² = P Σ_{k≥1} C_k (R P/V²)^k.
_CATALAN = (1.0, 1.0, 2.0, 5.0, 14.0)


@dataclass(frozen=True, slots=True)
class Surroundings:
    """What both vehicles share in the stated duty: gravity [m/s²] and air density [kg/m³]."""

    gravity_m_per_s2: float
    air_density_kg_per_m3: float


@dataclass(frozen=True)
class Combinations:
    """Every combination of the states of the causes, ready to be valued slice by slice of the draws.

    Parameters
    ----------
    duty : Duty
        Cycles, weights and how they combine.
    quantity : str
        "range" [m] or "energy" [J/m at the wall].
    states : mapping
        For each cause (and the residual) its states; the two vehicles for a level-1 gap.
    surroundings : Surroundings

    Notes
    -----
    Road load as in `core.energy.model`: m_e = m (1 + rotating), A = m g c_r + F_0, B, C = ½ρ C_d A + F_2.

    Source
    ------
    first principles; checked against `core.energy.model.simulate` combination by combination in the tests.
    """

    duty: Duty
    quantity: GapQuantity
    states: States
    surroundings: Surroundings
    use_fast: bool = True
    condensed: tuple[CondensedCycle, ...] = field(init=False)
    has_resistance: bool = field(init=False)
    series_bound_j: tuple[float, ...] = field(init=False)

    def __post_init__(self) -> None:
        missing = [name for name in ORDER if name not in self.states]
        if missing:
            msg = f"no states given for {', '.join(missing)}; give at least one state for every cause."
            raise ValueError(msg)
        resistance = max(float(np.max(s["pack_resistance_ohm"])) for s in self.states[BATTERY.name])
        object.__setattr__(self, "has_resistance", resistance > 0.0)
        reach = self._reach()
        powers = EXACT_POWERS if self.has_resistance else 1
        condensed = tuple(condense(cycle, reach, exact_powers=powers) for cycle in self.duty.cycles)
        object.__setattr__(self, "condensed", condensed)
        bound = tuple(self._series_bound(cycle, reach) for cycle in self.duty.cycles)
        object.__setattr__(self, "series_bound_j", bound)

    @property
    def n_draws(self) -> int:
        """Number of draws of each state."""
        return int(self.states[MASS.name][0]["test_mass_kg"].shape[0])

    @property
    def shape(self) -> tuple[int, ...]:
        """Number of states of each cause in `ORDER`."""
        return tuple(len(self.states[name]) for name in ORDER)

    def values(self, draws: slice = slice(None)) -> Array:
        """Value of every combination for a slice of the draws.

        Parameters
        ----------
        draws : slice
            Which draws; slices of 256 to 1,024 draws stay in the processor's cache.

        Returns
        -------
        array, shape (*self.shape, n)
            Range [m] or wall consumption [J/m].
        """
        road = self._road(draws)
        drive = [_drive(state, draws) for state in self.states[DRIVE_UNIT.name]]
        recuperation = [_cut(state, draws) for state in self.states[RECUPERATION.name]]
        powers = 4 if self.has_resistance else 1
        cells = []
        for cycle in self.condensed:
            moments = kernels.moments(
                road,
                drive,
                recuperation,
                cycle,
                self.surroundings.gravity_m_per_s2,
                powers,
                fast=self.use_fast,
            )
            cells.append(self._cell_energy(moments, cycle, draws))
        return self._quantity(cells, draws)

    def _road(self, draws: slice) -> kernels.Road:
        """Road loads of all combinations of the four causes that act on the wheels, shape (n, n_draws)."""
        rows = []
        for mass in self.states[MASS.name]:
            m = mass["test_mass_kg"][draws]
            inertia = m * (1.0 + mass["rotating_frac"][draws])
            for tyres in self.states[TYRES.name]:
                rolling = m * self.surroundings.gravity_m_per_s2 * tyres["tyre_coefficient"][draws]
                for air in self.states[DRAG_AREA.name]:
                    aero = 0.5 * self.surroundings.air_density_kg_per_m3 * air["drag_area_m2"][draws]
                    for drag in self.states[DRAG_FORCE.name]:
                        rows.append(
                            (
                                m,
                                inertia,
                                rolling + drag["drag_force_n"][draws],
                                drag["drag_force_b_n_s_per_m"][draws],
                                aero + drag["drag_force_c_n_s2_per_m2"][draws],
                            )
                        )
        columns = [np.stack(column) for column in zip(*rows, strict=True)]
        return kernels.Road(*columns)

    def _cell_energy(self, moments: Array, cycle: CondensedCycle, draws: slice) -> Array:
        """Energy from the cells: shape (road, drive, recuperation, auxiliaries, battery, draws). [J]"""
        time = cycle.duration_s
        per_accessory = []
        for state in self.states[AUXILIARIES.name]:
            p = state["accessory_power_w"][draws]
            m1 = moments[0]
            s1 = m1 + p * time
            if not self.has_resistance:
                per_accessory.append(s1[..., None, :].repeat(len(self.states[BATTERY.name]), axis=-2))
                continue
            m2, m3, m4 = moments[1], moments[2], moments[3]
            s2 = m2 + p * (2.0 * m1 + p * time)
            s3 = m3 + p * (3.0 * m2 + p * (3.0 * m1 + p * time))
            s4 = m4 + p * (4.0 * m3 + p * (6.0 * m2 + p * (4.0 * m1 + p * time)))
            per_battery = []
            for pack in self.states[BATTERY.name]:
                y = pack["pack_resistance_ohm"][draws] / pack["pack_voltage_v"][draws] ** 2
                per_battery.append(s1 + y * (s2 + y * (_CATALAN[2] * s3 + y * _CATALAN[3] * s4)))
            per_accessory.append(np.stack(per_battery, axis=-2))
        return np.stack(per_accessory, axis=-3)

    def _quantity(self, cells: Sequence[Array], draws: slice) -> Array:
        """Combine cycles, then apply what acts after them; axes brought into `ORDER`."""
        weights = self.duty.weights
        distances = [cycle.distance_m for cycle in self.condensed]
        per_distance = [cell / distance for cell, distance in zip(cells, distances, strict=True)]
        if self.duty.combine == "range":
            metres_per_joule = sum(w / e for w, e in zip(weights, per_distance, strict=True))
            base = metres_per_joule if self.quantity == "range" else None
        else:
            base = None
        if base is None:
            joule_per_metre = sum(w * e for w, e in zip(weights, per_distance, strict=True))
            base = 1.0 / np.asarray(joule_per_metre) if self.quantity == "range" else joule_per_metre
        counts = [len(self.states[cause.name]) for cause in (MASS, TYRES, DRAG_AREA, DRAG_FORCE)]
        value = np.asarray(base)
        # (road, drive, recuperation, auxiliaries, battery, draws) -> the four road causes apart.
        value = value.reshape(*counts, *value.shape[1:])
        usable = np.stack([s["usable_energy_j"][draws] for s in self.states[BATTERY.name]])
        charging = np.stack([s["charging_efficiency_frac"][draws] for s in self.states[CHARGING.name]])
        label = np.stack([s["label_factor_frac"][draws] for s in self.states[LABEL.name]])
        residual = np.stack([s["residual"][draws] for s in self.states[RESIDUAL]])
        after = label[:, None, :] * residual[None, :, :]
        if self.quantity == "range":
            value = value * usable
            value = value[..., None, :].repeat(charging.shape[0], axis=-2)
            return value[..., None, None, :] * after
        value = value[..., None, :] / charging
        return value[..., None, None, :] / after

    def _reach(self) -> Reach:
        road = self._road(slice(None))
        drive = self.states[DRIVE_UNIT.name]
        cut = self.states[RECUPERATION.name]
        lever = min(
            float(np.min(d["gear_ratio"] / (d["wheel_radius_m"] * d["gear_efficiency_back_frac"])))
            for d in drive
        )
        back = max(float(np.max(d["gear_efficiency_back_frac"])) for d in drive)
        torque_cap = min(float(np.min(c["regen_torque_cap_n_m"])) for c in cut) * lever
        mass = float(road.mass_kg.min())
        # Load transfer off a rear-driven axle takes grip away; 0.5 g bounds the cycles' braking from far above.
        grip = min(
            float(
                np.min(
                    c["adhesion_frac"]
                    * (
                        self.surroundings.gravity_m_per_s2 * c["driven_load_frac"]
                        + np.minimum(c["load_transfer"], 0.0) * self._hardest_braking()
                    )
                )
            )
            for c in cut
        )
        return Reach(
            mass_kg=road.inertia_kg,
            a_n=road.a_n,
            b_n_s_per_m=road.b_n_s_per_m,
            c_n_s2_per_m2=road.c_n_s2_per_m2,
            full_speed_m_per_s=max(float(np.max(c["cut_in_full_m_per_s"])) for c in cut),
            force_cap_n=min(torque_cap, mass * grip),
            power_cap_w=min(float(np.min(c["regen_power_cap_w"])) for c in cut) / back,
        )

    def _hardest_braking(self) -> float:
        return max(float(-cycle.step_acceleration.min()) for cycle in self.duty.cycles)

    def _series_bound(self, cycle: Cycle, reach: Reach) -> float:
        """Bound on what the pack-loss series can be wrong by over one cycle. [J]

        Every step gets the largest power any draw can have in it. C_{k+1} ≤ 4 C_k, so the terms from k = 4 on are at
        most 14 y⁴P⁵/(1 − 4yP) with y = R/V²; the term k = 3 rests on Σ P⁴, which the condensed cycle holds only
        approximately, and is counted in full.
        """
        if not self.has_resistance:
            return 0.0
        u, a = cycle.step_speed, cycle.step_acceleration
        mass = float(reach.mass_kg.max())
        force = (
            float(np.abs(reach.a_n).max())
            + float(np.abs(reach.b_n_s_per_m).max()) * u
            + float(np.abs(reach.c_n_s2_per_m2).max()) * u**2
            + mass * np.abs(a)
        )
        drives = [_drive(state, slice(None)) for state in self.states[DRIVE_UNIT.name]]
        eta = min(float(d.efficiency.min()) for d in drives)
        power = (
            force * u / eta
            + max(float(d.copper.max()) for d in drives) * (force / eta) ** 2
            + max(float(d.constant_w.max()) for d in drives)
            + max(float(d.per_speed.max()) for d in drives) * u
            + max(float(d.per_cubed_speed.max()) for d in drives) * u**3
            + max(float(np.max(s["accessory_power_w"])) for s in self.states[AUXILIARIES.name])
        )
        y = max(
            float(np.max(s["pack_resistance_ohm"] / s["pack_voltage_v"] ** 2))
            for s in self.states[BATTERY.name]
        )
        load = y * power
        if np.any(4.0 * load >= 1.0):
            worst = int(np.argmax(load))
            msg = (
                f"{cycle.name}: the pack would have to deliver up to {power[worst] / 1e3:.0f} kW in step {worst}, "
                "more than V²/(4R) for some draws; check pack_resistance (in ohm) and pack_voltage."
            )
            raise ValueError(msg)
        tail = _CATALAN[4] * load**4 / (1.0 - 4.0 * load) + _CATALAN[3] * load**3
        return float(np.sum(tail * power * cycle.step_duration))


def _drive(state: State, draws: slice) -> kernels.Drive:
    lever = state["gear_ratio"][draws] / state["wheel_radius_m"][draws]
    return kernels.Drive(
        efficiency=state["gear_efficiency_frac"][draws],
        efficiency_back=state["gear_efficiency_back_frac"][draws],
        copper=state["loss_k1"][draws] / lever**2,
        constant_w=state["loss_c0_w"][draws],
        per_speed=state["loss_k2"][draws] * lever,
        per_cubed_speed=state["loss_k3"][draws] * lever**3,
        lever=lever,
    )


def _cut(state: State, draws: slice) -> kernels.Recuperation:
    return kernels.Recuperation(
        return_frac=state["return_frac"][draws],
        low_m_per_s=state["cut_in_low_m_per_s"][draws],
        full_m_per_s=state["cut_in_full_m_per_s"][draws],
        power_cap_w=state["regen_power_cap_w"][draws],
        torque_cap_n_m=state["regen_torque_cap_n_m"][draws],
        adhesion_frac=state["adhesion_frac"][draws],
        driven_load_frac=state["driven_load_frac"][draws],
        load_transfer=state["load_transfer"][draws],
    )
