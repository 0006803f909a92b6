"""A charge: wall energy, what reached pack and cells, charging efficiency, and where the rest went."""

from __future__ import annotations

from dataclasses import replace

import numpy as np

from hoistbook.core.quantities.quantity import Quantity
from hoistbook.core.trials.meters import Meters
from hoistbook.core.trials.outcome import Curve, Figure, Outcome
from hoistbook.core.trials.power import pack_power, unmetered, wall_energy
from hoistbook.core.trials.series import Series
from hoistbook.core.trials.signals import Signal, integral, measured, product

IDLE_FRAC, TAPER_FRAC = 0.01, 0.8
"""common practice: below 1 % of its largest charging power the pack is idle, up to 80 % of it the charge tapers."""

FULL_FROM_1, FULL_TO_1 = 0.05, 0.98
"""project rule: a charge from 5 % or less to 98 % or more that the state of charge confirms is called full."""


def evaluate_charge(
    series: Series,
    meters: Meters,
    *,
    label: str,
    resistance: Quantity | None = None,
    full: bool = False,
) -> Outcome:
    """Evaluate the log of a charge.

    Parameters
    ----------
    series : Series
        wall_power_w or wall_energy_j; pack_power_w, or pack_voltage_v and pack_current_a; state_of_charge_1 if there.
    meters : Meters
    label : str
        Names the errors of this test alone.
    resistance : Quantity, optional
        Of the pack; its loss is then taken off what reached the terminals. [ohm]
    full : bool
        Whether the charge is known to run from empty to full.

    Returns
    -------
    Outcome
        Wall energy is a fact only for a full charge. Charging efficiency is the share that reached the cells, or,
        without the resistance, the terminals.

    Raises
    ------
    LookupError
        A channel is missing.
    ValueError
        No energy taken or given, or the pack took more than the wall gave.

    Notes
    -----
    E_cell = −∫ P dt − ∫ R I² dt with discharge positive, and the efficiency is E_cell/E_wall. Gain errors of one meter
    that reads both sides cancel, since both carry its source.

    Source
    ------
    first principles.
    """
    power = pack_power(series, meters)
    both = _both_recorded(series, power)
    wall = wall_energy(both, meters, label)
    power = power.between(float(both.time_s[0]), float(both.time_s[-1]))
    pack = -integral(power, "J", f"{label}, pack energy")
    if not (wall.value > 0.0 and pack.value > 0.0):
        msg = (
            f"{series.name!r}: the wall gave {wall.value:g} J and the pack took {pack.value:g} J; both are above 0 in "
            "a charge. Check the signs: the pack current is negative while charging."
        )
        raise ValueError(msg)
    if pack.value > wall.value:
        msg = (
            f"{series.name!r}: the pack took {pack.value:g} J, more than the {wall.value:g} J the wall gave; check "
            "units and scales of both, and that the log holds all phases of the wall."
        )
        raise ValueError(msg)
    used = ["wall_power_w" if both.has("wall_power_w") else "wall_energy_j"]
    used += ["pack_power_w"] if both.has("pack_power_w") else ["pack_voltage_v", "pack_current_a"]
    assumptions = list(unmetered(meters, *used))
    cells, loss = pack, None
    if resistance is not None and both.has("pack_current_a"):
        current = measured(both, "pack_current_a", meters)
        loss = resistance * integral(
            product(current, current, "current squared", "A2"), "A2.s", f"{label}, I²"
        )
        loss = loss.in_unit("J")
        cells = pack - loss
        assumptions.append("loss inside the pack = R ∫ I² dt with one resistance for the whole charge")
    else:
        why = "no resistance is known" if resistance is None else "the current was not recorded"
        assumptions.append(
            f"the loss inside the pack is not taken off: {why}; the efficiency is that to the terminals"
        )
    full, said = _is_full(both, full)
    assumptions.append(said)
    efficiency = cells / wall
    figures = [
        Figure(
            "wall_energy",
            "energy from the wall",
            wall,
            "wall_energy" if full else "",
            note="" if full else said,
        ),
        Figure("pack_energy", "energy into the pack at its terminals", pack),
        Figure(
            "charging_efficiency",
            "share of the wall energy that reaches the cells"
            if loss is not None
            else "share that reaches the terminals",
            efficiency,
            "charging_efficiency",
            note="" if loss is not None else "to the terminals",
        ),
    ]
    if loss is not None:
        figures.append(Figure("pack_loss", "loss inside the pack", loss))
    figures += _phases(both, power, meters, label)
    into = "power into the pack"
    curves = [Curve(into, "time", "s", into, power.unit, power.time_s, -power.values)]
    if both.has("wall_power_w"):
        curves.insert(0, _curve("wall power", measured(both, "wall_power_w", meters)))
    curves += state_of_charge_curve(both)
    return Outcome("charge", tuple(figures), _checks(both), tuple(assumptions), (), tuple(curves))


def _both_recorded(series: Series, power: Signal) -> Series:
    channel = "wall_power_w" if series.has("wall_power_w") else "wall_energy_j"
    if not series.has(channel):
        return series  # wall_energy() names what is missing
    times, _ = series.samples(channel)
    return series.between(max(times[0], power.time_s[0]), min(times[-1], power.time_s[-1]))


def _is_full(series: Series, stated: bool) -> tuple[bool, str]:
    if series.has("state_of_charge_1"):
        _, charge = series.samples("state_of_charge_1")
        first, last = float(charge[0]), float(charge[-1])
        words = f"state of charge from {100 * first:.1f} to {100 * last:.1f} %"
        if first <= FULL_FROM_1 and last >= FULL_TO_1:
            return True, f"a full charge: {words}"
        return (
            stated,
            f"taken as a full charge as stated: {words}" if stated else f"not a full charge: {words}",
        )
    if stated:
        return True, "a full charge, as stated; the log has no state of charge"
    return False, "nothing says that the charge was full, so its wall energy is no fact of the vehicle"


def _phases(series: Series, power: Signal, meters: Meters, label: str) -> list[Figure]:
    """Loss between wall and terminals while the pack idles, tapers and charges in full."""
    if not series.has("wall_power_w"):
        return []
    wall = measured(series, "wall_power_w", meters)
    charging = -power.at(wall.time_s).values if len(power) else np.zeros(len(wall))
    most = float(charging.max())
    masks = {
        "idle": charging < IDLE_FRAC * most,
        "taper": (charging >= IDLE_FRAC * most) & (charging < TAPER_FRAC * most),
        "main": charging >= TAPER_FRAC * most,
    }
    words = {
        "idle": f"wall energy less pack energy while the pack takes under {100 * IDLE_FRAC:g} % of its largest power",
        "taper": f"the same while it takes {100 * IDLE_FRAC:g} to {100 * TAPER_FRAC:g} % of it",
        "main": f"the same while it takes over {100 * TAPER_FRAC:g} % of it",
    }
    figures = []
    at_wall = power.at(wall.time_s)
    for name, mask in masks.items():
        if not mask.any():
            continue
        parts = [
            integral(
                replace(
                    s, values=mask * s.values, errors=tuple((source, mask * e) for source, e in s.errors)
                ),
                "J",
                f"{label}, {name} {what}",
            )
            for what, s in (("wall", wall), ("pack", at_wall))
        ]
        figures.append(Figure(f"loss_{name}", words[name], parts[0] + parts[1]))
    return figures


def _checks(series: Series) -> tuple[str, ...]:
    if not series.has("wall_power_w", "wall_energy_j"):
        return ()
    power = series.integral("wall_power_w", 10.0 * series.step_s("wall_power_w")).value
    _, counts = series.samples("wall_energy_j")
    counter = float(counts[-1] - counts[0])
    if counter <= 0.0:
        return ()
    return (
        f"wall power integrates to {100.0 * (power / counter - 1.0):+.2f} % of what the energy counter says",
    )


def state_of_charge_curve(series: Series) -> tuple[Curve, ...]:
    """State of charge over time, where it was recorded."""
    if not series.has("state_of_charge_1"):
        return ()
    times, charge = series.samples("state_of_charge_1")
    return (Curve("state of charge", "time", "s", "state of charge", "1", times, charge),)


def _curve(name: str, signal: Signal) -> Curve:
    return Curve(name, "time", "s", name, signal.unit, signal.time_s, signal.values)
