"""Energy of a vehicle over a cycle, from the wheels to the wall, for one figure or for many draws."""

from __future__ import annotations

from collections.abc import Callable
from concurrent.futures import ThreadPoolExecutor
from dataclasses import dataclass, fields
from typing import Literal

import numpy as np

from hoistbook.core.arrays import Array
from hoistbook.core.compiling import compiled
from hoistbook.core.energy.chain import (
    BRAKING,
    COPPER,
    N_SUMS,
    PACK_LOSS,
    RETURNED,
    SHAFT,
    TRACTION,
    Block,
    Columns,
    Steps,
    columns,
    moving_steps,
)
from hoistbook.core.energy.cycles import Cycle
from hoistbook.core.energy.loop import sums_loop
from hoistbook.core.energy.parameters import FIELD_NAMES, EnergyParameters
from hoistbook.core.energy.wheel import CHUNK_DRAWS

__all__ = ["FIELD_NAMES", "CycleResult", "EnergyParameters", "Engine", "simulate"]

Engine = Literal["auto", "numpy", "numba"]

_FEW_DRAWS = 64
"""Below this number of draws "auto" does not wait for the compiler."""


@dataclass(frozen=True, slots=True, eq=False)
class CycleResult:
    """Energies over one cycle in J; arrays of the shape of the parameters (0-d for one vehicle).

    `returned_j` is the braking energy at the wheels that goes to the machine, `shaft_j` the net energy at the motor
    shaft, `loss_j` the drive-unit loss of which `copper_j` is the part with torque squared, `terminal_j` the energy
    at the pack's terminals, `cell_j` that plus the pack's own I²R, `wall_j` the wall energy that restores it.
    """

    traction_j: Array
    braking_j: Array
    returned_j: Array
    shaft_j: Array
    loss_j: Array
    copper_j: Array
    accessory_j: Array
    terminal_j: Array
    pack_loss_j: Array
    cell_j: Array
    wall_j: Array
    distance_m: float

    def per_metre(self) -> dict[str, Array]:
        """Every energy divided by the distance, by field name. [J/m]"""
        names = [f.name for f in fields(self) if f.name != "distance_m"]
        return {name: np.asarray(getattr(self, name) / self.distance_m) for name in names}


def simulate(
    cycle: Cycle, parameters: EnergyParameters, *, engine: Engine = "auto", threads: int = 1
) -> CycleResult:
    """Energy chain of a vehicle over a cycle.

    Parameters
    ----------
    cycle : Cycle
        The trace, driven exactly.
    parameters : EnergyParameters
        One vehicle, or many draws of it.
    engine : str
        "numpy" works in blocks of draws; "numba" runs the compiled loop (extra `fast`); "auto" takes the second when it
        is installed and there are enough draws. Both give the same figures to rounding.
    threads : int
        Threads to spread the draws over; each draw is computed alike on any number of them.

    Returns
    -------
    CycleResult

    Raises
    ------
    ValueError
        The pack would have to deliver more than V²/(4R), threads below 1, or engine "numba" without numba.

    Notes
    -----
    Per step of mean speed u > 0 (step rule of `cycles.Cycle`), with G the gear ratio and r the wheel radius:
    F = A + B u + C u² + m_e a, A = m g c_r + F_0, C = ½ρ C_d A + F_2, m_e = m (1 + rotating).
    Traction, F > 0: P_shaft = F u/η.
    Braking, F < 0: F_cap = min(|F|, μ max(m (g s − a h/L), 0), T_cap G/(r η_b), P_cap/(u η_b)),
    F_r = return · b(u) · F_cap with b = clip((u − v_0)/(v_1 − v_0), 0, 1), P_shaft = −η_b F_r u.
    T = P_shaft/ω, ω = G u/r. Drive-unit loss c0 + k1 T² + k2 ω + k3 ω³, of the same sign in both directions, 0 at rest.
    P = P_shaft + loss + accessories (always). I = (V − √(V² − 4RP))/(2R), I²R inside the pack.
    Cell energy = Σ (P + R I²) dt, wall energy = cell energy/charging efficiency.
    Left out: temperature, slip of the tyres, clutches and axle disconnects, torque limits in traction (the trace is
    followed whatever it takes), open-circuit voltage falling with the state of charge, charge acceptance.

    Source
    ------
    first principles; form of the loss polynomial and of the limits: common practice.
    """
    if threads < 1:
        msg = f"threads = {threads}: give 1 or more."
        raise ValueError(msg)
    steps = moving_steps(cycle)
    draws = columns(parameters)
    count = len(draws.a_n)
    sums = np.empty((N_SUMS, count))
    loop = _chosen_loop(engine, count)
    if loop is None:
        _run_blocks(cycle, steps, draws, sums, threads)
    else:
        _run_loop(loop, cycle, steps, draws, sums, threads)
    return _result(cycle, steps, draws, sums, parameters)


def _chosen_loop(engine: Engine, count: int) -> Callable[..., int] | None:
    if engine == "numpy" or (engine == "auto" and count < _FEW_DRAWS):
        return None
    loop = compiled(sums_loop)
    if loop is None and engine == "numba":
        msg = "engine 'numba' needs the extra `fast` (numba is not installed); install it or use engine 'numpy'."
        raise ValueError(msg)
    return loop


def _shares(count: int, threads: int) -> list[slice]:
    """Cut the draws into one stretch per thread, at block boundaries."""
    blocks = -(-count // CHUNK_DRAWS)
    size = max(1, -(-blocks // threads)) * CHUNK_DRAWS
    return [slice(start, min(start + size, count)) for start in range(0, count, size)]


def _run_blocks(cycle: Cycle, steps: Steps, draws: Columns, sums: Array, threads: int) -> None:
    def run(share: slice) -> None:
        block = Block(min(CHUNK_DRAWS, share.stop - share.start), steps)
        for start in range(share.start, share.stop, CHUNK_DRAWS):
            rows = slice(start, min(start + CHUNK_DRAWS, share.stop))
            _check(cycle, draws, block.sums(draws, rows, sums))

    _spread(run, _shares(sums.shape[1], threads), threads)


def _run_loop(
    loop: Callable[..., int], cycle: Cycle, steps: Steps, draws: Columns, sums: Array, threads: int
) -> None:
    names = [f.name for f in fields(Columns) if f.name != "cut_in_full"]
    arguments = (steps.speed, steps.acceleration, steps.duration, *(getattr(draws, name) for name in names))

    def run(share: slice) -> None:
        _check(cycle, draws, loop(*arguments, share.start, share.stop, sums))

    _spread(run, _shares(sums.shape[1], threads), threads)


def _spread(run: Callable[[slice], None], shares: list[slice], threads: int) -> None:
    if threads == 1 or len(shares) == 1:
        for share in shares:
            run(share)
        return
    with ThreadPoolExecutor(max_workers=threads) as pool:
        list(pool.map(run, shares))


def _check(cycle: Cycle, draws: Columns, overload: int) -> None:
    if overload < 0:
        return
    draw, step = divmod(overload, len(cycle.moving))
    raise _overload(cycle, draws, draw, float(cycle.time_s[cycle.moving[step]]))


def _overload(cycle: Cycle, draws: Columns, draw: int, time_s: float) -> ValueError:
    voltage, resistance = float(draws.voltage[draw]), float(draws.resistance[draw])
    msg = (
        f"cycle {cycle.name!r} at {time_s:g} s, draw {draw}: the pack would have to deliver more than V²/(4R) = "
        f"{voltage**2 / (4.0 * resistance) / 1e3:.1f} kW (pack_voltage_v = {voltage:g} V, pack_resistance_ohm = "
        f"{resistance:g} ohm); check both, mass and road load, and that resistances are in ohm, not milliohm."
    )
    return ValueError(msg)


def _result(
    cycle: Cycle, steps: Steps, draws: Columns, sums: Array, parameters: EnergyParameters
) -> CycleResult:
    """Close the chain: what follows from the sums and the moments of the moving steps, and the time at rest."""
    moving_s = float(np.sum(steps.duration))
    cubed = float(np.sum(steps.speed**2 * steps.path))
    loss = draws.constant_loss_w * moving_s + sums[COPPER]
    loss += draws.speed_loss * cycle.distance_m + draws.cubic_loss * cubed
    accessory = draws.accessory_w * cycle.duration_s
    terminal = sums[SHAFT] + loss + accessory
    pack_loss = sums[PACK_LOSS] + _rest_loss_w(cycle, draws) * (cycle.duration_s - moving_s)
    cell = terminal + pack_loss
    shape = parameters.shape
    wall = cell / np.broadcast_to(parameters.charging_efficiency_frac, shape).reshape(-1)
    named = {
        "traction_j": sums[TRACTION],
        "braking_j": sums[BRAKING],
        "returned_j": sums[RETURNED],
        "shaft_j": sums[SHAFT],
        "loss_j": loss,
        "copper_j": sums[COPPER],
        "accessory_j": accessory,
        "terminal_j": terminal,
        "pack_loss_j": pack_loss,
        "cell_j": cell,
        "wall_j": wall,
    }
    return CycleResult(
        **{name: values.reshape(shape) for name, values in named.items()}, distance_m=cycle.distance_m
    )


def _rest_loss_w(cycle: Cycle, draws: Columns) -> Array:
    """I²R of the pack while the vehicle stands and only the accessories draw power. [W]"""
    below = draws.voltage**2 - 4.0 * draws.resistance * draws.accessory_w
    if np.any(below < 0.0):
        raise _overload(cycle, draws, int(np.argmax(below < 0.0)), float(cycle.time_s[0]))
    current = 2.0 * draws.accessory_w / (draws.voltage + np.sqrt(below))
    return np.asarray(draws.resistance * current**2)
