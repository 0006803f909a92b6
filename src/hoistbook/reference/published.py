"""Limits, priors and measurements for published figures, `data/published.toml` or a file of its layout."""

from __future__ import annotations

import math
import tomllib
from collections.abc import Mapping
from dataclasses import dataclass, fields
from functools import cache
from importlib import resources
from pathlib import Path
from typing import Any

from hoistbook.core.compare.inference import InferencePrior, MeasurementKind, RepeatKind
from hoistbook.core.compare.published_rows import PublishedLimits
from hoistbook.reference.files import settings_text, toml_of


@dataclass(frozen=True, slots=True)
class PublishedSettings:
    """Everything the file states; `repeat` is None where it does not say how tests are repeated: none is proposed."""

    limits: PublishedLimits
    prior: InferencePrior
    measurements: tuple[MeasurementKind, ...]
    repeat: RepeatKind | None = None


@cache
def published_settings() -> PublishedSettings:
    """Return the packaged settings."""
    file = resources.files("hoistbook.reference") / "data" / "published.toml"
    return _settings(tomllib.loads(file.read_text(encoding="utf-8")), "published.toml")


def read_published_settings(path: Path | str) -> PublishedSettings:
    """Read settings from another file.

    Raises
    ------
    ValueError
        The file is no TOML in UTF-8, or an entry is missing, unknown or no number; the message names it.
    """
    path = Path(path)
    like = "lay it out like the packaged published.toml"
    return _settings(toml_of(settings_text(path, like), path.name, like), path.name)


def _settings(data: Mapping[str, Any], place: str) -> PublishedSettings:
    limits = _numbers(data.get("limits", {}), [f.name for f in fields(PublishedLimits)], f"{place} [limits]")
    prior = _numbers(data.get("prior", {}), [f.name for f in fields(InferencePrior)], f"{place} [prior]")
    kinds = tuple(
        _measurement(name, row, f"{place} [measurement.{name}]")
        for name, row in data.get("measurement", {}).items()
    )
    return PublishedSettings(
        PublishedLimits(**limits), InferencePrior(**prior), kinds, _repeat(data.get("repeat"), place)
    )


def _repeat(rows: Mapping[str, Any] | None, place: str) -> RepeatKind | None:
    if rows is None:
        return None
    found = _numbers(rows, ["tests", "minutes_each"], f"{place} [repeat]")
    if not found["tests"].is_integer():
        msg = f"{place} [repeat] tests = {found['tests']:g}: give a whole number of tests."
        raise ValueError(msg)
    try:
        return RepeatKind(int(found["tests"]), found["minutes_each"])
    except ValueError as error:
        msg = f"{place} [repeat] {error}"
        raise ValueError(msg) from error


def _numbers(rows: Mapping[str, Any], names: list[str], place: str) -> dict[str, float]:
    unknown, missing = set(rows) - set(names), [name for name in names if name not in rows]
    if unknown or missing:
        msg = f"{place}: unknown {sorted(unknown)}, missing {missing}; lay it out like the packaged published.toml."
        raise ValueError(msg)
    for name, row in rows.items():
        if any(key not in row for key in ("value", "mark", "source")):
            msg = f"{place} {name}: a figure needs value, mark and source."
            raise ValueError(msg)
    return {name: _number(rows[name]["value"], f"{place} {name}") for name in names}


def _number(value: object, place: str) -> float:
    if isinstance(value, bool) or not isinstance(value, int | float) or not math.isfinite(value):
        msg = f"{place}: {value!r} is no number; write it without quotes."
        raise ValueError(msg)
    return float(value)


def _measurement(name: str, row: Mapping[str, Any], place: str) -> MeasurementKind:
    missing = [k for k in ("words", "how", "fields", "sd", "relative", "mark", "source") if k not in row]
    if missing:
        msg = f"{place}: {', '.join(missing)} missing."
        raise ValueError(msg)
    sd = _number(row["sd"], f"{place} sd")
    if not sd > 0.0:
        msg = f"{place}: sd = {sd!r}; give a standard uncertainty above 0."
        raise ValueError(msg)
    minutes = row.get("minutes")
    return MeasurementKind(
        name=name,
        words=str(row["words"]),
        how=str(row["how"]),
        fields=tuple(map(str, row["fields"])),
        sd=sd,
        relative=bool(row["relative"]),
        minutes=None if minutes is None else _number(minutes, f"{place} minutes"),
    )
