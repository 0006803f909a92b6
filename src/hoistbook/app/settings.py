"""Settings of the pages, handed to the set-up of the store: one process, this machine only."""

from __future__ import annotations

import hashlib
import secrets
from pathlib import Path
from typing import Any

from hoistbook.store.setup import configure

HOSTS = ("127.0.0.1", "localhost", "[::1]")
"""Names a browser on this machine may call us by. Anything else is refused: a page of somebody else that lets its name
point here would otherwise read the record."""

STATIC = Path(__file__).parent / "static"
TEMPLATES = Path(__file__).parent / "templates"


def configure_pages() -> None:
    """Make the store usable and its pages with it."""
    configure(**page_settings())


def page_settings() -> dict[str, Any]:
    """Settings of the pages beyond those of the store.

    Notes
    -----
    The secret is drawn at every start: it signs nothing that outlives the process. Addresses of style and scripts hold
    a digest of them, so that a browser keeps them for good and a new version is asked for under a new address.
    """
    return {
        "DEBUG": False,
        "SECRET_KEY": secrets.token_urlsafe(48),
        "ALLOWED_HOSTS": list(HOSTS),
        "ROOT_URLCONF": "hoistbook.app.urls",
        "INSTALLED_APPS": ("django.contrib.staticfiles", "django_htmx", "hoistbook.app"),
        "MIDDLEWARE": [
            "hoistbook.app.security.headers",
            "whitenoise.middleware.WhiteNoiseMiddleware",
            "django.middleware.common.CommonMiddleware",
            "django.middleware.csrf.CsrfViewMiddleware",
            "django_htmx.middleware.HtmxMiddleware",
            "hoistbook.app.errors.refusals",
        ],
        "TEMPLATES": [
            {
                "BACKEND": "django.template.backends.django.DjangoTemplates",
                "DIRS": [str(TEMPLATES)],
                "OPTIONS": {
                    "context_processors": [
                        "django.template.context_processors.request",
                        "hoistbook.app.theme.of_request",
                        "hoistbook.app.opened.of_store",
                    ],
                    "loaders": [
                        (
                            "django.template.loaders.cached.Loader",
                            ["django.template.loaders.filesystem.Loader"],
                        )
                    ],
                },
            }
        ],
        "STATIC_URL": f"/static/{_digest(STATIC)}/",
        "WHITENOISE_USE_FINDERS": True,
        "WHITENOISE_AUTOREFRESH": False,
        "WHITENOISE_ALLOW_ALL_ORIGINS": False,
        "WHITENOISE_IMMUTABLE_FILE_TEST": lambda _path, url: url.startswith("/static/"),
        "CSRF_COOKIE_SAMESITE": "Strict",
        "CSRF_COOKIE_HTTPONLY": True,
        "CSRF_COOKIE_NAME": "hoistbook-form",
        "CSRF_FAILURE_VIEW": "hoistbook.app.errors.form_refused",
        "USE_I18N": False,
        "LANGUAGE_CODE": "en",
        "APPEND_SLASH": True,
        "DATA_UPLOAD_MAX_MEMORY_SIZE": 65536,
    }


def _digest(folder: Path) -> str:
    digest = hashlib.sha256()
    for path in sorted(folder.rglob("*")):
        if path.is_file():
            digest.update(path.relative_to(folder).as_posix().encode() + b"\0" + path.read_bytes())
    return digest.hexdigest()[:12]
