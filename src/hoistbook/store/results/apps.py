"""Name of this application among the tables."""

from django.apps import AppConfig


class Results(AppConfig):
    """Kept results of the engines."""

    name = "hoistbook.store.results"
    label = "results"
