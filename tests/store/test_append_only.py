"""No statement of SQL changes, removes or replaces a row, in any table of the store; they come from the models."""

import itertools
from datetime import UTC, datetime

import pytest
from django.apps import apps
from django.db import DatabaseError, connection, transaction

from hoistbook.store.changes.models import Change
from hoistbook.store.setup import APPS
from hoistbook.store.versions import Version

# first principles: the statements of SQL that take or change rows: UPDATE, DELETE, INSERT with a conflict clause; of
# SQLite also REPLACE, of PostgreSQL also TRUNCATE, MERGE and DELETE inside a query (the manuals' lists of statements).


def models():
    return [m for app in APPS for m in apps.get_app_config(app.rpartition(".")[2]).get_models()]


class Filler:
    """Puts a row into every table, whatever its columns are."""

    def __init__(self):
        self.numbers = itertools.count(1)
        self.made = {}

    def row(self, model):
        if model not in self.made:
            self.made[model] = None
            given = {f.attname: self.value(f) for f in model._meta.concrete_fields}
            self.made[model] = model.objects.create(
                **{name: value for name, value in given.items() if value is not None}
            )
        return self.made[model]

    def value(self, field):
        if field.remote_field:
            return None if field.null else self.row(field.related_model).pk
        kind = field.get_internal_type()
        return {
            "TextField": lambda: f"x{next(self.numbers)}",
            "BigAutoField": lambda: None,
            "DateTimeField": lambda: datetime(2026, 1, 1, tzinfo=UTC),
            "BooleanField": lambda: False,
            "JSONField": dict,
        }.get(kind, lambda: 1)()


assert Change  # its package sets the models up, so it comes before `versions`


def everything(model):
    with connection.cursor() as cursor:
        cursor.execute(f"SELECT * FROM {model._meta.db_table}")
        return sorted(map(repr, cursor.fetchall()))


def run(statement):
    with transaction.atomic(), connection.cursor() as cursor:
        cursor.execute(statement)


def keys_of(name):
    """Columns of every unique key of a table, those that hold under a condition too."""
    with connection.cursor() as cursor:
        found = connection.introspection.get_constraints(cursor, name).values()
    return [one["columns"] for one in found if one["unique"] or one["primary_key"]]


def attacks(model):
    """Statements that would change or take the one row of a table."""
    name, key = model._meta.db_table, f'"{model._meta.pk.column}"'
    columns = [f'"{f.column}"' for f in model._meta.concrete_fields]
    listed = ", ".join(columns)
    for column in columns:
        yield f"UPDATE {name} SET {column} = {column}"
    yield f"UPDATE {name} SET {key} = {key} WHERE {key} IN (SELECT {key} FROM {name})"
    yield f"DELETE FROM {name}"
    upsert = (
        "INSERT INTO {} ({}) SELECT {} FROM {} WHERE true ON CONFLICT ({}) DO UPDATE SET {} = excluded.{}"
    )
    for unique in [keys for keys in keys_of(name) if "slot" not in keys]:
        yield upsert.format(name, listed, listed, name, ", ".join(unique), columns[-1], columns[-1])
    if connection.vendor == "sqlite":
        yield from (
            f"UPDATE OR {what} {name} SET {key} = {key}" for what in ("IGNORE", "REPLACE", "FAIL", "ROLLBACK")
        )
        yield f"REPLACE INTO {name} ({listed}) SELECT {listed} FROM {name}"
        yield f"INSERT OR REPLACE INTO {name} (rowid, {listed}) SELECT rowid, {listed} FROM {name}"
        if model._meta.pk.get_internal_type() == "TextField":  # beside it each row has a hidden number
            other = ", ".join(f"{column} || 'y'" if column == key else column for column in columns)
            yield f"INSERT OR REPLACE INTO {name} (rowid, {listed}) SELECT rowid, {other} FROM {name}"
        without = ", ".join(column for column in columns if column != key)
        if any(model._meta.pk.column not in unique for unique in keys_of(name)):
            yield f"INSERT OR REPLACE INTO {name} ({without}) SELECT {without} FROM {name}"
    else:
        yield f"TRUNCATE {name} RESTART IDENTITY CASCADE"
        yield f"WITH gone AS (DELETE FROM {name} RETURNING *) SELECT * FROM gone"
        merge = f"MERGE INTO {name} AS a USING {name} AS b ON a.{key} = b.{key} WHEN MATCHED THEN "
        yield merge + "DELETE"
        yield f"{merge}UPDATE SET {key} = b.{key}"


def test_no_statement_changes_or_takes_a_row_of_any_table(place):
    fill = Filler()
    with transaction.atomic():
        for model in models():
            fill.row(model)
    for model in models():
        before = everything(model)
        assert before
        for statement in attacks(model):
            with pytest.raises(DatabaseError, match=r"append-only|an earlier one of its own slot"):
                run(statement)
            assert everything(model) == before, statement


def test_a_successor_cannot_be_put_in_place_of_another(place):
    # Each version may be superseded once; the second one must not take the place of the first.
    fill = Filler()
    for model in (one for one in models() if issubclass(one, Version)):
        with transaction.atomic():
            root = fill.row(model)
            columns = [
                f'"{f.column}"' for f in model._meta.concrete_fields if f.name not in ("id", "supersedes")
            ]
            listed = ", ".join(columns)
            after = f"INTO {model._meta.db_table} ({listed}, supersedes_id) SELECT {listed}, {root.pk} "
            run(f"INSERT {after} FROM {model._meta.db_table} WHERE id = {root.pk}")
        before = everything(model)
        ways = ("INSERT", "INSERT OR REPLACE", "REPLACE") if connection.vendor == "sqlite" else ("INSERT",)
        for way in ways:
            with pytest.raises(DatabaseError):
                run(f"{way} {after} FROM {model._meta.db_table} WHERE id = {root.pk}")
        assert everything(model) == before


def test_no_table_of_the_store_is_without_a_model(place):
    # Beside the tables attacked above there are only the library's notes about migrations.
    known = {model._meta.db_table for model in models()}
    assert set(connection.introspection.table_names()) - known == {"django_migrations"}
