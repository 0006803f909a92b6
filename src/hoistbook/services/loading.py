"""Teardowns from paths, or from a store by the code of the vehicle."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from pathlib import Path
from typing import TYPE_CHECKING

from hoistbook.capture.read import read_teardown
from hoistbook.core.vehicle.records import Configuration, Teardown

if TYPE_CHECKING:
    from hoistbook.store.place import Place

Progress = Callable[[int, int, str], None]


@dataclass(frozen=True, slots=True)
class Found:
    """A vehicle, the store it came from and its state there; no store where it was read from a path."""

    teardown: Teardown
    record: Place | None = None
    state: int = 0


def load_teardown(path: Path | str, progress: Progress | None = None) -> Teardown:
    """Read one teardown from a workbook or a folder of CSV files.

    Parameters
    ----------
    path : Path or str
    progress : callable, optional
        Called with rows done, rows in all, and what is being read.

    Raises
    ------
    LoadRefused
        With every fault found; nothing is half-loaded.
    """
    return read_teardown(Path(path), progress=progress)


def found(text: Path | str, store: Path | None = None, progress: Progress | None = None) -> Found:
    """Find a vehicle: what exists as a path is a path, anything else is the code of a vehicle of the store.

    Parameters
    ----------
    text : Path or str
    store : Path, optional
        Folder of the store.
    progress : callable, optional
        As for `load_teardown`.

    Raises
    ------
    LookupError
        No such path, and no such vehicle in the store; the message names close codes.
    StoreRefused
        The store cannot be opened.
    LoadRefused
        The workbook has faults.
    """
    path = Path(text)
    if store is None or path.exists():
        return Found(load_teardown(path, progress))
    from hoistbook.services import record  # a heavy package, and only a store needs it

    place = record.open_record(store)
    code = record.known_code(place, str(text))
    state = record.state_of(place, code)
    return Found(record.teardown(place, code, state), place, state)


def vehicle_of(text: Path | str, store: Path | None = None, progress: Progress | None = None) -> Teardown:
    """Return the vehicle that `found` finds."""
    return found(text, store, progress).teardown


def chosen_configuration(teardown: Teardown, wanted: str | None = None) -> Configuration:
    """Return the configuration asked for, or the only one there is.

    Raises
    ------
    LookupError
        There are several and none was named, or the named one is unknown.
    """
    known = {configuration.id: configuration for configuration in teardown.configurations}
    listed = ", ".join(known)
    if wanted is not None:
        if wanted not in known:
            msg = f"{teardown.vehicle.code}: no configuration {wanted!r}; it has {listed}."
            raise LookupError(msg)
        return known[wanted]
    if len(known) != 1:
        msg = f"{teardown.vehicle.code} has configurations {listed}: say which one is meant."
        raise LookupError(msg)
    return teardown.configurations[0]
