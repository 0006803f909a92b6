"""Everything a store holds as plain data, to tell whether two stores, or one at two times, hold the same."""

from __future__ import annotations

from typing import Any

from django.apps import apps
from django.db import models

from hoistbook.store.changes.models import Change, Store, Vanished
from hoistbook.store.files import left_behind
from hoistbook.store.place import Place
from hoistbook.store.setup import APPS
from hoistbook.store.versions import table

Picture = dict[str, list[tuple[Any, ...]]]


def tables() -> list[type[models.Model]]:
    """Models of all tables of the store."""
    return [m for app in APPS for m in apps.get_app_config(app.rpartition(".")[2]).get_models()]


def exact(place: Place) -> Picture:
    """Every column of every row, and the files."""
    held = {model._meta.label: list(model.objects.order_by("pk").values_list()) for model in tables()}
    left = left_behind(place.folder, place.files)
    held["files"] = [
        (path.name, path.read_bytes()) for path in sorted(place.files.glob("*/*")) if path not in left
    ]
    return held


def alike(place: Place) -> Picture:
    """What stays the same when the same is done at another time: without times, keys as their rank in the table."""
    ranks: dict[type[models.Model], dict[Any, int]] = {
        model: {pk: rank for rank, pk in enumerate(model.objects.order_by("pk").values_list("pk", flat=True))}
        for model in tables()
        if isinstance(model._meta.pk, models.BigAutoField)
    }
    by_label = {table(model): model for model in ranks}
    held: Picture = {}
    for model in tables():
        rows = []
        fields = [
            field
            for field in model._meta.concrete_fields
            if not isinstance(field, models.DateTimeField) and field.name != "seconds" and model is not Store
        ]
        for row in model.objects.order_by("pk").values():
            told = []
            for field in fields:
                value, of = row[field.attname], field.related_model if field.remote_field else model
                if (field.remote_field or field.primary_key) and of in ranks and value is not None:
                    value = ranks[of][value]
                elif model is Vanished and field.name == "version":
                    value = ranks[by_label[row["table"]]][value]
                elif field.name == "record_change":
                    value = ranks[Change][value]
                told.append(value)
            rows.append(tuple(told))
        held[model._meta.label] = rows
    held["files"] = [(row[0],) for row in held["changes.File"]]
    return held


def apart(one: Picture, other: Picture) -> list[str]:
    """Names of the tables in which two pictures differ."""
    return sorted(name for name in one.keys() | other.keys() if one.get(name) != other.get(name))
