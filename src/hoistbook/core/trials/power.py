"""Power of pack, wall and accessories from whatever a log recorded of them."""

from __future__ import annotations

import math

import numpy as np

from hoistbook.core.quantities.quantity import Origin, Quantity, Source
from hoistbook.core.trials.meters import Meters
from hoistbook.core.trials.series import Series
from hoistbook.core.trials.signals import Signal, integral, measured, product

BLOCKS = 10
"""common practice: scatter over ten stretches of equal length, so that neighbouring samples need not be independent."""


def pack_power(series: Series, meters: Meters) -> Signal:
    """Power at the pack terminals, discharge positive: recorded as such, else voltage times current.

    Raises
    ------
    LookupError
        Neither is there; the message says what is needed.
    """
    if series.has("pack_power_w"):
        return measured(series, "pack_power_w", meters)
    return _product(series, meters, "pack_voltage_v", "pack_current_a", "pack_power_w", "pack power")


def accessory_power(series: Series, meters: Meters) -> Signal:
    """Power of the accessories: recorded as such, else voltage times current of the 12 V side.

    Raises
    ------
    LookupError
        Neither is there; the message says what is needed.
    """
    if series.has("accessory_power_w"):
        return measured(series, "accessory_power_w", meters)
    return _product(
        series, meters, "accessory_voltage_v", "accessory_current_a", "accessory_power_w", "accessory power"
    )


def _product(series: Series, meters: Meters, volts: str, amperes: str, watts: str, name: str) -> Signal:
    if series.has(volts, amperes):
        return product(measured(series, volts, meters), measured(series, amperes, meters), name, "W")
    msg = (
        f"series {series.name!r} has no {name}: it needs {watts}, or {volts} and {amperes}; it has: "
        f"{', '.join(series.channels)}."
    )
    raise LookupError(msg)


def wall_energy(series: Series, meters: Meters, label: str) -> Quantity:
    """Energy taken from the wall over the whole series: integral of the power, else what the counter rose by.

    Raises
    ------
    LookupError
        Neither power nor counter is there.
    ValueError
        The counter falls.

    Notes
    -----
    The zero error of a counter cancels in the difference; its step, the smallest rise seen, enters as d/√6.

    Source
    ------
    from memory: GUM F.2.2.1 for the difference of two indications.
    """
    if series.has("wall_power_w"):
        return integral(measured(series, "wall_power_w", meters), "J", f"{label}, wall energy")
    if not series.has("wall_energy_j"):
        msg = (
            f"series {series.name!r} has no wall energy: it needs wall_power_w or wall_energy_j; it has: "
            f"{', '.join(series.channels)}."
        )
        raise LookupError(msg)
    _, counts = series.samples("wall_energy_j")
    rises = np.diff(counts)
    if (rises < 0.0).any():
        msg = (
            f"series {series.name!r}: the wall energy falls; the counter was set back, so cut the log there."
        )
        raise ValueError(msg)
    rise = float(counts[-1] - counts[0])
    terms = []
    meter = meters.get("wall_energy_j")
    if meter is not None and meter.gain_frac > 0.0:
        terms.append((meter.gain_source, meter.gain_frac * rise))
    if (rises > 0.0).any():
        step = float(rises[rises > 0.0].min())
        terms.append((Source(f"{label}, wall energy, step", "triangular"), step / math.sqrt(6.0)))
    return Quantity(rise, "J", tuple(terms), Origin.MEASURED)


def scatter(signal: Signal, label: str, blocks: int = BLOCKS) -> tuple[tuple[Source, float], ...]:
    """Scatter of the mean of a signal, as an error of its own, from its means over stretches of equal length.

    Parameters
    ----------
    signal : Signal
    label : str
        Names the error.
    blocks : int
        At least 2; fewer are taken where the record has fewer than two samples per block.

    Returns
    -------
    tuple
        One student source with its standard uncertainty s/√n, n − 1 degrees of freedom; empty where nothing scatters
        or the record is too short to tell.

    Source
    ------
    from memory: GUM 4.2; block means for correlated samples are common practice.
    """
    blocks = min(blocks, len(signal) // 2)
    if blocks < 2:
        return ()
    edges = np.linspace(signal.time_s[0], signal.time_s[-1], blocks + 1)
    # The running integral at the edges gives the mean of every block exactly, however the samples fall.
    steps = np.diff(signal.time_s) * 0.5 * (signal.values[1:] + signal.values[:-1])
    running = np.concatenate(([0.0], np.cumsum(steps)))
    k = np.clip(np.searchsorted(signal.time_s, edges, side="right") - 1, 0, len(signal) - 2)
    into = edges - signal.time_s[k]
    slope = np.diff(signal.values)[k] / np.diff(signal.time_s)[k]
    at_edges = running[k] + into * (signal.values[k] + 0.5 * slope * into)
    means = np.diff(at_edges) / np.diff(edges)
    spread = float(np.std(means, ddof=1)) / math.sqrt(blocks)
    return ((Source(label, "student", dof=blocks - 1), spread),) if spread > 0.0 else ()


def unmetered(meters: Meters, *channels: str) -> tuple[str, ...]:
    """Say which channels were taken without an error of their instrument, and how those of the others are known."""
    said = [
        f"{channel} is taken as exact: nothing is known of its instrument"
        for channel in channels
        if channel not in meters
    ]
    words = [meters[channel].words for channel in channels if channel in meters and meters[channel].words]
    return (*dict.fromkeys(words), *said)
