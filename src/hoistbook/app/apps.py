"""Name of the pages among the applications."""

from django.apps import AppConfig


class Pages(AppConfig):
    """Templates, style and scripts of the pages; no tables."""

    name = "hoistbook.app"
    label = "pages"
