"""Coast-down, spin-down and corner weights in the one shape that pages and the store know."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import replace

import numpy as np

from hoistbook.core.quantities.quantity import Origin, Quantity, combine
from hoistbook.core.trials.coastdown import CoastDown
from hoistbook.core.trials.coasting import KMH
from hoistbook.core.trials.corners import CornerWeights
from hoistbook.core.trials.outcome import Curve, Figure, Outcome
from hoistbook.core.trials.spindown import CORNERS, Slowing, Spin, WheelDrag, all_wheels
from hoistbook.core.vehicle.records import MassState

ROAD_LOAD, BACK = "road load", ", back"
"""Name of the curve of the fitted road load, and what the names of runs of the way back end with."""

_BAND_POINTS = 25


def coast_down_outcome(found: CoastDown, rotating: Figure | None = None) -> Outcome:
    """Road load as figures and facts; the fit with its band and every used run are curves of force against speed.

    Parameters
    ----------
    found : CoastDown
    rotating : Figure, optional
        The share of rotating parts that was used, to be kept beside the road load it belongs to.
    """
    stated = f"in {found.conditions.reference_density_kg_per_m3:.4g} kg/m³ of air"
    figures = [
        Figure("road_load_a", "road load A", found.a, "road_load_a", note=stated),
        Figure("road_load_b", "road load B", found.b, "road_load_b", note=stated),
        Figure("road_load_c", "road load C", found.c, "road_load_c", note=stated),
    ]
    if rotating is not None:
        figures.append(rotating)
    for force in found.forces:
        kmh = f"{force.speed_m_per_s / KMH:.0f}"
        figures.append(
            Figure(
                f"force_at_{kmh}_km_per_h",
                f"force at {kmh} km/h",
                force.value,
                note="" if force.inside else "no run reached this speed",
            )
        )
    area = 2.0 * found.c / found.conditions.reference_density_kg_per_m3
    figures.append(
        Figure(
            "drag_area",
            "drag area, were all of C air",
            replace(area, unit="m2"),
            note="what gears and tyres take with speed squared is in it",
        )
    )
    by_run = [
        f"run {one.run.number} ({one.run.source}): {_signed(one.mean_n)} N against the fit on the mean"
        + ("" if one.wind_m_per_s is None else f", wind against it {_signed(one.wind_m_per_s)} m/s")
        for one in found.runs
    ]
    spread = f"one reading of speed scatters by {found.noise_m_per_s:.3g} m/s, force over 10 s by {found.gusts_n:.2g} N"
    way = {1: ", out", -1: BACK}
    curves = tuple(
        Curve(
            one.run.place + way.get(one.run.direction or 0, ""),
            "speed",
            "m/s",
            "force",
            "N",
            one.speed_m_per_s,
            one.force_n,
            found.a.value + found.b.value * one.speed_m_per_s + found.c.value * one.speed_m_per_s**2,
        )
        for one in found.runs
    )
    return Outcome(
        "coastdown",
        tuple(figures),
        (*by_run, spread),
        found.assumptions,
        tuple(one.words for one in found.rejected),
        (_fit(found), *curves),
        ("road_load_a", "road_load_b", "road_load_c"),
    )


def _signed(value: float) -> str:
    """To a tenth, with its sign; nothing has none."""
    return f"{value:+.1f}".replace("-", "−") if round(value, 1) else "0.0"


def _fit(found: CoastDown) -> Curve:
    """The road load over the speeds that were driven, with its band."""
    ends = [end for one in found.runs for end in (one.speed_m_per_s.min(), one.speed_m_per_s.max())]
    speeds = np.linspace(min(ends), max(ends), _BAND_POINTS)
    forces = [
        combine(
            found.a.value + found.b.value * v + found.c.value * v * v,
            ((found.a, 1.0), (found.b, v), (found.c, v * v)),
            "N",
        )
        for v in speeds.tolist()
    ]
    return Curve(
        ROAD_LOAD,
        "speed",
        "m/s",
        "force",
        "N",
        speeds,
        np.array([force.value for force in forces]),
        half=np.array([force.expanded() for force in forces]),
    )


def spin_down_outcome(drags: Mapping[str, WheelDrag], breakaway: Mapping[str, float]) -> Outcome:
    """Drag torque of each wheel, and of all together once all four are there.

    Parameters
    ----------
    drags : mapping of str to WheelDrag
        By corner.
    breakaway : mapping of str to float
        Torque read on a wrench when a wheel began to turn, by corner. [N m]
    """
    figures = []
    curves = []
    for corner in CORNERS:
        if corner not in drags:
            continue
        drag = drags[corner]
        key = corner.replace(" ", "_")
        at = f"at {drag.slowing.at_rad_per_s:.3g} rad/s"
        figures.append(Figure(f"drag_torque_{key}", f"drag torque {corner}, {at}", drag.torque))
        figures.append(
            Figure(f"drag_torque_at_rest_{key}", f"drag torque {corner}, line at rest", drag.at_rest)
        )
        figures.append(
            Figure(f"drag_torque_per_speed_{key}", f"drag torque {corner}, per rad/s", drag.per_speed)
        )
        figures.append(Figure(f"inertia_{key}", f"inertia {corner}", drag.inertia))
        curves += [_spin(corner, spin, drag.slowing) for spin in drag.slowing.spins]
    whole = all_wheels(drags)
    aside = [f"{corner}, {one.words}" for corner, drag in drags.items() for one in drag.slowing.rejected]
    if whole is not None:
        figures.append(Figure("drag_torque", "drag torque of all wheels together", whole, "drag_torque"))
    else:
        missing = ", ".join(corner for corner in CORNERS if corner not in drags)
        aside.append(f"no drag torque of all wheels together: {missing} not spun")
    figures += [
        Figure(
            f"breakaway_{corner.replace(' ', '_')}",
            f"breakaway torque {corner}",
            Quantity(value, "N.m"),
            note="read when the wheel began to turn; no drag torque, and no band since its instrument is not stated",
        )
        for corner, value in breakaway.items()
    ]
    return Outcome(
        "spindown",
        tuple(figures),
        assumptions=(
            *(note for drag in drags.values() for note in drag.assumptions),
            "a lifted wheel turns without its load, and pads that are knocked back on the road may rub here",
        ),
        set_aside=tuple(aside),
        curves=tuple(curves),
    )


def _spin(corner: str, spin: Spin, found: Slowing) -> Curve:
    """One spin as read, and as the slowing of all spins has it.

    Notes
    -----
    ω = ω₀ e^(−k₁t) − k₀ (1 − e^(−k₁t))/k₁. The start speed ω₀ is no result: it is the one that fits this spin best, by
    least squares.

    Source
    ------
    first principles: solution of dω/dt = −k₀ − k₁ω.
    """
    since = spin.time_s - spin.time_s[0]
    k0, k1 = found.constant.value, found.per_speed.value
    left = np.exp(-k1 * since)
    lost = k0 * (since if k1 == 0.0 else -np.expm1(-k1 * since) / k1)
    start = float(np.sum((spin.speed_rad_per_s + lost) * left) / np.sum(left * left))
    return Curve(
        f"{corner}, spin {spin.number}",
        "time",
        "s",
        "wheel speed",
        "rad/s",
        since,
        spin.speed_rad_per_s,
        start * left - lost,
    )


def corner_outcome(found: CornerWeights, state: MassState, geometry: Mapping[str, Quantity]) -> Outcome:
    """Corner masses and centre of gravity as facts, with the geometry they were worked out with.

    Parameters
    ----------
    found : CornerWeights
    state : MassState
        What stood in the vehicle.
    geometry : mapping of str to Quantity
        Facts that were stated for it: wheelbase, track, lift_angle.
    """
    corners = found.corners
    masses = (corners.front_left, corners.front_right, corners.rear_left, corners.rear_right)
    figures = []
    for corner, mass in zip(CORNERS, masses, strict=True):
        key = f"corner_mass_{corner.replace(' ', '_')}"
        figures.append(Figure(key, f"corner mass, {corner}", mass, key, mass_state=state))
    centre = found.centre
    figures.append(Figure("mass", "mass", centre.mass, "mass", mass_state=state))
    for key, words, value in (
        ("front_share", "share of the mass on the front axle", centre.front_share),
        ("cg_behind_front_axle", "centre of gravity behind the front axle", centre.behind_front_axle),
        ("cg_left_of_centre", "centre of gravity left of the middle plane", centre.left_of_centre),
        ("cg_height", "centre of gravity above the ground", centre.height),
        ("lifted_front_mass", "front axle mass with the rear axle raised", found.lifted_front),
    ):
        if value is not None:
            figures.append(Figure(key, words, value, key))
    figures += [Figure(key, key.replace("_", " "), value, key) for key, value in geometry.items()]
    turned = [f"{corner}: reads {kg:+.2g} kg when turned round" for corner, kg in found.turned_by_kg]
    return Outcome("corners", tuple(figures), (*turned, *found.checks), found.assumptions)


def rotating_figure(share: Quantity, words: str, *, measured: bool) -> Figure:
    """The share of rotating parts as a figure of its own: published where it is an allowance."""
    origin = Origin.MEASURED if measured else Origin.PUBLISHED
    return Figure(
        "rotating_share",
        "rotating inertia as share of mass",
        replace(share, origin=origin),
        "rotating_share",
        note=words,
    )
