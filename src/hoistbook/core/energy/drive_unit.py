"""Closed forms of the drive-unit loss polynomial c0 + k1 T² + k2 ω + k3 ω³."""

from __future__ import annotations

import numpy as np

from hoistbook.core.arrays import Array


def drive_unit_loss_w(
    torque_n_m: float | Array,
    speed_rad_per_s: float | Array,
    loss_c0_w: float,
    loss_k1: float,
    loss_k2: float,
    loss_k3: float,
) -> Array:
    """Loss of motor and inverter at the shaft, alike in driving and braking. [W]

    Parameters
    ----------
    torque_n_m, speed_rad_per_s : float or array
        At the motor shaft, either sign of torque. [N·m, rad/s]
    loss_c0_w, loss_k1, loss_k2, loss_k3 : float
        Standing [W]; copper and conduction [W/(N·m)²]; iron and switching [W·s/rad]; windage [W·s³/rad³].

    Notes
    -----
    Four constants need four or more measured points, with high torque at low speed and low torque at high speed among
    them; otherwise k2 and k3 trade off. Field weakening and temperature are left out.

    Source
    ------
    common practice (form); loss families: Roshandel et al., Energies 14, 2021 (abstract seen).
    """
    torque, speed = np.asarray(torque_n_m), np.asarray(speed_rad_per_s)
    return np.asarray(loss_c0_w + loss_k1 * torque**2 + loss_k2 * speed + loss_k3 * speed**3)


def best_torque_n_m(
    speed_rad_per_s: float | Array, loss_c0_w: float, loss_k1: float, loss_k2: float, loss_k3: float
) -> Array:
    """Torque of highest efficiency at a shaft speed, where copper loss equals all other loss. [N·m]

    Raises
    ------
    ValueError
        loss_k1 is not positive: then efficiency rises with torque without end.

    Notes
    -----
    T* = √((c0 + k2 ω + k3 ω³)/k1).

    Source
    ------
    first principles: d/dT of (loss/T) = 0.
    """
    if not loss_k1 > 0.0:
        msg = f"loss_k1 = {loss_k1!r} W/(N·m)²: without copper loss there is no best torque; give a positive constant."
        raise ValueError(msg)
    return np.asarray(
        np.sqrt(drive_unit_loss_w(0.0, speed_rad_per_s, loss_c0_w, loss_k1, loss_k2, loss_k3) / loss_k1)
    )


def drive_unit_efficiency_frac(
    torque_n_m: float | Array,
    speed_rad_per_s: float | Array,
    loss_c0_w: float,
    loss_k1: float,
    loss_k2: float,
    loss_k3: float,
) -> Array:
    """Shaft power over electrical power while driving, T ω/(T ω + loss). [1]

    Source
    ------
    first principles.
    """
    power = np.asarray(torque_n_m) * np.asarray(speed_rad_per_s)
    loss = drive_unit_loss_w(torque_n_m, speed_rad_per_s, loss_c0_w, loss_k1, loss_k2, loss_k3)
    return np.asarray(power / (power + loss))
