"""Migration operations that make the database itself refuse a change of what was written."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any

from django.db.migrations.operations.base import Operation, OperationCategory


class _Triggers(Operation):
    """Runs statements that differ by vendor and leave the state of the models alone."""

    reduces_to_sql = True
    reversible = True
    category = OperationCategory.SQL

    def __init__(self, table: str, key: str = "id") -> None:
        self.table = table
        self.key = key

    def forward(self, vendor: str, keys: Sequence[Sequence[str]] = ()) -> list[str]:
        """Return the statements that set the triggers up; `keys` are the unique keys of the table."""
        raise NotImplementedError

    def backward(self, vendor: str) -> list[str]:
        """Return the statements that take them away."""
        raise NotImplementedError

    def state_forwards(self, app_label: str, state: Any) -> None:
        """Leave the models as they are."""

    def database_forwards(self, app_label: str, schema_editor: Any, from_state: Any, to_state: Any) -> None:
        """Set the triggers up."""
        connection = schema_editor.connection
        keys = unique_keys(connection, self.table) if connection.vendor == "sqlite" else ()
        for statement in self.forward(connection.vendor, keys):
            schema_editor.execute(statement, params=None)

    def database_backwards(self, app_label: str, schema_editor: Any, from_state: Any, to_state: Any) -> None:
        """Take the triggers away."""
        for statement in self.backward(schema_editor.connection.vendor):
            schema_editor.execute(statement, params=None)

    def describe(self) -> str:
        """Say what is done, for the listing of migrations."""
        return f"{type(self).__name__} {self.table}"


class AppendOnly(_Triggers):
    """Rows of a table can be added; changing, deleting or replacing one aborts, emptying the table does too.

    Notes
    -----
    INSERT OR REPLACE of SQLite deletes every row that has a key of the new one, without asking the delete trigger: the
    hidden row number, the primary key, and each unique key. The last trigger looks for such a row first.

    On SQLite a table that is made anew (as the library does for most changes of a table) loses its triggers: a later
    migration that alters the table ends with this operation again.
    """

    def forward(self, vendor: str, keys: Sequence[Sequence[str]] = ()) -> list[str]:
        """Return the statements that set the triggers up."""
        table = self.table
        told = f"{table} is append-only: supersede the row instead"
        if vendor == "sqlite":
            same = [
                " AND ".join(f"{column} = NEW.{column}" for column in key)
                for key in dict.fromkeys((("rowid",), (self.key,), *map(tuple, keys)))
            ]
            there = " OR ".join(f"EXISTS (SELECT 1 FROM {table} WHERE {one})" for one in same)
            return [
                (
                    f"CREATE TRIGGER {table}_no_update BEFORE UPDATE ON {table} "
                    f"BEGIN SELECT RAISE(ABORT, '{told}'); END"
                ),
                (
                    f"CREATE TRIGGER {table}_no_delete BEFORE DELETE ON {table} "
                    f"BEGIN SELECT RAISE(ABORT, '{told}'); END"
                ),
                (
                    f"CREATE TRIGGER {table}_no_replace BEFORE INSERT ON {table} "
                    f"WHEN {there} BEGIN SELECT RAISE(ABORT, '{told}'); END"
                ),
            ]
        return [
            (
                f"CREATE FUNCTION {table}_append_only() RETURNS trigger LANGUAGE plpgsql AS "
                f"$$ BEGIN RAISE EXCEPTION '{told}' USING ERRCODE = 'integrity_constraint_violation'; END $$"
            ),
            (
                f"CREATE TRIGGER {table}_append_only BEFORE UPDATE OR DELETE OR TRUNCATE ON {table} "
                f"FOR EACH STATEMENT EXECUTE FUNCTION {table}_append_only()"
            ),
        ]

    def backward(self, vendor: str) -> list[str]:
        """Return the statements that take them away."""
        table = self.table
        if vendor == "sqlite":
            return [f"DROP TRIGGER {table}_no_{what}" for what in ("update", "delete", "replace")]
        return [f"DROP TRIGGER {table}_append_only ON {table}", f"DROP FUNCTION {table}_append_only()"]


class SameSlot(_Triggers):
    """A version supersedes only one of its own slot: owner, statement and slot are alike, its change is not later."""

    def forward(self, vendor: str, keys: Sequence[Sequence[str]] = ()) -> list[str]:
        """Return the statements that set the triggers up."""
        table = self.table
        told = f"{table}: a version supersedes an earlier one of its own slot, and no other"
        lost = (
            f"NEW.supersedes_id IS NOT NULL AND NOT EXISTS (SELECT 1 FROM {table} AS former "
            "WHERE former.id = NEW.supersedes_id AND former.owner_id = NEW.owner_id "
            "AND former.statement = NEW.statement AND former.slot = NEW.slot AND former.change_id <= NEW.change_id)"
        )
        if vendor == "sqlite":
            # The unique keys see to it that no slot forks; under INSERT OR REPLACE they would delete instead.
            fork = (
                f"EXISTS (SELECT 1 FROM {table} WHERE supersedes_id = NEW.supersedes_id) "
                f"OR (NEW.supersedes_id IS NULL AND EXISTS (SELECT 1 FROM {table} AS root "
                "WHERE root.owner_id = NEW.owner_id AND root.statement = NEW.statement "
                "AND root.slot = NEW.slot AND root.supersedes_id IS NULL))"
            )
            return [
                f"CREATE TRIGGER {table}_{name} BEFORE INSERT ON {table} WHEN {condition} "
                f"BEGIN SELECT RAISE(ABORT, '{told}'); END"
                for name, condition in (("same_slot", lost), ("no_fork", fork))
            ]
        return [
            (
                f"CREATE FUNCTION {table}_same_slot() RETURNS trigger LANGUAGE plpgsql AS $$ BEGIN IF {lost} THEN "
                f"RAISE EXCEPTION '{told}' USING ERRCODE = 'integrity_constraint_violation'; "
                "END IF; RETURN NEW; END $$"
            ),
            (
                f"CREATE TRIGGER {table}_same_slot BEFORE INSERT ON {table} "
                f"FOR EACH ROW EXECUTE FUNCTION {table}_same_slot()"
            ),
        ]

    def backward(self, vendor: str) -> list[str]:
        """Return the statements that take them away."""
        table = self.table
        if vendor == "sqlite":
            return [f"DROP TRIGGER {table}_{name}" for name in ("same_slot", "no_fork")]
        return [f"DROP TRIGGER {table}_same_slot ON {table}", f"DROP FUNCTION {table}_same_slot()"]


def unique_keys(connection: Any, table: str) -> list[tuple[str, ...]]:
    """Columns of every unconditional unique key of a table of SQLite."""
    with connection.cursor() as cursor:
        cursor.execute(f"PRAGMA index_list({table})")
        names = [name for _, name, unique, _, partial in cursor.fetchall() if unique and not partial]
        found = []
        for name in sorted(names):
            cursor.execute(f"PRAGMA index_info({name})")
            found.append(tuple(column for _, _, column in cursor.fetchall()))
    return found


def versioned(*tables: str) -> list[_Triggers]:
    """Operations that a migration ends with for tables made from `versions.Version`."""
    return [trigger(table) for table in tables for trigger in (AppendOnly, SameSlot)]
