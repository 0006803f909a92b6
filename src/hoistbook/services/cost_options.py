"""What the questions about cost depend on besides the vehicles: the names under which answers are kept."""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence

from hoistbook.core.quantities.quantity import Quantity
from hoistbook.core.vehicle.records import Teardown
from hoistbook.services.cost_scenario import Json, Stated


def cost_options(
    stated: Stated,
    configuration: str | None,
    draws: int,
    seed: int,
    *,
    sister: str = "",
    sister_volume: float | None = None,
) -> Json:
    """Options of the cost of a vehicle, under the names they are kept by; `sister`: code of the second vehicle."""
    return {
        "scenario": stated.as_json(),
        "configuration": configuration,
        "draws": draws,
        "seed": seed,
        "sister": sister,
        "sister_volume_per_year": sister_volume,
    }


def check_sister(vehicle: Teardown, sister: Teardown) -> None:
    """Refuse a vehicle as its own sister.

    Raises
    ------
    ValueError
        Both are one vehicle.
    """
    code = vehicle.vehicle.code
    if code == sister.vehicle.code:
        msg = f"{code} is not its own sister; name another vehicle that may carry the same parts."
        raise ValueError(msg)


def comparison_options(
    stated: tuple[Stated, Stated],
    function: str,
    over: Sequence[str],
    configurations: tuple[str | None, str | None],
    draws: int,
    seed: int,
    equal_range: Json | None = None,
) -> Json:
    """Options of a comparison, under the names they are kept by."""
    return {
        "scenarios": [one.as_json() for one in stated],
        "function": function,
        "over": list(over),
        "configurations": list(configurations),
        "draws": draws,
        "seed": seed,
        "equal_range": equal_range,
    }


UNITS = {
    "mass": "kg",
    "drag_area": "m2",
    "accessory_power": "W",
    "drag_torque": "N",
    "tyre_coefficient": "1",
}
"""Effects that a way of doing a function can have besides its cost, and the SI unit each is stated in."""


def equal_range_options(duty: str, changes: Mapping[str, float], *, on_second: bool) -> Json:
    """What a cost at equal range depends on besides, under the names it is kept by."""
    return {"duty": duty, "changes": dict(changes), "on_second": on_second}


def quantities(changes: Mapping[str, float]) -> dict[str, Quantity]:
    """Stated changes as exact quantities."""
    return {name: Quantity(value, UNITS[name]) for name, value in changes.items()}


def amounts(texts: Sequence[str], option: str = "--change") -> dict[str, float]:
    """Changes by the names of effects.

    Raises
    ------
    ValueError
        An effect nobody knows, no number, or one effect twice.
    """
    found: dict[str, float] = {}
    for name, value in pairs(texts, option):
        if name not in UNITS:
            msg = f"{option} {name}={value}: no such effect; known: {', '.join(UNITS)}."
            raise ValueError(msg)
        try:
            number = float(value)
        except ValueError:
            number = math.nan
        if not math.isfinite(number):
            msg = f"{option} {name}={value}: give a number of {UNITS[name]}."
            raise ValueError(msg)
        if name in found:
            msg = f"{option}: {name} is given twice; state it once."
            raise ValueError(msg)
        found[name] = number
    return found


def assembly_options(stated: Stated, function: str, configuration: str | None) -> Json:
    """Options of an assembly, under the names they are kept by."""
    return {"scenario": stated.as_json(), "function": function, "configuration": configuration}


def service_options(
    stated: Stated,
    part: str,
    configuration: str | None,
    seconds: Mapping[str, float],
    before: Sequence[tuple[str, str]],
) -> Json:
    """Options of a removal, under the names they are kept by."""
    return {
        "scenario": stated.as_json(),
        "part": part,
        "configuration": configuration,
        "seconds": dict(seconds),
        "before": [list(one) for one in before],
    }


def pairs(texts: Sequence[str], option: str) -> tuple[tuple[str, str], ...]:
    """Split texts of the form "what=value".

    Raises
    ------
    ValueError
        One has another form.
    """
    found = []
    for text in texts:
        name, sign, value = (one.strip() for one in text.partition("="))
        if not (name and sign and value):
            msg = f"{option} {text!r}: write WHAT=VALUE with something on both sides of the sign."
            raise ValueError(msg)
        found.append((name, value))
    return tuple(found)


def seconds(texts: Sequence[str], option: str = "--takes") -> dict[str, float]:
    """Seconds by joint or tag.

    Raises
    ------
    ValueError
        No number, one that is not above 0, or one thing twice.
    """
    found: dict[str, float] = {}
    for name, value in pairs(texts, option):
        try:
            number = float(value)
        except ValueError:
            number = math.nan
        if not 0.0 < number < math.inf:
            msg = f"{option} {name}={value}: seconds are a number above 0."
            raise ValueError(msg)
        if name in found:
            msg = f"{option}: {name} is given twice; state its seconds once."
            raise ValueError(msg)
        found[name] = number
    return found
