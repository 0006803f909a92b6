"""Name of this application among the tables."""

from django.apps import AppConfig


class Vehicles(AppConfig):
    """Vehicles and everything recorded about them."""

    name = "hoistbook.store.vehicles"
    label = "vehicles"
