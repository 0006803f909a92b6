"""Logs for every test: which column is which channel, by a file, a name in the store, or a proposal accepted."""

from __future__ import annotations

import json
from pathlib import Path
from typing import TYPE_CHECKING

from hoistbook.capture.channel_map import ChannelMap, as_mapping, as_toml, from_mapping, from_toml
from hoistbook.capture.log_guess import Proposed
from hoistbook.capture.log_table import LogTable, Progress
from hoistbook.capture.log_text import LogLimits
from hoistbook.capture.logs import LogRead, look_at_log, read_log
from hoistbook.reference.files import bytes_of

if TYPE_CHECKING:
    from hoistbook.store.place import Place

MOST_MAP_BYTES = 1_000_000
"""project rule: a channel map has some kilobytes."""


def log_series(
    path: Path,
    channels: str | None = None,
    *,
    guess: bool = False,
    record: Place | None = None,
    sheet: str | None = None,
    progress: Progress | None = None,
    limits: LogLimits | None = None,
) -> LogRead:
    """Read a log for a test.

    Parameters
    ----------
    path : Path
    channels : str, optional
        A channel map: the path of a TOML file, or the name of one in the store.
    guess : bool
        Take the proposal as `hoistbook channels` prints it.
    record : Place, optional
        An open store, for maps by name.
    sheet : str, optional
        Of a workbook with several.
    progress : callable, optional
    limits : LogLimits, optional

    Raises
    ------
    ValueError
        Nothing says which column is which, both a map and a guess are asked for, or the file is refused.
    LookupError
        No such map, or it names a column that the log has not.
    """
    if channels is not None and guess:
        msg = "--channels and --guess exclude each other: give a map, or accept the proposal."
        raise ValueError(msg)
    mapping = None if channels is None else channel_map(channels, record)
    return read_log(path, mapping, guess=guess, limits=limits, progress=progress, sheet=sheet)


def proposed(
    path: Path, *, sheet: str | None = None, progress: Progress | None = None, limits: LogLimits | None = None
) -> tuple[LogTable, Proposed]:
    """Propose a mapping for a log, to be looked at."""
    return look_at_log(path, limits, progress, sheet)


def channel_map(text: str, record: Place | None = None) -> ChannelMap:
    """Find a channel map: what ends in .toml is a file, anything else a name in the store.

    Raises
    ------
    FileNotFoundError
        No such file.
    ValueError
        The file is no channel map, or a name was given and no store.
    LookupError
        The store has no map of this name; the message lists those it has.
    """
    path = Path(text)
    if path.suffix.casefold() == ".toml":
        data = bytes_of(path, MOST_MAP_BYTES, "a channel map is small.")
        try:
            return from_toml(data.decode("utf-8-sig"), path.name)
        except UnicodeDecodeError as error:
            msg = f"{path.name} is not text in UTF-8; `hoistbook channels LOG --out FILE.toml` writes one."
            raise ValueError(msg) from error
    if record is None:
        msg = f"{text!r} is no .toml file; the name of a saved channel map needs --store DIR."
        raise ValueError(msg)
    from hoistbook.store.trials.models import (
        ChannelMap as Saved,
    )  # a heavy package, and only a store needs it

    known = dict(Saved.objects.current().values_list("owner_id", "mapping"))
    if text not in known:
        msg = f"{record.folder} holds no channel map {text!r}; it has: {', '.join(sorted(known)) or 'none'}."
        raise LookupError(msg)
    return from_mapping(json.loads(known[text]), f"channel map {text}")


def save_channel_map(record: Place, name: str, channels: ChannelMap, person: str) -> bool:
    """Save a channel map under a name; a later one of the same name supersedes it.

    Returns
    -------
    bool
        Whether anything was written; False when it stands there already.

    Raises
    ------
    ValueError
        The name is empty or looks like a file.
    """
    from hoistbook.store.trials.models import ChannelMap as Saved
    from hoistbook.store.trials.models import MapName
    from hoistbook.store.writing import discard, state, writing

    if not name.strip() or name.casefold().endswith(".toml"):
        msg = f"{name!r} is no name for a channel map; give a word such as 'dyno bench'; .toml files go to --out."
        raise ValueError(msg)
    stated = as_mapping(channels) | {"name": name}
    with writing(person, "save channel map", f"channel map {name}") as change:
        if not MapName.objects.filter(pk=name).exists():
            MapName.objects.create(code=name, change=change)
        row = {"mapping": json.dumps(stated, ensure_ascii=False, sort_keys=True)}
        counts = state(Saved, name, {"map": row}, change, "channels")
        if not counts.wrote:
            discard(change)
    return counts.wrote


def write_channel_map(path: Path, channels: ChannelMap) -> None:
    """Write a channel map as TOML; a file that is there is left alone.

    Raises
    ------
    ValueError
        The name does not end in .toml, or the file is there.
    """
    if path.suffix.casefold() != ".toml":
        msg = f"{path}: a channel map ends in .toml; give e.g. {path.with_suffix('.toml').name}."
        raise ValueError(msg)
    try:
        with path.open("x", encoding="utf-8", newline="\n") as file:
            file.write(as_toml(channels))
    except FileExistsError as error:
        msg = f"{path} is already there and was left as it is; give another name."
        raise ValueError(msg) from error
