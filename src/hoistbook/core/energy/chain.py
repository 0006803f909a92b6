"""The energy chain from wheel to cells over a block of draws, in NumPy with reused buffers."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from hoistbook.core.arrays import Array
from hoistbook.core.energy.cycles import Cycle
from hoistbook.core.energy.parameters import EnergyParameters
from hoistbook.core.energy.wheel import road_load_force

N_SUMS = 6
TRACTION, BRAKING, RETURNED, SHAFT, COPPER, PACK_LOSS = range(N_SUMS)
"""Rows of a block of sums: what has to be added up step by step; the rest of the chain follows from the moments."""


STEEP = 1e300
"""Slope of a cut-in whose two speeds agree: a jump, without the infinity times zero of a vertical line. [s/m]"""


@dataclass(frozen=True, slots=True)
class Columns:
    """What a step needs to know of every draw, as contiguous arrays of shape (n_draws,).

    The driveline is referred to the wheel: `lever` = gear ratio/wheel radius, so that torque = force/lever and shaft
    speed = lever × speed. `cap_n` joins adhesion at rest and the torque limit is kept apart (`torque_cap_n`), since the
    adhesion limit moves with deceleration (`transfer_kg`).
    """

    effective_mass_kg: Array
    a_n: Array
    b_n_s_per_m: Array
    c_n_s2_per_m2: Array
    traction_gain: Array
    back_gain: Array
    copper: Array
    constant_loss_w: Array
    speed_loss: Array
    cubic_loss: Array
    return_frac: Array
    cut_in_low: Array
    cut_in_full: Array
    cut_in_per_speed: Array
    grip_n: Array
    transfer_kg: Array
    torque_cap_n: Array
    power_cap_w: Array
    accessory_w: Array
    voltage: Array
    resistance: Array


@dataclass(frozen=True, slots=True)
class Steps:
    """The moving steps of a cycle: mean speed, acceleration, duration, path; shape (n,) each."""

    speed: Array
    acceleration: Array
    duration: Array
    path: Array


def moving_steps(cycle: Cycle) -> Steps:
    """Steps that do work; at rest nothing but the accessories draws power."""
    moving = cycle.moving
    speed = np.ascontiguousarray(cycle.step_speed[moving])
    duration = np.ascontiguousarray(cycle.step_duration[moving])
    return Steps(
        speed,
        np.ascontiguousarray(cycle.step_acceleration[moving]),
        duration,
        speed * duration,
    )


def columns(parameters: EnergyParameters) -> Columns:
    """Refer the driveline to the wheel and bring every field to one length.

    Notes
    -----
    A cut-in whose two speeds agree is a jump from nothing to full recuperation at that speed.

    Source
    ------
    first principles.
    """
    p = parameters
    shape = p.shape

    def flat(values: float | Array) -> Array:
        return np.ascontiguousarray(np.broadcast_to(np.asarray(values, dtype=np.float64), shape).reshape(-1))

    lever = flat(p.gear_ratio) / flat(p.wheel_radius_m)
    back = flat(p.gear_efficiency_back_frac)
    mass = flat(p.test_mass_kg)
    adhesion = flat(p.adhesion_frac)
    fade = flat(p.cut_in_full_m_per_s) - flat(p.cut_in_low_m_per_s)
    endless = np.isinf(adhesion)
    # No adhesion limit means no load transfer either: infinity times zero would not be a number.
    finite = np.where(endless, 0.0, adhesion)
    return Columns(
        effective_mass_kg=flat(p.effective_mass_kg),
        a_n=flat(p.road_load_a_n),
        b_n_s_per_m=flat(p.road_load_b_n_s_per_m),
        c_n_s2_per_m2=flat(p.road_load_c_n_s2_per_m2),
        traction_gain=1.0 / flat(p.gear_efficiency_frac),
        back_gain=back,
        copper=flat(p.loss_k1) / lever**2,
        constant_loss_w=flat(p.loss_c0_w),
        speed_loss=flat(p.loss_k2) * lever,
        cubic_loss=flat(p.loss_k3) * lever**3,
        return_frac=flat(p.return_frac),
        cut_in_low=flat(p.cut_in_low_m_per_s),
        cut_in_full=flat(p.cut_in_full_m_per_s),
        cut_in_per_speed=np.divide(1.0, fade, out=np.full_like(fade, STEEP), where=fade > 0.0),
        grip_n=np.where(endless, np.inf, finite * mass * flat(p.gravity_m_per_s2) * flat(p.driven_load_frac)),
        transfer_kg=finite * mass * flat(p.load_transfer),
        torque_cap_n=flat(p.regen_torque_cap_n_m) * lever / back,
        power_cap_w=flat(p.regen_power_cap_w) / back,
        accessory_w=flat(p.accessory_power_w),
        voltage=flat(p.pack_voltage_v),
        resistance=flat(p.pack_resistance_ohm),
    )


class Block:
    """Working space for up to `rows` draws; one per thread.

    Whole-array temporaries are bound by memory: a block of some dozen draws stays in the processor's cache.
    """

    def __init__(self, rows: int, steps: Steps) -> None:
        self.steps = steps
        self.force = np.empty((rows, len(steps.speed)))
        self.term = np.empty_like(self.force)
        self.pull = np.empty_like(self.force)
        self.square = steps.speed**2

    def sums(self, draws: Columns, rows: slice, out: Array) -> int:
        """Add up a block of draws into `out[:, rows]`.

        Returns
        -------
        int
            −1, or draw · n_steps + step of the first step that asks the pack for more than V²/(4R).

        Notes
        -----
        See `model.simulate` for the equations.
        """
        size = rows.stop - rows.start
        force, term, pull = self.force[:size], self.term[:size], self.pull[:size]
        steps = self.steps
        u = steps.speed

        def column(values: Array) -> Array:
            return values[rows, None]

        road_load_force(
            force,
            term,
            u,
            steps.acceleration,
            column(draws.effective_mass_kg),
            column(draws.a_n),
            column(draws.b_n_s_per_m),
            column(draws.c_n_s2_per_m2),
        )
        np.maximum(force, 0.0, out=pull)
        out[TRACTION, rows] = pull @ steps.path
        np.subtract(pull, force, out=force)  # braking force, positive
        out[BRAKING, rows] = force @ steps.path
        self._limit(draws, rows, force, term)
        out[RETURNED, rows] = force @ steps.path
        pull *= column(draws.traction_gain)
        force *= column(draws.back_gain)
        pull -= force  # force at the shaft, referred to the wheel
        out[SHAFT, rows] = pull @ steps.path
        np.multiply(pull, pull, out=term)
        term *= column(draws.copper)
        out[COPPER, rows] = term @ steps.duration
        if not np.any(draws.resistance[rows]):
            out[PACK_LOSS, rows] = 0.0
            return -1
        return self._pack(draws, rows, pull, term, force, out)

    def _limit(self, draws: Columns, rows: slice, force: Array, term: Array) -> None:
        """Turn the braking force at the wheels into what reaches the machine, in place."""
        steps = self.steps
        u = steps.speed

        def column(values: Array) -> Array:
            return values[rows, None]

        if np.any(np.isfinite(draws.grip_n[rows])):
            np.multiply(column(draws.transfer_kg), -steps.acceleration, out=term)
            term += column(draws.grip_n)
            np.maximum(term, 0.0, out=term)  # a lifted axle brakes nothing
            np.minimum(force, term, out=force)
        if np.any(np.isfinite(draws.torque_cap_n[rows])):
            np.minimum(force, column(draws.torque_cap_n), out=force)
        if np.any(np.isfinite(draws.power_cap_w[rows])):
            np.divide(column(draws.power_cap_w), u, out=term)
            np.minimum(force, term, out=force)
        if np.any(draws.cut_in_full[rows] > 0.0):
            np.subtract(u, column(draws.cut_in_low), out=term)
            term *= column(draws.cut_in_per_speed)
            np.clip(term, 0.0, 1.0, out=term)
            force *= term
        force *= column(draws.return_frac)

    def _pack(self, draws: Columns, rows: slice, pull: Array, power: Array, term: Array, out: Array) -> int:
        """I²R of the pack; `power` holds the copper loss on entry, `pull` the force at the shaft."""
        steps = self.steps
        u = steps.speed

        def column(values: Array) -> Array:
            return values[rows, None]

        pull *= u
        power += pull
        np.multiply(column(draws.cubic_loss), self.square, out=term)
        term += column(draws.speed_loss)
        term *= u
        power += term
        power += column(draws.constant_loss_w + draws.accessory_w)
        voltage, resistance = column(draws.voltage), column(draws.resistance)
        np.multiply(power, -4.0 * resistance, out=term)
        term += voltage * voltage
        if np.any(term < 0.0):
            first: int = rows.start * len(u) + int(np.argmax(term < 0.0))
            return first
        # I = 2P/(V + √(V² − 4RP)) is the same root as (V − √(V² − 4RP))/(2R) without its cancellation at small R.
        np.sqrt(term, out=term)
        term += voltage
        np.divide(power, term, out=power)
        np.multiply(power, power, out=power)
        out[PACK_LOSS, rows] = 4.0 * draws.resistance[rows] * (power @ steps.duration)
        return -1
