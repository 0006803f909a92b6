"""A scenario of cost: what it assumes, who says so, and what nobody has looked at."""

from __future__ import annotations

from urllib.parse import urlencode

from django.http import Http404, HttpRequest, HttpResponse
from django.shortcuts import render
from django.urls import reverse
from django.views.decorators.http import require_safe

from hoistbook.app.scenario_rows import (
    entry_rows,
    material_lines,
    plain,
    rate_rows,
    settings_of,
    supplier_lines,
)
from hoistbook.app.sheet import named
from hoistbook.core.cost.figure import MARKS
from hoistbook.core.cost.lines import MARK_UPS
from hoistbook.core.cost.machine_rate import RATE_PARTS
from hoistbook.services.pages.scenario import PROCESS, ScenarioPage, scenario_page

GROUP_WORDS = {
    "scenario": "The scenario itself",
    "region": "Regions",
    "supplier": "Suppliers",
    "machine": "Machines",
    "material": "Materials",
    PROCESS: "Process models",
}
_ZONES = {"scenario": "B", "region": "C", "supplier": "C", "machine": "D", "material": "E", PROCESS: "G"}
_WANTED = (("all", ""), ("never reviewed", "never"), ("reviewed", "reviewed"))


@require_safe
def scenario(request: HttpRequest, code: str) -> HttpResponse:
    """The scenario with all of its figures; those of one process where the address names it."""
    with named():
        page = scenario_page(code)
    wanted, process = request.GET.get("show", ""), request.GET.get("process", "")
    if wanted not in dict(_WANTED).values():
        msg = f"figures can be shown as never or reviewed, not as {wanted!r}; leave it out for all."
        raise Http404(msg)
    entries = {entry.code: entry for entry in page.of(PROCESS)}
    if process and process not in entries:
        msg = f"no process {process!r}; known: {', '.join(entries)}."
        raise Http404(msg)
    found = page.scenario

    def link(zone: str = "", **query: str) -> str:
        given = {name: value for name, value in {"show": wanted, **query}.items() if value}
        return f"{reverse('scenario', args=[code])}{'?' if given else ''}{urlencode(given)}{'#' if zone else ''}{zone}"

    said = {
        "title": f"Scenario {found.title}",
        "trail": [("Vehicles", reverse("home")), ("Scenario", "")],
        "block": [
            ("Title", f"Scenario, {found.title}"),
            ("Code", found.code),
            ("Version", found.version),
            ("Date", found.at),
            ("Sheet", "S-1"),
        ],
        "page": page,
        "scenario": found,
        "wanted": wanted,
        "filters": [(words, link(show=name), _count(page, name), name == wanted) for words, name in _WANTED],
        "marks": MARKS,
        "counts": [
            {
                "one": one,
                "words": GROUP_WORDS[one.group],
                "zone": _ZONES[one.group],
                "marks": [one.marks[mark] for mark in MARKS],
            }
            for one in page.counts
        ],
        "region_words": found.regions[found.region].words,
        "supplier_words": found.suppliers[found.supplier].words,
        "settings": settings_of(page),
        "scenario_figures": entry_rows(page.of("scenario"), wanted),
        "regions": entry_rows(page.of("region"), wanted),
        "suppliers": entry_rows(page.of("supplier"), wanted),
        "mark_ups": list(MARK_UPS),
        "supplier_lines": supplier_lines(page),
        "material_lines": material_lines(page),
        "rate_parts": RATE_PARTS,
        "rates": rate_rows(page),
        "machines": entry_rows(page.of("machine"), wanted),
        "materials": entry_rows(page.of("material"), wanted),
        "indices": [
            (one, [(year, plain(value)) for year, value in sorted(one.points.items())])
            for one in found.indices.values()
        ],
        "exchange": [(one, plain(one.rate)) for one in found.exchange.values()],
        "processes": [
            (entry, link("G", process=entry.code), entry.code == process) for entry in entries.values()
        ],
        "opened": entry_rows([entries[process]], wanted) if process else [],
        "opened_words": entries[process].words if process else "",
    }
    return render(request, "hoistbook/scenario.html", said)


def _count(page: ScenarioPage, wanted: str) -> int:
    return {"": page.figures, "never": page.never, "reviewed": page.figures - page.never}[wanted]
