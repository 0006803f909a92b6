"""Checks: what is stated on the command line or in a vehicle's record, worked out."""

from __future__ import annotations

import re
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass

from hoistbook.core.checks import CHECKS, check_named
from hoistbook.core.checks.declared import Check, Reading
from hoistbook.core.checks.found import CheckResult
from hoistbook.core.checks.recorded import recorded
from hoistbook.core.checks.run import CHECK_DRAWS, CHECK_SEED, Stated, run_check, with_band
from hoistbook.core.quantities.evaluation import rectangular
from hoistbook.core.quantities.quantity import Quantity
from hoistbook.core.quantities.units import to_si, uncertainty_to_si
from hoistbook.core.vehicle.records import Basis, CheckReading, Configuration, Fact, Teardown
from hoistbook.services.loading import chosen_configuration

__all__ = ["CHECKS", "CheckReport", "check_named", "check_report", "from_settings", "of_vehicle"]

ON_SHEET = "readings for this check"
"""Says that the sheet of checks states a reading; what it was read from may follow in brackets."""
LONGEST_FIGURE = 200
"""Letters of one figure with unit and band; a longer text is no figure."""
_UNSIGNED = r"(?:\d+\.?\d*|\.\d+)(?:[eE][-+]?\d+)?"
_NUMBER = rf"[-+−]?{_UNSIGNED}"
_FIGURE = re.compile(
    rf"\s*(?P<value>{_NUMBER})\s*(?P<unit>[^\d\s±;+][^±;]*?)?\s*(?:(?:±|\+/-)\s*(?P<half>{_UNSIGNED})\s*(?P<of>[^±;]*?))?\s*"
)


@dataclass(frozen=True, slots=True)
class CheckReport:
    """A check worked out.

    Attributes
    ----------
    check : Check
    result : CheckResult
    vehicle : str
        Code and configuration that readings were taken from; empty: none.
    stated : Stated
        What it was worked out from.
    filled : tuple of (str, str)
        Readings that the vehicle's record states, and where.
    """

    check: Check
    result: CheckResult
    vehicle: str
    stated: Stated
    filled: tuple[tuple[str, str], ...]


def check_report(
    name: str,
    settings: Sequence[str] = (),
    teardown: Teardown | None = None,
    *,
    configuration: str | None = None,
    n_draws: int = CHECK_DRAWS,
    seed: int = CHECK_SEED,
) -> CheckReport:
    """Work a check out from what is set, else from a vehicle's record, else from usual values.

    Parameters
    ----------
    name : str
    settings : sequence of str
        ``reading=value``, see `from_settings`; what is set comes before what the record states.
    teardown : Teardown, optional
    configuration : str, optional
        Of the vehicle; the first where left out.
    n_draws, seed : int

    Returns
    -------
    CheckReport

    Raises
    ------
    ValueError, LookupError
        Nothing of that name, a setting that cannot be read, or what the check refuses.
    """
    check = check_named(name)
    set_here = from_settings(check, settings)
    on_record, vehicle = Stated(), ""
    filled: tuple[tuple[str, str], ...] = ()
    if teardown is not None:
        chosen = chosen_configuration(teardown, configuration)
        on_record, filled = of_vehicle(check, teardown, chosen)
        vehicle = f"{teardown.vehicle.code} ({chosen.id})"
    stated = Stated(
        {**on_record.values, **set_here.values},
        {**on_record.choices, **set_here.choices},
        {**on_record.names, **set_here.names},
    )
    result = run_check(check, stated, n_draws, seed)
    own = {*set_here.values, *set_here.choices}
    used = tuple((reading, place) for reading, place in filled if reading not in own)
    return CheckReport(check, result, vehicle, stated, used)


def from_settings(check: Check, settings: Sequence[str]) -> Stated:
    """Read ``reading=value`` settings.

    Parameters
    ----------
    check : Check
    settings : sequence of str
        A value is a number, with a unit or in SI, and with a band after ± or +/-: ``span_left_m=330 mm ± 2 mm``. Where
        there are several things, values stand apart by semicolons: ``mount_x_m=0.2; 0.2; -0.24``, or one value stands
        for all. An option of a choice and the names of things are given as words.

    Returns
    -------
    Stated

    Raises
    ------
    ValueError
        The message says which setting and what is wrong with it.
    """
    values: dict[str, Quantity | Sequence[Quantity]] = {}
    choices: dict[str, str] = {}
    names: dict[str, Sequence[str]] = {}
    kinds_of_choice = {one.name for one in check.choices}
    named = {one.name: one.each for one in check.names}
    seen: set[str] = set()
    for setting in settings:
        name, sign, text = setting.partition("=")
        name = name.strip()
        if not sign or not text.strip():
            msg = f"--set {setting!r}: write reading=value, e.g. {check.readings[0].name}=0.33."
            raise ValueError(msg)
        if name in seen:
            msg = f"--set {name}: given twice; give it once."
            raise ValueError(msg)
        seen.add(name)
        if name in kinds_of_choice:
            choices[name] = text.strip()
        elif name in named:
            names[named[name]] = [one.strip() for one in text.split(";")]
        else:
            values[name] = _values(check, name, text)
    return Stated(values, choices, names)


def _values(check: Check, name: str, text: str) -> Quantity | Sequence[Quantity]:
    known = [
        *(one.name for one in check.readings),
        *(one.name for one in check.choices),
        *(one.name for one in check.names),
    ]
    if name not in known:
        msg = f"--set {name}: {check.title} reads no such figure; it reads: {', '.join(known)}."
        raise ValueError(msg)
    reading = check.reading(name)
    pieces = [one.strip() for one in text.split(";")]
    if not reading.each:
        if len(pieces) > 1:
            msg = f"--set {name}: {reading.words} is one figure; found {len(pieces)}."
            raise ValueError(msg)
        return _quantity(reading, pieces[0], name)
    return [_quantity(reading, piece, f"{name} {place + 1}") for place, piece in enumerate(pieces)]


def _quantity(reading: Reading, text: str, name: str) -> Quantity:
    found = _FIGURE.fullmatch(text) if len(text) <= LONGEST_FIGURE else None
    if found is None:
        msg = (
            f"--set {name}: {text[:LONGEST_FIGURE]!r} is no figure; write a number with a decimal point, its "
            "unit and its band if you "
            f"have them, e.g. '330 mm ± 2 mm'. Without a unit it is in {reading.unit}."
        )
        raise ValueError(msg)
    unit = (found["unit"] or reading.unit).strip()
    number = float(found["value"].replace("−", "-"))
    try:
        value, _ = to_si(number, unit, reading.unit)
        if found["half"] is None:
            return with_band(reading, value, name)
        half = uncertainty_to_si(float(found["half"]), number, found["of"].strip() or unit)
    except ValueError as error:
        msg = f"--set {name}: {error}"
        raise ValueError(msg) from None
    return rectangular(value, half, reading.unit, name)


def of_vehicle(
    check: Check, teardown: Teardown, configuration: Configuration
) -> tuple[Stated, tuple[tuple[str, str], ...]]:
    """What a vehicle's record states for a check.

    Parameters
    ----------
    check : Check
    teardown : Teardown
    configuration : Configuration

    Returns
    -------
    Stated
    tuple of (str, str)
        Readings that are stated, and by what.

    Raises
    ------
    ValueError
        A figure is on record for one of several things and not for another.

    Notes
    -----
    What was read for this check, else facts of the configuration whose quantity a reading names.
    """
    facts = [one for one in teardown.facts if one.configuration == configuration.id]
    return on_record(check, facts, teardown.check_readings)


def on_record(
    check: Check, facts: Iterable[Fact], readings: Iterable[CheckReading]
) -> tuple[Stated, tuple[tuple[str, str], ...]]:
    """As `of_vehicle`, from the facts of a configuration and what was read at the vehicle for checks."""
    values: dict[str, Quantity | Sequence[Quantity]] = {}
    places: dict[str, str] = {}
    known = tuple(facts)
    for reading in check.readings:
        fact = _fact(reading, known)
        if fact is not None:
            values[reading.name] = fact.value
            state = f" ({fact.mass_state.value})" if fact.mass_state else ""
            places[reading.name] = f"fact {fact.quantity.replace('_', ' ')}{state}"
    read = [one for one in readings if one.check == check.name]
    for name in dict.fromkeys(one.reading for one in read):
        told = ", ".join(dict.fromkeys(one.evidence for one in read if one.reading == name and one.evidence))
        places[name] = f"{ON_SHEET} ({told})" if told else ON_SHEET
    stated = recorded(check, read)
    return Stated(values | dict(stated.values), stated.choices, stated.names), tuple(places.items())


def _fact(reading: Reading, facts: Sequence[Fact]) -> Fact | None:
    """The fact that states a reading: of the specimen before one of a label, of its state where it is a mass."""
    found = [
        one
        for one in facts
        if reading.fact
        and one.quantity == reading.fact
        and (not reading.state or (one.mass_state is not None and one.mass_state.value == reading.state))
    ]
    return min(found, key=lambda one: one.basis is not Basis.SPECIMEN, default=None)


def readings_set(report: CheckReport) -> Mapping[str, Sequence[Quantity]]:
    """What the result was worked out from, reading by reading, the usual values among them."""
    stated = {
        name: (value,) if isinstance(value, Quantity) else tuple(value)
        for name, value in report.stated.values.items()
    }
    usual = {one.field: (one.value,) for one in report.result.assumptions if one.value is not None}
    return {one.name: stated.get(one.name) or usual[one.name] for one in report.check.readings}
