"""Vehicles without what takes long to read: their functions, content, configurations, and the parts a plan names."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import replace
from typing import Any

from hoistbook.core.compare.strip_plan import words_of
from hoistbook.core.compare.study import Study
from hoistbook.core.vehicle.records import Node, Teardown
from hoistbook.services.pages.standing import standing, standing_of_all
from hoistbook.store.vehicles import models


def outlines_of(study: Study) -> dict[str, Teardown]:
    """Of the vehicles of a study that are in the open store what question, content and strip plan are held against.

    Notes
    -----
    Reading 10,000 parts of each vehicle takes longer than a page may; these rows come at once. Of the part tree there
    is the vehicle itself and the way to every part the plan may name, which is all that a plan is judged by.
    """
    return with_planned_parts(vehicle_outlines(study.codes), study)


def vehicle_outlines(codes: Sequence[str]) -> dict[str, Teardown]:
    """Functions, content and configurations of the vehicles of these codes that are in the open store."""
    identities, configurations, functions, content = (
        _records(model, codes)
        for model in (models.Identity, models.Configuration, models.Function, models.ContentItem)
    )
    return {
        code: Teardown(
            identities[code][0],
            configurations.get(code, ()),
            functions=functions.get(code, ()),
            content=content.get(code, ()),
        )
        for code in codes
        if code in identities
    }


def with_planned_parts(outlines: Mapping[str, Teardown], study: Study) -> dict[str, Teardown]:
    """Outlines with the parts that the strip plan may name, and what is above them."""
    planned: dict[str, list[str]] = {}
    for step in study.strip_plan:
        planned.setdefault(step.vehicle, []).extend(words_of(step.what))
    return {
        code: replace(outline, nodes=_ways_to(code, planned[code])) if code in planned else outline
        for code, outline in outlines.items()
    }


def _records(model: Any, codes: Sequence[str]) -> dict[str, tuple[Any, ...]]:
    found = standing_of_all(model, owner__in=codes)
    return {code: tuple(row.record for row in rows) for code, rows in found.items()}


def _ways_to(code: str, tags: Iterable[str]) -> tuple[Node, ...]:
    """The vehicle itself, the parts of these tags, and every assembly above them."""
    found = {row.slot: row.record for row in standing(models.Node, code, in_order=False, parent__isnull=True)}
    wanted = set(tags) - set(found)
    while wanted:
        rows = standing(models.Node, code, in_order=False, slot__in=sorted(wanted))
        found |= {row.slot: row.record for row in rows}
        wanted = {row.record.parent for row in rows} - set(found)
    return tuple(found.values())
