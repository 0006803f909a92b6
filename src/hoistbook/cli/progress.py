"""What is being done, on standard error, while somebody waits; silent where nobody looks on."""

from __future__ import annotations

import sys
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from pathlib import Path
from typing import TYPE_CHECKING

from rich.console import Console
from rich.progress import BarColumn, MofNCompleteColumn, Progress, TextColumn
from rich.text import Text

from hoistbook.report.lettering import printable

if TYPE_CHECKING:
    from hoistbook.core.vehicle.records import Teardown
    from hoistbook.services.loading import Found


def load(text: str | Path, store: Path | None = None) -> Teardown:
    """Read a vehicle with a bar that counts rows."""
    return find(text, store).teardown


def find(text: str | Path, store: Path | None = None) -> Found:
    """Find a vehicle by path, or by code in a store, with a bar that counts rows."""
    from hoistbook.services.loading import found

    with reading(Path(text)) as advance:
        return found(text, store, advance)


@contextmanager
def reading(path: Path) -> Iterator[Callable[[int, int, str], None]]:
    """Show how many rows are read."""
    columns = (TextColumn("{task.description}", markup=False), BarColumn(bar_width=24), MofNCompleteColumn())
    console = _console()
    with Progress(*columns, console=console, transient=True, disable=not console.is_terminal) as progress:
        task = progress.add_task(f"reading {printable(path.name)}", total=None)

        def advance(done: int, total: int, what: str) -> None:
            progress.update(
                task, completed=done, total=total, description=f"reading {printable(path.name)}, {what}"
            )

        yield advance


@contextmanager
def working(words: str) -> Iterator[None]:
    """Show that something is being worked out."""
    console = _console()
    if not console.is_terminal:
        yield
        return
    with console.status(Text(printable(words))):
        yield


def _console() -> Console:
    return Console(file=sys.stderr, highlight=False, emoji=False, markup=False)
