"""Set the database library up once per process, with the applications of the store."""

from __future__ import annotations

from typing import Any

from django.apps import apps
from django.conf import settings

APPS = (
    "hoistbook.store.changes",
    "hoistbook.store.vehicles",
    "hoistbook.store.results",
    "hoistbook.store.studies",
    "hoistbook.store.trials",
    "hoistbook.store.claims",
)
"""Applications of the store, each with its own tables and its own line of migrations."""

_NOWHERE = {"default": {"ENGINE": "django.db.backends.sqlite3", "NAME": ":memory:"}}
"""Stands until `place.open_store` points the connection at a store."""


def configure(**more: Any) -> None:
    """Make the models of the store usable.

    Parameters
    ----------
    **more
        Further settings (of the pages); INSTALLED_APPS are added to those of the store.

    Notes
    -----
    The package of every store application calls this, so that its models can be imported from anywhere. Settings
    given by a later call are added to those in force.
    """
    if not settings.configured:
        settings.configure(
            **{
                "DATABASES": _NOWHERE,
                "USE_TZ": True,
                "TIME_ZONE": "UTC",
                "DEFAULT_AUTO_FIELD": "django.db.models.BigAutoField",
                **more,
                "INSTALLED_APPS": [*APPS, *more.get("INSTALLED_APPS", ())],
            }
        )
        # Not django.setup(): that would also take over the logging of the process.
        apps.populate(settings.INSTALLED_APPS)
        return
    wanted = [name for name in more.pop("INSTALLED_APPS", ()) if name not in settings.INSTALLED_APPS]
    for name, value in more.items():
        setattr(settings, name, value)
    if wanted:
        settings.INSTALLED_APPS = [*settings.INSTALLED_APPS, *wanted]
        apps.set_installed_apps(settings.INSTALLED_APPS)
