"""A study: what is asked of which vehicles under which rules, what was looked at, and in what order things come off."""

from __future__ import annotations

from django.http import HttpRequest, HttpResponse
from django.shortcuts import render
from django.views.decorators.http import require_safe

from hoistbook.app.study_sheet import front_of, study_sheet


@require_safe
def study(request: HttpRequest, code: str) -> HttpResponse:
    """The study, with what needs no mass book at once."""
    found = front_of(code)
    said = study_sheet(request, found, "study", "Study")
    return render(request, "hoistbook/study.html", said)
