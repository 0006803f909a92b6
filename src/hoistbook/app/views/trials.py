"""Tests: what was measured before anything was taken off, how well, and what no test has measured yet."""

from __future__ import annotations

from itertools import groupby
from typing import Any

from django.http import HttpRequest, HttpResponse
from django.shortcuts import render
from django.views.decorators.http import require_safe

from hoistbook.app.cells import Cell, of_quantity
from hoistbook.app.opened import the_record
from hoistbook.app.sheet import address, asked_of, head_of, vehicle_sheet
from hoistbook.core.compare.bars import Interval
from hoistbook.core.quantities.units import from_si
from hoistbook.core.trials.channels import CHANNELS
from hoistbook.core.vehicle.kinds import QUANTITY_KINDS, unit_text
from hoistbook.report.figures import figure, to_place
from hoistbook.services.keeping import Json
from hoistbook.services.pages.trials import HOIST, ROAD, VOLTAGE, Former, Open, Trials, TrialSheet, trials_of

CAUTIONS = {
    ROAD: "On the road: a vehicle that coasts slows without brake lamps. Closed track or the rules of the road; the "
    "driver only drives.",
    HOIST: "On the hoist: a spinning wheel or a vehicle with one axle up can kill. Lift inspected, vehicle secured at "
    "the maker's points, drive made safe by qualified people, nobody near or under it.",
    VOLTAGE: "High voltage: only people qualified for it connect anything to pack, charger or their cables.",
}
LAW = "Local law, the maker's documents and licensed people decide what is done."

_ZONES = (
    ("Coast-down", ("coastdown",)),
    ("Spin-down", ("spindown",)),
    ("Corner weights", ("corners",)),
    ("Driving", ("cycle", "steady")),
    ("Charge and discharge", ("charge", "discharge")),
    ("Standing", ("standby",)),
)
"""Zones of the page in their order, and the kinds of test that each holds."""

_KIND_WORDS = {
    "coastdown": "coast-down",
    "spindown": "spin-down of lifted wheels",
    "corners": "corner weights",
    "cycle": "driven cycle",
    "steady": "steady speeds",
    "charge": "charge",
    "discharge": "discharge",
    "standby": "standby",
}
_PRINTED_IN = {
    "J": "kWh", "J/m": "Wh/km", "m": "km", "m/s": "km/h", "1": "%", "A.s": "Ah", "ohm": "mohm",
}  # fmt: skip


@require_safe
def tests(request: HttpRequest, code: str) -> HttpResponse:
    """The tests of one configuration."""
    found = head_of(code)
    asked = asked_of(request, found)
    told = trials_of(the_record(), found.code, asked.configuration)
    zones = _zones(told)
    said = vehicle_sheet(request, found, "tests", "Tests", asked)
    said |= {
        "count": len(told.tests),
        "facts": sum(one.facts for one in told.tests),
        "last": zones[-1][0] if zones else "A",
        "listed": [_listed(one, letter) for letter, _, members in zones for one in members],
        "zones": [(letter, words, [_test(one) for one in members]) for letter, words, members in zones],
        "overlapping": told.overlapping,
        "open": [_open(one) for one in told.open],
        "beyond": [
            (origin, ", ".join(words for words, _ in group))
            for origin, group in groupby(
                sorted(told.beyond, key=lambda pair: pair[1]), key=lambda pair: pair[1]
            )
        ],
        "cautions": [CAUTIONS[kind] for kind in _kinds_of_danger(told)],
        "law": LAW,
        "elsewhere": [(name, address("tests", found.code, configuration=name)) for name in told.elsewhere],
        "facts_at": f"{address('vehicle', found.code, configuration=said['carried'])}#D",
    }
    return render(request, "hoistbook/tests.html", said)


def _zones(told: Trials) -> list[tuple[str, str, list[TrialSheet]]]:
    """Letter, words and tests of every zone that has any; the answer is zone A."""
    known = {kind for _, kinds in _ZONES for kind in kinds}
    others = tuple(sorted({one.kind for one in told.tests} - known))
    filled = [
        (words, [one for kind in kinds for one in told.tests if one.kind == kind])
        for words, kinds in (*_ZONES, ("Other tests", others))
    ]
    filled = [(words, members) for words, members in filled if members]
    return [(letter, *zone) for letter, zone in zip("BCDEFGH", filled, strict=False)]


def _kinds_of_danger(told: Trials) -> list[str]:
    proposed = {one.caution for one in told.open}
    return [kind for kind in CAUTIONS if kind in proposed]


def _listed(one: TrialSheet, letter: str) -> dict[str, Any]:
    return {"one": one, "kind": _KIND_WORDS.get(one.kind, one.kind), "letter": letter}


def _open(one: Open) -> dict[str, Any]:
    cell, unit, origin = Cell(), "", ""
    if one.fact is not None:
        cell, unit = of_quantity(one.fact.value, one.fact.quantity)
        origin = one.fact.value.origin.value
    return {"one": one, "cell": cell, "unit": unit, "origin": origin}


def _test(one: TrialSheet) -> dict[str, Any]:
    return {
        "one": one,
        "kind": _KIND_WORDS.get(one.kind, one.kind),
        "figures": [{"told": told, **_printed(told.figure)} for told in one.figures],
        "correlations": [(first, second, to_place(value, 2)) for first, second, value in one.correlations],
        "drawn": one.drawn,
        "logs": [_log(log) for log in _logs(one)],
        "former": [_former(former) for former in one.former],
        "more_former": one.former_count - len(one.former),
    }


def _printed(found: Json) -> dict[str, Any]:
    """Value and band of a figure in the unit people use."""
    kind = QUANTITY_KINDS.get(found["fact"])
    if kind is not None and kind.unit == found["unit"] and kind.example_units:
        unit = kind.example_units[0]
    else:
        unit = str(_PRINTED_IN.get(found["unit"], found["unit"]))
    ends = [found["value"], found["low"], found["high"]]
    if unit != found["unit"]:
        ends = [from_si(end, unit) for end in ends]
    printed = figure(Interval(*ends), unit=unit)
    return {"value": printed.value, "band": printed.band, "unit": "%" if unit == "%" else unit_text(unit)}


def _logs(one: TrialSheet) -> list[Json]:
    """How each log was read; of a test recorded by an earlier version only the first, and its channel map."""
    logs = one.outcome.get("logs")
    if logs is not None:
        return list(logs)
    if not one.channels:
        return []
    return [{"file": one.file_name, "sha256": one.sha256, "channels": one.channels, "remarks": []}]


def _log(log: Json) -> dict[str, Any]:
    mapping = log["channels"]
    return {
        "log": log,
        "time": mapping.get("time", {}),
        "columns": [
            (
                mapped["column"],
                "" if mapped["unit"] == "1" else mapped["unit"],
                CHANNELS[mapped["channel"]].words if mapped["channel"] in CHANNELS else mapped["channel"],
                mapped.get("sign") == -1,
            )
            for mapped in mapping.get("channel", ())
        ],
    }


def _former(one: Former) -> dict[str, Any]:
    def cell(found: Json | None) -> str:
        if found is None:
            return "not there"
        printed = _printed(found)
        return " ".join(filter(None, (printed["value"], printed["band"], printed["unit"])))

    return {"one": one, "moved": [(words, cell(was), cell(now)) for words, was, now in one.moved]}
