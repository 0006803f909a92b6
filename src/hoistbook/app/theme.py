"""Light, dark or as the machine has it: kept in a cookie, so that the first paint is right without a script."""

from __future__ import annotations

from typing import Any

from django.http import HttpRequest, HttpResponse, HttpResponseRedirect
from django.urls import reverse
from django.utils.http import url_has_allowed_host_and_scheme
from django.views.decorators.http import require_POST

COOKIE = "hoistbook-theme"
THEMES = (("auto", "auto"), ("light", "light"), ("dark", "dark"))
_YEAR_S = 365 * 24 * 3600


def of_request(request: HttpRequest) -> dict[str, Any]:
    """Theme chosen by the reader, for every template."""
    chosen = request.COOKIES.get(COOKIE, "auto")
    return {"theme": chosen if chosen in dict(THEMES) else "auto", "themes": THEMES}


@require_POST
def choose(request: HttpRequest) -> HttpResponse:
    """Keep the theme and go back to where the reader was."""
    back = request.POST.get("next", "")
    if not url_has_allowed_host_and_scheme(back, allowed_hosts={request.get_host()}):
        back = reverse("home")
    response = HttpResponseRedirect(back)
    chosen = request.POST.get("theme", "")
    if chosen in ("light", "dark"):
        response.set_cookie(COOKIE, chosen, max_age=_YEAR_S, httponly=True, samesite="Strict")
    else:
        response.delete_cookie(COOKIE, samesite="Strict")
    return response
