"""What the questions about cost depend on besides the vehicles: the names under which answers are kept."""

from __future__ import annotations

from collections.abc import Sequence

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
