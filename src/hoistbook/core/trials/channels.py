"""What a time series may hold: one name, one SI unit, one sign for every channel of a log."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from types import MappingProxyType


@dataclass(frozen=True, slots=True)
class Channel:
    """One kind of recorded signal.

    Parameters
    ----------
    name : str
        Key in `Series.channels`, with its unit.
    unit : str
        SI symbol.
    words : str
        What people call it, with its sign.
    stepwise : bool
        A label that holds until it changes (run number, direction), so it is never interpolated between samples.
    angle : bool
        Wraps at a full turn, so a difference is taken the short way round.
    """

    name: str
    unit: str
    words: str
    stepwise: bool = False
    angle: bool = False


_ALL = (
    Channel("speed_m_per_s", "m/s", "vehicle speed"),
    Channel("distance_m", "m", "distance driven, counted up"),
    Channel("pack_voltage_v", "V", "voltage at the pack terminals"),
    Channel("pack_current_a", "A", "current of the pack, discharge positive"),
    Channel("pack_power_w", "W", "power at the pack terminals, discharge positive"),
    Channel("wall_power_w", "W", "power taken from the wall, charging positive"),
    Channel("wall_energy_j", "J", "energy taken from the wall, counted up"),
    Channel("accessory_power_w", "W", "power of the accessories (DC converter, heating, cooling)"),
    Channel("accessory_current_a", "A", "current of the 12 V battery or of the accessories, drawn positive"),
    Channel("accessory_voltage_v", "V", "voltage of the 12 V side"),
    Channel("wheel_torque_n_m", "N.m", "torque at a wheel, driving positive"),
    Channel("wheel_speed_rad_per_s", "rad/s", "speed of a wheel"),
    Channel("wheel_angle_rad", "rad", "angle a wheel has turned, counted up"),
    Channel("wheel_force_n", "N", "driving force at all wheels together, driving positive"),
    Channel("altitude_m", "m", "height of the road"),
    Channel("grade_1", "1", "slope of the road in the direction of travel, uphill positive"),
    Channel("wind_speed_m_per_s", "m/s", "speed of the wind"),
    Channel(
        "wind_direction_rad",
        "rad",
        "direction the wind comes from, clockwise from the test direction",
        angle=True,
    ),
    Channel("ambient_temperature_k", "K", "temperature of the air"),
    Channel("ambient_pressure_pa", "Pa", "pressure of the air"),
    Channel("state_of_charge_1", "1", "state of charge of the pack"),
    Channel("run", "1", "number of the run", stepwise=True),
    Channel("direction", "1", "direction of the run, +1 or −1", stepwise=True),
)

CHANNELS: Mapping[str, Channel] = MappingProxyType({channel.name: channel for channel in _ALL})
