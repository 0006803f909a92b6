"""What the tests of road, hoist and pads have in common: keeping them, and answering."""

from __future__ import annotations

import sys
from pathlib import Path
from typing import TYPE_CHECKING, Any

if TYPE_CHECKING:
    from hoistbook.capture.logs import LogRead
    from hoistbook.core.trials.outcome import Outcome
    from hoistbook.core.vehicle.records import Configuration as Chosen
    from hoistbook.services.trials import Recorded
    from hoistbook.store.place import Place


def read_all(
    paths: list[Path], channels: str | None, guess: bool, sheet: str | None, record: Place | None
) -> list[LogRead]:
    """Read several recordings; the same one twice would count as two observations, and is refused."""
    from hoistbook.cli.log_options import read

    logs: list[LogRead] = []
    for path in paths:
        log = read(path, channels, guess, sheet, record)
        twin = next((one for one in logs if one.sha256 == log.sha256), None)
        if twin is not None:
            msg = f"{twin.series.name} and {log.series.name} hold the same bytes; give each recording once."
            raise ValueError(msg)
        logs.append(log)
    return logs


def kept(
    outcome: Outcome,
    files: list[tuple[Path, LogRead | None]],
    entering: tuple[str, Any, str] | None,
    title: str,
    chosen: Chosen | None,
    at: str,
    note: str,
) -> Recorded | None:
    """Keep the test where that was asked for."""
    if entering is None:
        return None
    from hoistbook.services.trials import record_trial

    code, place, who = entering
    (first, log), *more = files
    return record_trial(
        place,
        code,
        outcome,
        name=title,
        person=who,
        configuration=None if chosen is None else chosen.id,
        at=at,
        file=first,
        log=log,
        more=more,
        note=note,
    )


def answer(
    title: str,
    kind: str,
    outcome: Outcome,
    logs: list[LogRead],
    recorded: Recorded | None,
    caution: str,
    as_json: bool,
    more: dict[str, Any],
) -> None:
    """Print a test, as a page with its caution or as one JSON object."""
    from hoistbook.cli.as_json import print_json
    from hoistbook.cli.page import Page
    from hoistbook.cli.trial_page import print_outcome, print_recorded
    from hoistbook.services.as_json.trials import log_json, outcome_json

    if as_json:
        print_json(
            {
                "test": title,
                **more,
                **outcome_json(outcome),
                "logs": [log_json(log) for log in logs],
                "entered": None if recorded is None else recorded.facts.as_json(),
                "left_out": [] if recorded is None else list(recorded.left_out),
                "remarks": [] if recorded is None else list(recorded.remarks),
            }
        )
        return
    page = Page(sys.stdout)
    print_outcome(page, f"{title}: {kind}", outcome)
    remarks = [f"{log.series.name}: {remark}" for log in logs for remark in log.remarks]
    guessed = [log.series.name for log in logs if log.guessed]
    if guessed:
        remarks.append(f"{', '.join(guessed)}: the mapping of the columns was accepted as proposed (--guess)")
    if remarks:
        page.heading("Met while reading")
        page.bullets(remarks)
    if recorded is not None:
        print_recorded(page, recorded)
    if caution:
        page.blank()
        page.text(caution)
