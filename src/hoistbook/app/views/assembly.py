"""How long a vehicle takes to put together, motion by motion, and how long a part takes to come off and go back."""

from __future__ import annotations

from typing import Any

from django.http import Http404, HttpRequest, HttpResponse
from django.shortcuts import render
from django.urls import reverse
from django.views.decorators.http import require_safe

from hoistbook.app.assembly_rows import (
    WORK_AT_ONCE,
    function_rows,
    rest_and_sum,
    seconds_told,
    sum_of,
    time_rows,
    visit_rows,
    work_rows,
)
from hoistbook.app.cost_sheet import Given, choices_of, given_of, wash_of
from hoistbook.app.opened import the_record
from hoistbook.app.scenario_rows import plain
from hoistbook.app.sheet import address, asked_of, head_of, piece, vehicle_sheet, whole_of
from hoistbook.app.views.mass import CAUTION
from hoistbook.app.work import LINE, Job
from hoistbook.report.figures import to_place
from hoistbook.services.cost_words import closest
from hoistbook.services.keeping import Json
from hoistbook.services.pages.assembly import (
    MOST_WORK,
    AskedAssembly,
    assembly_of,
    parts_of,
    service_of,
    work_of,
    work_out,
)


@require_safe
def assembly(request: HttpRequest, code: str) -> HttpResponse:
    """Assembly by function; the joints and placings of one that is opened."""
    said, asked, given = _around(request, code, "Assembly")
    page = assembly_of(the_record(), asked)
    if page is None:
        return render(request, "hoistbook/assembly.html", said | {"job": _job(asked, said["head"].name)})
    if page["empty"]:
        return render(request, "hoistbook/assembly.html", said | {"empty": True})
    opened = request.GET.get("function", "")
    function = next((one for one in page["functions"] if one["key"] == opened), None)
    if opened and function is None:
        known = ", ".join(one["key"] for one in page["functions"]) or "none"
        msg = f"no function {opened!r} of this vehicle; known: {known}."
        raise Http404(msg)
    carried = {"configuration": said["carried"], **given.query}
    rows = function_rows(page, wash_of(said["head"].place))
    for row in rows:
        row["link"] = address("assembly", said["head"].code, **carried, function=row["one"]["key"]) + "#C"
        row["here"] = row["one"] is function
    work = page["slowest"] if function is None else work_of(the_record(), asked, opened)
    if work is None:
        return render(request, "hoistbook/assembly.html", said | {"job": _job(asked, said["head"].name)})
    counts, sums = page["counts"], page["normal_s"]
    if function is not None:
        counts = {name: len(several) for name, several in work.items()}
        sums = {name: sum_of(several) for name, several in work.items()}
    whole = function or page["whole"]
    shown = {name: _some(request, name, several, function) for name, several in work.items()}
    more = address("assembly", said["head"].code, **carried, function=opened)
    said |= {f"{words}_more": left for words, (_, left, _) in shown.items()}
    said |= {f"{words}_at": f"{more}&{words}={at}" for words, (_, _, at) in shown.items()}
    said |= {
        "page": page,
        "whole": page["whole"],
        "told": seconds_told(page["whole"]["standard_s"]),
        "cost": None if page["whole"]["cost"] is None else to_place(page["whole"]["cost"]["value"], 0),
        "fasteners": plain(page["whole"]["fastener_count"]),
        "quick": plain(page["whole"]["quick_count"]),
        "parts": _parts_of(page["whole"]),
        "rows": rows,
        "below": rest_and_sum(page),
        "function": function,
        "function_told": None if function is None else seconds_told(function["standard_s"]),
        "closes": address("assembly", said["head"].code, **carried) + "#C",
        "joints": shown["joints"][0],
        "placed": shown["placed"][0],
        "joint_count": counts["joints"],
        "placed_count": counts["placed"],
        "joint_sum": to_place(sums["joints"], 0),
        "placed_sum": to_place(sums["placed"], 0),
        "missing": whole["without_time"],
        "drives": ", ".join(whole["drives"]),
        "directions": ", ".join(whole["directions"]),
        "not_stated": whole["direction_not_stated_count"],
        "elsewhere": whole["made_elsewhere_count"],
        "rule": to_place(whole["line_rule_s"]["value"], 0),
        "rule_motions": to_place(whole["line_rule_motions_s"]["value"], 0),
        "rule_joints": whole["line_rule_joints"],
        "reasons": _reasons(page, function),
        "assumed": [one["text"] for one in page["assumed"]],
    }
    if getattr(request, "htmx", False):
        return piece(
            request, f"hoistbook/_assembly_{'placed' if 'placed' in request.GET else 'joints'}.html", said
        )
    return render(request, "hoistbook/assembly.html", said)


def _some(
    request: HttpRequest, name: str, work: list[tuple[Json, float]], function: Json | None
) -> tuple[list[dict[str, Any]], int, int]:
    """Rows of some joints or placings, how many are left of an opened function, and at which those begin."""
    first = whole_of(request, name) if function is not None else 0
    rows = work_rows(work[first : first + (MOST_WORK if function is None else WORK_AT_ONCE)])
    after = first + len(rows)
    return rows, max(len(work) - after, 0) if function is not None else 0, after


@require_safe
def service(request: HttpRequest, code: str) -> HttpResponse:
    """Taking one part off and putting it back."""
    said, asked, given = _around(request, code, "Service")
    tag = request.GET.get("at", "")
    page = assembly_of(the_record(), asked)
    said |= {
        "tag": tag,
        "closes": address("assembly", said["head"].code, configuration=said["carried"], **given.query),
    }
    said["trail"] = [
        *said["trail"][:-1],
        (said["head"].name, reverse("vehicle", args=[said["head"].code])),
        ("Assembly", said["closes"]),
        ("Service", ""),
    ]
    if page is None:
        return render(request, "hoistbook/service.html", said | {"job": _job(asked, said["head"].name)})
    if page["empty"]:
        return render(request, "hoistbook/service.html", said | {"empty": True})
    parts = parts_of(the_record(), asked)
    if parts is None:
        return render(request, "hoistbook/service.html", said | {"job": _job(asked, said["head"].name)})
    said["held"] = _held(parts)
    if not tag:
        return render(request, "hoistbook/service.html", said)
    if tag not in parts["names"]:
        msg = f"{said['head'].code}: no part {tag!r}; {closest(tag, parts['names'])}"
        raise Http404(msg)
    said["name"] = parts["names"][tag]
    wanted = AskedAssembly(asked.code, asked.change, asked.configuration, asked.stated, tag)
    found = service_of(the_record(), wanted)
    if found is None:
        return render(request, "hoistbook/service.html", said | {"job": _job(wanted, said["head"].name)})
    times = time_rows(found)
    said |= {
        "found": found,
        "told": seconds_told(found["total_s"]),
        "minutes": to_place(found["total_s"]["value"] / 60.0, 0),
        "cost": to_place(found["cost"]["value"], 0),
        "visits": visit_rows(found),
        "times": times[:-1],
        "sum": times[-1],
        "cautions": [one["text"].removesuffix(".") for one in found["assumed"] if one["kind"] == "caution"],
        "assumed": [one["text"] for one in found["assumed"] if one["kind"] != "caution"],
        "least": to_place(found["least_s"], 0),
        "caution": CAUTION,
    }
    return render(request, "hoistbook/service.html", said)


def _around(request: HttpRequest, code: str, words: str) -> tuple[dict[str, Any], AskedAssembly, Given]:
    found = head_of(code)
    asked = asked_of(request, found)
    # Machines and tools have no part in assembly: only the wage of the region pays it.
    given = Given(region=given_of(request).region)
    said = vehicle_sheet(request, found, "assembly", words, asked)
    scenario = given.stated.scenario()
    page, more = ("assembly", {"function": request.GET.get("function", "")})
    if words == "Service":
        page, more = "service", {"at": request.GET.get("at", "")}
    said |= {
        "scenario": scenario,
        "scenario_link": reverse("scenario", args=[scenario.code]),
        "currency": scenario.currency,
        "year": scenario.year,
        "choices": choices_of(found.code, page, given, {"configuration": said["carried"], **more})[:1],
    }
    return said, AskedAssembly(asked.code, asked.change, asked.configuration, given.stated), given


def _job(asked: AskedAssembly, name: str) -> Job:
    record = the_record()
    key = f"assembly {record.folder.resolve()} {asked!r}"
    title = f"removal of {asked.tag} from {name}" if asked.tag else f"assembly of {name}"
    subject = f"{record.folder.resolve()} {title} {asked.code!r} {asked.configuration!r} {asked.stated!r}"
    return LINE.ask(key, title, lambda told: work_out(record, asked, told), subject)


def _parts_of(whole: Json) -> list[dict[str, Any]]:
    """What the time of the vehicle is made of, in % of it."""
    total = whole["standard_s"]["value"]
    amounts = [
        ("joining", "capital", whole["joining_s"]["value"]),
        ("bringing parts to their place", "floor", whole["placing_s"]["value"]),
        ("allowance for rest and delay", "insurance", total - whole["normal_s"]["value"]),
    ]
    found, at = [], 0.0
    for words, kind, value in amounts:
        width = 100.0 * value / total if total else 0.0
        found.append(
            {
                "words": words,
                "kind": kind,
                "left": round(at, 3),
                "width": round(width, 3),
                "text": to_place(value, 0),
            }
        )
        at += width
    return found


def _reasons(page: Json, function: Json | None) -> dict[str, Any]:
    """How many parts have a physical reason to be parts of their own, and those without any."""
    of = page["reasons"] if function is None else function
    lacking = of["without_count"]
    count = of["physical"] + of["economic"] + lacking
    return {
        "physical": of["physical"],
        "economic": of["economic"],
        "without": of["without"],
        "more": lacking - len(of["without"]),
        "count": count,
        "lacking": lacking,
        "frac": of["physical"] / count if count else None,
    }


def _held(parts: Json) -> list[tuple[str, str]]:
    """Tags that a joint holds and that could be taken off, by name, for the field that asks for one."""
    return sorted(parts["held"].items(), key=lambda pair: (pair[1], pair[0]))
