"""The checks: one folder and one line each."""

from types import MappingProxyType

from hoistbook.core.checks import (
    acoustic_wrap,
    bolt_group,
    bolt_preload,
    bracket_stiffness,
    cable_loss,
    centre_of_gravity,
    coolant_line,
    creepage,
    crush_member,
    drive_orders,
    eccentric_adjuster,
    first_touched,
    frontal_area,
    half_shaft_angle,
    half_shaft_windup,
    joint_slip_shear,
    knuckle_duty,
    lift_balance,
    link_section,
    material_index,
    mount_isolation,
    mount_modes,
    ramp_angles,
    refrigerant_line,
    ride_height,
    rubber_pad,
    shield_strike,
    small_overlap,
    subframe_mounting,
    tyre_label,
    winter_range,
)
from hoistbook.core.checks.declared import Check

_ALL: tuple[Check, ...] = (
    acoustic_wrap.CHECK,
    bolt_group.CHECK,
    bolt_preload.CHECK,
    bracket_stiffness.CHECK,
    cable_loss.CHECK,
    centre_of_gravity.CHECK,
    coolant_line.CHECK,
    creepage.CHECK,
    crush_member.CHECK,
    drive_orders.CHECK,
    eccentric_adjuster.CHECK,
    first_touched.CHECK,
    frontal_area.CHECK,
    half_shaft_angle.CHECK,
    half_shaft_windup.CHECK,
    joint_slip_shear.CHECK,
    knuckle_duty.CHECK,
    lift_balance.CHECK,
    link_section.CHECK,
    material_index.CHECK,
    mount_isolation.CHECK,
    mount_modes.CHECK,
    ramp_angles.CHECK,
    refrigerant_line.CHECK,
    ride_height.CHECK,
    rubber_pad.CHECK,
    shield_strike.CHECK,
    small_overlap.CHECK,
    subframe_mounting.CHECK,
    tyre_label.CHECK,
    winter_range.CHECK,
)

CHECKS = MappingProxyType({one.name: one for one in _ALL})
"""Every check by its name."""


def check_named(name: str) -> Check:
    """Return a check by its name.

    Raises
    ------
    ValueError
        There is none of that name; the message lists them.
    """
    try:
        return CHECKS[name]
    except KeyError:
        msg = f"no check named {name!r}; known: {', '.join(CHECKS)}."
        raise ValueError(msg) from None
