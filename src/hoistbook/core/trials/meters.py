"""What the instruments of a log may be wrong by: an error in proportion to the reading, and one of the zero."""

from __future__ import annotations

import math
from collections.abc import Mapping
from dataclasses import dataclass

from hoistbook.core.quantities.instruments import Instrument
from hoistbook.core.quantities.quantity import Source
from hoistbook.core.trials.channels import CHANNELS

_ROOT_3 = math.sqrt(3.0)


@dataclass(frozen=True, slots=True)
class Meter:
    """The instrument behind one channel.

    Parameters
    ----------
    channel : str
        Key of `channels.CHANNELS`.
    gain_frac : float
        Standard uncertainty in proportion to the reading. [1]
    zero : float
        Standard uncertainty of the zero, in the unit of the channel.
    gain_source, zero_source : Source
        The two errors, shared by every figure read on this instrument.
    words : str
        How they are known, for the list of assumptions; empty for an instrument of the vehicle's own list.

    Raises
    ------
    ValueError
        A figure that is negative or not finite.
    LookupError
        No such channel.
    """

    channel: str
    gain_frac: float
    zero: float
    gain_source: Source
    zero_source: Source
    words: str = ""

    def __post_init__(self) -> None:
        if self.channel not in CHANNELS:
            msg = f"no channel is named {self.channel!r}; known: {', '.join(CHANNELS)}."
            raise LookupError(msg)
        for name in ("gain_frac", "zero"):
            value = getattr(self, name)
            if not 0.0 <= value < math.inf:
                msg = (
                    f"meter of {self.channel}: {name} = {value!r}; give a finite figure that is not negative."
                )
                raise ValueError(msg)


Meters = Mapping[str, Meter]
"""Channel → meter. A channel without one is taken as exact, which the evaluation says."""


def stated_meter(
    channel: str, name: str, limit_frac: float, limit_si: float, words: str = "", *, zero_name: str = ""
) -> Meter:
    """Make a meter of its limits of error: ± share of the reading, ± an offset, both rectangular.

    Parameters
    ----------
    channel : str
    name : str
        Names the error in proportion to the reading; figures that share the name share the error.
    limit_frac : float
        Half width, share of the reading. [1]
    limit_si : float
        Half width of the zero, in the unit of the channel.
    words : str
    zero_name : str
        Names the error of the zero; `name` and "zero" when left out.

    Source
    ------
    from memory: GUM 4.3.7, u = a/√3.
    """
    return Meter(
        channel,
        limit_frac / _ROOT_3,
        limit_si / _ROOT_3,
        Source(name, "rectangular"),
        Source(zero_name or f"{name}, zero", "rectangular"),
        words,
    )


def meter_of(instrument: Instrument, channel: str) -> Meter:
    """Make a meter of an instrument of the vehicle's list.

    Parameters
    ----------
    instrument : Instrument
        Of kind "other", with a limit of error or a certificate.
    channel : str

    Raises
    ------
    ValueError
        The instrument reads in another unit than the channel, or states no limit and no certificate.

    Notes
    -----
    limit_frac is taken in proportion to the reading, limit_si and a certificate's U as an error of the zero: it is the
    same at every reading. Where both are stated, the zero gets a source of its own.
    """
    wanted = CHANNELS[channel].unit
    if instrument.unit != wanted:
        msg = f"instrument {instrument.id} reads in {instrument.unit}, {channel} is in {wanted}; choose another."
        raise ValueError(msg)
    if not instrument.has_own_limit:
        msg = f"instrument {instrument.id} states no limit of error and no certificate; add one to the instruments."
        raise ValueError(msg)
    calibration = instrument.calibration_source
    if instrument.certificate_expanded_si is not None:
        u = instrument.certificate_expanded_si / instrument.certificate_factor
        return Meter(channel, 0.0, u, calibration, calibration)
    gain, zero = instrument.limit_frac or 0.0, instrument.limit_si or 0.0
    own = Source(f"instrument {instrument.id}/zero", "rectangular") if gain and zero else calibration
    return Meter(channel, gain / _ROOT_3, zero / _ROOT_3, calibration, own)
