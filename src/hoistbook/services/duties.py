"""What a vehicle is asked to do, by name: cycles, weights and the reference state of the air."""

from __future__ import annotations

import difflib
from dataclasses import dataclass
from pathlib import Path

from hoistbook.core.compare.study_settings import DUTIES
from hoistbook.core.energy.duty import Duty
from hoistbook.reference.cycles import cycle, read_cycle

US_CITY_WEIGHT, US_HIGHWAY_WEIGHT = 0.55, 0.45
"""published: 40 CFR 600.206-12(a)(3), as carried by a regulation text service."""


@dataclass(frozen=True, slots=True)
class NamedDuty:
    """A duty, and the name of its surroundings in the energy defaults."""

    duty: Duty
    surroundings: str


_SINGLE = {"udds": "us", "hwfet": "us", "us06": "us", "wltc3b": "eu"}


def file_of(name: str) -> Path | None:
    """Return the file that a duty names; None where the duty has a name of its own, or there is no such file.

    Only for what somebody typed on a command line: words of a workbook pass `check_duty` first.
    """
    path = Path(name)
    return path if name and name.lower() not in DUTIES and path.is_file() else None


def named_duty(name: str) -> NamedDuty:
    """Return a duty by name, or one that drives a cycle file.

    Parameters
    ----------
    name : str
        "wltc3b", "us" (UDDS and HWFET combined as on the US label), "udds", "hwfet", "us06", or the path of a file
        with a time and a speed column.

    Raises
    ------
    LookupError
        No such duty and no such file.
    ValueError
        The file is no cycle.
    """
    key = name.lower()
    if key == "us":
        cycles = (cycle("udds"), cycle("hwfet"))
        return NamedDuty(Duty("us", cycles, (US_CITY_WEIGHT, US_HIGHWAY_WEIGHT), "range"), "us")
    if key in _SINGLE:
        return NamedDuty(Duty(key, (cycle(key),), (1.0,), "energy"), _SINGLE[key])
    if (path := file_of(name)) is not None:
        trace = read_cycle(path)
        return NamedDuty(Duty(trace.name, (trace,), (1.0,), "energy"), "eu")
    known = DUTIES
    close = difflib.get_close_matches(key, known, n=1)
    hint = (
        f"did you mean {close[0]}?"
        if close
        else f"known duties: {', '.join(known)}, or the path of a cycle file."
    )
    msg = f"no duty or cycle file named {name!r}; {hint}"
    raise LookupError(msg)
