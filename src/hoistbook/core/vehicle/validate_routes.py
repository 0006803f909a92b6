"""Checks of routes and of the reasons for parts."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterator

from hoistbook.core.vehicle.problem import Place, Problem, listed_twice
from hoistbook.core.vehicle.records import Teardown
from hoistbook.core.vehicle.validate_shared import Names


def route_problems(teardown: Teardown, names: Names) -> Iterator[Problem]:
    """Judge the parts and the numbers of the steps of routes; the processes are judged by what costs them."""
    yield from listed_twice(
        "routes",
        "step",
        teardown.routes,
        lambda one: (one.tag, one.number),
        "number the steps of a part 1, 2, 3 …",
    )
    numbers: dict[str, list[int]] = defaultdict(list)
    first: dict[str, int] = {}
    for index, step in enumerate(teardown.routes):
        place = Place("routes", index, f"{step.tag} {step.number}")
        yield from names.unknown_part(place, "part", step.tag)
        if not step.process:
            yield place.problem("process", "", "name the process of the step.")
        numbers[step.tag].append(step.number)
        first.setdefault(step.tag, index)
    for tag, found in numbers.items():
        missing = sorted(set(range(1, max(found) + 1)) - set(found))
        if missing:
            shown = ", ".join(map(str, missing))
            message = f"step {shown} of this part is missing; number the steps 1, 2, 3 … without a gap."
            yield Problem("routes", first[tag], tag, "step", shown, message)


def reason_problems(teardown: Teardown, names: Names) -> Iterator[Problem]:
    """Judge the parts that reasons are given for."""
    yield from listed_twice(
        "reasons", "because", teardown.reasons, lambda one: (one.tag, one.kind.value), "say it in one row."
    )
    for index, reason in enumerate(teardown.reasons):
        yield from names.unknown_part(Place("reasons", index, reason.tag), "part", reason.tag)
