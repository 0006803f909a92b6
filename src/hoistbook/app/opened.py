"""The store whose pages are shown: one per process, as the connection is."""

from __future__ import annotations

from hoistbook.services.vehicles import Record

_record: list[Record] = []


def set_record(record: Record) -> None:
    """Show the pages of this store from now on."""
    _record[:] = [record]


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
