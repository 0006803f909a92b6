"""Answers about vehicles of a store are kept there; those about workbooks are not."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence
from contextlib import contextmanager
from pathlib import Path
from time import perf_counter
from typing import TYPE_CHECKING, Any

from hoistbook.services.loading import Found

if TYPE_CHECKING:
    from hoistbook.store.place import Place

Json = dict[str, Any]


def kept_json(found: Sequence[Found], kind: str, options: Json, defaults: Path | None) -> Json | None:
    """Return the answer from the store, worked out if need be; None where it is not one that a store can give."""
    record = _record(found, defaults)
    if record is None:
        return None
    from hoistbook.services.kept import answer  # brings the database library

    return answer(record, kind, _states(found), options)


@contextmanager
def keeping(
    found: Sequence[Found], kind: str, options: Json, defaults: Path | None
) -> Iterator[list[Callable[[], Json]]]:
    """Keep what is worked out inside: append to the list a function that gives it as JSON.

    A file of defaults changes the answer and is not part of the record, so nothing is kept then.
    """
    start = perf_counter()
    given: list[Callable[[], Json]] = []
    yield given
    record = _record(found, defaults)
    if given and record is not None:
        from hoistbook.services.kept import remember  # brings the database library

        remember(record, kind, _states(found), options, given[0], perf_counter() - start)


def _record(found: Sequence[Found], defaults: Path | None) -> Place | None:
    """The store that all of them come from, where there is one."""
    records = [one.record for one in found]
    return None if defaults is not None or None in records else records[0]


def _states(found: Sequence[Found]) -> dict[str, int]:
    return {one.teardown.vehicle.code: one.state for one in found}
