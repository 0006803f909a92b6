"""The gap of a study as its page asks for it: which pair in what quantity, kept or worked out, and what went before."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass
from time import perf_counter

from hoistbook.core.compare.study import FrozenVersion
from hoistbook.core.compare.study_settings import QUANTITIES, check_duty, settings
from hoistbook.core.vehicle.problem import closest
from hoistbook.services.as_json.parts import Json
from hoistbook.services.gap_view import GapView, surprise
from hoistbook.services.held import Held
from hoistbook.services.keeping import (
    KeptResult,
    MovedOn,
    input_hash,
    keep_or_hold,
    kept_value,
    model_version,
    result,
    results_of,
)
from hoistbook.services.kept import inputs_of, states
from hoistbook.services.loading import chosen_configuration
from hoistbook.services.pages.gap_parts import AS_FOUND, COMPARISONS, NORMALISED, evidence_json, page_json
from hoistbook.services.study import USUAL_DUTY, USUAL_QUANTITY, gap_under
from hoistbook.services.vehicles import Record, subject_of
from hoistbook.store.vehicles.past import acts

Progress = Callable[[int, int, str], None]
PAGE, EVIDENCE, ANSWER = "gap page", "gap evidence", "gap answer"
_STEPS = {"mass": 7, "range": 8, "energy": 8}
_HELD: dict[str, Held[Json]] = {PAGE: Held(12), EVIDENCE: Held(6)}


@dataclass(frozen=True, slots=True)
class AskedGap:
    """Which gap: study and its frozen version, quantity and duty, and the vehicles from X to Y with their states.

    `duty` is empty for mass. `fixed` holds quantity and duty as the study fixed them.
    """

    study: str
    version: int
    quantity: str
    duty: str
    states: tuple[tuple[str, int], tuple[str, int]]
    places: tuple[int, int]
    fixed: tuple[str, str]

    @property
    def codes(self) -> tuple[str, str]:
        """Codes of X and Y."""
        return self.states[0][0], self.states[1][0]

    @property
    def options(self) -> Json:
        """What was asked, under the names it is kept by."""
        return {
            "study": self.study,
            "version": self.version,
            "quantity": self.quantity,
            "duty": self.duty,
            "places": list(self.places),
        }

    @property
    def inputs(self) -> Json:
        """What the result depends on, as it is kept."""
        return inputs_of(dict(self.states), self.options)

    @property
    def as_fixed(self) -> bool:
        """Whether this is the question that the study fixed."""
        return (self.quantity, self.duty) == self.fixed


def asked_gap(
    record: Record,
    study: str,
    last: FrozenVersion,
    to: str = "",
    quantity: str = "",
    duty: str = "",
    known: Mapping[str, int] | None = None,
) -> AskedGap:
    """Which gap of a frozen study is meant.

    Parameters
    ----------
    record : Record
    study : str
    last : FrozenVersion
        The version it is worked out under.
    to, quantity, duty : str
        Vehicle to go to, and what the gap is in; as the study fixed them where empty.
    known : mapping of str to int, optional
        States of vehicles that were asked for already.

    Raises
    ------
    LookupError
        No such vehicle in the study or in the store, no such quantity or duty.

    Notes
    -----
    Only duties with a name can be asked for: neither an address nor a workbook may make the program read a file.
    """
    frozen = last.frozen
    chosen = settings(frozen.assumptions)
    own_duty = chosen.duty or USUAL_DUTY
    fixed_quantity = chosen.quantity or USUAL_QUANTITY
    wanted = quantity or fixed_quantity
    if wanted not in QUANTITIES:
        msg = f"no gap in {wanted!r}; {closest(wanted, QUANTITIES)}"
        raise LookupError(msg)
    driven = duty or own_duty
    if duty or wanted != "mass":
        check_duty(driven)
    x, others = frozen.codes[0], frozen.codes[1:]
    y = to or others[0]
    if y not in others:
        msg = f"study {study} has no vehicle {y!r} to go to from {x}; {closest(y, others)}"
        raise LookupError(msg)
    of = known if known is not None and x in known and y in known else states(record, x, y)

    def without_mass(asked_quantity: str, asked_duty: str) -> tuple[str, str]:
        return asked_quantity, "" if asked_quantity == "mass" else asked_duty

    return AskedGap(
        study,
        last.number,
        *without_mass(wanted, driven),
        ((x, of[x]), (y, of[y])),
        (0, frozen.codes.index(y)),
        without_mass(fixed_quantity, own_duty),
    )


def page_of(record: Record, asked: AskedGap) -> Json | None:
    """What the page shows (`gap_parts.page_json`); None when it was not worked out yet."""
    return _read(record, PAGE, asked)


def grounds_of(record: Record, asked: AskedGap) -> Json | None:
    """What its figures rest on (`gap_parts.evidence_json`); None when it was not worked out yet."""
    return _read(record, EVIDENCE, asked)


def _read(record: Record, kind: str, asked: AskedGap) -> Json | None:
    name = input_hash(kind, asked.inputs)
    key = f"{record.folder.resolve()} {name}"  # a copy of a store may go another way
    return _HELD[kind].get(key, lambda: kept_value(record, kind, asked.inputs))


def forget() -> None:
    """Drop the results held in memory; they are read from the store again."""
    for held in _HELD.values():
        held.forget()


def work_out(
    record: Record, asked: AskedGap, progress: Progress = lambda _done, _total, _words: None
) -> None:
    """Work out a gap and what its figures rest on, and keep both, in memory where the store cannot be written.

    Parameters
    ----------
    record : Record
    asked : AskedGap
    progress : callable
        Called with steps done, steps in all, and what is being done.

    Raises
    ------
    MovedOn
        The study was frozen anew since it was asked.
    ValueError
        Figures the engines refuse.
    """
    start = perf_counter()
    total = _STEPS[asked.quantity]
    done = iter(range(total))

    def told(words: str) -> None:
        progress(min(next(done, total), total - 1), total, words)

    told("reading the record")
    under = gap_under(
        record,
        asked.study,
        to=asked.codes[1],
        quantity=asked.quantity,
        duty=asked.duty or None,
        at=dict(asked.states),
        told=told,
    )
    if under.version != asked.version:
        msg = f"study {asked.study} was frozen as version {under.version} meanwhile; load the page again."
        raise MovedOn(msg)
    told("drawing")
    names = tuple(one.vehicle.name or one.vehicle.code for one in under.vehicles)
    report = under.report
    views = {
        name: GapView(
            report,
            (names[0], names[1]),
            name == AS_FOUND,
            surprise(report, as_found=name == AS_FOUND),
            under=f"study {asked.study} version {asked.version}",
        )
        for name in COMPARISONS
    }
    rows = {row.vehicle: row for row in under.state.versions[-1].frozen.vehicles}
    x, y = (
        chosen_configuration(one, rows[one.vehicle.code].configuration or None).id for one in under.vehicles
    )
    page = page_json(views, under.vehicles, (x, y), asked.places)
    told("keeping the results")
    grounds = evidence_json(views[AS_FOUND], under.vehicles, (x, y))
    keep_or_hold(record, EVIDENCE, asked.inputs, grounds, perf_counter() - start)
    answer = {"answer": views[NORMALISED].answer}
    keep_or_hold(record, ANSWER, asked.inputs, answer, perf_counter() - start)
    keep_or_hold(record, PAGE, asked.inputs, page, perf_counter() - start)
    progress(total, total, "done")


@dataclass(frozen=True, slots=True)
class Act:
    """A change of a vehicle between two results."""

    vehicle: str
    id: int
    at: str
    person: str
    kind: str
    note: str
    counts: Mapping[str, int]


@dataclass(frozen=True, slots=True)
class Earlier:
    """The last gap that was worked out for this question from another state of the record or by another program.

    `acts` are the changes of the vehicles since then; `version` is the study's version of then.
    """

    kept: KeptResult
    acts: tuple[Act, ...]
    version: int
    model_changed: bool


def earlier_of(record: Record, asked: AskedGap) -> Earlier | None:
    """Find the last result of the same question that differs in what it was worked out from; None where none does."""
    question = ("study", "quantity", "duty")
    before = [
        one
        for one in results_of(record, asked.codes, PAGE)
        if one.inputs != asked.inputs
        and all(one.inputs["options"][name] == asked.options[name] for name in question)
    ]
    if not before:
        return None
    last = result(record, before[-1].hash)
    found = []
    for code, now in asked.states:
        for act in acts(subject=subject_of(code)).values():
            if last.states[code] < act.id <= now:
                counts: dict[str, int] = {}
                for outcome in act.counts.values():
                    for word, number in outcome.items():
                        counts[word] = counts.get(word, 0) + number
                found.append(Act(code, act.id, act.at, act.person, act.kind, act.note, counts))
    return Earlier(
        last,
        tuple(found),
        int(last.inputs["options"]["version"]),
        last.model_version != model_version(),
    )
