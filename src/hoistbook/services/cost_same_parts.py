"""Parts that two vehicles have in common: what the model misses on one it misses on the other."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import replace
from types import MappingProxyType

from hoistbook.core.cost.carried_over import Sister, carried_over
from hoistbook.core.cost.route import PartToCost
from hoistbook.core.quantities.quantity import Quantity
from hoistbook.core.vehicle.records import Teardown
from hoistbook.services.cost import CostReport
from hoistbook.services.cost_sisters import Known

LIKELY = 0.5
"""Probability from which two parts are taken as one; project rule: more likely than not."""


def one_part_on_both(
    teardowns: tuple[Teardown, Teardown],
    reports: tuple[CostReport, CostReport],
    places: Mapping[str, str],
) -> dict[str, PartToCost]:
    """Parts of the second vehicle that are the same as one of the first, by tag, with the first one's own errors.

    Parameters
    ----------
    teardowns : two of Teardown
    reports : two of CostReport
        Of them.
    places : mapping of tag to tag
        Nodes that stand in the same place, first to second.

    Notes
    -----
    Two parts are one where material and route are the same and mass and sizes make it more likely than not (see
    `cost.carried_over`). Their readings keep their own errors, as each was taken by itself; what was estimated from
    others errs by the shape of the part, which is one.
    """
    first, second = ({part.tag: part for part in report.inputs.parts} for report in reports)
    pairs = [
        (first[one], second[other])
        for one, other in places.items()
        if one in first and other in second and _made(first[one]) == _made(second[other])
    ]
    if not pairs:
        return {}
    mine, theirs = (
        Known(teardown, report.tree, report.masses).sizes()
        for teardown, report in zip(teardowns, reports, strict=True)
    )
    found = {}
    for one, other in pairs:
        sizes = mine.get(one.tag, {}), theirs.get(other.tag, {})
        if not set(sizes[0]) & set(sizes[1]):
            continue
        state = carried_over(Sister(one.tag, (), sizes[0]), Sister(other.tag, (), sizes[1]))
        if state.probability["same"] >= LIKELY:
            found[other.tag] = _named_as(other, one.error_name)
    return found


def _named_as(part: PartToCost, name: str) -> PartToCost:
    """Let the model's own error, and what shapes stand in for, be those of another part."""
    before, after = f"estimate/{part.error_name}/", f"estimate/{name}/"

    def renamed(reading: Quantity) -> Quantity:
        terms = tuple(
            (replace(source, name=source.name.replace(before, after, 1)), c)
            if source.name.startswith(before)
            else (source, c)
            for source, c in reading.terms
        )
        return replace(reading, terms=terms)

    readings = {key: renamed(reading) for key, reading in part.readings.items()}
    return replace(part, error_name=name, readings=MappingProxyType(readings))


def _made(part: PartToCost) -> tuple[object, ...]:
    steps = tuple((step.process, tuple(sorted(step.choices.items())), step.material) for step in part.steps)
    return part.material, steps
