"""The store whose pages are shown: one per process, as the connection is."""

from __future__ import annotations

from dataclasses import replace
from typing import Any

from django.http import HttpRequest

from hoistbook.services.keeping import not_kept
from hoistbook.services.vehicles import Record

_record: list[Record] = []


def set_record(record: Record) -> None:
    """Show the pages of this store from now on."""
    _record[:] = [replace(record, folder=record.folder.resolve())]


def of_store(request: HttpRequest) -> dict[str, Any]:
    """Why results are not kept, for every page; empty where they are."""
    return {"not_kept": not_kept(_record[0]) if _record else ""}


def the_record() -> Record:
    """Return the store of the pages.

    Raises
    ------
    RuntimeError
        None was opened.
    """
    if not _record:
        msg = "no store is open for the pages; call serve.application or opened.set_record first."
        raise RuntimeError(msg)
    return _record[0]
