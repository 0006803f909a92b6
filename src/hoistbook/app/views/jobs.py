"""How far a piece of work is, asked every second by the page that waits for it."""

from __future__ import annotations

from django.http import Http404, HttpRequest, HttpResponse
from django.shortcuts import render
from django.views.decorators.http import require_safe

from hoistbook.app.work import LINE


@require_safe
def progress(request: HttpRequest, name: str) -> HttpResponse:
    """The panel as it stands; once the work is done, or nobody knows of it any more, the page is loaded anew."""
    job = LINE.find(name)
    if job is None and not getattr(request, "htmx", False):
        msg = "No work is known under this name: it was done long ago, or before the last start."
        raise Http404(msg)
    response = render(request, "hoistbook/_waiting.html", {"job": job})
    if job is None or not (job.open or job.why):
        response.headers["HX-Refresh"] = "true"
    return response
