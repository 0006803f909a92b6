"""Limits of error of the instruments behind a log where nobody stated them."""

from __future__ import annotations

import tomllib
from functools import cache
from importlib import resources

from hoistbook.core.trials.meters import Meter, stated_meter


@cache
def default_meters() -> dict[str, Meter]:
    """Return the packaged limits, `data/meters.toml`, by channel; each says that it was assumed.

    Raises
    ------
    ValueError, LookupError
        The packaged file is faulty, which the tests rule out.
    """
    file = resources.files("hoistbook.reference") / "data" / "meters.toml"
    found = {}
    for channel, row in tomllib.loads(file.read_text(encoding="utf-8")).items():
        words = (
            f"{channel}: limits of error of ±{100.0 * row['share']:g} % and ±{row['zero']:g} are assumed "
            f"({row['mark']}; state them with --meter)"
        )
        found[channel] = stated_meter(
            channel, f"meter of {channel}, assumed", row["share"], row["zero"], words
        )
    return found
