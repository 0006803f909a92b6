"""What happened in a store, as printed pages."""

from __future__ import annotations

from collections.abc import Sequence

from hoistbook.capture.faults import counted
from hoistbook.cli.page import Column, Page, Row
from hoistbook.core.quantities.printing import MINUS
from hoistbook.services.explained import Explained, Moved
from hoistbook.services.history import Entry, Line
from hoistbook.services.keeping import KeptResult
from hoistbook.services.record import LoadOutcome, Record, VanishedRow
from hoistbook.services.soundness import Soundness
from hoistbook.services.study import StudyLoad
from hoistbook.services.wording import NOTHING

_COUNTED = ("added", "superseded", "unchanged", "vanished", "returned", "retired")
MOST_LINES = 40
"""Lines printed of one list; the rest is counted, and --json holds all."""


def print_load(page: Page, record: Record, outcome: LoadOutcome | StudyLoad) -> None:
    """Print what a load came to."""
    name = outcome.title if isinstance(outcome, StudyLoad) else outcome.name
    what = f"{name} ({outcome.code})"
    if record.made:
        page.text(f"Made the store {record.folder}.")
    if outcome.change is None:
        page.text(f"{record.folder} holds all of {what} already; nothing was written.", style="bold")
    else:
        page.text(f"Loaded {what} into {record.folder} as change {outcome.change}.", style="bold")
    by_sheet = {} if isinstance(outcome, StudyLoad) else outcome.by_sheet
    whole = outcome.counts
    shown = [name for name in _COUNTED if name in _COUNTED[:3] or getattr(whole, name)]
    rows = [
        Row((sheet, *(str(getattr(counts, name)) for name in shown))) for sheet, counts in by_sheet.items()
    ]
    rows.append(Row(("all", *(str(getattr(whole, name)) for name in shown)), closing=bool(rows)))
    page.blank()
    page.table((Column("rows"), *(Column(name, "right") for name in shown)), rows)
    if isinstance(outcome, StudyLoad):
        page.blank()
        page.bullets(outcome.state.sentences)
    places = [row if isinstance(row, str) else row.place for row in outcome.vanished]
    if places:
        page.heading("No longer in the workbook, and still counted until retired")
        _bullets(page, places)
        if isinstance(outcome, LoadOutcome):
            page.verbatim(f"hoistbook retire {outcome.code} --all --store {record.folder}")
    if outcome.reported:
        page.heading("Met on loading")
        _bullets(page, outcome.reported)


def print_retired(
    page: Page, record: Record, code: str, retired: Sequence[VanishedRow], waiting: Sequence[VanishedRow]
) -> None:
    """Print which rows were retired, and which still wait."""
    if retired:
        page.text(f"Retired of {code}; the history keeps them:", style="bold")
        _bullets(page, [row.place for row in retired])
    if waiting:
        page.text(
            f"No longer in the workbook of {code}, and still counted until retired:",
            style="" if retired else "bold",
        )
        _bullets(page, [row.place for row in waiting])
        page.verbatim(f"hoistbook retire {code} --all --store {record.folder}")
    elif not retired:
        page.text(f"{code}: no row waits to be retired.")


def print_soundness(page: Page, record: Record, found: Soundness) -> None:
    """Print what is wrong with a store, and what lies in it without a name."""
    if found.faults:
        page.text(f"{record.folder} is not whole:", style="bold")
        _bullets(page, found.faults)
    else:
        looked = f"{counted(found.changes, 'change', 'changes')}, {counted(found.files, 'file', 'files')}"
        page.text(f"{record.folder} is whole: {looked}.", style="bold")
    if found.spare_files:
        of = counted(len(found.spare_files), "file belongs", "files belong")
        page.text(
            f"{of} to no change, because a load was stopped before it had written anything; no harm is done."
        )
    if found.left_behind:
        of = counted(len(found.left_behind), "half-written file is", "half-written files are")
        page.text(
            f"{of} there, of a load that was stopped or is under way; a load clears them away after a day."
        )


def print_history(page: Page, code: str, tag: str | None, entries: Sequence[Entry]) -> None:
    """Print changes, oldest first."""
    page.text(f"History of {code}" + (f": {tag}" if tag is not None else ""), style="bold")
    for entry in entries:
        at = entry.at[:16].replace("T", " ")
        page.heading(f"Change {entry.change}, {at} UTC: {entry.kind} by {entry.person}")
        if entry.file_name:
            page.text(f"from {entry.file_name}, kept as {entry.sha256[:12]}")
        if entry.note:
            page.text(f"note: {entry.note}")
        if tag is None:
            page.text(_counts(entry))
        _bullets(page, [_line(line) for line in entry.lines])


def _counts(entry: Entry) -> str:
    sums = {name: sum(counts.get(name, 0) for counts in entry.counts.values()) for name in _COUNTED}
    return "rows: " + ", ".join(f"{number} {name}" for name, number in sums.items() if number)


def _line(line: Line) -> str:
    told = f"{line.event}: {line.words}"
    if line.statement != "workbook":
        told += f" [{line.statement}]"
    changes = [
        f"{field} {new}" if old in (new, NOTHING) else f"{field} {old} → {new}"
        for field, old, new in line.fields
    ]
    if changes:
        told += f": {'; '.join(changes)}"
    return f"{told} ({line.evidence})" if line.evidence else told


def print_results(page: Page, listed: Sequence[KeptResult], left_out: int) -> None:
    """Print which results are kept, and how many of the pages are left out."""
    if not listed:
        page.text("No result is kept yet; commands that answer about vehicles of the store keep theirs.")
    else:
        _results(page, listed)
    if left_out:
        page.text(
            f"{counted(left_out, 'result', 'results')} that pages put by to open at once left out; --all lists all."
        )


def _results(page: Page, listed: Sequence[KeptResult]) -> None:
    rows = [
        Row(
            (
                one.hash[:8],
                one.at[:16].replace("T", " "),
                one.kind,
                one.subject,
                _options(one),
                one.model_version,
            )
        )
        for one in listed
    ]
    page.table(
        (
            Column("id"),
            Column("worked out"),
            Column("kind"),
            Column("of", wraps=True),
            Column("with", wraps=True),
            Column("model", wraps=True),
        ),
        rows,
    )


def _options(one: KeptResult) -> str:
    options = one.inputs.get("options", {})
    told = [options.get("quantity"), options.get("duty")]
    if options.get("draws"):
        told.append(f"{options['draws']} draws")
    if options.get("as_found"):
        told.append("as found")
    return ", ".join(str(word) for word in told if word)


def print_explained(page: Page, explained: Explained) -> None:
    """Print why an old result differs from today's."""
    old, new = explained.old, explained.new
    page.text(f"{old.kind} of {old.subject}, worked out {old.at[:16].replace('T', ' ')}", style="bold")
    if not explained.moved:
        page.text("Today's answer has the same figures.")
    changed = sum(map(len, explained.records.values()))
    page.text(
        f"The model is another one: {old.model_version} then, {new.model_version} now."
        if explained.model_changed
        else f"The model is the same: {new.model_version}."
    )
    page.text(
        "The records are the same." if not changed else f"{counted(changed, 'row differs', 'rows differ')}:"
    )
    for code, lines in explained.records.items():
        if lines:
            page.heading(f"Rows of {code}")
            _bullets(page, [_line(line) for line in lines])
    if explained.moved:
        page.heading("Figures that moved")
        page.table(
            (
                Column("figure", wraps=True),
                Column("then", "right"),
                Column("now", "right"),
                Column("by model", "right"),
                Column("by records", "right"),
            ),
            [_moved(one) for one in explained.moved[:MOST_LINES]],
        )
        if len(explained.moved) > MOST_LINES:
            page.text(f"{len(explained.moved) - MOST_LINES} more figures moved; --json lists all of them.")


def _moved(one: Moved) -> Row:
    return Row((one.place, _number(one.old), _number(one.new), _number(one.model), _number(one.data)))


def _number(value: float | None) -> str:
    return "" if value is None else f"{value:.6g}".replace("-", MINUS)


def _bullets(page: Page, items: Sequence[str]) -> None:
    page.bullets(items[:MOST_LINES])
    if len(items) > MOST_LINES:
        page.text(f"{len(items) - MOST_LINES} more; --json lists all of them.")
