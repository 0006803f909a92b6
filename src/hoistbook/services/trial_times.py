"""When tests of a vehicle were driven: one vehicle cannot be on two tests at once."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from datetime import UTC, datetime, timedelta
from itertools import combinations
from typing import Any


@dataclass(frozen=True, slots=True)
class Span:
    """From when to when a test was driven at least."""

    name: str
    start: datetime
    end: datetime


def span_of(name: str, at: str, outcome: Mapping[str, Any]) -> Span | None:
    """When a test was driven; None where its time was not written down with the hour, or no log says how long.

    Parameters
    ----------
    name : str
    at : str
        As written down. "2026-05-12 10:12" and other spellings of ISO 8601 are understood.
    outcome : mapping
        As `as_json.trials.outcome_json` made it, with `logs`.

    Notes
    -----
    Several logs of one test may have been taken one after another or side by side: the longest of them is what the test
    lasted at least. A time without a zone is taken as that of one clock on the wall.
    """
    text = at.strip()
    lengths = [float(log["duration_s"]) for log in outcome.get("logs", ()) if "duration_s" in log]
    if not lengths or ":" not in text:
        return None
    try:
        start = datetime.fromisoformat(text)
    except ValueError:
        return None
    if start.tzinfo is not None:
        start = start.astimezone(UTC).replace(tzinfo=None)
    return Span(name, start, start + timedelta(seconds=max(lengths)))


def overlapping(spans: Iterable[Span], of: str = "") -> tuple[str, ...]:
    """Say which tests of one vehicle overlap in time; of one test alone where its name is given."""
    ordered: Sequence[Span] = sorted(spans, key=lambda span: (span.start, span.name))
    return tuple(
        f"{one.name} ({_words(one)}) and {other.name} ({_words(other)}) overlap in time, and one vehicle cannot be on "
        "both; one of the times is wrong"
        for one, other in combinations(ordered, 2)
        if other.start < one.end and one.start < other.end and of in ("", one.name, other.name)
    )


def _words(span: Span) -> str:
    same_day = span.start.date() == span.end.date()
    return f"{span.start:%Y-%m-%d %H:%M} to {span.end:{'%H:%M' if same_day else '%Y-%m-%d %H:%M'}}"
