"""A discharge: energy at the terminals, usable energy, and the pack's voltage and resistance from current steps."""

from __future__ import annotations

import math
from dataclasses import dataclass

import numpy as np

from hoistbook.core.arrays import Array
from hoistbook.core.quantities.quantity import Origin, Quantity, Source
from hoistbook.core.trials.charging import state_of_charge_curve
from hoistbook.core.trials.meters import Meters
from hoistbook.core.trials.outcome import Curve, Figure, Outcome
from hoistbook.core.trials.power import pack_power, unmetered
from hoistbook.core.trials.series import Series
from hoistbook.core.trials.signals import integral, measured, product

LEAST_STEP_FRAC = 0.2
STEADY_FRAC = 0.1
"""project rule: a step of a fifth of the largest current, before and after which the current keeps to a tenth of it."""


@dataclass(frozen=True, slots=True, eq=False)
class CurrentSteps:
    """Steps of the current with the resistance each of them shows; arrays of shape (n,)."""

    time_s: Array
    step_a: Array
    resistance_ohm: Array


def current_steps(
    series: Series, *, settle_s: float = 10.0, before_s: float = 2.0, least_frac: float = LEAST_STEP_FRAC
) -> CurrentSteps:
    """Find steps of the pack current and the resistance they show.

    Parameters
    ----------
    series : Series
        pack_voltage_v and pack_current_a.
    settle_s : float
        How long after the step the voltage is read: the resistance is that of a pulse of this length. [s]
    before_s : float
        Stretch before the step over which voltage and current are averaged. [s]
    least_frac : float
        Smallest step, share of the largest current. [1]

    Notes
    -----
    R = −(V(t + settle) − V(t−) + k Q)/(I(t + settle) − I(t−)), discharge positive. The reading after the step is the
    mean over the last fifth of `settle_s`. Q is the charge taken in between and k how much the open-circuit voltage
    falls with it, from V = V_0 − R I − k Q by least squares over the whole log: a pulse of 10 s empties the pack enough
    to show.

    Source
    ------
    first principles; that the resistance of a pulse grows with its length is why its length is stated.
    """
    times, current = series.samples("pack_current_a")
    volts_at, volts = series.samples("pack_voltage_v")
    voltage = np.interp(times, volts_at, volts)
    taken = np.concatenate(([0.0], np.cumsum(0.5 * (current[1:] + current[:-1]) * np.diff(times))))
    fall = _fall_per_charge(voltage, current, taken)
    least = least_frac * float(np.abs(current).max())
    found: list[tuple[float, float, float]] = []
    blocked_until = -math.inf
    for i in np.flatnonzero(np.abs(np.diff(current)) >= least) if least > 0.0 else ():
        t = float(times[i])
        if t < blocked_until:
            continue
        earlier = (times >= t - before_s) & (times <= t)
        held = (times > t + 0.2 * settle_s) & (times <= t + settle_s)
        later = (times > t + 0.8 * settle_s) & (times <= t + settle_s)
        if not (earlier.any() and later.any()) or times[-1] < t + settle_s:
            continue
        step = float(current[later].mean() - current[earlier].mean())
        calm = STEADY_FRAC * abs(step)
        if abs(step) < least or np.ptp(current[earlier]) > calm or np.ptp(current[held]) > calm:
            continue
        change = float(voltage[later].mean() - voltage[earlier].mean())
        emptied = fall * float(taken[later].mean() - taken[earlier].mean())
        found.append((t, step, -(change + emptied) / step))
        blocked_until = t + settle_s
    columns = np.array(found, dtype=np.float64).reshape(-1, 3)
    return CurrentSteps(columns[:, 0], columns[:, 1], columns[:, 2])


def _fall_per_charge(voltage: Array, current: Array, taken: Array) -> float:
    """How much the open-circuit voltage falls per charge taken, by least squares over a log. [V/(A·s)]"""
    scale = float(np.abs(taken).max())
    if scale == 0.0 or len(taken) < 4:
        return 0.0
    columns = np.stack((np.ones_like(taken), current, taken / scale), axis=1)
    found, _, rank, _ = np.linalg.lstsq(columns, voltage, rcond=None)
    return -float(found[2]) / scale if rank == 3 else 0.0


def resistance_of(steps: CurrentSteps, meters: Meters, label: str) -> Quantity | None:
    """Mean resistance of the steps with their scatter and the gain errors of both meters; None without three steps."""
    n = len(steps.resistance_ohm)
    if n < 3:
        return None
    value = float(steps.resistance_ohm.mean())
    spread = float(steps.resistance_ohm.std(ddof=1)) / math.sqrt(n)
    terms = (
        [(Source(f"{label}, scatter of the current steps", "student", dof=n - 1), spread)] if spread else []
    )
    for channel, sign in (("pack_voltage_v", 1.0), ("pack_current_a", -1.0)):
        meter = meters.get(channel)
        if meter is not None and meter.gain_frac > 0.0:
            terms.append((meter.gain_source, sign * meter.gain_frac * value))
    return Quantity(value, "ohm", tuple(terms), Origin.MEASURED)


def evaluate_discharge(
    series: Series,
    meters: Meters,
    *,
    label: str,
    resistance: Quantity | None = None,
    full: bool = False,
    settle_s: float = 10.0,
) -> Outcome:
    """Evaluate the log of a discharge.

    Parameters
    ----------
    series : Series
        pack_power_w, or pack_voltage_v and pack_current_a; state_of_charge_1 if there.
    meters : Meters
    label : str
        Names the errors of this test alone.
    resistance : Quantity, optional
        Of the pack; left out, that of the current steps in the log is taken, where there are three or more. [ohm]
    full : bool
        Whether the discharge is known to run from full to empty.
    settle_s : float
        Length of the pulses whose resistance is read. [s]

    Returns
    -------
    Outcome
        Usable energy (terminals and the pack's own loss) is a fact only for a full discharge.

    Raises
    ------
    LookupError
        A channel is missing.
    ValueError
        No energy was taken from the pack.

    Notes
    -----
    E_cell = ∫ V I dt + ∫ R I² dt; mean open-circuit voltage = E_cell/∫ I dt, that is weighted by charge.

    Source
    ------
    first principles: V = V_oc − R I, times I, over the discharge.
    """
    power = pack_power(series, meters)
    terminal = integral(power, "J", f"{label}, terminal energy")
    if not terminal.value > 0.0:
        msg = f"{series.name!r}: {terminal.value:g} J left the pack; in a discharge it is above 0. Check the sign."
        raise ValueError(msg)
    electric = series.has("pack_voltage_v", "pack_current_a")
    used = ["pack_power_w"] if series.has("pack_power_w") else ["pack_voltage_v", "pack_current_a"]
    assumptions = list(unmetered(meters, *used))
    figures = [Figure("terminal_energy", "energy at the pack terminals", terminal)]
    steps = current_steps(series, settle_s=settle_s) if electric else None
    own = resistance_of(steps, meters, label) if steps is not None else None
    if own is not None and steps is not None:
        figures.append(
            Figure(
                "pack_resistance",
                f"resistance of the pack, {settle_s:g} s after {len(steps.time_s)} current steps",
                own,
                "pack_resistance",
            )
        )
    chosen = resistance if resistance is not None else own
    if resistance is not None and own is not None:
        assumptions.append(
            "the stated resistance is used for the loss inside the pack, not that of the steps"
        )
    full, said = _is_full(series, full)
    assumptions.append(said)
    if chosen is not None and electric:
        current = measured(series, "pack_current_a", meters)
        squared = integral(product(current, current, "current squared", "A2"), "A2.s", f"{label}, I²")
        loss = (chosen * squared).in_unit("J")
        cells = terminal + loss
        charge = integral(current, "A.s", f"{label}, charge")
        figures.append(Figure("pack_loss", "loss inside the pack", loss))
        figures.append(Figure("charge", "charge taken from the pack", charge))
        figures.append(
            Figure(
                "usable_energy",
                "energy of the cells: at the terminals and the pack's own loss",
                cells,
                "usable_energy" if full else "",
                note="" if full else said,
            )
        )
        if charge.value > 0.0:
            figures.append(
                Figure(
                    "pack_voltage",
                    "open-circuit voltage, mean over the charge taken",
                    (cells / charge).in_unit("V"),
                    "pack_voltage",
                )
            )
        assumptions.append("loss inside the pack = R ∫ I² dt with one resistance for the whole discharge")
    else:
        assumptions.append(
            "no resistance, or no current in the log: usable energy at the cells is not worked out"
        )
    curves = [Curve("pack power", "time", "s", "power", "W", power.time_s, power.values)]
    if steps is not None and len(steps.time_s):
        curves.append(
            Curve("resistance of steps", "time", "s", "resistance", "ohm", steps.time_s, steps.resistance_ohm)
        )
    curves += state_of_charge_curve(series)
    return Outcome("discharge", tuple(figures), (), tuple(assumptions), (), tuple(curves))


def _is_full(series: Series, stated: bool) -> tuple[bool, str]:
    if series.has("state_of_charge_1"):
        _, charge = series.samples("state_of_charge_1")
        words = f"state of charge from {100 * charge[0]:.1f} to {100 * charge[-1]:.1f} %"
        if charge[0] >= 0.98 and charge[-1] <= 0.05:
            return True, f"a full discharge: {words}"
        return stated, f"taken as full as stated: {words}" if stated else f"not a full discharge: {words}"
    if stated:
        return True, "a full discharge, as stated; the log has no state of charge"
    return False, "nothing says that the discharge was full, so its energy is not the usable energy"
