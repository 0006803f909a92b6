"""The first page: which vehicles and studies this store holds."""

from __future__ import annotations

from dataclasses import dataclass

from django.http import HttpRequest, HttpResponse
from django.shortcuts import render
from django.urls import reverse
from django.views.decorators.http import require_safe

from hoistbook.app.cells import Cell, column, interval_of, of_quantity
from hoistbook.app.opened import the_record
from hoistbook.app.sheet import head_of, summary_or_job
from hoistbook.app.study_sheet import study_address
from hoistbook.app.work import Job
from hoistbook.core.compare.bars import Interval
from hoistbook.core.quantities.quantity import Quantity
from hoistbook.report.sentences import counted
from hoistbook.services.keeping import Json
from hoistbook.services.pages.answers import study_answers
from hoistbook.services.pages.book import Asked
from hoistbook.services.pages.heads import Head, StudyHead, heads, stated_ranges, studies
from hoistbook.services.pages.scenario import never_of_all, scenarios

Ranges = dict[str, tuple[tuple[str, Quantity], ...]]


@dataclass(frozen=True, slots=True)
class VehicleRow:
    """A vehicle in the list; `summary` or `job` is None, and with no configuration both are."""

    head: Head
    summary: Json | None
    job: Job | None
    mass: Cell
    mass_is: str
    range: Cell
    duty: str
    range_is: str


@require_safe
def home(request: HttpRequest) -> HttpResponse:
    """Vehicles and studies."""
    record = the_record()
    rows = _rows(heads(record), stated_ranges(record))
    found = studies(record)
    last = max((row.head for row in rows), key=lambda one: one.change, default=None)
    block = [("Title", "Vehicles and studies"), ("Store", record.folder.resolve().name)]
    if last is not None:
        block += [("Written", last.person), ("Date", last.at[:10])]
    said = {
        "title": "Vehicles and studies",
        "rows": rows,
        "studies": [_study(study, rows) for study in found],
        "scenarios": [
            (one, reverse("scenario", args=[one.code]), *never_of_all(one.code)) for one in scenarios()
        ],
        "counted": (
            counted(len(rows), "vehicle"),
            f"{len(found)} {'study' if len(found) == 1 else 'studies'}",
        ),
        "folder": record.folder,
        "block": [*block, ("Sheet", "0-1")],
        "configurations": sum(len(row.head.configurations) for row in rows),
    }
    return render(request, "hoistbook/home.html", said)


@require_safe
def vehicle_line(request: HttpRequest, code: str) -> HttpResponse:
    """One line of the list, asked for again until its mass book is there."""
    found = head_of(code)
    (row,) = _rows((found,), stated_ranges(the_record()))
    return render(request, "hoistbook/_vehicle_line.html", {"row": row})


def _rows(found: tuple[Head, ...], ranges: Ranges) -> list[VehicleRow]:
    looked = [_summary(one) for one in found]
    masses = [_mass(summary) for summary, _ in looked]
    cells = column([interval for interval, _ in masses])
    rows = []
    for one, (summary, job), cell, (_, mass_is) in zip(found, looked, cells, masses, strict=True):
        told, duty, origin = Cell(), "", ""
        if ranges.get(one.code):
            duty, value = ranges[one.code][0]
            told, origin = of_quantity(value, "range")[0], value.origin.value
        rows.append(VehicleRow(one, summary, job, cell, mass_is, told, duty, origin))
    return rows


def _summary(one: Head) -> tuple[Json | None, Job | None]:
    if not one.configurations:
        return None, None
    return summary_or_job(Asked(one.code, one.change, one.configurations[0].id), one.name)


def _mass(summary: Json | None) -> tuple[Interval | None, str]:
    if summary is None or summary["mass"] is None:
        return None, ""
    closed = summary["mass"]["closure"]
    if closed is not None:
        return interval_of(closed["scale"]), "on the scale"
    return interval_of(summary["mass"]["parts"]), "sum of parts"


def _study(study: StudyHead, rows: list[VehicleRow]) -> dict[str, object]:
    names = {row.head.code: row.head.name for row in rows}
    link = reverse("study", args=[study.code])
    compared = [(place, names.get(code, code)) for place, code in enumerate(study.vehicles)]
    answer = study_answers(the_record(), study.code)[0]
    return {
        "study": study,
        "link": link,
        "compared": compared,
        "answer": answer,
        "gap": study_address("study gap", study.code),
    }
