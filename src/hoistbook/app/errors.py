"""What a reader sees when something is not there or went wrong: what happened, what was kept, what to do."""

from __future__ import annotations

import logging
from collections.abc import Callable
from typing import Any

from django.db import Error
from django.http import Http404, HttpRequest, HttpResponse
from django.shortcuts import render

from hoistbook.services.vehicles import said_of_store
from hoistbook.store.problems import Busy, StoreRefused

_log = logging.getLogger("hoistbook.app")
KEPT = "Nothing in the record was changed."


def page(
    request: HttpRequest, status: int, title: str, what: str, advice: str, *, kept: str = KEPT
) -> HttpResponse:
    """A page with a status, what happened and what to do; just the sentences where a part of a page was asked for."""
    said = {"title": title, "what": what, "advice": advice, "kept": kept, "block": (("Status", status),)}
    htmx = getattr(request, "htmx", None)
    whole = not htmx or htmx.history_restore_request
    template = "hoistbook/refused.html" if whole else "hoistbook/_refused.html"
    return render(request, template, said, status=status)


def not_found(request: HttpRequest, exception: Exception | None = None) -> HttpResponse:
    """404: say what is not there; a close name is in the message where there is one."""
    told = exception.args[0] if exception is not None and exception.args else ""
    what = told if isinstance(told, str) and told else "There is no page at this address."
    return page(request, 404, "Not here", what, "Look for it in the lists of this store.")


def bad_request(request: HttpRequest, exception: Exception | None = None) -> HttpResponse:
    """400: also what a browser gets that calls this machine by a foreign name."""
    # The request may be one whose very host is refused, so nothing is rendered that asks for it.
    return HttpResponse(
        "This request cannot be answered. Open the pages at the address that hoistbook serve printed.\n",
        status=400,
        content_type="text/plain; charset=utf-8",
    )


def broken(request: HttpRequest) -> HttpResponse:
    """500: a fault of the program; what it was stands in the terminal, not on the page."""
    try:
        return page(
            request,
            500,
            "This page could not be made",
            "hoistbook met something it did not expect while making this page. That is a fault of the program.",
            "The terminal where hoistbook serve runs says more; please report it with the address of this page.",
        )
    except Exception:  # the page that says so may itself be what is broken
        _log.exception("the page for faults failed")
        return HttpResponse(
            "This page could not be made. See the terminal.\n", status=500, content_type="text/plain"
        )


def form_refused(request: HttpRequest, reason: str = "") -> HttpResponse:
    """403: a form that did not come from our own page."""
    _log.warning("form refused: %s", reason)
    return page(
        request,
        403,
        "Form not accepted",
        "This form did not come from a page of this program, or the page is older than its last start.",
        "Open the page again and repeat.",
    )


def refusals(answer: Callable[[HttpRequest], HttpResponse]) -> Any:
    """Turn what the services refuse into pages: nothing of that name, a busy or unusable store."""

    def process_exception(request: HttpRequest, error: Exception) -> HttpResponse | None:
        if isinstance(error, Http404):
            return None
        if isinstance(error, Busy):
            return page(request, 503, "The store is busy", str(error), "Open the page again in a moment.")
        if isinstance(error, StoreRefused):
            return page(
                request, 503, "The store cannot be read", str(error), "Mend that, then open the page again."
            )
        if isinstance(error, Error):
            _log.error("the database failed", exc_info=error)
            what = said_of_store(error) or "The database of this store does not answer."
            return page(request, 503, "The store cannot be read", what, "The terminal says more.")
        return None

    def passing(request: HttpRequest) -> HttpResponse:
        # No name holds a NUL, and one of the databases does not even take it as a question.
        if any("\0" in text for text in (request.path, *request.GET, *request.GET.dict().values())):
            return bad_request(request)
        return answer(request)

    passing.process_exception = process_exception  # type: ignore[attr-defined]
    return passing
