"""What a part is costed from as JSON and back, so that a page works its cost out again without the whole vehicle."""

from __future__ import annotations

import math
from collections.abc import Mapping
from dataclasses import fields
from types import MappingProxyType
from typing import Any

from hoistbook.core.cost.route import PartToCost, Step
from hoistbook.core.quantities.quantity import Origin, Quantity, Source

Json = dict[str, Any]
_TOLD_APART = ("readings", "steps", "estimated")


def quantity_told(found: Quantity) -> Json:
    """A quantity with every source of its error."""
    return {
        "value": found.value,
        "unit": found.unit,
        "origin": found.origin.value,
        "terms": [
            [
                source.name,
                source.shape,
                source.parameter,
                None if math.isinf(source.dof) else source.dof,
                source.ensemble,
                c,
            ]
            for source, c in found.terms
        ],
    }


def quantity_read(told: Json) -> Quantity:
    """The quantity that was told."""
    terms = tuple(
        (Source(name, shape, parameter, math.inf if dof is None else dof, ensemble), c)
        for name, shape, parameter, dof, ensemble, c in told["terms"]
    )
    return Quantity(told["value"], told["unit"], terms, Origin(told["origin"]))


def part_told(part: PartToCost) -> Json:
    """A part with its readings and its route."""
    plain = {one.name: getattr(part, one.name) for one in fields(part) if one.name not in _TOLD_APART}
    return {
        **plain,
        "readings": _readings_told(part.readings),
        "steps": [
            {
                "process": step.process,
                "choices": dict(step.choices),
                "readings": _readings_told(step.readings),
                "material": step.material,
                "note": step.note,
                "origin": step.origin,
            }
            for step in part.steps
        ],
        "estimated": list(part.estimated),
    }


def part_read(told: Json) -> PartToCost:
    """The part that was told."""
    steps = tuple(
        Step(
            one["process"],
            MappingProxyType(dict(one["choices"])),
            _readings_read(one["readings"]),
            one["material"],
            one["note"],
            one["origin"],
        )
        for one in told["steps"]
    )
    return PartToCost(
        **{
            **told,
            "readings": _readings_read(told["readings"]),
            "steps": steps,
            "estimated": tuple(told["estimated"]),
        }
    )


def _readings_told(readings: Mapping[str, Quantity]) -> Json:
    return {name: quantity_told(one) for name, one in readings.items()}


def _readings_read(told: Json) -> Mapping[str, Quantity]:
    return MappingProxyType({name: quantity_read(one) for name, one in told.items()})
