"""Tests of the road load: what a person states beside the recordings, brought to the evaluation."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass, field

from hoistbook.core.energy.road_load import rotating_frac_us, rotating_mass_wltp_kg
from hoistbook.core.quantities.evaluation import rectangular, stated_band
from hoistbook.core.quantities.quantity import Quantity
from hoistbook.core.trials.coastdown import CoastDown, coast_down
from hoistbook.core.trials.coastdown_set_up import CoastDownTest
from hoistbook.core.trials.coasting import RunRules
from hoistbook.core.trials.outcome import Outcome
from hoistbook.core.trials.road_equations import SlopeFrom, WindFrom
from hoistbook.core.trials.road_outcomes import (
    coast_down_outcome,
    rotating_figure,
)
from hoistbook.core.trials.series import Series
from hoistbook.core.vehicle.records import Basis, Configuration, MassState, Teardown

AXLES = 2
"""Axles that turn on the road."""

_MASS_STATES = (MassState.TEST, MassState.AS_WEIGHED)
"""States of a stated mass that can be the one a test was driven with."""


@dataclass(frozen=True, slots=True)
class CoastDownAsked:
    """What is asked of a coast-down beside its recordings; None takes what the vehicle's facts or the rules say.

    Parameters
    ----------
    mass_kg, mass_band_kg : float, optional
        Mass as driven, and the half width of its 95 % band.
    rotating : str
        "us", "wltp", or a share such as "0.035".
    rotating_band_frac : float
        Half width of the 95 % band of the share.
    running_order_kg : float, optional
        For the WLTP allowance.
    speed_limit_frac : float
        Limit of error of the speed, as a share of it.
    slope_limit : float
        Limit of error of the recorded slope, as its tangent.
    reference : str
        "us" or "wltp".
    pressure_kpa, temperature_degc : float, optional
        Air of the test, where no column has it.
    rolling_per_k : float
    with_b : bool
    wind, slope : str, optional
    alternate : bool
        Runs go to and fro in turn.
    rules : RunRules
    """

    mass_kg: float | None = None
    mass_band_kg: float = 0.0
    rotating: str = "wltp"
    rotating_band_frac: float = 0.0
    running_order_kg: float | None = None
    speed_limit_frac: float = 0.0
    slope_limit: float = 0.0
    reference: str = "wltp"
    pressure_kpa: float | None = None
    temperature_degc: float | None = None
    rolling_per_k: float = 0.0
    with_b: bool = True
    wind: WindFrom | None = None
    slope: SlopeFrom | None = None
    alternate: bool = False
    rules: RunRules = field(default_factory=RunRules)


def evaluate_coast_down(
    recordings: Sequence[Series],
    asked: CoastDownAsked,
    *,
    name: str,
    teardown: Teardown | None = None,
    configuration: Configuration | None = None,
) -> tuple[CoastDown, Outcome]:
    """Road load from recordings.

    Parameters
    ----------
    recordings : sequence of Series
    asked : CoastDownAsked
    name : str
        Of the test; names its errors together with the vehicle.
    teardown, configuration : optional
        The vehicle: its stated mass is taken where none is given.

    Raises
    ------
    ValueError
        No mass, a figure out of reach, half of the air, or recordings that give no road load.
    """
    owner = name if teardown is None else f"{teardown.vehicle.code} {name}"
    mass = _mass(asked, owner, teardown, configuration)
    share, words, measured = _rotating(asked, owner, mass, teardown, configuration)
    one, nothing = Quantity(1.0, "1"), Quantity(0.0, "1")
    test = CoastDownTest(
        name=owner,
        mass=mass,
        rotating_share=share,
        rotating_words=words,
        speed_scale=_limited(1.0, asked.speed_limit_frac, f"test {owner}/speed calibration") or one,
        slope_offset=_limited(0.0, asked.slope_limit, f"test {owner}/slope zero") or nothing,
        reference=asked.reference,
        air_pa_k=_air(asked),
        rolling_per_k=asked.rolling_per_k,
        with_b=asked.with_b,
        wind=asked.wind,
        slope=asked.slope,
        rules=asked.rules,
        directions=(1, -1) if asked.alternate else (),
    )
    found = coast_down(recordings, test)
    return found, coast_down_outcome(found, rotating_figure(share, words, measured=measured))


def _limited(value: float, limit: float, name: str) -> Quantity | None:
    return rectangular(value, limit, "1", name) if limit else None


def _stated(
    teardown: Teardown | None, configuration: Configuration | None, state: MassState
) -> Quantity | None:
    """Strongest stated mass of one state."""
    if teardown is None or configuration is None:
        return None
    facts = [
        fact
        for fact in teardown.facts
        if (fact.configuration, fact.quantity, fact.mass_state) == (configuration.id, "mass", state)
    ]
    facts.sort(key=lambda fact: (fact.basis is not Basis.SPECIMEN, fact.value.origin.rank))
    return facts[0].value if facts else None


def _mass(
    asked: CoastDownAsked, owner: str, teardown: Teardown | None, configuration: Configuration | None
) -> Quantity:
    if asked.mass_kg is not None:
        if asked.mass_band_kg:
            return stated_band(asked.mass_kg, asked.mass_band_kg, "kg", f"test {owner}/mass")
        return Quantity(asked.mass_kg, "kg")
    for state in _MASS_STATES:
        found = _stated(teardown, configuration, state)
        if found is not None:
            return found
    msg = (
        "the mass as driven is not known: give it with --mass-kg (with driver and instruments), or name a vehicle "
        "whose test mass is stated."
    )
    raise ValueError(msg)


def _rotating(
    asked: CoastDownAsked,
    owner: str,
    mass: Quantity,
    teardown: Teardown | None,
    configuration: Configuration | None,
) -> tuple[Quantity, str, bool]:
    """Share of rotating parts, where it comes from, and whether it was measured."""
    measured = False
    if asked.rotating == "us":
        value, words = rotating_frac_us(AXLES), "US allowance, 1.5 % for each of two axles"
    elif asked.rotating == "wltp":
        stated = _stated(teardown, configuration, MassState.RUNNING_ORDER)
        running = asked.running_order_kg or (None if stated is None else stated.value)
        if running is None:
            value = 0.03
            words = (
                "WLTP allowance, 3 %; of the mass as driven, since the mass in running order is not stated"
            )
        else:
            value = rotating_mass_wltp_kg(running) / mass.value
            words = f"WLTP allowance, 3 % of {running:g} kg in running order and 25 kg"
    else:
        try:
            value = float(asked.rotating)
        except ValueError:
            value = math.nan
        if not 0.0 <= value < 0.5:
            msg = f"rotating share {asked.rotating!r}: us, wltp, or a share of the mass such as 0.035."
            raise ValueError(msg)
        words, measured = "as stated", True
    if asked.rotating_band_frac:
        source = f"test {owner}/rotating share"
        return stated_band(value, asked.rotating_band_frac, "1", source), words, measured
    return Quantity(value, "1"), words, measured


def _air(asked: CoastDownAsked) -> tuple[float, float] | None:
    if (asked.pressure_kpa is None) != (asked.temperature_degc is None):
        msg = "the air of the test needs both --pressure-kpa and --temperature-degc."
        raise ValueError(msg)
    if asked.pressure_kpa is None or asked.temperature_degc is None:
        return None
    if not 50.0 < asked.pressure_kpa < 110.0:
        msg = f"pressure_kpa = {asked.pressure_kpa:g}: outside 50–110 kPa; 1,013 hPa are 101.3 kPa."
        raise ValueError(msg)
    return 1e3 * asked.pressure_kpa, 273.15 + asked.temperature_degc
