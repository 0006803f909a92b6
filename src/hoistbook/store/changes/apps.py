"""Name of this application among the tables."""

from django.apps import AppConfig


class Changes(AppConfig):
    """Changes, files and what belongs to every kind of row."""

    name = "hoistbook.store.changes"
    label = "changes"
