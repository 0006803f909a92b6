"""The energy chain as one plain loop over draws and steps: the readable form, and what numba compiles.

The extra `fast` installs numba; without it `model.simulate` takes the NumPy blocks of `chain`: the same figures.
"""

from __future__ import annotations

import math

from hoistbook.core.arrays import Array


def sums_loop(
    speed: Array,
    acceleration: Array,
    duration: Array,
    effective_mass: Array,
    a_n: Array,
    b_n: Array,
    c_n: Array,
    traction_gain: Array,
    back_gain: Array,
    copper: Array,
    constant_loss: Array,
    speed_loss: Array,
    cubic_loss: Array,
    return_frac: Array,
    cut_in_low: Array,
    cut_in_per_speed: Array,
    grip: Array,
    transfer: Array,
    torque_cap: Array,
    power_cap: Array,
    accessory: Array,
    voltage: Array,
    resistance: Array,
    first: int,
    last: int,
    out: Array,
) -> int:
    """Add up draws `first` … `last` − 1 into `out`, rows as in `chain`.

    Returns
    -------
    int
        −1, or draw · n_steps + step of the first step that asks the pack for more than V²/(4R).

    Notes
    -----
    Arguments are the fields of `chain.Steps` and `chain.Columns`, one by one, because compiled code takes arrays only.
    """
    for d in range(first, last):
        traction = braking = returned = shaft = copper_loss = pack_loss = 0.0
        four_r = 4.0 * resistance[d]
        for i in range(len(speed)):
            u = speed[i]
            path = u * duration[i]
            force = (c_n[d] * u + b_n[d]) * u + a_n[d] + effective_mass[d] * acceleration[i]
            if force >= 0.0:
                traction += force * path
                pull = force * traction_gain[d]
            else:
                brake = -force
                braking += brake * path
                # The axle's grip changes with the load that deceleration moves; a lifted axle brakes nothing.
                brake = min(brake, max(grip[d] - transfer[d] * acceleration[i], 0.0))
                brake = min(brake, torque_cap[d], power_cap[d] / u)
                fade = (u - cut_in_low[d]) * cut_in_per_speed[d]
                brake *= min(max(fade, 0.0), 1.0) * return_frac[d]
                returned += brake * path
                pull = -brake * back_gain[d]
            shaft += pull * path
            heat = copper[d] * pull * pull
            copper_loss += heat * duration[i]
            if four_r > 0.0:
                power = heat + pull * u + (cubic_loss[d] * u * u + speed_loss[d]) * u
                power += constant_loss[d] + accessory[d]
                below = voltage[d] * voltage[d] - four_r * power
                if below < 0.0:
                    return d * len(speed) + i
                current = 2.0 * power / (voltage[d] + math.sqrt(below))
                pack_loss += resistance[d] * current * current * duration[i]
        out[0, d] = traction
        out[1, d] = braking
        out[2, d] = returned
        out[3, d] = shaft
        out[4, d] = copper_loss
        out[5, d] = pack_loss
    return -1
