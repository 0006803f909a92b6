"""Teardowns from paths."""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path

from hoistbook.capture.read import read_teardown
from hoistbook.core.vehicle.records import Configuration, Teardown

Progress = Callable[[int, int, str], None]


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
