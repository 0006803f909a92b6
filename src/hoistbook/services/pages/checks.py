"""Checks as their pages show them: every check of a vehicle in short, and one of them with its form."""

from __future__ import annotations

import re
from collections.abc import Callable, Mapping
from dataclasses import dataclass
from time import perf_counter

from hoistbook.core.checks.declared import FAMILIES, Check, Reading
from hoistbook.core.checks.found import CheckResult, Figured, Held
from hoistbook.core.checks.run import CHECK_DRAWS, CHECK_SEED, Stated, run_check
from hoistbook.core.checks.words import NO_PERMISSION
from hoistbook.core.vehicle.records import CheckReading, Fact
from hoistbook.services.checks import CHECKS, on_record
from hoistbook.services.keeping import Json
from hoistbook.services.kept import inputs_of
from hoistbook.services.pages.check_form import CheckForm, ReadForm
from hoistbook.services.pages.check_read import read_form
from hoistbook.services.pages.facts import facts_of
from hoistbook.services.pages.kept_pages import KeptPages
from hoistbook.services.pages.standing import standing
from hoistbook.services.vehicles import Record
from hoistbook.store.vehicles import models

Progress = Callable[[int, int, str], None]
OVERVIEWS = KeptPages("checks page", 24)
LONGEST = 200
"""project rule: letters of an answer; a longer one is cut where it lists, and the rest follows it."""
WORKED, MISSING, REFUSED = "worked", "missing", "refused"
_SENTENCE = re.compile(r"(?<=[.!?])\s+(?=[A-Z0-9])")


@dataclass(frozen=True, slots=True)
class AskedChecks:
    """Whose checks: vehicle, its state (`record.state_of`), configuration."""

    code: str
    change: int
    configuration: str

    @property
    def inputs(self) -> Json:
        """What the result depends on, as it is kept."""
        options = {"configuration": self.configuration, "draws": CHECK_DRAWS, "seed": CHECK_SEED}
        return inputs_of({self.code: self.change}, options)


@dataclass(frozen=True, slots=True)
class OnRecord:
    """Facts of a configuration, and what was read at the vehicle for checks."""

    facts: tuple[Fact, ...] = ()
    readings: tuple[CheckReading, ...] = ()

    def of(self, check: Check) -> tuple[Stated, dict[str, str]]:
        """What it states for a check, and by what.

        Raises
        ------
        ValueError
            A figure is on record for one of several things and not for another.
        """
        stated, places = on_record(check, self.facts, self.readings)
        return stated, dict(places)


@dataclass(frozen=True, slots=True)
class WorkedCheck:
    """A check as its page shows it.

    Attributes
    ----------
    check : Check
    form : CheckForm
        With what is wrong at its fields.
    result : CheckResult or None
        As typed; as recorded where it cannot be worked out as typed; None where the record does not do either.
    stale : bool
        The result is that of the record, since what was typed cannot be worked out.
    fault : str
        What is wrong with all of it; empty where nothing is.
    missing : tuple of Reading
    changed : tuple of str
        Fields that differ from what stands there by itself.
    from_record : int
        Readings that the record states.
    assumed : tuple of str
        Sentences on usual values in single rows of a table.
    settings : tuple of str
        What was changed as the command takes it.
    """

    check: Check
    form: CheckForm
    result: CheckResult | None
    stale: bool
    fault: str
    missing: tuple[Reading, ...]
    changed: tuple[str, ...]
    from_record: int
    assumed: tuple[str, ...]
    settings: tuple[str, ...]


def record_of(record: Record, code: str, configuration: str) -> OnRecord:
    """What the record of a vehicle states for checks; it reads two tables, not the whole vehicle."""
    facts = tuple(row.fact for row in facts_of(record, code, configuration) if not row.why)
    readings = tuple(row.record for row in standing(models.CheckReading, code))
    return OnRecord(facts, readings)


def overview_of(record: Record, asked: AskedChecks) -> Json | None:
    """Every check of a vehicle in short (`overview`); None when it was not worked out yet."""
    return OVERVIEWS.read(record, asked.inputs)


def work_out(
    record: Record, asked: AskedChecks, progress: Progress = lambda _done, _total, _words: None
) -> None:
    """Work every check of a vehicle out and keep what its page shows.

    Parameters
    ----------
    record : Record
    asked : AskedChecks
    progress : callable
        Called with checks done, checks in all, and which one is being worked out.
    """
    start = perf_counter()
    told = overview(record_of(record, asked.code, asked.configuration), progress)
    OVERVIEWS.keep(record, asked.inputs, told, perf_counter() - start)


def overview(
    known: OnRecord,
    progress: Progress = lambda _done, _total, _words: None,
    checks: Mapping[str, Check] = CHECKS,
) -> Json:
    """Every check in short.

    Returns
    -------
    dict
        `checks`: a list in the order of the families, each with `state`: "worked" with its main figure, verdict in one
        sentence and first margin; "missing" with what is to be measured; "refused" with why.
    """
    order = list(FAMILIES)
    several = sorted(checks.values(), key=lambda one: (order.index(one.family), one.title))
    told = []
    for done, check in enumerate(several):
        progress(done, len(several), check.title)
        told.append(_in_short(check, known))
    return {"checks": told}


def _in_short(check: Check, known: OnRecord) -> Json:
    told: Json = {"name": check.name, "stated": 0}
    try:
        stated, places = known.of(check)
        told["stated"] = len(places)
        read = read_form(check, stated, places, {})
        if read.stated is None:
            return {
                **told,
                "state": MISSING,
                "missing": [{"words": one.words, "how": one.how} for one in read.missing],
            }
        result = run_check(check, read.stated)
    except ValueError as error:
        return {**told, "state": REFUSED, "why": str(error).removeprefix(f"{check.title}: ")}
    main = result.figures[0]
    several = sum(one.name == main.name for one in result.figures)
    return {
        **told,
        "state": WORKED,
        "figure": _figure(main, several),
        "verdict": sentences_of(result.verdict)[0],
        "margin": _margin(result.held),
        "safety": any(one.safety for one in result.held),
        "dominant": result.dominant,
        "assumed": len(result.assumptions) + len(read.assumed),
    }


def sentences_of(verdict: str) -> tuple[str, str]:
    """The sentence that answers the question, and what explains it; a figure of safety is never without its caution."""
    first, *rest = _SENTENCE.split(verdict, maxsplit=1)
    behind = "".join(rest)
    if len(first) > LONGEST:
        cut = max(first.rfind(mark, 0, LONGEST) for mark in ("; ", ". "))
        if cut > 0:
            first, behind = f"{first[:cut]}.", f"{first[cut + 2 :]} {behind}".rstrip()
    if behind.startswith(NO_PERMISSION):
        return f"{first} {NO_PERMISSION}", behind.removeprefix(NO_PERMISSION).lstrip()
    return first, behind


def _figure(one: Figured, several: int) -> Json:
    return {
        "words": one.words,
        "item": one.item,
        "several": several,
        "unit": one.unit,
        "show": one.show,
        "value": one.value,
        "low": one.low,
        "high": one.high,
        "formulas": len(one.formulas),
    }


def _margin(held: tuple[Held, ...]) -> Json | None:
    """The margin that is least sure to be kept: it is the one a reader must not miss."""
    if not held:
        return None
    one = min(held, key=lambda each: each.kept)
    return {
        "outcome": one.outcome,
        "item": one.item,
        "unit": one.unit,
        "side": one.side,
        "words": one.words,
        "bound": one.bound,
        "value": one.margin,
        "low": one.margin_low,
        "high": one.margin_high,
        "kept": one.kept,
        "safety": one.safety,
    }


def worked_check(check: Check, known: OnRecord, typed: Mapping[str, str]) -> WorkedCheck:
    """Work a check out from what was typed, else from the record, else from usual values.

    Parameters
    ----------
    check : Check
    known : OnRecord
        Empty without a vehicle.
    typed : mapping of str to str
        By the names of the fields of the form.
    """
    fault = ""
    try:
        stated, places = known.of(check)
    except ValueError as error:
        stated, places, fault = Stated(), {}, _said(check, error)
    read = read_form(check, stated, places, typed)
    result, stale = None, False
    if read.stated is not None:
        try:
            result = run_check(check, read.stated)
        except ValueError as error:
            fault = _said(check, error)
    if result is None and read.changed:
        result, stale = _as_recorded(check, stated, places), True
    return WorkedCheck(
        check,
        read.form,
        result,
        stale and result is not None,
        fault,
        read.missing,
        read.changed,
        len(places),
        read.assumed,
        read.settings,
    )


def _as_recorded(check: Check, stated: Stated, places: Mapping[str, str]) -> CheckResult | None:
    read: ReadForm = read_form(check, stated, places, {})
    try:
        return None if read.stated is None else run_check(check, read.stated)
    except ValueError:
        return None


def _said(check: Check, error: ValueError) -> str:
    return str(error).replace(f"{check.title}: ", "")
