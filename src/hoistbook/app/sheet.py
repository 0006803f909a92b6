"""What every page of a vehicle has around its zones, and the steps that all views share."""

from __future__ import annotations

from collections.abc import Iterator
from contextlib import contextmanager
from typing import Any
from urllib.parse import urlencode

from django.http import Http404, HttpRequest, HttpResponse
from django.shortcuts import render
from django.urls import reverse
from django.utils.cache import patch_vary_headers

from hoistbook.app.opened import the_record
from hoistbook.app.work import LINE, Job
from hoistbook.services.keeping import Json
from hoistbook.services.pages.book import Asked, summary_of, work_out
from hoistbook.services.pages.heads import Head, head

VEHICLE_PAGES = (
    ("Vehicle", "vehicle", "1"),
    ("Parts", "parts", "2"),
    ("Mass", "mass", "3"),
    ("Cost", "cost", "6"),
    ("Assembly", "assembly", "7"),
    ("Tests", "tests", "4"),
    ("Checks", "checks", "8"),
    ("History", "history", "5"),
)
"""Words, address and sheet number of the pages of a vehicle."""


@contextmanager
def named() -> Iterator[None]:
    """Turn a name that nobody knows into a page that says so."""
    try:
        yield
    except LookupError as error:
        told = str(error.args[0]) if error.args else "There is nothing of this name."
        raise Http404(without_folder(told)) from error


def without_folder(told: str) -> str:
    """What a service says of the store, for a page: its place on the disk is the business of the command line."""
    return told.replace(str(the_record().folder), "this store")


def head_of(code: str) -> Head:
    """The vehicle of an address; a page that says so where there is none."""
    with named():
        return head(the_record(), code)


def asked_of(request: HttpRequest, found: Head) -> Asked:
    """Whose mass book a page shows: the configuration of the address, else the first."""
    with named():
        return Asked(found.code, found.change, found.configuration(request.GET.get("configuration", "")).id)


def summary_or_job(asked: Asked, name: str) -> tuple[Json | None, Job | None]:
    """The kept summary, or the job that works it out."""
    record = the_record()
    summary = summary_of(record, asked)
    if summary is not None:
        return summary, None
    key = f"{record.folder.resolve()} {asked!r}"
    return None, LINE.ask(
        key,
        f"mass and part tree of {name}",
        lambda told: work_out(record, asked, told),
        f"{record.folder.resolve()} mass {asked.code!r} {asked.configuration!r}",
    )


def address(page: str, code: str, **query: object) -> str:
    """Address of a page of a vehicle; empty parts of the query are left out."""
    given = {name: value for name, value in query.items() if value not in ("", None)}
    return f"{reverse(page, args=[code])}{'?' if given else ''}{urlencode(given)}"


def whole_of(request: HttpRequest, name: str) -> int:
    """A whole number of the address, such as the first line of a piece of a table; 0 where it is none."""
    text = request.GET.get(name, "0")
    return int(text) if text.isascii() and text.isdigit() and len(text) < 8 else 0


def piece(request: HttpRequest, template: str, said: dict[str, Any]) -> HttpResponse:
    """A piece of a page for the page that is open; without a script the same address answers with a whole page."""
    answer = render(request, template, said)
    patch_vary_headers(answer, ["HX-Request"])
    return answer


def vehicle_sheet(
    request: HttpRequest, found: Head, here: str, words: str, asked: Asked | None = None
) -> dict[str, Any]:
    """Navigation, trail and title block of a page of a vehicle.

    Parameters
    ----------
    request : HttpRequest
    found : Head
    here : str
        Name of the page's address.
    words : str
        What the page shows, for its title.
    asked : Asked, optional
        Whose configuration is shown; carried along by the links.
    """
    chosen = asked.configuration if asked is not None else ""
    carried = chosen if request.GET.get("configuration") else ""
    number = next(number for _, name, number in VEHICLE_PAGES if name == here)
    block = [("Title", f"{words}, {found.name}")]
    if chosen:
        block.append(("Configuration", chosen))
    block += [
        ("Written", found.person),
        ("Date", found.at[:10]),
        ("Rev", str(found.changes)),
        ("Sheet", f"{found.code}-{number}"),
    ]
    return {
        "title": f"{words}, {found.name}",
        "head": found,
        "asked": asked,
        "carried": carried,
        "here": here,
        "navigation_of": found.name,
        "navigation": [
            (page_words, address(name, found.code, configuration=carried), name)
            for page_words, name, _ in VEHICLE_PAGES
        ],
        "trail": [("Vehicles", reverse("home")), (found.name, "")],
        "block": block,
    }
