"""Bring any workbook this program knows into a store."""

from __future__ import annotations

import getpass
from collections.abc import Callable
from pathlib import Path

from hoistbook.capture.read_study import is_study
from hoistbook.services.record import LoadOutcome, Record, load_workbook
from hoistbook.services.study import StudyLoad, load_study

Progress = Callable[[int, int, str], None]


def load(
    record: Record,
    path: Path | str,
    person: str,
    note: str = "",
    progress: Progress | None = None,
    *,
    retire_vanished: bool = False,
) -> LoadOutcome | StudyLoad:
    """Load a teardown workbook, or a study workbook, which is known by its sheet `study`.

    Parameters are those of `record.load_workbook`.
    """
    one = load_study if is_study(path) else load_workbook
    return one(record, path, person, note, progress, retire_vanished=retire_vanished)


def login_name() -> str:
    """Name under which the person at this machine is logged in, for changes that name nobody.

    Raises
    ------
    ValueError
        The machine does not say.
    """
    try:
        return getpass.getuser()
    except (KeyError, OSError, ImportError) as error:  # ImportError: a system without user accounts
        msg = "this machine does not say who is logged in; give --person NAME."
        raise ValueError(msg) from error
