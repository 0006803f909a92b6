"""The gap of a study: answer, drawn walk and table; a cause opens to its decisions, a figure to its readings."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any

from django.http import Http404, HttpRequest, HttpResponse
from django.shortcuts import render
from django.views.decorators.http import require_safe

from hoistbook.app.gap_rows import (
    cause_of,
    cause_table,
    content_rows,
    decision_rows,
    evidence_groups,
    moved_rows,
    next_rows,
    parameter_rows,
    replaced_rows,
    walk_of,
)
from hoistbook.app.opened import the_record
from hoistbook.app.sheet import named
from hoistbook.app.study_sheet import front_of, study_address, study_sheet
from hoistbook.app.views.mass import CAUTION
from hoistbook.app.work import LINE
from hoistbook.core.compare.study_settings import DUTIES
from hoistbook.services.keeping import Json
from hoistbook.services.pages.gap import (
    AskedGap,
    asked_gap,
    earlier_of,
    grounds_of,
    page_of,
    work_out,
)
from hoistbook.services.pages.gap_evidence import FIELD, FUNCTION, STATED, Asked, evidence_behind
from hoistbook.services.pages.gap_parts import AS_FOUND, NORMALISED
from hoistbook.services.pages.studies import StudyFront

MOST_NEXT = 3
MOST_ROWS = 12
"""project rule: readings of one vehicle's parts that are shown before more are asked for."""
ROWS_AT_ONCE = 100
"""project rule: readings of each vehicle that are shown then; a figure of 10,000 parts has as many."""
_QUANTITIES = (("range", "range"), ("energy", "consumption"), ("mass", "mass"))


@dataclass(frozen=True, slots=True)
class _Here:
    """What the address asks for; links differ from it in one thing each."""

    study: str
    asked: AskedGap
    given: dict[str, str]

    @property
    def comparison(self) -> str:
        """Which comparison is spoken of."""
        return AS_FOUND if self.given.get("as") == "found" else NORMALISED

    @property
    def piece(self) -> int:
        """Which piece of the readings is asked for, from 1; 0 for the few that stand there by themselves."""
        text = self.given.get("all", "")
        return int(text) if text.isascii() and text.isdigit() and len(text) < 6 else 0

    def link(self, at: str = "", /, page: str = "study gap", **changes: str) -> str:
        """The same page with something else in it, at one of its zones; what is empty leaves the address."""
        found = study_address(page, self.study, **{**self.given, **changes})
        return f"{found}#{at}" if at else found

    def opens(self, zone: str, **changes: str) -> dict[str, str]:
        """A link that opens a zone in place where there is a script, and the whole page where there is none."""
        return {
            "href": self.link(zone, **changes),
            "get": self.link(page="study gap opened", **changes, zone=zone),
            "zone": zone,
        }


@require_safe
def gap(request: HttpRequest, code: str) -> HttpResponse:
    """The gap of a study under its last frozen version."""
    front = front_of(code)
    said = study_sheet(request, front, "study gap", "Gap")
    if front.state.last is None:
        return render(request, "hoistbook/gap.html", {**said, "draft": True})
    here = _here(request, front)
    page = page_of(the_record(), here.asked)
    said |= _choices(front, here)
    if page is None:
        return render(request, "hoistbook/gap.html", {**said, "job": _job(here.asked, front)})
    walk = walk_of(page, here.comparison)
    side = page["sides"][here.comparison]
    said |= _walk(front, here, page) | {
        "answer": side["answer"],
        "account": side["account"],
        "drawings": side["drawings"],
        "content": content_rows(page, said["names"]),
        "doubts": walk["doubts"],
        "remarks": side["remarks"],
        "not_compared": walk["not_compared"],
        "assumptions": walk["assumptions"],
        "replaced": replaced_rows(page, said["names"]),
        "reported": [(said["names"][one], told) for one, told in page["reported"].items() if told],
        "since": _since(here, page),
    }
    return render(request, "hoistbook/gap.html", said)


@require_safe
def opened(request: HttpRequest, code: str) -> HttpResponse:
    """The table with the zones below it, for a cause or figure that is opened in place."""
    front = front_of(code)
    if front.state.last is None:
        msg = f"study {code} is not frozen, so no gap is worked out under it."
        raise Http404(msg)
    here = _here(request, front)
    page = page_of(the_record(), here.asked)
    if page is None:
        # Something was loaded since the page was drawn: it is worked out anew there.
        response = HttpResponse(status=204)
        response.headers["HX-Redirect"] = here.link()
        return response
    said = _choices(front, here) | _walk(front, here, page)
    said |= {"front": front, "focus": request.GET.get("zone", "")}
    return render(request, "hoistbook/_gap_walk.html", said)


def _here(request: HttpRequest, front: StudyFront) -> _Here:
    given = {
        name: value
        for name in ("to", "quantity", "duty", "as", "cause", "of", "all")
        if (value := request.GET.get(name, ""))
    }
    last = front.state.last
    with named():
        if last is None:
            msg = f"study {front.code} is not frozen."
            raise LookupError(msg)
        asked = asked_gap(
            the_record(),
            front.code,
            last,
            given.get("to", ""),
            given.get("quantity", ""),
            given.get("duty", ""),
        )
    return _Here(front.code, asked, given)


def _job(asked: AskedGap, front: StudyFront) -> object:
    record = the_record()
    of = f"{asked.quantity} {asked.duty}".strip()
    key = f"gap {record.folder.resolve()} {asked!r}"
    title = f"the gap of {front.title} from {asked.codes[0]} to {asked.codes[1]} in {of}"
    subject = f"{record.folder.resolve()} gap {asked.study!r} {asked.codes} {of}"
    return LINE.ask(key, title, lambda told: work_out(record, asked, told), subject)


def _choices(front: StudyFront, here: _Here) -> dict[str, Any]:
    """Links to the other comparison, vehicles, quantities and duties; opened zones close where they would not fit."""
    asked = here.asked
    names, frozen = _names(front), _frozen_codes(front)
    closed = {"cause": "", "of": "", "all": ""}
    duties = dict.fromkeys((asked.fixed[1] or asked.duty, *DUTIES)) if asked.duty else {}
    return {
        "asked": asked,
        "names": names,
        "pair": list(zip(asked.places, (names[code] for code in asked.codes), strict=True)),
        "comparisons": [
            (words, here.link(**{"as": value}), here.comparison == words)
            for words, value in ((AS_FOUND, "found"), (NORMALISED, ""))
        ],
        "others": [
            (place, names[code], here.link(**closed, to=code), code == asked.codes[1])
            for place, code in enumerate(frozen)
            if code != asked.codes[0]
        ],
        "quantities": [
            (words, here.link(**closed, quantity=name), name == asked.quantity) for name, words in _QUANTITIES
        ],
        "duties": [(one, here.link(**closed, duty=one), one == asked.duty) for one in duties if one],
        "fixed": " in ".join(filter(None, (dict(_QUANTITIES)[asked.fixed[0]], asked.fixed[1]))),
    }


def _frozen_codes(front: StudyFront) -> tuple[str, ...]:
    """The vehicles a gap can be between; the workbook may name others since."""
    return () if front.state.last is None else front.state.last.frozen.codes


def _names(front: StudyFront) -> dict[str, str]:
    """Names of the vehicles; the code of one that the workbook has dropped since the study was frozen."""
    codes = {code: code for code in _frozen_codes(front)}
    return codes | {one.code: one.name for one in front.members}


def _walk(front: StudyFront, here: _Here, page: Json) -> dict[str, Any]:
    """Table of causes, what to measure next, and the zones that are opened."""
    walk, side = walk_of(page, here.comparison), page["sides"][here.comparison]
    table = cause_table(page, here.comparison)
    cause = cause_of(walk, here.given.get("cause", ""))
    if here.given.get("cause") and cause is None:
        msg = f"no cause {here.given['cause']!r} in this gap {here.comparison}."
        raise Http404(msg)
    for row in table["rows"]:
        row["open"] = here.opens("C", cause=row["cause"]["name"], of="", all="")
        row["here"] = row["cause"] is cause
    return {
        "comparison": here.comparison,
        "other_comparison": NORMALISED if here.comparison == AS_FOUND else AS_FOUND,
        "walk": walk,
        "side": side,
        "table": table,
        "stated_open": here.opens("D", cause="", of="", all=""),
        "closes": here.opens("C", cause="", of="", all=""),
        "next": next_rows(walk, side["worth_naming"], MOST_NEXT),
        "narrowed": "the gap"
        if page["gap"]["next_measurements_narrow"] == "gap"
        else "what is not explained",
        "caution": CAUTION,
        "cause": cause,
        **_opened(here, page, cause),
        **_evidence(front, here, page, cause),
    }


def _opened(here: _Here, page: Json, cause: Json | None) -> dict[str, Any]:
    """Decisions and parameters of the cause that is opened; every decision where none is."""
    found = decision_rows(page, here.comparison, cause, here.asked.codes, here.asked.places)
    for row in found["rows"]:
        row["open"] = here.opens("D", of=Asked(FUNCTION, row["one"]["name"]).text, all="")
        row["here"] = here.given.get("of") == Asked(FUNCTION, row["one"]["name"]).text
    parameters = []
    if cause is not None:
        parameters = parameter_rows(page, here.comparison, cause["fields"] or [cause["name"]])
        for row in parameters:
            row["open"] = here.opens("D", of=Asked(FIELD, row["name"]).text, all="")
            row["here"] = here.given.get("of") == Asked(FIELD, row["name"]).text
    return {"decisions": found, "parameters": parameters}


def _evidence(front: StudyFront, here: _Here, page: Json, cause: Json | None) -> dict[str, Any]:
    """Readings behind the figure that is asked for; behind the stated ends of the walk where none is."""
    record, codes = the_record(), here.asked.codes
    grounds = grounds_of(record, here.asked)
    if grounds is None:
        return {"evidence": None}
    with named():
        asked = Asked.read(here.given.get("of", STATED))
        fields = () if cause is None else cause["fields"] or [cause["name"]]
        is_mass = here.asked.quantity == "mass"
        if asked.kind == STATED and not any(page["stated"]):
            return {"evidence": [], "evidence_of": "nothing is stated", "evidence_is_stated": True}
        piece = here.piece
        most, first = (ROWS_AT_ONCE, ROWS_AT_ONCE * (piece - 1)) if piece else (MOST_ROWS, None)
        found = evidence_behind(record, grounds, codes, asked, fields, mass=is_mass, most=most, first=first)
    names = _names(front)
    places = dict(zip(codes, here.asked.places, strict=True))
    return {
        "evidence": evidence_groups(found, names, places),
        "evidence_of": _words(page, here.comparison, asked),
        "evidence_is_stated": asked.kind == STATED,
        "evidence_more": here.opens("D", all=str(piece + 1)),
        "evidence_first": here.opens("D", all="") if first else None,
        "evidence_assumed": [
            one["text"]
            for one in walk_of(page, here.comparison)["assumed"]
            if asked.kind == FIELD and one["field"] == asked.name
        ],
    }


def _words(page: Json, comparison: str, asked: Asked) -> str:
    """What the figure is called."""
    if asked.kind == FIELD:
        known = page["parameters"][comparison]
        return str(known[asked.name]["words"]) if asked.name in known else asked.name
    if asked.kind == FUNCTION:
        return str(page["functions"].get(asked.name, asked.name))
    return {"range": "stated range", "energy": "stated consumption", "mass": "mass on the scale"}[
        page["gap"]["quantity"]
    ]


def _since(here: _Here, page: Json) -> dict[str, Any] | None:
    """What moved since the last gap that was worked out for this question."""
    earlier = earlier_of(the_record(), here.asked)
    if earlier is None:
        return None
    return {
        "earlier": earlier,
        "moved": moved_rows(earlier.kept.value, page, here.comparison),
        "refrozen": earlier.version != here.asked.version,
    }
