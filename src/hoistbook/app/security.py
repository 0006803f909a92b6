"""What every answer tells the browser: run only our own files, stay in no foreign frame, send nothing elsewhere."""

from __future__ import annotations

from collections.abc import Callable

from django.http import HttpRequest, HttpResponse

Answer = Callable[[HttpRequest], HttpResponse]

POLICY = "; ".join(
    (
        "default-src 'none'",
        "script-src 'self'",
        "style-src 'self'",
        "img-src 'self' data:",
        "connect-src 'self'",
        "form-action 'self'",
        "frame-ancestors 'none'",
        "base-uri 'none'",
    )
)
HEADERS = {
    "Content-Security-Policy": POLICY,
    "X-Content-Type-Options": "nosniff",
    "X-Frame-Options": "DENY",
    "Referrer-Policy": "same-origin",
    "Cross-Origin-Opener-Policy": "same-origin",
    "Cross-Origin-Resource-Policy": "same-origin",
    "Permissions-Policy": "camera=(), geolocation=(), microphone=(), payment=(), usb=()",
}


def headers(answer: Answer) -> Answer:
    """Put the headers on every answer, and keep pages of the record out of shared and lasting caches.

    Notes
    -----
    An answer to HEAD leaves without its body here: the server sends what it is given, and on a connection that stays
    open the browser would take those bytes for the next answer.
    """

    def with_headers(request: HttpRequest) -> HttpResponse:
        response = answer(request)
        for name, value in HEADERS.items():
            response.headers.setdefault(name, value)
        response.headers.setdefault("Cache-Control", "private, no-cache")
        if request.method == "HEAD" and not response.streaming:
            response.headers.setdefault("Content-Length", str(len(response.content)))
            response.content = b""
        return response

    return with_headers
