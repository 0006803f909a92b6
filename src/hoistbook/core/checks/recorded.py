"""What the record of a vehicle states for a check."""

from __future__ import annotations

from collections.abc import Iterable, Sequence

from hoistbook.core.checks.declared import Check
from hoistbook.core.checks.run import Stated
from hoistbook.core.quantities.quantity import Quantity
from hoistbook.core.vehicle.records import CheckReading


def recorded(check: Check, readings: Iterable[CheckReading]) -> Stated:
    """What was read at a vehicle, as a check takes it.

    Parameters
    ----------
    check : Check
    readings : iterable of CheckReading
        Of a vehicle; those for other checks are passed over.

    Returns
    -------
    Stated
        Things there are several of stand in the order in which the record first names them.

    Raises
    ------
    ValueError
        A figure of a check that does not read it, or one that is stated for some of several things and not for others.
    """
    values: dict[str, Quantity | Sequence[Quantity]] = {}
    choices: dict[str, str] = {}
    items: dict[str, dict[str, None]] = {}
    figures: dict[str, dict[str, Quantity]] = {}
    for one in readings:
        if one.check != check.name:
            continue
        if one.value is None:
            choices[one.reading] = one.option
            continue
        figures.setdefault(one.reading, {})[one.item] = one.value
        each = check.reading(one.reading).each
        if each:
            items.setdefault(each, {})[one.item] = None
    for name, by_item in figures.items():
        reading = check.reading(name)
        if not reading.each:
            values[name] = next(iter(by_item.values()))
            continue
        missing = [item for item in items[reading.each] if item not in by_item]
        if missing:
            msg = (
                f"{check.title}: {reading.words} is not on record for {reading.each} {', '.join(missing)}; "
                f"measure it there too: {reading.how}."
            )
            raise ValueError(msg)
        values[name] = [by_item[item] for item in items[reading.each]]
    return Stated(values, choices, {each: tuple(named) for each, named in items.items()})
