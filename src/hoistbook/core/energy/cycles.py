"""Speed-time traces, the step rule every energy figure uses, and the moments of a trace."""

from __future__ import annotations

from dataclasses import dataclass, field

import numpy as np
from numpy.typing import NDArray

from hoistbook.core.arrays import Array


@dataclass(frozen=True, slots=True)
class Phase:
    """A named stretch of a cycle, e.g. a bag of the UDDS. Both ends are samples of the trace."""

    name: str
    start_s: float
    end_s: float


@dataclass(frozen=True, slots=True, eq=False)
class Cycle:
    """A speed trace v_0 … v_n, linear between its samples.

    Parameters
    ----------
    name, title : str
        Key and words people see.
    speed_m_per_s : array, shape (n + 1,)
        Speeds, never negative. [m/s]
    time_s : array, shape (n + 1,)
        Strictly rising; the sampling need not be even. [s]
    phases : tuple of Phase
        Empty when the cycle has none.
    source : str
        Where the trace is printed, with its mark.

    Raises
    ------
    ValueError
        Shapes differ, fewer than two samples, a time that does not rise, a negative or non-finite speed, or a phase
        whose ends are not samples.

    Notes
    -----
    Step i has duration dt = t_{i+1} − t_i, mean speed u = (v_i + v_{i+1})/2 and acceleration a = (v_{i+1} − v_i)/dt.
    `moving` holds the index of every step with u > 0; only these do work.

    Source
    ------
    first principles: with speed linear inside a step, u dt is its exact distance and u a dt its exact change of v²/2.
    """

    name: str
    title: str
    speed_m_per_s: Array
    time_s: Array
    phases: tuple[Phase, ...] = ()
    source: str = ""
    step_speed: Array = field(init=False, repr=False)
    step_acceleration: Array = field(init=False, repr=False)
    step_duration: Array = field(init=False, repr=False)
    moving: NDArray[np.intp] = field(init=False, repr=False)
    distance_m: float = field(init=False)
    duration_s: float = field(init=False)

    def __post_init__(self) -> None:
        speed = np.array(self.speed_m_per_s, dtype=np.float64)
        time = np.array(self.time_s, dtype=np.float64)
        _check_trace(self.name, speed, time)
        duration = np.diff(time)
        u = 0.5 * (speed[:-1] + speed[1:])
        fields = {
            "speed_m_per_s": speed,
            "time_s": time,
            "step_speed": u,
            "step_acceleration": np.diff(speed) / duration,
            "step_duration": duration,
        }
        for name, values in fields.items():
            values.setflags(write=False)
            object.__setattr__(self, name, values)
        object.__setattr__(self, "moving", np.flatnonzero(u > 0.0))
        object.__setattr__(self, "distance_m", float(np.sum(u * duration)))
        object.__setattr__(self, "duration_s", float(time[-1] - time[0]))
        for phase in self.phases:
            self._samples(phase)

    def _samples(self, phase: Phase) -> tuple[int, int]:
        ends = []
        for what, value in (("starts", phase.start_s), ("ends", phase.end_s)):
            index = int(np.searchsorted(self.time_s, value))
            if index == len(self.time_s) or self.time_s[index] != value:
                msg = f"cycle {self.name!r}: phase {phase.name!r} {what} at {value:g} s, where the trace has no sample."
                raise ValueError(msg)
            ends.append(index)
        if not ends[0] < ends[1]:
            msg = f"cycle {self.name!r}: phase {phase.name!r} ends at {phase.end_s:g} s, not after {phase.start_s:g} s."
            raise ValueError(msg)
        return ends[0], ends[1]

    def phase(self, name: str) -> Cycle:
        """Return one phase as a cycle of its own.

        Raises
        ------
        LookupError
            The cycle has no such phase; the message lists those it has.
        """
        for phase in self.phases:
            if phase.name == name:
                first, last = self._samples(phase)
                window = slice(first, last + 1)
                return Cycle(
                    f"{self.name} {name}",
                    f"{self.title}, {name}",
                    self.speed_m_per_s[window],
                    self.time_s[window],
                    source=self.source,
                )
        known = ", ".join(phase.name for phase in self.phases) or "none"
        msg = f"cycle {self.name!r} has no phase {name!r}; its phases: {known}."
        raise LookupError(msg)


def _check_trace(name: str, speed: Array, time: Array) -> None:
    if speed.ndim != 1 or speed.shape != time.shape or len(speed) < 2:
        msg = (
            f"cycle {name!r}: {speed.shape} speeds and {time.shape} times; "
            "give one speed per time, two samples at the least."
        )
        raise ValueError(msg)
    bad = np.flatnonzero(~(np.isfinite(speed) & (speed >= 0.0) & np.isfinite(time)))
    if len(bad):
        i = int(bad[0])
        msg = (
            f"cycle {name!r}, sample {i}: time {time[i]:g} s, speed {speed[i]:g} m/s; "
            "both must be finite and the speed not negative."
        )
        raise ValueError(msg)
    late = np.flatnonzero(~(np.diff(time) > 0.0))
    if len(late):
        i = int(late[0])
        msg = (
            f"cycle {name!r}, sample {i + 1}: time {time[i + 1]:g} s does not come after {time[i]:g} s; "
            "sort the trace and remove repeated times."
        )
        raise ValueError(msg)


@dataclass(frozen=True, slots=True)
class Moments:
    """Integrals of a trace that fix the wheel energy balance.

    s1 … s3 are step sums Σ uⁿ dt (exact for the step rule); i1 … i3 the integrals ∫ vⁿ dt of the piecewise-linear
    trace; kinetic_up and kinetic_down the sums of positive and of negative (v_{i+1}² − v_i²)/2, both given positive.
    """

    s1_m: float
    s2_m2_per_s: float
    s3_m3_per_s2: float
    i1_m: float
    i2_m2_per_s: float
    i3_m3_per_s2: float
    kinetic_up_j_per_kg: float
    kinetic_down_j_per_kg: float


def moments(cycle: Cycle) -> Moments:
    """Moments of a cycle.

    Notes
    -----
    With speed linear from p to q during dt: ∫v dt = (p + q)/2 dt, ∫v² dt = (p² + pq + q²)/3 dt,
    ∫v³ dt = (p³ + p²q + pq² + q³)/4 dt.
    The net wheel energy of the step rule is A s1 + B s2 + C s3 + m_e (kinetic_up − kinetic_down).

    Source
    ------
    first principles.
    """
    u, dt = cycle.step_speed, cycle.step_duration
    p, q = cycle.speed_m_per_s[:-1], cycle.speed_m_per_s[1:]
    kinetic = 0.5 * (q * q - p * p)
    return Moments(
        s1_m=float(np.sum(u * dt)),
        s2_m2_per_s=float(np.sum(u * u * dt)),
        s3_m3_per_s2=float(np.sum(u * u * u * dt)),
        i1_m=float(np.sum((p + q) * dt) / 2.0),
        i2_m2_per_s=float(np.sum((p * p + p * q + q * q) * dt) / 3.0),
        i3_m3_per_s2=float(np.sum((p * p * p + p * p * q + p * q * q + q * q * q) * dt) / 4.0),
        kinetic_up_j_per_kg=float(np.sum(np.maximum(kinetic, 0.0))),
        kinetic_down_j_per_kg=float(np.sum(np.maximum(-kinetic, 0.0))),
    )
