"""What the questions about cost depend on besides the vehicles: the names under which answers are kept."""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence

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
) -> Json:
    """Options of a comparison, under the names they are kept by."""
    return {
        "scenarios": [one.as_json() for one in stated],
        "function": function,
        "over": list(over),
        "configurations": list(configurations),
        "draws": draws,
        "seed": seed,
    }


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
