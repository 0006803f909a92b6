"""A study: what is asked of which vehicles under which rules, what was looked at, and in what order things come off."""

from __future__ import annotations

from itertools import accumulate
from typing import Any

from django.http import Http404, HttpRequest, HttpResponse
from django.shortcuts import render
from django.views.decorators.http import require_safe

from hoistbook.app.cells import Cell, column, interval_of, of_quantity
from hoistbook.app.opened import the_record
from hoistbook.app.sheet import address
from hoistbook.app.study_sheet import answer_rows, front_of, study_address, study_sheet
from hoistbook.app.work import LINE, Job
from hoistbook.core.compare.bars import Interval
from hoistbook.core.compare.looked_at import Standing
from hoistbook.core.compare.study import StatedIn, StudyContent
from hoistbook.core.compare.study_settings import KNOWN, known_name
from hoistbook.core.vehicle.hazards import WHO_DECIDES
from hoistbook.core.vehicle.records import Rule
from hoistbook.report.figures import figure
from hoistbook.services.keeping import Json
from hoistbook.services.pages.plans import cautions_of, plans_of
from hoistbook.services.pages.studies import StudyFront
from hoistbook.services.study_coverage import coverage_key, kept_coverage, stored_coverage
from hoistbook.services.study_report import function_words
from hoistbook.services.wording import quantity_words

ABREAST = 5
"""project rule: vehicles that stand side by side in the table of equality; with more of them each has its own line."""
OUTLINES = {
    Standing.DECIDED: "solid",
    Standing.SAME: "o-measured shadefill",
    Standing.CARRIED_OVER: "o-inferred shadefill",
    Standing.CONTRADICTED: "o-published sheetfill",
    Standing.OPEN: "o-rest",
}
"""How each standing is drawn on the bar of a mass gap."""


@require_safe
def study(request: HttpRequest, code: str) -> HttpResponse:
    """The study; what needs mass books is added once they are worked out."""
    found = front_of(code)
    plans = plans_of(found)
    told, job = _coverage_or_job(found)
    said = {
        **study_sheet(request, found, "study", "Study"),
        "answers": answer_rows(found),
        "equality": _equality(found),
        "abreast": len(found.members) <= ABREAST,
        "content": [_content(row, found) for row in found.content],
        "assumptions": [
            (row, KNOWN[known_name(row.name)].help if known_name(row.name) in KNOWN else "")
            for row in found.study.assumptions
        ],
        "job": job,
        "coverage": told and _coverage(request, found, told),
        "outlines": [(standing.value, OUTLINES[standing]) for standing in Standing],
        "findings": _findings(found, told),
        "plans": [(found.member(plan.vehicle), plan) for plan in plans],
        "cautions": cautions_of(plans),
        "who_decides": WHO_DECIDES,
        "versions": list(reversed(found.state.versions)),
    }
    return render(request, "hoistbook/study.html", said)


def _coverage_or_job(found: StudyFront) -> tuple[Json | None, Job | None]:
    record = the_record()
    told = kept_coverage(record, found.study, found.outlines)
    if told is not None:
        return told, None
    key = f"{record.folder.resolve()} {coverage_key(record, found.study, found.outlines)}"
    return None, LINE.ask(
        key,
        f"what has been looked at in {found.title}",
        lambda progress: stored_coverage(record, found.study, found.outlines, progress),
        f"{record.folder.resolve()} coverage {found.code!r}",
    )


def _equality(found: StudyFront) -> list[dict[str, Any]]:
    rows = found.study.equality
    table = []
    for name in dict.fromkeys(row.property for row in rows):
        own = {row.vehicle: row for row in rows if row.property == name}
        notes = list(dict.fromkeys(row.note for row in own.values() if row.note))
        table.append(
            {
                "property": name,
                "unit": next((row.unit for row in own.values() if row.unit not in ("", "1")), ""),
                "cells": [(member, own.get(member.code)) for member in found.members],
                "notes": notes,
            }
        )
    return table


def _content(row: StudyContent, found: StudyFront) -> dict[str, Any]:
    item = row.item
    if item.rule is Rule.SCALE:
        told = figure(Interval(item.value.value, *item.value.band()))
        cell, unit = Cell(f"×\u202f{told.value}", told.band), ""
    else:
        cell, unit = of_quantity(item.value, item.quantity)
    member = found.member(row.vehicle)
    there = found.is_there(row.vehicle)
    return {
        "row": row,
        "item": item,
        "member": member,
        "cell": cell,
        "unit": unit,
        "acts_on": quantity_words(item.quantity),
        "function": found.functions.get(item.function, item.function),
        "link": f"{address('mass', row.vehicle, configuration=member.configuration)}#B"
        if there and member
        else "",
        "whose": "study" if row.stated_in is StatedIn.STUDY else "its workbook",
    }


def _coverage(request: HttpRequest, found: StudyFront, told: Json) -> dict[str, Any]:
    """Every pair with its bar, and the lines of the pair asked for, else of the first."""
    pairs = told["coverage"]
    asked = (request.GET.get("from", ""), request.GET.get("to", ""))
    chosen = next((one for one in pairs if asked in ((one["from"], one["to"]), ("", ""))), None)
    if chosen is None and any(asked):
        msg = f"study {found.code} does not look at a gap from {asked[0]!r} to {asked[1]!r}."
        raise Http404(msg)
    cells = column([interval_of(one["differences_kg"]) for one in pairs])
    return {
        "pairs": [
            {
                "one": one,
                "of": found.member(one["from"]),
                "to": found.member(one["to"]),
                "cell": cell,
                "here": one is chosen,
                "link": f"{study_address('study', found.code, **{'from': one['from'], 'to': one['to']})}#D",
                "bar": _bar(one["by_standing"]),
                "shares": [one["by_standing"][standing.value]["value"] for standing in Standing],
            }
            for one, cell in zip(pairs, cells, strict=True)
        ],
        "chosen": chosen,
        "of": chosen and found.member(chosen["from"]),
        "to": chosen and found.member(chosen["to"]),
        "lines": _lines(chosen) if chosen else [],
        "contradicted": sum(
            line["standing"] == Standing.CONTRADICTED for one in pairs for line in one["lines"]
        ),
        "lacking": told["not_covered"],
    }


def _bar(shares: Json) -> list[tuple[str, float, float]]:
    """Class, left end and width of each stretch, in % of the bar."""
    values = [max(shares[standing.value]["value"], 0.0) for standing in Standing]
    ends = list(accumulate(values, initial=0.0))
    return [
        (OUTLINES[standing], round(100.0 * end, 2), round(100.0 * value, 2))
        for standing, value, end in zip(Standing, values, ends, strict=False)
        if value > 0.0
    ]


def _lines(chosen: Json) -> list[dict[str, Any]]:
    lines = chosen["lines"]
    cells = column([interval_of(line["difference_kg"]) for line in lines], signed=True)
    allowed = column(
        [
            None
            if line["allowed_kg"] is None
            else Interval(line["allowed_kg"], line["allowed_kg"], line["allowed_kg"])
            for line in lines
        ]
    )
    return [
        {
            "line": line,
            "cell": cell,
            "allowed": each.value,
            "outline": OUTLINES[Standing(line["standing"])],
            "contradicted": line["standing"] == Standing.CONTRADICTED,
        }
        for line, cell, each in zip(lines, cells, allowed, strict=True)
    ]


def _findings(found: StudyFront, told: Json | None) -> list[dict[str, Any]]:
    """Findings with what the masses say of them, where that is worked out."""
    words = function_words(found.study, found.outlines)
    rows: list[dict[str, Any]] = []
    for place, finding in enumerate(found.study.findings):
        lines = [
            (found.member(one["from"]), found.member(one["to"]), line)
            for one in (told["coverage"] if told else ())
            for line in one["lines"]
            if line["finding"] == place
        ]
        cells = column([interval_of(line["difference_kg"]) for _, _, line in lines], signed=True)
        rows.append(
            {
                "one": finding,
                "words": words[finding.function],
                "vehicles": [found.member(code) for code in finding.vehicles],
                "taken_from": found.member(finding.taken_from),
                "balance": [
                    {
                        "of": of,
                        "to": to,
                        "cell": cell,
                        "contradicted": line["standing"] == Standing.CONTRADICTED,
                    }
                    for (of, to, line), cell in zip(lines, cells, strict=True)
                ],
            }
        )
    return rows
