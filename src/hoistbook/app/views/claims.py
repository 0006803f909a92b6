"""The claims of a study: what the record says of each sentence, from which figures, and what would settle it."""

from __future__ import annotations

from django.http import HttpRequest, HttpResponse
from django.shortcuts import render
from django.views.decorators.http import require_safe

from hoistbook.app.study_sheet import front_of, study_sheet


@require_safe
def claims(request: HttpRequest, code: str) -> HttpResponse:
    """The claims, kept or being worked out."""
    found = front_of(code)
    said = study_sheet(request, found, "study claims", "Claims")
    return render(request, "hoistbook/claims.html", said)
