"""How long a vehicle takes to put together, motion by motion, and how long a part takes to come off and go back."""

from __future__ import annotations

from typing import Any

from django.http import Http404, HttpRequest, HttpResponse
from django.shortcuts import render
from django.urls import reverse
from django.views.decorators.http import require_safe

from hoistbook.app.assembly_rows import (
    MOST_WORK,
    function_rows,
    seconds_told,
    sum_of,
    time_rows,
    visit_rows,
    work_of,
    work_rows,
)
from hoistbook.app.cost_sheet import Given, choices_of, given_of, wash_of
from hoistbook.app.opened import the_record
from hoistbook.app.scenario_rows import plain
from hoistbook.app.sheet import address, asked_of, head_of, vehicle_sheet
from hoistbook.app.views.mass import CAUTION
from hoistbook.app.work import LINE, Job
from hoistbook.report.figures import to_place
from hoistbook.services.cost_words import closest
from hoistbook.services.keeping import Json
from hoistbook.services.pages.assembly import AskedAssembly, assembly_of, service_of, work_out

MOST_REASONS = 12


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
    joints = work_of(page["joints"], opened or None)
    placed = work_of(page["placed"], opened or None)
    most = None if function else MOST_WORK
    whole = function or page["whole"]
    said |= {
        "page": page,
        "whole": page["whole"],
        "told": seconds_told(page["whole"]["standard_s"]),
        "cost": None if page["whole"]["cost"] is None else to_place(page["whole"]["cost"]["value"], 0),
        "fasteners": plain(page["whole"]["fastener_count"]),
        "quick": plain(page["whole"]["quick_count"]),
        "parts": _parts_of(page["whole"]),
        "rows": rows,
        "function": function,
        "function_told": None if function is None else seconds_told(function["standard_s"]),
        "closes": address("assembly", said["head"].code, **carried) + "#C",
        "joints": work_rows(joints[:most]),
        "placed": work_rows(placed[:most]),
        "joint_count": len(joints),
        "placed_count": len(placed),
        "joint_sum": sum_of(joints),
        "placed_sum": sum_of(placed),
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
    return render(request, "hoistbook/assembly.html", said)


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
    said["held"] = _held(page)
    if not tag:
        return render(request, "hoistbook/service.html", said)
    if tag not in page["names"]:
        msg = f"{said['head'].code}: no part {tag!r}; {closest(tag, page['names'])}"
        raise Http404(msg)
    said["name"] = page["names"][tag]
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
        "cautions": [one["text"] for one in found["assumed"] if one["kind"] == "caution"],
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
    names = page["names"]
    if function is not None:
        without = [(tag, names.get(tag, tag)) for tag in function["without"]]
        physical, economic = function["physical"], function["economic"]
    else:
        without = [tuple(one) for one in page["reasons"]["without"]]
        physical, economic = page["reasons"]["physical"], page["reasons"]["economic"]
    count = physical + economic + len(without)
    return {
        "physical": physical,
        "economic": economic,
        "without": without[:MOST_REASONS],
        "more": max(len(without) - MOST_REASONS, 0),
        "count": count,
        "lacking": len(without),
        "frac": physical / count if count else None,
    }


def _held(page: Json) -> list[tuple[str, str]]:
    """Tags that a joint holds and that could be taken off, by name, for the field that asks for one."""
    held = {tag: name for one in page["joints"] for tag, name in one["parts"][:-1]}
    return sorted(held.items(), key=lambda pair: (pair[1], pair[0]))
