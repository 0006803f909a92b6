"""Tests that measure energy: the log, what is known of the vehicle, and the instruments, brought to the evaluation."""

from __future__ import annotations

import re
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field, replace
from pathlib import Path

from hoistbook.capture.logs import LogRead
from hoistbook.core.energy.cycles import Cycle
from hoistbook.core.energy.facts import FactSheet
from hoistbook.core.energy.resolve import resolve
from hoistbook.core.quantities.quantity import Origin, Quantity
from hoistbook.core.quantities.units import to_si
from hoistbook.core.trials.channels import CHANNELS
from hoistbook.core.trials.charging import evaluate_charge
from hoistbook.core.trials.discharging import evaluate_discharge
from hoistbook.core.trials.driving import Vehicle, evaluate_cycle
from hoistbook.core.trials.meters import Meter, Meters, meter_of, stated_meter
from hoistbook.core.trials.outcome import Outcome
from hoistbook.core.trials.standby import evaluate_standby
from hoistbook.core.trials.steady import RoadLoad, SteadyRule, evaluate_steady
from hoistbook.core.vehicle.records import Basis, Configuration, Teardown
from hoistbook.reference.cycles import CYCLE_NAMES, cycle, read_cycle
from hoistbook.reference.energy import energy_defaults
from hoistbook.reference.meters import default_meters
from hoistbook.services.duties import named_duty

KINDS = ("steady", "cycle", "charge", "discharge", "standby")
_STATED = re.compile(
    r"(?:(?P<share>[0-9.]+)\s*%)?\s*(?:\+?\s*(?P<zero>[0-9.]+)\s*(?P<unit>[^@\s]+))?\s*(?:@\s*(?P<name>.+))?"
)


@dataclass(frozen=True, slots=True)
class Asked:
    """What is asked of a test beside its log.

    Attributes
    ----------
    duty : str
        What consumption or standing power is used for; makes them facts.
    cycle : str
        Packaged cycle, or the path of a cycle file, that was followed; empty for none.
    full : bool
        Whether a charge or discharge is known to be whole.
    settle_s : float
        Length of the pulses whose resistance is read. [s]
    rule : SteadyRule
    meters : tuple of str
        "CHANNEL=INSTRUMENT", or "CHANNEL=0.5%+2W@name of the error".
    """

    duty: str = ""
    cycle: str = ""
    full: bool = False
    settle_s: float = 10.0
    rule: SteadyRule = field(default_factory=SteadyRule)
    meters: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True)
class KnownVehicle:
    """What the facts of a configuration say that a test can use; None where nothing was stated.

    `remarks` are by what they are about; those about the vehicle as a whole have no key.
    """

    vehicle: Vehicle
    usable_energy: Quantity | None
    remarks: Mapping[str, str]


ROAD_LOAD, MASS, EFFICIENCY = "road load", "mass", "charging efficiency"
RESISTANCE, USABLE = "pack resistance", "usable energy"
_USES = {
    "charge": (RESISTANCE,),
    "discharge": (RESISTANCE,),
    "standby": (USABLE,),
    "steady": (ROAD_LOAD, MASS, EFFICIENCY),
    "cycle": (ROAD_LOAD, MASS, EFFICIENCY, RESISTANCE),
}
"""What each kind of test takes of the vehicle: remarks about anything else say nothing of it."""


def evaluate(
    kind: str,
    log: LogRead,
    asked: Asked,
    *,
    label: str,
    teardown: Teardown | None = None,
    configuration: Configuration | None = None,
) -> Outcome:
    """Evaluate a log.

    Parameters
    ----------
    kind : str
        One of `KINDS`.
    log : LogRead
    asked : Asked
    label : str
        Name of the test; names the errors that are its own.
    teardown, configuration : optional
        The vehicle that was tested; its facts and its instruments are used.

    Raises
    ------
    LookupError
        No such kind, cycle, instrument or channel.
    ValueError
        The log cannot be evaluated; the message says why.
    """
    meters = meters_for(asked.meters, teardown)
    known = known_vehicle(teardown, configuration, asked.duty)
    vehicle, series = known.vehicle, log.series
    match kind:
        case "charge":
            found = evaluate_charge(
                series, meters, label=label, resistance=vehicle.resistance, full=asked.full
            )
        case "discharge":
            found = evaluate_discharge(
                series,
                meters,
                label=label,
                resistance=vehicle.resistance,
                full=asked.full,
                settle_s=asked.settle_s,
            )
        case "standby":
            found = evaluate_standby(
                series, meters, label=label, duty=asked.duty, usable_energy=known.usable_energy
            )
        case "steady":
            mass = vehicle.effective_mass_kg
            found = evaluate_steady(
                series,
                meters,
                label=label,
                rule=asked.rule,
                road_load=vehicle.road_load,
                charging_efficiency=vehicle.charging_efficiency,
                effective_mass_kg=None if mass is None else mass.value,
            )
        case "cycle":
            found = evaluate_cycle(
                series,
                meters,
                label=label,
                vehicle=vehicle,
                cycle=_trace(asked.cycle),
                duty=asked.duty,
            )
        case _:
            msg = f"no test is called {kind!r}; known: {', '.join(KINDS)}."
            raise LookupError(msg)
    remarks = [said for about, said in known.remarks.items() if about in ("", *_USES[kind])]
    return replace(found, assumptions=(*found.assumptions, *remarks))


def _trace(text: str) -> Cycle | None:
    if not text:
        return None
    return read_cycle(Path(text)) if Path(text).is_file() else cycle(text)


def known_vehicle(
    teardown: Teardown | None, configuration: Configuration | None, duty: str = ""
) -> KnownVehicle:
    """What the record says of a vehicle: road load, effective mass, charging efficiency, resistance, usable energy.

    Notes
    -----
    Only what was stated counts: a default of the energy model would be an assumption in the coat of a measurement. So
    a figure of the origin "assumed" is left out, and the remarks say so.
    """
    if teardown is None or configuration is None:
        return KnownVehicle(Vehicle(), None, {"": "nothing of the vehicle was used: none was named"})
    name = duty.casefold() if duty.casefold() in (*CYCLE_NAMES, "us") else "wltc3b"
    asked = named_duty(name)
    facts = [fact for fact in teardown.facts if fact.configuration == configuration.id]
    owner = f"{teardown.vehicle.code}/{configuration.id}"
    try:
        resolved = resolve(
            facts,
            energy_defaults(),
            asked.duty,
            owner=owner,
            surroundings=asked.surroundings,
            basis=Basis.SPECIMEN,
        )
    except ValueError as error:
        return KnownVehicle(Vehicle(), None, {"": f"nothing of the vehicle was used: {error}"})
    values = resolved.values
    weight = values["test_mass_kg"] * values["gravity_m_per_s2"]
    a = (weight * values["tyre_coefficient"]).in_unit("N") + values["drag_force_n"]
    c = (0.5 * values["air_density_kg_per_m3"] * values["drag_area_m2"]).in_unit("N.s2/m2") + values[
        "drag_force_c_n_s2_per_m2"
    ]
    remarks: dict[str, str] = {}

    def stated(words: str, quantity: Quantity) -> Quantity | None:
        if quantity.origin is not Origin.ASSUMED:
            return quantity
        remarks[words] = f"{words} of {owner} was not used: it rests on an assumption"
        return None

    b = values["drag_force_b_n_s_per_m"]
    if resolved.road_load_from_coefficients:
        # How the coefficients are split between tyres, air and drag may be assumed; what was stated is their sum.
        sheet = FactSheet(facts, asked.duty, Basis.SPECIMEN, owner)
        a, b, c = (
            sheet.quantity("road_load_a") or a,
            sheet.quantity("road_load_b") or b,
            sheet.quantity("road_load_c") or c,
        )
    a_n = stated(ROAD_LOAD, a)
    c_n = None if a_n is None else stated(ROAD_LOAD, c)
    load = None if a_n is None or c_n is None else RoadLoad(a_n, b, c_n)
    # The share of rotating parts is nearly always assumed, and a tenth of it is a thousandth of the mass.
    mass = stated(MASS, values["test_mass_kg"])
    effective = None if mass is None else mass * (1.0 + values["rotating_frac"])
    if effective is not None:
        remarks[MASS] = f"effective mass {effective.value:.1f} kg: test mass and the share of rotating parts"
    return KnownVehicle(
        Vehicle(
            load,
            effective,
            stated(EFFICIENCY, values["charging_efficiency_frac"]),
            stated(RESISTANCE, values["pack_resistance_ohm"]),
        ),
        stated(USABLE, values["usable_energy_j"]),
        remarks,
    )


def meters_for(stated: Sequence[str], teardown: Teardown | None = None) -> Meters:
    """Instruments behind the channels: those stated, else the packaged limits.

    Parameters
    ----------
    stated : sequence of str
        "pack_power_w=E1" for an instrument of the vehicle; "pack_power_w=0.5%+10W@power analyser E1, calibration" for
        limits of error, the words behind @ naming the error where other figures share it.
    teardown : Teardown, optional

    Raises
    ------
    ValueError
        Not of this form, a unit of another kind, or an instrument that does not fit.
    LookupError
        No such channel, or no such instrument.
    """
    meters = dict(default_meters())
    for text in stated:
        channel, equals, what = (part.strip() for part in text.partition("="))
        if not equals or not what:
            msg = (
                f"--meter {text!r}: write CHANNEL=INSTRUMENT or CHANNEL=0.5%+2W, e.g. pack_power_w=0.5%+10W."
            )
            raise ValueError(msg)
        if channel not in CHANNELS:
            msg = f"--meter {text!r}: no channel is named {channel!r}; known: {', '.join(CHANNELS)}."
            raise LookupError(msg)
        meters[channel] = _meter(channel, what, text, teardown)
    return meters


def _meter(channel: str, what: str, text: str, teardown: Teardown | None) -> Meter:
    instruments = {} if teardown is None else teardown.instruments
    if what in instruments:
        return meter_of(instruments[what], channel)
    match = _STATED.fullmatch(what)
    if match is None or (match["share"] is None and match["zero"] is None):
        known = ", ".join(instruments) or "none"
        msg = f"--meter {text!r}: {what!r} is neither an instrument of the vehicle ({known}) nor limits like 0.5%+2W."
        raise LookupError(msg)
    try:
        share = float(match["share"] or 0.0) / 100.0
        zero = 0.0
        if match["zero"] is not None:
            # A zero error is an interval: of °C only the size of the degree counts.
            at, _ = to_si(float(match["zero"]), match["unit"], expected=CHANNELS[channel].unit)
            origin, _ = to_si(0.0, match["unit"], expected=CHANNELS[channel].unit)
            zero = at - origin
    except ValueError as error:
        msg = f"--meter {text!r}: {error}"
        raise ValueError(msg) from error
    return stated_meter(channel, (match["name"] or f"meter of {channel}, stated").strip(), share, zero)
