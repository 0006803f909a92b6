"""What a vehicle should cost: its sum by system or function down to parts, what is left out, what to find out next."""

from __future__ import annotations

from typing import Any
from urllib.parse import urlencode

from django.http import Http404, HttpRequest, HttpResponse
from django.shortcuts import render
from django.urls import reverse
from django.views.decorators.http import require_safe

from hoistbook.app.cost_rows import (
    LINES_AT_ONCE,
    doubt_rows,
    group_rows,
    line_rows,
    look_rows,
    seconds_text,
    sum_row,
)
from hoistbook.app.cost_sheet import (
    Given,
    ask_for,
    asked_cost,
    choices_of,
    given_of,
    money,
    outside,
    sums_or_job,
    wash_of,
)
from hoistbook.app.opened import the_record
from hoistbook.app.scenario_rows import TOOLING_WORDS, plain
from hoistbook.app.sheet import address, asked_of, head_of, piece, vehicle_sheet, whole_of
from hoistbook.app.views.mass import CAUTION
from hoistbook.report.figures import per_cent, to_place
from hoistbook.services.keeping import Json
from hoistbook.services.pages.cost import LEFT, MOST_LEFT, MOST_LINES, AskedCost, lines_of

MOST_PROCESSES = 8
"""project rule: processes whose band is shown; the widest first."""


@require_safe
def cost(request: HttpRequest, code: str) -> HttpResponse:
    """The cost of one configuration under one scenario."""
    found = head_of(code)
    asked = asked_of(request, found)
    said = vehicle_sheet(request, found, "cost", "Cost", asked)
    given = given_of(request)
    by = request.GET.get("by", "system")
    if by not in ("system", "function"):
        msg = f"cost is shown by system or function, not by {by!r}."
        raise Http404(msg)
    carried = {"configuration": said["carried"]}
    scenario = given.stated.scenario()
    said |= {
        "scenario": scenario,
        "otherwise": given.otherwise,
        "scenario_link": reverse("scenario", args=[scenario.code]),
        "choices": choices_of(found.code, "cost", given, {**carried, "by": "" if by == "system" else by}),
    }
    whose = asked_cost(request, found, given)
    page, job = sums_or_job(whose, found.name)
    if page is None:
        return render(request, "hoistbook/cost.html", {**said, "job": job})
    if page["empty"]:
        return render(request, "hoistbook/cost.html", {**said, "empty": True})
    lines, left = _behind(request, whose, page, by)
    if lines is None or left is None:
        job = ask_for(the_record(), whose, found.name)
        return render(request, "hoistbook/cost.html", {**said, "job": job})
    said |= _sums(request, page, given, by, said, lines, left)
    if getattr(request, "htmx", False):
        part = "_left_out" if "left" in request.GET else "_cost_lines"
        return piece(request, f"hoistbook/{part}.html", said)
    return render(request, "hoistbook/cost.html", said)


def _behind(
    request: HttpRequest, whose: AskedCost, page: Json, by: str
) -> tuple[list[Any] | None, list[Json] | None]:
    """Lines of the group that is opened, or the dearest; parts without a cost, or the first of them."""
    record, opened = the_record(), request.GET.get("open")
    lines: list[Any] | None = page["dearest"]
    if opened in [one["key"] for one in page[f"{by}s"]]:
        lines = lines_of(record, whose, by, str(opened))
    left: list[Json] | None = page["left"]["rows"]
    if whole_of(request, "left"):
        left = lines_of(record, whose, LEFT)
    return lines, left


def _sums(
    request: HttpRequest,
    page: Json,
    given: Given,
    by: str,
    said: dict[str, Any],
    lines: list[Any],
    left: list[Json],
) -> dict[str, Any]:
    code = said["head"].code
    wash = wash_of(said["head"].place)
    carried = {"configuration": said["carried"], **given.query}

    def link(at: str = "", **query: str) -> str:
        return address("cost", code, **carried, **query) + at

    groups = page["systems"] if by == "system" else page["functions"]
    opened = request.GET.get("open")
    group = next((one for one in groups if one["key"] == opened), None)
    if opened is not None and group is None:
        msg = f"no {by} {opened!r} of this vehicle; known: {', '.join(one['key'] for one in groups)}."
        raise Http404(msg)
    by_query = {} if by == "system" else {"by": by}
    rows = group_rows(groups, page["whole"], wash)
    for row in rows:
        row["link"] = _opening(link(**by_query), row["one"]["key"])
        row["here"] = row["one"] is group
    first = whole_of(request, "first") if group is not None else 0
    shown = line_rows(lines, wash, first, MOST_LINES if group is None else LINES_AT_ONCE)
    looks = look_rows(page["next"])
    for row in (*shown, *looks):
        row["link"] = address("cost part", code, at=row["one"]["tag"], **carried)
    whole = page["whole"]
    left_first = whole_of(request, "left")
    left_rows = left[left_first : left_first + (LINES_AT_ONCE if left_first else MOST_LEFT)]
    left_next = left_first + len(left_rows)
    covered = page["covered"]
    return {
        "page": page,
        "currency": page["currency"],
        "year": page["year"],
        "whole": money(whole["total"]),
        "outside": outside(whole["total"]),
        "middle": to_place(whole["middle"], 0),
        "covered_frac": covered["mass_frac"],
        "kinds": _kinds(whole),
        "rows": rows,
        "sum": sum_row(whole),
        "seconds": seconds_text(whole["assembly_s"]),
        "by": by,
        "by_words": {"system": "System", "function": "Function"}[by],
        "views": [
            ("system", link("#B"), by == "system"),
            ("function", link("#B", by="function"), by == "function"),
        ],
        "group": group,
        "group_sum": money(group["total"]) if group is not None else None,
        "closes": link("#C", **by_query),
        "lines": shown,
        "line_count": page["line_count"] if group is None else len(lines),
        "lines_more": max(len(lines) - first - len(shown), 0) if group is not None else 0,
        "lines_at": ""
        if group is None
        else _opening(link(**by_query, first=str(first + len(shown))), group["key"]).removesuffix("#C"),
        "tooling": plain(float(f"{whole['tooling']:.3g}")),
        "tools_paid": TOOLING_WORDS[said["scenario"].tooling],
        "covered": {
            "width": round(100.0 * (covered["mass_frac"] or 0.0), 2),
            "words": "" if covered["mass_frac"] is None else per_cent(covered["mass_frac"]),
            "pieces": covered["costed_pieces"],
            "of": covered["pieces"],
        },
        "left": page["left"],
        "left_rows": left_rows,
        "left_more": max(page["left"]["count"] - left_next, 0),
        "left_at": link(**by_query, left=str(left_next)),
        "looks": looks[:3],
        "more_looks": looks[3:],
        "doubts": doubt_rows(page["doubt"][:MOST_PROCESSES], wash),
        "more_doubts": max(len(page["doubt"]) - MOST_PROCESSES, 0),
        "caution": CAUTION,
    }


def _opening(link: str, key: str) -> str:
    """A link that opens a group; the key of what is in no function is empty."""
    return f"{link}{'&' if '?' in link else '?'}{urlencode({'open': key})}#C"


def _kinds(whole: Json) -> list[dict[str, Any]]:
    """What the sum is made of, in % of it."""
    found, at = [], 0.0
    total = sum(whole[name] for name in ("parts", "fasteners", "assembly"))
    for name, words, kind in (
        ("parts", "parts by their routes", "floor"),
        ("fasteners", "fasteners, bought", "capital"),
        ("assembly", "putting together", "insurance"),
    ):
        width = 100.0 * whole[name] / total if total else 0.0
        found.append(
            {
                "words": words,
                "kind": kind,
                "left": round(at, 3),
                "width": round(width, 3),
                "text": to_place(whole[name], 0),
            }
        )
        at += width
    return found
