"""Name of this application among the tables."""

from django.apps import AppConfig


class Studies(AppConfig):
    """Studies and everything stated in them."""

    name = "hoistbook.store.studies"
    label = "studies"
