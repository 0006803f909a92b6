"""Two vehicles and one function in money: difference with its band, walk, what drives it, break-even, cautions."""

from __future__ import annotations

from typing import Any
from urllib.parse import urlencode

from django.http import Http404, HttpRequest, HttpResponse
from django.shortcuts import render
from django.urls import reverse
from django.views.decorators.http import require_safe

from hoistbook.app.cost_compare_rows import (
    answer_of,
    even_rows,
    function_rows,
    lacking_rows,
    line_rows,
    part_rows,
    swing_rows,
    walk_rows,
)
from hoistbook.app.cost_sheet import Given, choices_at, given_of, sums_or_job
from hoistbook.app.opened import the_record
from hoistbook.app.sheet import address, head_of
from hoistbook.app.work import LINE, Job
from hoistbook.services.keeping import Json
from hoistbook.services.pages.cost import AskedCost
from hoistbook.services.pages.cost_compare import AskedComparison, page_of, work_out
from hoistbook.services.pages.heads import Head, heads


@require_safe
def cost_compare(request: HttpRequest) -> HttpResponse:
    """The comparison of a pair in one function; the functions it can be compared in where none is asked for."""
    pair, others = _pair(request)
    given = given_of(request)
    function = request.GET.get("function", "")
    said = _around(request, pair, others, given, function)
    if len(pair) < 2:
        return render(request, "hoistbook/cost_compare.html", said)
    sums = [sums_or_job(_asked(one, given), one.name) for one in pair]
    jobs = [job for _, job in sums if job is not None]
    pages = [page for page, _ in sums if page is not None and not page["empty"]]
    if len(pages) == 2:
        rows = function_rows(pages, [one.place for one in pair])
        for row in rows:
            row["link"] = said["link"](function=row["key"])
            row["here"] = row["key"] == function
        said |= {"functions": rows, "currency": pages[0]["currency"], "year": pages[0]["year"]}
        if function and function not in [row["key"] for row in rows]:
            known = ", ".join(row["key"] for row in rows) or "none"
            msg = f"no function {function!r} that both vehicles do; known: {known}."
            raise Http404(msg)
    said |= {"jobs": jobs, "without_parts": [page for page, _ in sums if page is not None and page["empty"]]}
    if not function or len(pages) < 2:
        return render(request, "hoistbook/cost_compare.html", said)
    asked = AskedComparison(
        (pair[0].code, pair[1].code),
        (pair[0].change, pair[1].change),
        (pair[0].configuration().id, pair[1].configuration().id),
        (pair[0].place, pair[1].place),
        function,
        given.stated,
    )
    page = page_of(the_record(), asked)
    if page is None:
        words = next(row["words"] for row in said["functions"] if row["here"])
        return render(request, "hoistbook/cost_compare.html", said | {"job": _job(asked, words)})
    return render(request, "hoistbook/cost_compare.html", said | _compared(page, pair))


def _pair(request: HttpRequest) -> tuple[list[Head], tuple[Head, ...]]:
    """The two vehicles of the address, the first two of the store where it names none, and all there are."""
    every = tuple(one for one in heads(the_record()) if one.configurations)
    codes = [request.GET.get(name, "") for name in ("a", "b")]
    pair = [head_of(code) for code in codes if code]
    for one in pair:
        if not one.configurations:
            msg = f"{one.code} has no configuration, so nothing of it can be costed."
            raise Http404(msg)
    for one in every:
        if len(pair) < 2 and one.code not in [it.code for it in pair]:
            pair.append(one)
    if len(pair) == 2 and pair[0].code == pair[1].code:
        msg = f"{pair[0].code} is compared with itself; choose another vehicle."
        raise Http404(msg)
    return pair, every


def _asked(one: Head, given: Given) -> AskedCost:
    return AskedCost(one.code, one.change, one.configuration().id, given.stated)


def _job(asked: AskedComparison, words: str) -> Job:
    record = the_record()
    key = f"cost comparison {record.folder.resolve()} {asked!r}"
    title = f"cost of {words} from {asked.codes[0]} to {asked.codes[1]}"
    subject = (
        f"{record.folder.resolve()} cost comparison {asked.codes} {asked.configurations} {asked.function!r} "
        f"{asked.stated!r}"
    )
    return LINE.ask(key, title, lambda told: work_out(record, asked, told), subject)


def _around(
    request: HttpRequest, pair: list[Head], every: tuple[Head, ...], given: Given, function: str
) -> dict[str, Any]:
    """Head, title block and links; each link differs from the address in one thing."""
    base = {"a": pair[0].code, "b": pair[1].code} if len(pair) == 2 else {}

    def link(at: str = "", **changes: str) -> str:
        query = {**base, "function": function, **given.query, **changes}
        found = {name: value for name, value in query.items() if value}
        return f"{reverse('cost compare')}{'?' if found else ''}{urlencode(found)}{at}"

    scenario = given.stated.scenario()
    title = f"Cost, {' and '.join(one.name for one in pair)}" if pair else "Cost"
    return {
        "title": title,
        "trail": [("Vehicles", reverse("home")), ("Cost of two vehicles", "")],
        "block": [
            ("Title", title),
            ("Scenario", f"{scenario.title}, {scenario.currency} of {scenario.year}"),
            ("Sheet", "C-1"),
        ],
        "pair": pair,
        "link": link,
        "scenario": scenario,
        "scenario_link": reverse("scenario", args=[scenario.code]),
        "sides": [
            {
                "words": words,
                "links": [
                    (one, link(**{name: one.code}), one.code == base.get(name))
                    for one in every
                    if one.code != base.get(other)
                ],
            }
            for words, name, other in (("From", "a", "b"), ("to", "b", "a"))
        ]
        if base
        else [],
        "turned": link(a=base["b"], b=base["a"]) if base else "",
        "otherwise": given.otherwise,
        "choices": choices_at(lambda name, value: link(**{name: value}), given),
        "costs": [(one, address("cost", one.code, **given.query)) for one in pair],
    }


def _compared(page: Json, pair: list[Head]) -> dict[str, Any]:
    places = [one.place for one in pair]
    found = page["comparison"]
    parts = part_rows(page)
    for one, rows in zip(pair, parts, strict=True):
        for row in rows:
            row["link"] = address("cost part", one.code, at=row["tag"])
    lacking = lacking_rows(page)
    for one, side in zip(pair, lacking, strict=True):
        side["place"] = one.place
    return {
        "page": page,
        "found": found,
        "currency": found["currency"],
        "year": found["year"],
        "names": page["names"],
        "answer": answer_of(page),
        "dearer": pair[answer_of(page)["dearer"]],
        "cheaper": pair[answer_of(page)["cheaper"]],
        "likelier": pair[answer_of(page)["likelier"]],
        "table": line_rows(page),
        "walk": walk_rows(page),
        "swings": swing_rows(page),
        "even": even_rows(page, places),
        "lacking": lacking,
        "parts": list(zip(pair, parts, strict=True)),
        "alike": len(found["pairs"]),
        "cautions": found["cautions"],
        "notes": found["walk_notes"],
        "drawings": page["drawings"],
    }
