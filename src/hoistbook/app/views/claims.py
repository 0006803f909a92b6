"""The claims of a study: what the record says of each sentence, from which figures, and what would settle it."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import Any
from urllib.parse import urlencode

from django.http import HttpRequest, HttpResponse
from django.shortcuts import render
from django.urls import reverse
from django.views.decorators.http import require_safe

from hoistbook.app.cells import column, interval_of
from hoistbook.app.opened import the_record
from hoistbook.app.sheet import address, named
from hoistbook.app.study_sheet import front_of, study_address, study_sheet
from hoistbook.app.templatetags.sheets import mark_number
from hoistbook.app.work import LINE
from hoistbook.core.compare.bars import Interval
from hoistbook.core.compare.claim_checks import check_figure
from hoistbook.core.compare.claim_words import asked_for, percent, shown_unit
from hoistbook.core.compare.claims import EFFECTS, FASTENER_COUNT, PART_COUNT, Claim
from hoistbook.core.quantities.printing import text
from hoistbook.core.quantities.units import from_si
from hoistbook.core.vehicle.hazards import WHO_DECIDES
from hoistbook.core.vehicle.kinds import unit_text
from hoistbook.report.claim_scale import ClaimScale, claim_scale
from hoistbook.report.figures import figure
from hoistbook.services.claim_states import claims_key, claims_of, kept_claims
from hoistbook.services.keeping import Json
from hoistbook.services.pages.claims import STATES, Moment, ground, hazards_of, held, moments, state_asked
from hoistbook.services.pages.studies import StudyFront

SYMBOLS = {"confirmed": "yes", "refuted": "no", "open": "undecided"}
"""Symbol of each state in `_symbols.html`."""


@require_safe
def claims(request: HttpRequest, code: str) -> HttpResponse:
    """The claims, kept or being worked out."""
    found = front_of(code)
    with named():
        wanted = state_asked(request.GET.get("state", ""))
    said = study_sheet(request, found, "study claims", "Claims")
    record = the_record()
    told = kept_claims(record, found.code)
    if told is None:
        key = f"{record.folder.resolve()} {claims_key(record, found.code)}"
        job = LINE.ask(
            key,
            f"claims of {found.title}",
            lambda progress: claims_of(record, code, progress),
            f"{record.folder.resolve()} claims {found.code!r}",
        )
        return render(request, "hoistbook/claims.html", {**said, "job": job})
    history = moments(record, found)
    stated = {claim.code: claim for claim in found.study.claims}
    cards = [
        _card(number, one, stated[one["claim"]], found, history.get(one["claim"], ()), wanted)
        for number, one in enumerate(told["claims"], start=1)
        if one["claim"] in stated  # unless the study was loaded anew just now
    ]
    said |= {
        "told": told,
        "cards": [card for card in cards if card["listed"]],
        "all": len(cards),
        "wanted": wanted,
        "filters": _filters(found, told, wanted),
        "level": percent(told["sure_enough_frac"]),
        "conflicts": _conflicts(told, cards),
        "caution": WHO_DECIDES,
    }
    return render(request, "hoistbook/claims.html", said)


def _filters(found: StudyFront, told: Json, wanted: str) -> list[tuple[str, str, str, int, bool]]:
    """Words, address, symbol, count, and whether it is the one shown."""
    rows = [("all", study_address("study claims", found.code), "", len(told["claims"]), not wanted)]
    rows += [
        (
            state,
            study_address("study claims", found.code, state=state),
            SYMBOLS[state],
            told[state],
            state == wanted,
        )
        for state in STATES
    ]
    return rows


def _conflicts(told: Json, cards: Sequence[dict[str, Any]]) -> list[dict[str, Any]]:
    places = {card["one"]["claim"]: card for card in cards}
    return [
        {"claims": [places[name] for name in one["claims"]], "alarm": one["alarm"]}
        for one in told["conflicts"]
        if all(name in places for name in one["claims"])
    ]


def _card(
    number: int, one: Json, claim: Claim, found: StudyFront, history: Sequence[Moment], wanted: str
) -> dict[str, Any]:
    unit = shown_unit(one["quantity"])
    laid_out = held(one)
    difference = None if laid_out is None else _in_unit(laid_out.value, unit)
    effect = one["quantity"] in EFFECTS
    signed = effect or bool(one["other"])
    value = None if difference is None else figure(difference, unit=unit, signed=signed)
    value_text = "" if value is None else f"{value}\u202f{unit_text(unit)}".rstrip("\u202f")
    scale: ClaimScale | None = None
    claimed = asked_for(claim)
    if laid_out is not None and difference is not None:
        scale = claim_scale(
            difference,
            [_si(limit, unit) for limit in laid_out.limits],
            laid_out.relation,
            (_si(laid_out.unsure[0], unit), _si(laid_out.unsure[1], unit)),
            value_text,
            claimed,
        )
    of = found.member(one["vehicle"])
    words = {row["words"] for row in one["figures"]}
    return {
        "number": number,
        "one": one,
        "listed": wanted in ("", one["state"]),
        "state": one["state"],
        "symbol": SYMBOLS[one["state"]],
        "of": of,
        "mark": mark_number(-1 if of is None else of.place),
        "against": found.member(one["other"]),
        "chance": None if one["probability"] is None else percent(one["probability"]),
        "claimed": claimed,
        "scale": scale,
        "value_text": value_text,
        "is_difference": signed and not effect,
        "words": words.pop() if len(words) == 1 else "",
        "figures": _figures(one, found, unit, difference),
        "unit": unit_text(unit),
        "limit": _limit(one, unit),
        "exact": one["detection_limit"] is not None and not one["detection_limit"]["value"],
        "assumed": [(text, row["called"]) for row in one["figures"] for text in row["assumed"]],
        "next": [_next(row) for row in one["next_measurements"]],
        "hazards": hazards_of(one["next_measurements"]),
        "history": [_moment(moment, unit, found) for moment in history],
        "since": one["since"],
    }


def _si(value: float, unit: str) -> float:
    return from_si(value, unit) if unit else value


def _in_unit(found: Interval, unit: str) -> Interval:
    return Interval(_si(found.value, unit), _si(found.low, unit), _si(found.high, unit))


def _figures(one: Json, found: StudyFront, unit: str, difference: Interval | None) -> list[dict[str, Any]]:
    rows = one["figures"]
    intervals = [None if row["value"] is None else interval_of(row) for row in rows]
    shown = [None if each is None else _in_unit(each, unit) for each in intervals]
    compared = bool(one["other"]) and one["quantity"] not in EFFECTS and difference is not None
    cells = column([*shown, difference] if compared else shown, unit)
    found_rows: list[dict[str, Any]] = [
        {
            "row": row,
            "cell": cell,
            "member": found.member(row["vehicle"]),
            "link": _link(one, row["vehicle"], found),
            "grounds": [ground(text) for text in row["from"]],
            "there": found.is_there(row["vehicle"]),
        }
        for row, cell in zip(rows, cells, strict=False)
    ]
    if compared:
        (told,) = column([difference], unit, signed=True)
        found_rows.append({"row": None, "cell": told})
    return found_rows


def _link(one: Json, vehicle: str, found: StudyFront) -> str:
    """Where the figure of a claim is looked up: its check, part, system or function, or the facts of the vehicle."""
    member = found.member(vehicle)
    if member is None or not member.there:
        return ""
    query = {"configuration": member.configuration}
    of_check = check_figure(one["quantity"])
    if of_check is not None:
        chosen = urlencode({"configuration": member.configuration}) if member.configuration else ""
        return f"{reverse('check', args=[vehicle, of_check.check.name])}{'?' if chosen else ''}{chosen}"
    if one["part"]:
        return address("parts", vehicle, at=one["part"], **query)
    if one["quantity"] in EFFECTS:
        return study_address("study gap", found.code)
    if one["quantity"] in (PART_COUNT, FASTENER_COUNT):
        return address("parts", vehicle, **query)
    if one["quantity"] == "mass":
        return f"{address('mass', vehicle, **query)}#B"
    return f"{address('vehicle', vehicle, **query)}#D"


def _limit(one: Json, unit: str) -> str:
    if one["detection_limit"] is None:
        return ""
    size = _si(one["detection_limit"]["value"], unit)
    return text(float(f"{size:.2g}"), unit=unit_text(unit))


def _next(row: Mapping[str, Any]) -> dict[str, Any]:
    return {
        "row": row,
        "low": percent(row["probability_low"]),
        "high": percent(row["probability_high"]),
        "decides": f"{100.0 * row['decides_frac']:.0f}",
    }


def _moment(moment: Moment, unit: str, found: StudyFront) -> dict[str, Any]:
    known = [row for row in moment.figures if row["value"] is not None]
    names = {member.code: member.name for member in found.members}
    return {
        "moment": moment,
        "symbol": SYMBOLS[moment.state],
        "chance": "not known" if moment.probability is None else percent(moment.probability),
        "figures": [
            (
                names.get(row["vehicle"], row["vehicle"]),
                str(figure(_in_unit(Interval(row["value"], row["low"], row["high"]), unit), unit=unit)),
            )
            for row in known
        ],
        "movers": [
            (mover, reverse("change", args=[mover.vehicle, mover.change]) if mover.vehicle else "")
            for mover in moment.movers
        ],
    }
