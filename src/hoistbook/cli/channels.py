"""hoistbook channels: which column of a log would be which channel, to be looked at before anything is used."""

from __future__ import annotations

import sys
from pathlib import Path
from typing import TYPE_CHECKING, Annotated

import typer

from hoistbook.cli.log_options import LogFile, Person, Sheet
from hoistbook.cli.options import AsJson, Store

if TYPE_CHECKING:
    from hoistbook.capture.log_guess import Proposal


def channels(
    path: LogFile,
    save: Annotated[
        str | None,
        typer.Option("--save", metavar="NAME", help="Save the mapping in the store under this name."),
    ] = None,
    store: Store = None,
    person: Person = None,
    out: Annotated[
        Path | None,
        typer.Option("--out", metavar="FILE.toml", help="Write the mapping as TOML, to be edited."),
    ] = None,
    use: Annotated[
        Path | None,
        typer.Option("--from", metavar="FILE.toml", help="Save this edited mapping, not the proposal."),
    ] = None,
    sheet: Sheet = None,
    as_json: AsJson = False,
) -> None:
    """Propose which column of a log is which channel.

    Prints units, first readings, reach, share of missing readings and every doubt. Nothing is used before it is
    accepted: with --guess as printed, or saved and named with --channels.
    """
    from hoistbook.cli.as_json import print_json
    from hoistbook.cli.log_options import opened, reading
    from hoistbook.cli.page import Column, Page, Row
    from hoistbook.services import logs
    from hoistbook.services.as_json.trials import proposed_json

    if save is not None and (store is None or not (person or "").strip()):
        msg = "--save needs --store DIR and --person NAME; without a store write the mapping with --out FILE.toml."
        raise ValueError(msg)
    with reading(path) as advance:
        table, found = logs.proposed(path, sheet=sheet, progress=advance)
    mapping = found.channels
    if use is not None:
        mapping = logs.channel_map(str(use))
        logs.log_series(path, str(use), sheet=sheet)  # refuses a mapping that does not fit this log
    if mapping is None and (save is not None or out is not None):
        msg = f"{path.name}: {' '.join(found.doubts)}"
        raise ValueError(msg)
    kept: list[str] = []
    if mapping is not None and out is not None:
        logs.write_channel_map(out, mapping)
        kept.append(f"Written: {out}.")
    record = opened(store) if save is not None else None
    if mapping is not None and save is not None and record is not None:
        new = logs.save_channel_map(record, save, mapping, str(person))
        kept.append(f"Saved as {save!r}." if new else f"{save!r} stands in the store like this already.")
    if as_json:
        print_json(proposed_json(path.name, table.remarks, found) | {"kept": kept})
        return
    page = Page(sys.stdout)
    page.text(f"{path.name}: {len(table.rows)} rows", style="bold")
    page.table(
        (
            Column("column", wraps=True),
            Column("channel"),
            Column("unit"),
            Column("first", wraps=True),
            Column("least", "right"),
            Column("most", "right"),
            Column("missing", "right"),
        ),
        [Row(_cells(one)) for one in found.proposals],
    )
    doubts = [f"{one.column}: {doubt}" for one in found.proposals for doubt in one.doubts]
    if doubts or found.doubts:
        page.heading("Look at this first")
        page.bullets([*found.doubts, *doubts])
    if table.remarks:
        page.heading("Met while reading")
        page.bullets(table.remarks)
    for line in kept:
        page.text(line)
    if not kept and mapping is not None:
        page.blank()
        page.text(
            "Accept it as printed with --guess, or write it with --out FILE.toml, edit it and give --channels."
        )


def _cells(one: Proposal) -> tuple[str, ...]:
    return (
        one.column,
        one.channel or "not used",
        one.unit,
        ", ".join(one.first),
        "" if one.least is None else f"{one.least:.6g}",
        "" if one.most is None else f"{one.most:.6g}",
        "" if one.missing_frac == 0.0 else f"{100.0 * one.missing_frac:.3g} %",
    )
