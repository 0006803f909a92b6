"""A recorded signal that remembers what its instruments may be wrong by, sample by sample."""

from __future__ import annotations

import math
from dataclasses import dataclass

import numpy as np

from hoistbook.core.arrays import Array
from hoistbook.core.quantities.dimension import product_symbol
from hoistbook.core.quantities.quantity import Origin, Quantity, Source
from hoistbook.core.trials.channels import CHANNELS
from hoistbook.core.trials.meters import Meters
from hoistbook.core.trials.series import Series

BRIDGED_STEPS = 10.0
"""project rule: a straight line joins samples no more than ten usual steps apart."""

MOST_MISSING_FRAC = 0.1
"""project rule: an integral with more than a tenth of its time missing is refused."""


@dataclass(frozen=True, slots=True, eq=False)
class Signal:
    """Values over time with the errors of the instruments behind them.

    Parameters
    ----------
    name : str
    unit : str
        SI symbol.
    time_s : array, shape (n,)
        Strictly rising. [s]
    values : array, shape (n,)
        No NaN.
    errors : tuple of (Source, array)
        What each source adds to the values when it is off by one standard uncertainty; shape (n,), signed.
    bridge_s : float
        Longest time between two samples that counts as recorded. [s]
    """

    name: str
    unit: str
    time_s: Array
    values: Array
    errors: tuple[tuple[Source, Array], ...]
    bridge_s: float

    def __len__(self) -> int:
        return len(self.values)

    def between(self, start_s: float, end_s: float) -> Signal:
        """Return the signal from start to end, with values at both ends interpolated where it was recorded."""
        inside = self.time_s[(self.time_s > start_s) & (self.time_s < end_s)]
        at = np.concatenate(([start_s], inside, [end_s]))
        at = at[(at >= self.time_s[0]) & (at <= self.time_s[-1])]
        if len(at) < 2:
            msg = f"{self.name}: no record from {start_s:g} to {end_s:g} s."
            raise ValueError(msg)
        return self.at(np.unique(at))

    def at(self, time_s: Array) -> Signal:
        """Return the signal at other times, linear between its samples; times outside are an error of the caller."""

        def moved(values: Array) -> Array:
            return np.interp(time_s, self.time_s, values)

        return Signal(
            self.name,
            self.unit,
            time_s,
            moved(self.values),
            tuple((source, moved(error)) for source, error in self.errors),
            self.bridge_s,
        )

    def clipped(self, *, positive: bool) -> Signal:
        """Return the part above zero, or that below it with its sign turned; an error counts where its part does."""
        factor = (self.values > 0.0) if positive else -1.0 * (self.values < 0.0)
        return Signal(
            self.name,
            self.unit,
            self.time_s,
            factor * self.values,
            tuple((source, factor * error) for source, error in self.errors),
            self.bridge_s,
        )


def measured(series: Series, channel: str, meters: Meters) -> Signal:
    """Return a channel as a signal, at its own samples.

    Raises
    ------
    LookupError
        The series has no such channel.
    ValueError
        Fewer than two samples.
    """
    times, values = series.samples(channel)
    step = series.step_s(channel)
    meter = meters.get(channel)
    errors: list[tuple[Source, Array]] = []
    if meter is not None and meter.gain_frac > 0.0:
        errors.append((meter.gain_source, meter.gain_frac * values))
    if meter is not None and meter.zero > 0.0:
        errors.append((meter.zero_source, np.full(len(values), meter.zero)))
    kind = CHANNELS[channel]
    return Signal(kind.words, kind.unit, times, values, _summed(errors), BRIDGED_STEPS * step)


def product(a: Signal, b: Signal, name: str, unit: str | None = None) -> Signal:
    """Return the product of two signals at every sample of either, as far as both were recorded.

    Raises
    ------
    ValueError
        The two do not overlap in time.

    Notes
    -----
    d(ab) = a db + b da, sample by sample (first principles).
    """
    start, end = max(a.time_s[0], b.time_s[0]), min(a.time_s[-1], b.time_s[-1])
    times = np.union1d(a.time_s, b.time_s)
    times = times[(times >= start) & (times <= end)]
    if len(times) < 2:
        msg = f"{a.name} and {b.name} were not recorded at the same time, so {name} cannot be worked out."
        raise ValueError(msg)
    x, y = a.at(times), b.at(times)
    errors = [(source, error * y.values) for source, error in x.errors]
    errors += [(source, error * x.values) for source, error in y.errors]
    return Signal(
        name,
        unit or product_symbol(a.unit, b.unit),
        times,
        x.values * y.values,
        _summed(errors),
        max(a.bridge_s, b.bridge_s),
    )


def total(signals: list[Signal], name: str, factors: list[float] | None = None) -> Signal:
    """Return the weighted sum of signals at every sample of any, as far as all were recorded."""
    start = max(s.time_s[0] for s in signals)
    end = min(s.time_s[-1] for s in signals)
    times = np.unique(np.concatenate([s.time_s for s in signals]))
    times = times[(times >= start) & (times <= end)]
    if len(times) < 2:
        msg = f"{', '.join(s.name for s in signals)} were not recorded at the same time; {name} cannot be worked out."
        raise ValueError(msg)
    values = np.zeros(len(times))
    errors: list[tuple[Source, Array]] = []
    for signal, factor in zip(signals, factors or [1.0] * len(signals), strict=True):
        moved = signal.at(times)
        values += factor * moved.values
        errors += [(source, factor * error) for source, error in moved.errors]
    return Signal(name, signals[0].unit, times, values, _summed(errors), max(s.bridge_s for s in signals))


def integral(signal: Signal, unit: str, label: str, most_missing_frac: float = MOST_MISSING_FRAC) -> Quantity:
    """Integrate a signal over its time.

    Parameters
    ----------
    signal : Signal
    unit : str
        SI symbol of the result, e.g. "J" for a power.
    label : str
        Names the errors of this integral alone: "<label>, sampling" and "<label>, gaps".
    most_missing_frac : float
        Share of the time that may be missing. [1]

    Returns
    -------
    Quantity
        Errors of the instruments, taken as the same all the time, beside those of sampling and gaps.

    Raises
    ------
    ValueError
        More than that share of the time is missing.

    Notes
    -----
    Trapezoid rule, exact for a signal linear between its samples. Sampling: a third of the change when every second
    sample is left out. Across a gap (longer than `bridge_s`) the straight line is kept, with the standard deviation of
    the signal times the length of the gap as its uncertainty.

    Source
    ------
    first principles; from memory: Richardson's estimate of the trapezoid error. The rule for gaps is common practice.
    """
    times, values = signal.time_s, signal.values
    step = np.diff(times)
    span = float(times[-1] - times[0])
    wide = step[step > signal.bridge_s]
    missing = float(np.sum(wide))
    if missing > most_missing_frac * span:
        msg = (
            f"{signal.name}: {missing:.4g} of {span:.4g} s are missing, more than {100 * most_missing_frac:g} %; "
            "cut the log to where it was recorded."
        )
        raise ValueError(msg)
    terms = [(source, _area(error, times)) for source, error in signal.errors]
    coarse_at = np.unique(np.concatenate((np.arange(0, len(times), 2), [len(times) - 1])))
    value = _area(values, times)
    sampling = abs(value - _area(values[coarse_at], times[coarse_at])) / 3.0
    if sampling > 0.0 and len(times) > 2:
        terms.append((Source(f"{label}, sampling"), sampling))
    if len(wide):
        terms.append(
            (Source(f"{label}, gaps"), float(np.std(values)) * math.sqrt(float(np.sum(wide * wide))))
        )
    return Quantity(value, unit, tuple((s, c) for s, c in terms if c != 0.0), Origin.MEASURED)


def mean(signal: Signal, label: str) -> Quantity:
    """Mean of a signal over its time: its integral over the length of the record."""
    span = float(signal.time_s[-1] - signal.time_s[0])
    return integral(signal, signal.unit, label) * (1.0 / span)


def _area(values: Array, times: Array) -> float:
    return float(np.sum(0.5 * (values[1:] + values[:-1]) * np.diff(times)))


def _summed(errors: list[tuple[Source, Array]]) -> tuple[tuple[Source, Array], ...]:
    """Add up the errors of one source, so that what is shared is counted once."""
    found: dict[str, tuple[Source, Array]] = {}
    for source, error in errors:
        if source.name in found:
            if found[source.name][0] != source:
                msg = f"two different errors are both named {source.name!r}; rename one of the instruments."
                raise ValueError(msg)
            found[source.name] = (source, found[source.name][1] + error)
        else:
            found[source.name] = (source, error)
    return tuple(found.values())
