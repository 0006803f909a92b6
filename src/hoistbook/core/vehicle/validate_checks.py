"""Checks of what was read for checks, as far as no check has to be known."""

from __future__ import annotations

from collections.abc import Iterator

from hoistbook.core.vehicle.problem import Place, Problem, listed_twice
from hoistbook.core.vehicle.records import Teardown
from hoistbook.core.vehicle.validate_shared import Names


def check_reading_problems(teardown: Teardown, names: Names) -> Iterator[Problem]:
    """Judge slots, instruments, and that each row is a figure or a choice; what a check reads is judged on loading."""
    readings = teardown.check_readings
    advice = "keep one, or name in 'item' which of several things each is of."
    yield from listed_twice("checks", "reading", readings, lambda r: (r.check, r.reading, r.item), advice)
    for index, reading in enumerate(readings):
        place = Place("checks", index, " ".join(filter(None, (reading.check, reading.reading, reading.item))))
        yield from names.unknown_instrument(place, reading.instrument)
        if reading.value is None and not reading.option:
            yield place.problem("value", "", "type the value with its unit or, for a choice, the option.")
        elif reading.value is not None and reading.option:
            message = "a row is a figure or a choice, not both; clear the value or the option."
            yield place.problem("option", reading.option, message)
