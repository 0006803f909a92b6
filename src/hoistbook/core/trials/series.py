"""A recorded time series: one clock, several channels, nothing filled in that was not asked for."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass, replace
from itertools import pairwise
from types import MappingProxyType

import numpy as np

from hoistbook.core.arrays import Array
from hoistbook.core.trials.channels import CHANNELS


@dataclass(frozen=True, slots=True)
class Integral:
    """The integral of a channel over time, and how much of the span it stands on.

    Parameters
    ----------
    value : float
        In the unit of the channel times second.
    covered_s : float
        Length of the span with samples close enough together. [s]
    missing_s : float
        Length of the span without; nothing was added for it. [s]
    sampling : float
        Size of the difference to the integral over every second sample, divided by 3: what the trapezoid of a smooth
        curve is still off, same unit as `value`.
    """

    value: float
    covered_s: float
    missing_s: float
    sampling: float


@dataclass(frozen=True, slots=True, eq=False)
class Series:
    """Channels recorded over one time axis.

    Parameters
    ----------
    name : str
        What people call the recording, usually the file.
    time_s : array, shape (n,)
        Strictly rising; the sampling need not be even. [s]
    channels : mapping of str to array, shape (n,)
        Names and units of `channels.CHANNELS`; NaN = no sample at that time.

    Raises
    ------
    ValueError
        No sample, times that do not rise or are not finite, a channel of another length or with an infinite value.
    LookupError
        A channel name that is not known; the message lists those that are.

    Notes
    -----
    Signals recorded at different rates share the axis: where one of them has no sample it is NaN, so a channel has its
    own samples and its own gaps. Between two samples of a channel it is taken as linear, across no more than a limit
    the caller states; beyond it the channel is missing.
    """

    name: str
    time_s: Array
    channels: Mapping[str, Array]

    def __post_init__(self) -> None:
        time = np.array(self.time_s, dtype=np.float64)
        _check_time(self.name, time)
        time.setflags(write=False)
        object.__setattr__(self, "time_s", time)
        held: dict[str, Array] = {}
        for key, given in self.channels.items():
            if key not in CHANNELS:
                msg = f"series {self.name!r}: no channel is named {key!r}; known: {', '.join(CHANNELS)}."
                raise LookupError(msg)
            values = np.array(given, dtype=np.float64)
            if values.shape != time.shape:
                msg = f"series {self.name!r}, {key}: {values.shape} values for {time.shape} times; give one per time."
                raise ValueError(msg)
            if np.isinf(values).any():
                i = int(np.flatnonzero(np.isinf(values))[0])
                msg = f"series {self.name!r}, {key}, sample {i}: {values[i]} is not a reading; a missing one is NaN."
                raise ValueError(msg)
            values.setflags(write=False)
            held[key] = values
        object.__setattr__(self, "channels", MappingProxyType(held))

    def __len__(self) -> int:
        return len(self.time_s)

    def has(self, *names: str) -> bool:
        """Say whether every named channel is there with at least one sample."""
        return all(name in self.channels and np.isfinite(self.channels[name]).any() for name in names)

    def __getitem__(self, name: str) -> Array:
        """Return the values of a channel at every time, NaN where it has none.

        Raises
        ------
        LookupError
            The series has no such channel; the message lists those it has.
        """
        if name not in self.channels:
            known = ", ".join(self.channels) or "none"
            msg = f"series {self.name!r} has no channel {name}; it has: {known}."
            raise LookupError(msg)
        return self.channels[name]

    def samples(self, name: str) -> tuple[Array, Array]:
        """Return times and values of the samples a channel has: ``(time_s, values)``, NaN left out."""
        values = self[name]
        there = np.isfinite(values)
        return self.time_s[there], values[there]

    def step_s(self, name: str) -> float:
        """Median time between two samples of a channel. [s]

        Raises
        ------
        ValueError
            Fewer than two samples.
        """
        times, _ = self.samples(name)
        if len(times) < 2:
            msg = f"series {self.name!r}, {name}: {len(times)} samples; a step needs two at the least."
            raise ValueError(msg)
        return float(np.median(np.diff(times)))

    def gaps(self, name: str, limit_s: float) -> tuple[tuple[float, float], ...]:
        """Return the stretches longer than a limit without a sample of the channel: ``(from_s, to_s)``, ends included.

        Parameters
        ----------
        name : str
        limit_s : float
            Longest time between two samples that is still bridged. [s]
        """
        _check_limit(limit_s)
        times, _ = self.samples(name)
        # At the ends a channel without samples is missing only beyond the limit, as in the middle.
        edges = np.concatenate(([self.time_s[0]], times, [self.time_s[-1]]))
        wide = np.flatnonzero(np.diff(edges) > limit_s)
        return tuple((float(edges[i]), float(edges[i + 1])) for i in wide)

    def values_at(self, name: str, at_s: Array, limit_s: float) -> Array:
        """Values of a channel at given times, linear between neighbours no further apart than the limit, else NaN.

        Parameters
        ----------
        name : str
        at_s : array, shape (m,)
            Times; outside the samples of the channel the answer is NaN. [s]
        limit_s : float
            Longest time between two samples that is bridged. [s]

        Notes
        -----
        A label (run, direction) takes the value of the sample before; an angle is interpolated the short way round.
        """
        _check_limit(limit_s)
        times, values = self.samples(name)
        at = np.asarray(at_s, dtype=np.float64)
        if len(times) == 0:
            return np.full(at.shape, np.nan)
        right = np.clip(np.searchsorted(times, at, side="left"), 0, len(times) - 1)
        exact = times[right] == at
        left = np.clip(right - 1, 0, len(times) - 1)
        kind = CHANNELS[name]
        if kind.stepwise:
            found = np.where(exact, values[right], values[left])
        else:
            span = np.where(right == left, 1.0, times[right] - times[left])
            change = values[right] - values[left]
            if kind.angle:
                change = (change + np.pi) % (2.0 * np.pi) - np.pi
            found = np.where(exact, values[right], values[left] + (at - times[left]) / span * change)
        near = (at > times[left]) & (at < times[right]) & (times[right] - times[left] <= limit_s)
        return np.where(exact | near, found, np.nan)

    def resampled(self, at_s: Array, limit_s: float) -> Series:
        """Return the series at given times, every channel by `values_at`.

        Parameters
        ----------
        at_s : array, shape (m,)
            Strictly rising. [s]
        limit_s : float
            Longest time between two samples of a channel that is bridged. [s]
        """
        at = np.asarray(at_s, dtype=np.float64)
        return Series(self.name, at, {key: self.values_at(key, at, limit_s) for key in self.channels})

    def between(self, start_s: float, end_s: float) -> Series:
        """Return the samples from start to end, both included, on the same clock.

        Raises
        ------
        ValueError
            No sample lies there.
        """
        inside = (self.time_s >= start_s) & (self.time_s <= end_s)
        if not inside.any():
            msg = (
                f"series {self.name!r}: no sample from {start_s:g} to {end_s:g} s; it runs from "
                f"{self.time_s[0]:g} to {self.time_s[-1]:g} s."
            )
            raise ValueError(msg)
        return Series(self.name, self.time_s[inside], {key: v[inside] for key, v in self.channels.items()})

    def runs(self) -> Iterator[tuple[int, Series]]:
        """Yield each run with its number, in the order driven; the whole series as run 1 when nothing numbers them.

        Notes
        -----
        A sample without a number belongs to the run before it; samples before the first number belong to none. A number
        that comes back later is a run of its own, so that two recordings are never joined across the time between.
        """
        if not self.has("run"):
            yield 1, self
            return
        label = self["run"]
        known = np.flatnonzero(np.isfinite(label))
        starts = [int(known[0])]
        starts += [int(i) for j, i in pairwise(known) if label[i] != label[j]]
        for start, end in pairwise((*starts, len(self))):
            part = slice(start, end)
            yield (
                int(label[start]),
                Series(self.name, self.time_s[part], {k: v[part] for k, v in self.channels.items()}),
            )

    def adding(self, **channels: Array) -> Series:
        """Return the series with more channels; one of the same name is replaced."""
        return replace(self, channels={**self.channels, **channels})

    def integral(self, name: str, limit_s: float) -> Integral:
        """Integrate a channel over the whole time axis, exactly for a curve linear between its samples.

        Parameters
        ----------
        name : str
        limit_s : float
            Longest time between two samples that is bridged; a longer stretch adds nothing and is `missing_s`. [s]

        Source
        ------
        first principles: trapezoid rule, exact for a piecewise linear curve. from memory: its error for a smooth curve
        is proportional to the square of the step, so a third of the change on doubling the step estimates it
        (Richardson).
        """
        _check_limit(limit_s)
        times, values = self.samples(name)
        fine, covered = _trapezoid(times, values, limit_s)
        coarse = _every_second(times, values, limit_s)
        whole = float(self.time_s[-1] - self.time_s[0])
        return Integral(fine, covered, max(0.0, whole - covered), abs(fine - coarse) / 3.0)


def _trapezoid(times: Array, values: Array, limit_s: float) -> tuple[float, float]:
    step = np.diff(times)
    near = step <= limit_s
    area = 0.5 * (values[1:] + values[:-1]) * step
    return float(np.sum(area[near])), float(np.sum(step[near]))


def _every_second(times: Array, values: Array, limit_s: float) -> float:
    """Integrate over every second sample of each stretch without a gap; its last sample is always kept."""
    breaks = np.flatnonzero(np.diff(times) > limit_s) + 1
    first = np.concatenate(([0], breaks))
    last = np.concatenate((breaks, [len(times)])) - 1
    place = np.arange(len(times)) - np.repeat(first, last - first + 1)
    keep = place % 2 == 0
    keep[last[last >= 0]] = True
    start = np.zeros(len(times), dtype=bool)
    start[first[first < len(times)]] = True
    kept_times, kept_values = times[keep], values[keep]
    step = np.diff(kept_times)
    # A step into the first sample of a stretch crosses a gap.
    inside = ~start[keep][1:]
    return float(np.sum((0.5 * (kept_values[1:] + kept_values[:-1]) * step)[inside]))


def _check_time(name: str, time: Array) -> None:
    if time.ndim != 1 or len(time) == 0:
        msg = f"series {name!r}: {time.shape} times; give a row of one or more."
        raise ValueError(msg)
    bad = np.flatnonzero(~np.isfinite(time))
    if len(bad):
        msg = f"series {name!r}, sample {int(bad[0])}: time {time[bad[0]]} s is not finite."
        raise ValueError(msg)
    late = np.flatnonzero(~(np.diff(time) > 0.0))
    if len(late):
        i = int(late[0])
        msg = (
            f"series {name!r}, sample {i + 1}: time {time[i + 1]:g} s does not come after {time[i]:g} s; "
            "sort the samples and remove repeated times."
        )
        raise ValueError(msg)


def _check_limit(limit_s: float) -> None:
    if not limit_s > 0.0:
        msg = f"limit_s = {limit_s!r} s: the longest gap to bridge is above 0."
        raise ValueError(msg)
