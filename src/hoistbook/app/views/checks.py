"""Checks: all of them in short for a vehicle, and one with its form, with a vehicle and without."""

from __future__ import annotations

import shlex
from typing import Any
from urllib.parse import urlencode

from django.http import Http404, HttpRequest, HttpResponse
from django.shortcuts import render
from django.urls import reverse
from django.utils.safestring import mark_safe
from django.views.decorators.http import require_safe

from hoistbook.app.check_rows import (
    effect_rows,
    figure_rows,
    form_rows,
    main_figure,
    margin_rows,
    method_blocks,
    numbers_of,
    overview_rows,
    share_rows,
)
from hoistbook.app.opened import the_record
from hoistbook.app.sheet import address, asked_of, head_of, vehicle_sheet
from hoistbook.app.views.mass import CAUTION
from hoistbook.app.work import LINE
from hoistbook.core.checks.declared import FAMILIES
from hoistbook.core.checks.words import NO_PERMISSION
from hoistbook.report.sketch import sketch_svg
from hoistbook.services.checks import CHECKS, check_named
from hoistbook.services.pages.checks import (
    MISSING,
    WORKED,
    AskedChecks,
    OnRecord,
    WorkedCheck,
    overview_of,
    record_of,
    sentences_of,
    work_out,
    worked_check,
)

MOST_TYPED = 200
"""project rule: letters of one field that are looked at; no number, name or option is longer."""
_NOT_TYPED = ("configuration",)


@require_safe
def checks(request: HttpRequest, code: str) -> HttpResponse:
    """Every check of a vehicle in short."""
    found = head_of(code)
    asked = asked_of(request, found)
    said = vehicle_sheet(request, found, "checks", "Checks", asked)
    said["families"] = [(key, words) for key, words in FAMILIES.items()]
    record = the_record()
    wanted = AskedChecks(asked.code, asked.change, asked.configuration)
    told = overview_of(record, wanted)
    if told is None:
        folder = record.folder.resolve()
        said["job"] = LINE.ask(
            f"checks {folder} {wanted!r}",
            f"checks of {found.name}",
            lambda progress: work_out(record, wanted, progress),
            f"{folder} checks {asked.code!r} {asked.configuration!r}",
        )
        return render(request, "hoistbook/checks.html", said)
    groups = overview_rows(told["checks"], dict(CHECKS))
    rows = [row for group in groups for row in group["rows"]]
    for row in rows:
        row["link"] = _check_address(found.code, row["check"].name, said["carried"])
    said |= {
        "groups": [{**group, "words": FAMILIES[group["family"]]} for group in groups],
        "count": len(rows),
        "worked": sum(row["state"] == WORKED for row in rows),
        "missing": sum(row["state"] == MISSING for row in rows),
        "safety": any(row["one"].get("safety") for row in rows),
        "no_permission": NO_PERMISSION,
        "caution": CAUTION,
    }
    return render(request, "hoistbook/checks.html", said)


@require_safe
def all_checks(request: HttpRequest) -> HttpResponse:
    """Every check with its question, for whoever has figures and no vehicle on record."""
    groups: dict[str, list[dict[str, Any]]] = {family: [] for family in FAMILIES}
    for check in sorted(CHECKS.values(), key=lambda one: one.title):
        groups[check.family].append(
            {
                "check": check,
                "link": reverse("check alone", args=[check.name]),
                "needed": [one for one in check.readings if one.usual is None],
                "usual": sum(one.usual is not None for one in check.readings),
            }
        )
    said = {
        "title": "Checks",
        "trail": [("Checks", "")],
        "groups": [
            {"family": family, "words": FAMILIES[family], "rows": rows}
            for family, rows in groups.items()
            if rows
        ],
        "count": len(CHECKS),
        "caution": CAUTION,
        "block": [("Title", "Checks"), ("Sheet", "0-2")],
    }
    return render(request, "hoistbook/all_checks.html", said)


@require_safe
def check(request: HttpRequest, name: str, code: str = "") -> HttpResponse:
    """One check: what to measure, the form, and what it comes to; as typed where something was typed."""
    said, known = _around(request, name, code)
    found = worked_check(said["check"], known, typed_in(request))
    said |= _worked(found, said)
    return render(request, "hoistbook/check.html", said)


@require_safe
def check_worked(request: HttpRequest, name: str, code: str = "") -> HttpResponse:
    """The figures of a check as typed, for the page that is open."""
    said, known = _around(request, name, code)
    typed = typed_in(request)
    found = worked_check(said["check"], known, typed)
    # Another count of things asks for other fields: only then are they put in anew, under the hand that types.
    said |= _worked(found, said) | {"oob": True, "refit": set(typed) != set(found.form.names)}
    response = render(request, "hoistbook/_check_worked.html", said)
    changed = {field: typed[field] for field in found.changed if field in typed}
    carried = {"configuration": said["carried"]} if said["carried"] else {}
    query = urlencode({**carried, **changed})
    response.headers["HX-Replace-Url"] = f"{said['plain']}{'?' if query else ''}{query}"
    return response


def typed_in(request: HttpRequest) -> dict[str, str]:
    """What was typed, by field."""
    return {field: value[:MOST_TYPED] for field, value in request.GET.items() if field not in _NOT_TYPED}


def _check_address(code: str, name: str, configuration: str, page: str = "check") -> str:
    query = f"?{urlencode({'configuration': configuration})}" if configuration else ""
    return f"{reverse(page, args=[code, name])}{query}"


def _around(request: HttpRequest, name: str, code: str) -> tuple[dict[str, Any], OnRecord]:
    """What stands around every answer about a check, and what the record states."""
    try:
        one = check_named(name)
    except ValueError as error:
        raise Http404(str(error)) from None
    if not code:
        return {
            "title": one.title,
            "check": one,
            "carried": "",
            "trail": [("Checks", reverse("all checks")), (one.title, "")],
            "plain": reverse("check alone", args=[name]),
            "reset": reverse("check alone", args=[name]),
            "live": reverse("check alone worked", args=[name]),
            "block": [("Title", one.title), ("Check", one.name), ("Sheet", "0-2")],
        }, OnRecord()
    found = head_of(code)
    asked = asked_of(request, found)
    said = vehicle_sheet(request, found, "checks", one.title, asked)
    said["trail"] = [
        *said["trail"][:-1],
        (found.name, reverse("vehicle", args=[found.code])),
        ("Checks", address("checks", found.code, configuration=said["carried"])),
        (one.title, ""),
    ]
    said |= {
        "check": one,
        "plain": reverse("check", args=[found.code, name]),
        "reset": _check_address(found.code, name, said["carried"]),
        "live": reverse("check worked", args=[found.code, name]),
    }
    return said, record_of(the_record(), found.code, asked.configuration)


def _worked(found: WorkedCheck, said: dict[str, Any]) -> dict[str, Any]:
    one, result = found.check, found.result
    told: dict[str, Any] = {
        "found": found,
        "form": form_rows(found),
        "family": FAMILIES[one.family],
        "sketch": mark_safe(sketch_svg(one.sketch, numbers_of(one))),  # noqa: S308 drawn by us; its words are escaped
        "method": method_blocks(one.method),
        "limits": len(one.limits),
        "no_permission": NO_PERMISSION,
        "command": _command(found, said),
        "result": result,
    }
    if result is None:
        return told
    words = {reading.name: reading.words for reading in one.readings}
    return told | {
        "main": main_figure(result),
        "verdict": sentences_of(result.verdict),
        "banded": result.figures[0].low < result.figures[0].high,
        "figures": figure_rows(one, result),
        "margins": margin_rows(one, result),
        "shares": share_rows(one, result),
        "dominant": result.dominant if result.dominant == "formula" else words.get(result.dominant, ""),
        "effects": effect_rows(one, result),
        "assumed": [*(each.sentence for each in result.assumptions), *found.assumed],
        "caveats": [each for each in result.caveats if each not in one.cannot_say],
        "safety": any(held.safety for held in result.held),
    }


def _command(found: WorkedCheck, said: dict[str, Any]) -> str:
    """How the terminal is asked the same."""
    head = said.get("head")
    parts = ["hoistbook", "check", found.check.name]
    if head is not None:
        parts += ["--vehicle", head.code]
    for setting in found.settings:
        parts += ["--set", setting]
    return shlex.join(parts)
