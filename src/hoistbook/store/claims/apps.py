"""Name of this application among the tables."""

from django.apps import AppConfig


class Claims(AppConfig):
    """What the record said of each claim, and when."""

    name = "hoistbook.store.claims"
    label = "claims"
