"""A vehicle: configurations, facts with their origin, doubts, what was assumed, instruments."""

from __future__ import annotations

from django.http import HttpRequest, HttpResponse
from django.shortcuts import render
from django.views.decorators.http import require_safe

from hoistbook.app.cells import interval_of, of_quantity, single
from hoistbook.app.opened import the_record
from hoistbook.app.sheet import address, asked_of, head_of, summary_or_job, vehicle_sheet
from hoistbook.core.quantities.instruments import Instrument
from hoistbook.core.quantities.printing import text
from hoistbook.core.quantities.units import from_si
from hoistbook.core.vehicle.kinds import unit_text
from hoistbook.services.keeping import Json
from hoistbook.services.pages.facts import SET_ASIDE, FactRow, facts_of, instruments_of
from hoistbook.services.pages.heads import Head
from hoistbook.services.wording import quantity_words

_READ_IN = {"m": "mm", "rad": "deg"}
"""Units in which sizes of instruments are read; others as they are kept."""


@require_safe
def vehicle(request: HttpRequest, code: str) -> HttpResponse:
    """The vehicle and the facts of one of its configurations."""
    found = head_of(code)
    asked = asked_of(request, found)
    summary, job = summary_or_job(asked, found.name)
    facts = facts_of(the_record(), found.code, asked.configuration)
    said = {
        **vehicle_sheet(request, found, "vehicle", "Vehicle", asked),
        "answer": _answer(facts, summary),
        "configurations": [
            (one, address("vehicle", found.code, configuration=one.id), one.id == asked.configuration)
            for one in found.configurations
        ],
        "identity": _identity(found),
        "facts": [_fact(row) for row in facts],
        "count": sum(not row.why for row in facts),
        "replaced": sum(row.why.startswith(SET_ASIDE) for row in facts),
        "instruments": [_instrument(one) for one in instruments_of(the_record(), found.code)],
        "summary": summary,
        "job": job,
    }
    return render(request, "hoistbook/vehicle.html", said)


def _identity(found: Head) -> list[tuple[str, str]]:
    one = found.vehicle
    told = (
        ("Maker", one.maker),
        ("Family", one.family),
        ("Model year", "" if one.model_year is None else str(one.model_year)),
        ("VIN", one.vin),
        ("Delivered", one.delivered),
        ("Note", one.note),
    )
    return [(words, value) for words, value in told if value]


def _answer(facts: tuple[FactRow, ...], summary: Json | None) -> dict[str, object]:
    """Mass and range for the head of the page."""
    mass = None
    if summary is not None and summary["mass"] is not None and summary["mass"]["closure"] is not None:
        mass = single(interval_of(summary["mass"]["closure"]["scale"]))
    ranges = [row.fact for row in facts if row.fact.quantity == "range" and not row.why]
    if not ranges:
        return {"mass": mass, "range": None}
    first = min(ranges, key=lambda fact: fact.basis.value != "specimen")
    cell, unit = of_quantity(first.value, "range")
    origin = "on the label" if first.basis.value == "label" else first.value.origin.value
    return {
        "mass": mass,
        "range": f"{cell.value}\u00a0{cell.band}\u202f{unit}",
        "duty": first.duty,
        "origin": origin,
    }


def _fact(row: FactRow) -> dict[str, object]:
    fact = row.fact
    cell, unit = of_quantity(fact.value, fact.quantity)
    told = (fact.mass_state.value if fact.mass_state else "", fact.duty)
    return {
        "row": row,
        "words": quantity_words(fact.quantity),
        "of": ", ".join(filter(None, told)),
        "cell": cell,
        "unit": unit,
        "origin": fact.value.origin.value,
        "basis": fact.basis.value,
        "evidence": ", ".join(filter(None, (fact.instrument, fact.evidence))),
    }


def _instrument(one: Instrument) -> dict[str, object]:
    unit = _READ_IN.get(one.unit, one.unit)

    def size(value: float | None) -> str:
        # Nine digits: what was typed in mm or degrees comes back as it was typed.
        return "" if value is None else text(float(f"{from_si(value, unit):.9g}"))

    return {
        "one": one,
        "unit": unit_text(unit),
        "step": size(one.step_si) if one.step_si else "none",
        "capacity": size(one.capacity_si),
        "limit": size(one.limit_si),
    }
