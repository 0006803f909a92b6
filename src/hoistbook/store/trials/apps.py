"""Name of this application among the tables."""

from django.apps import AppConfig


class Trials(AppConfig):
    """Tests of the intact vehicle and channel maps."""

    name = "hoistbook.store.trials"
    label = "trials"
