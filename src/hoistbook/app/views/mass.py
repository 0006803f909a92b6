"""Mass: do the parts add up to the scale, by system, what does not fit, what to weigh next, where the middle is."""

from __future__ import annotations

from typing import Any

from django.http import HttpRequest, HttpResponse
from django.shortcuts import render
from django.views.decorators.http import require_safe

from hoistbook.app.cells import column, interval_of, single
from hoistbook.app.closure import closure_sheet
from hoistbook.app.sheet import asked_of, head_of, summary_or_job, vehicle_sheet
from hoistbook.core.compare.bars import Interval
from hoistbook.core.quantities.units import from_si
from hoistbook.report.figures import figure
from hoistbook.report.sentences import surplus_words
from hoistbook.services.keeping import Json

SHOWN = 12
"""project rule: lines of a list that are shown at once; the rest is folded away below them."""
CAUTION = (
    "Before anything is lifted, opened or isolated for it: local law, the maker's dismantling sheet and licensed "
    "people decide what is done."
)
_SCOPES = {"self": "alone", "subtree": "with all in it"}


@require_safe
def mass(request: HttpRequest, code: str) -> HttpResponse:
    """The mass book of one configuration."""
    found = head_of(code)
    asked = asked_of(request, found)
    said = vehicle_sheet(request, found, "mass", "Mass", asked)
    summary, job = summary_or_job(asked, found.name)
    if summary is None:
        return render(request, "hoistbook/mass.html", {**said, "job": job})
    if summary["mass"] is None:
        return render(request, "hoistbook/mass.html", {**said, "summary": summary, "empty": True})
    book = summary["mass"]
    names = summary["names"]
    said |= {
        "summary": summary,
        "book": book,
        "closure": closure_sheet(found, summary),
        "systems": _breakdown(book["systems"], summary["coverage"]),
        "functions": _breakdown(book["functions"], {}),
        "known": _known(book),
        "parts_sum": single(interval_of(book["parts"])),
        "unallocated": _surpluses(book["unallocated"]),
        "not_broken_down": _surpluses(book["not_broken_down"]),
        "missing": [(tag, names.get(tag, "")) for tag in book["missing"]],
        "next": [_proposal(one, names) for one in book["next_to_weigh"]],
        "caution": CAUTION,
        "shown": SHOWN,
        "centre": _centre(book["centre_of_gravity"]),
    }
    return render(request, "hoistbook/mass.html", said)


def _breakdown(found: Json, coverage: Json) -> dict[str, Any]:
    lines = [line for line in found["lines"] if line["node_count"] or line["total"]["value"]]
    masses = [interval_of(line["total"]) for line in lines]
    total = interval_of(found["total"])
    cells = column([*masses, total])
    loose = column([_unless_zero(interval_of(line["unallocated"])) for line in lines])
    largest = max((one.value for one in masses if one is not None), default=0.0)
    return {
        # A negative surplus is no mass: the page says what it is.
        "minus": any(line["unallocated"]["value"] < 0.0 for line in lines),
        "lines": [
            {
                "line": line,
                "cell": cell,
                "loose": surplus,
                "weighed": coverage.get(line["code"]),
                "bar": round(50.0 * min(max(coverage.get(line["code"], 0.0), 0.0), 1.0), 1),
                "length": round(120.0 * max(interval.value, 0.0) / largest, 1)
                if largest and interval
                else 0.0,
            }
            for line, cell, surplus, interval in zip(lines, cells, loose, masses, strict=False)
        ],
        "total": cells[-1],
    }


def _unless_zero(found: Interval | None) -> Interval | None:
    return None if found is None or (found.value == 0.0 and found.half_width == 0.0) else found


def _known(book: Json) -> list[dict[str, Any]]:
    lines = [
        line for line in book["coverage"] if line["node_count"] or (line["mass"] and line["mass"]["value"])
    ]
    cells = column([interval_of(line["mass"]) for line in lines])
    return [{"line": line, "cell": cell} for line, cell in zip(lines, cells, strict=True)]


def _surpluses(found: list[Json]) -> list[dict[str, Any]]:
    lines = [one for one in found if one["mass"]["value"]]
    cells = column([interval_of(one["mass"]) for one in lines], signed=True)
    intervals = [Interval(*(one["mass"][end] for end in ("value", "low", "high"))) for one in lines]
    return [
        {"one": one, "cell": cell, "says": surplus_words(interval)}
        for one, cell, interval in zip(lines, cells, intervals, strict=True)
    ]


def _proposal(one: Json, names: Json) -> dict[str, Any]:
    return {
        "one": one,
        "name": names.get(one["tag"], ""),
        "scope": _SCOPES[one["scope"]],
        "now": _half(one["band_now_kg"]),
        "then": _half(one["band_then_kg"]),
        "gap_now": _half(one["gap_band_now_kg"]),
        "gap_then": _half(one["gap_band_then_kg"]),
        **_ends(one["band_now_kg"], one["band_then_kg"]),
    }


def _ends(now_kg: float | None, then_kg: float | None) -> dict[str, Any]:
    """Ends of the narrowed band in % of today's, which is drawn in full."""
    if not now_kg or then_kg is None:
        return {"left": None, "right": None}
    half = 50.0 * min(then_kg / now_kg, 1.0)
    return {"left": round(50.0 - half, 1), "right": round(50.0 + half, 1)}


def _half(band_kg: float | None) -> str:
    return "" if band_kg is None else figure(Interval(0.0, -band_kg, band_kg), unit="kg").band


def _centre(found: Json | None) -> dict[str, Any] | None:
    """Centre of gravity as a table and on the sketch: the rear share of the mass is its way along the wheelbase."""
    if found is None:
        return None
    share = interval_of(found["front_share"])
    rows = []
    for key, words in (
        ("behind_front_axle", "behind the front axle"),
        ("left_of_centre", "left of the middle"),
        ("height", "above the ground"),
    ):
        value = found[key]
        if value is None:
            rows.append({"words": words, "value": "", "band": "", "unit": "mm"})
            continue
        ends = Interval(*(from_si(value[end], "mm") for end in ("value", "low", "high")))
        told = figure(ends)
        rows.append({"words": words, "value": told.value, "band": told.band, "unit": "mm"})
    front = None
    if share is not None:
        front = figure(Interval(*(100.0 * end for end in (share.value, share.low, share.high))), unit="%")
        rows.insert(0, {"words": "on the front axle", "value": front.value, "band": front.band, "unit": "%"})
    along = None if share is None else round(90.0 + 180.0 * (1.0 - share.value), 1)
    return {"rows": rows, "along": along, "words_at": 0.0 if along is None else along + 8.0}
