"""The cost of a part: lines, steps, inputs, what could be seen on it, and all of it worked out again as typed."""

from __future__ import annotations

from typing import Any
from urllib.parse import parse_qsl, quote, urlencode

from django.http import Http404, HttpRequest, HttpResponse
from django.shortcuts import render
from django.urls import reverse
from django.views.decorators.http import require_safe

from hoistbook.app.cost_part_rows import (
    fastener_lines,
    form_rows,
    input_rows,
    line_rows,
    step_table,
    told,
    tool_rows,
    witness_rows,
)
from hoistbook.app.cost_sheet import Given, asked_cost, money, part_or_job, parts_or_job, wash_of
from hoistbook.app.sheet import address, asked_of, head_of, vehicle_sheet
from hoistbook.app.views.mass import CAUTION
from hoistbook.core.compare.bars import Interval
from hoistbook.report.figures import figure, to_place
from hoistbook.services.cost_scenario import Stated
from hoistbook.services.cost_words import closest
from hoistbook.services.keeping import Json
from hoistbook.services.pages.cost_form import DEDICATED, MACHINES, SHARED
from hoistbook.services.pages.cost_part import Worked, sheet_of, worked
from hoistbook.services.pages.cost_witness import Witness, witness

SEE = "see."
"""Begins the names of fields about what can be seen; the others are inputs of the cost."""
MOST_TYPED = 200
"""project rule: letters of one field that are looked at; no number or name of an option is longer."""
_NOT_TYPED = ("at", "configuration")


@require_safe
def cost_part(request: HttpRequest, code: str) -> HttpResponse:
    """A part with a cost, or why it has none."""
    said, part = _part(request, code)
    if part is None or part.get("why") or part["made_from"] is None:
        return render(request, "hoistbook/cost_part.html", said)
    found = worked(part, Stated().scenario(), typed_in(request))
    said |= _worked(found, said, part)
    said |= {"witness": witness_rows(_witness(found, request)), "inputs_open": bool(found.changed)}
    return render(request, "hoistbook/cost_part.html", said)


@require_safe
def cost_part_worked(request: HttpRequest, code: str) -> HttpResponse:
    """The figures of a part as typed, for the page that is open."""
    said, part = _part(request, code)
    if part is None or part.get("why") or part["made_from"] is None:
        response = HttpResponse(status=204)
        response.headers["HX-Redirect"] = _address(said, request, {})
        return response
    typed = typed_in(request)
    found = worked(part, Stated().scenario(), typed)
    said |= _worked(found, said, part)
    # Another process asks for other readings: only then are the fields put in anew, under the hand that types.
    said |= {"oob": True, "refit": set(typed) != set(found.form.names)}
    response = render(request, "hoistbook/_cost_part_worked.html", said)
    changed = {name: typed[name] for name in found.changed if name in typed}
    response.headers["HX-Replace-Url"] = _address(said, request, {**changed, **_seen(request, prefix=SEE)})
    return response


@require_safe
def cost_part_witness(request: HttpRequest, code: str) -> HttpResponse:
    """What was seen on a part and what follows, for the page that is open."""
    said, part = _part(request, code)
    if part is None or part.get("why") or part["made_from"] is None:
        return HttpResponse(status=204)
    typed = typed_in(request)
    found = worked(part, Stated().scenario(), typed)
    said |= {"witness": witness_rows(_witness(found, request)), "currency": found.was.currency, "part": part}
    response = render(request, "hoistbook/_cost_witness.html", said)
    changed = {name: typed[name] for name in found.changed if name in typed}
    response.headers["HX-Replace-Url"] = _address(said, request, {**changed, **_seen(request, prefix=SEE)})
    return response


@require_safe
def cost_part_sheet(request: HttpRequest, code: str) -> HttpResponse:
    """The part as typed as a workbook whose formulas are live."""
    said, part = _part(request, code)
    if part is None:
        return HttpResponse(
            "The cost of this vehicle is being worked out; ask again in a moment.",
            status=503,
            content_type="text/plain",
        )
    if part.get("why") or part["made_from"] is None:
        msg = f"{said['tag']} has no route; a sheet of formulas is that of a part with one."
        raise Http404(msg)
    found = worked(part, Stated().scenario(), typed_in(request))
    if found.now is None:
        msg = f"as typed the part cannot be costed: {'; '.join(found.form.faults.values())}"
        raise Http404(msg)
    answer = HttpResponse(
        sheet_of(found),
        content_type="application/vnd.openxmlformats-officedocument.spreadsheetml.sheet",
    )
    name = "".join(sign if sign.isalnum() or sign in "-_" else "-" for sign in said["tag"])[:60]
    answer.headers["Content-Disposition"] = (
        f"attachment; filename=\"cost.xlsx\"; filename*=UTF-8''cost-{quote(name)}.xlsx"
    )
    return answer


def typed_in(request: HttpRequest) -> dict[str, str]:
    """What was typed of the inputs, by field."""
    return {
        name: value[:MOST_TYPED]
        for name, value in request.GET.items()
        if name not in _NOT_TYPED and not name.startswith(SEE)
    }


def _seen(request: HttpRequest, prefix: str = "") -> dict[str, str]:
    return {
        prefix + name.removeprefix(SEE): value[:MOST_TYPED]
        for name, value in request.GET.items()
        if name.startswith(SEE) and value
    }


def _witness(found: Worked, request: HttpRequest) -> Witness:
    return witness(found.part, found.scenario, _seen(request))


def _part(request: HttpRequest, code: str) -> tuple[dict[str, Any], Json | None]:
    """What stands around every answer about a part, and the part; None while its vehicle is being worked out."""
    found = head_of(code)
    asked = asked_of(request, found)
    tag = request.GET.get("at", "")
    said = vehicle_sheet(request, found, "cost", "Cost of a part", asked)
    said |= {"tag": tag, "costs": address("cost", found.code, configuration=said["carried"])}
    said["trail"] = [
        *said["trail"][:-1],
        (found.name, reverse("vehicle", args=[found.code])),
        ("Cost", said["costs"]),
    ]
    whose = asked_cost(request, found, Given())
    parts, job = parts_or_job(whose, found.name)
    if parts is None:
        return {**said, "job": job}, None
    if tag not in parts["names"]:
        msg = (
            f"{found.code}: no part {tag!r}; {closest(tag, parts['names'])}"
            if parts["names"]
            else "no part tree."
        )
        raise Http404(msg)
    said |= {"name": parts["names"][tag]}
    said["trail"] = [*said["trail"], (parts["names"][tag], "")]
    if tag not in parts["at"]:
        why = parts["why"].get(tag, "it is put together from parts and has no route of its own")
        return {**said, "why": why, "part": {"why": why}}, {"why": why}
    part, job = part_or_job(whose, found.name, parts["at"][tag], tag)
    if part is None:
        return {**said, "job": job}, None
    if part["made_from"] is None:
        said |= {
            "part": part,
            "currency": part["currency"],
            "year": part["year"],
            "bought": fastener_lines(part),
            "piece": money(part["piece"]),
        }
    return said, part


def _address(said: dict[str, Any], request: HttpRequest, query: dict[str, str]) -> str:
    carried = {"configuration": said["carried"]} if said["carried"] else {}
    given = urlencode({"at": said["tag"], **carried, **query})
    return f"{reverse('cost part', args=[said['head'].code])}?{given}"


def _worked(found: Worked, said: dict[str, Any], part: Json) -> dict[str, Any]:
    was, now = found.was, found.now
    shown = now or was
    scenario = found.scenario
    kept = Interval(part["piece"]["value"], part["piece"]["low"], part["piece"]["high"])
    dedicated = scenario.dedicated
    query = urlencode(
        {
            "at": said["tag"],
            **{one.name: one.typed for one in found.form.readings if one.name in found.changed},
        }
        | {one.name: one.typed for one in found.form.numbers if one.name in found.changed}
        | {
            one.name: one.chosen
            for one in (*found.form.selects, *(one for step in found.form.steps for one in step))
            if one.name in found.changed
        }
        | ({"configuration": said["carried"]} if said["carried"] else {})
    )
    difference = None
    if now is not None and found.changed:
        value = now.piece.value - was.piece.value
        difference = to_place(value, 2 if abs(value) >= 0.095 else 3, signed=True)
    rows = line_rows(found)
    return {
        "part": part,
        "found": found,
        "currency": was.currency,
        "year": was.year,
        # As long as nothing was typed it is the figure of the vehicle's page, to the last digit of its band.
        "piece": figure(kept) if not found.changed else told(shown.piece),
        "was": figure(kept),
        "difference": difference,
        "refused": now is None,
        "changed": bool(found.changed),
        "lines": rows[:-1],
        "sum": rows[-1],
        "table": step_table(shown),
        "steps": len(shown.steps),
        "tools": tool_rows(shown),
        "tooling": told(shown.tooling),
        "tooling_was": told(was.tooling) if found.changed and now is not None else None,
        "tooling_paid": scenario.tooling,
        "inputs": input_rows(found),
        "form": form_rows(found.form),
        "material": found.scenario.materials[found.part.material].words,
        "assumed": shown.assumed,
        "yielded": shown.rolled_yield_frac,
        "per_year": to_place(shown.pieces_per_year, 0),
        "per_vehicle": to_place(shown.pieces_per_vehicle * shown.piece.value, 2),
        "machines": "dedicated" if dedicated else "shared",
        "other_machines": None
        if found.other_machines is None
        else {
            "words": "shared" if dedicated else "dedicated",
            "value": to_place(found.other_machines, 2),
            "link": _turned(said, query, dedicated=dedicated),
        },
        "sheet_link": f"{reverse('cost part sheet', args=[said['head'].code])}?{query}",
        "reset_link": _plain_address(said),
        "scenario": scenario,
        "scenario_link": reverse("scenario", args=[scenario.code]),
        "caution": CAUTION,
        "wash": wash_of(said["head"].place),
    }


def _turned(said: dict[str, Any], query: str, *, dedicated: bool) -> str:
    """The same with machines of the other kind."""
    kept = [(name, value) for name, value in parse_qsl(query) if name != MACHINES]
    other = urlencode([*kept, (MACHINES, SHARED if dedicated else DEDICATED)])
    return f"{reverse('cost part', args=[said['head'].code])}?{other}"


def _plain_address(said: dict[str, Any]) -> str:
    carried = {"configuration": said["carried"]} if said["carried"] else {}
    return f"{reverse('cost part', args=[said['head'].code])}?{urlencode({'at': said['tag'], **carried})}"
