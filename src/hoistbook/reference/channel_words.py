"""Words by which loggers call their channels, to propose a mapping that a person then accepts."""

from __future__ import annotations

import csv
import io
from dataclasses import dataclass
from functools import cache
from importlib import resources


@dataclass(frozen=True, slots=True)
class ChannelWords:
    """A channel is meant when all `words` stand in a heading and none of `excluded`."""

    channel: str
    words: frozenset[str]
    excluded: frozenset[str]


@cache
def channel_words() -> tuple[ChannelWords, ...]:
    """Return the packaged list, `data/channel_words.csv`: words in English and German.

    Source
    ------
    common practice: headings of logger exports; no standard names them. "time" and "date" name the clock.
    """
    file = resources.files("hoistbook.reference") / "data" / "channel_words.csv"
    rows = csv.DictReader(io.StringIO(file.read_text(encoding="utf-8")))
    return tuple(
        ChannelWords(row["channel"], frozenset(row["words"].split()), frozenset(row["not"].split()))
        for row in rows
    )
