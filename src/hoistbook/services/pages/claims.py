"""Claims as their page shows them: what limits each is held to, what moved its state, what its figures rest on."""

from __future__ import annotations

import json
import re
from collections.abc import Sequence
from dataclasses import dataclass

from hoistbook.core.compare.bars import Interval
from hoistbook.core.compare.claims import EFFECTS
from hoistbook.core.vehicle.hazards import Hazard, cautions
from hoistbook.core.vehicle.problem import closest
from hoistbook.services.claim_states import PROGRAM
from hoistbook.services.keeping import Json
from hoistbook.services.pages.studies import StudyFront
from hoistbook.services.vehicles import Record, subject_of
from hoistbook.store.changes.models import Change
from hoistbook.store.claims.reading import StoredState, states_of

STATES = ("confirmed", "refuted", "open")
_READINGS = re.compile(r"(?P<lead>weighings|readings) (?P<names>.+?)(?P<more> and \d+ more)?")


@dataclass(frozen=True, slots=True)
class Held:
    """A claim as limits on one axis, in SI.

    Attributes
    ----------
    value : Interval
        What is held against the limits: the difference of two figures, an effect, or the figure itself.
    limits : tuple of float
        One, or two for "about": lower, upper.
    relation : str
        "less than", "more than" or "about": on which side of the limits the claim holds.
    unsure : tuple of float
        Within these two a figure with today's band could not be told to hold: from the limit to the detection limit
        beyond it; for "about" as far as equal figures could not be told apart.
    """

    value: Interval
    limits: tuple[float, ...]
    relation: str
    unsure: tuple[float, float]


def held(one: Json) -> Held | None:
    """Lay a claim of `hoistbook claims --json` out on an axis; None where a figure is missing.

    Notes
    -----
    The threshold is a margin between two vehicles (t, or t |o| where it is a share) or the figure itself; see
    `claim_limits`.
    """
    if one["difference"] is None or one["detection_limit"] is None:
        return None
    threshold, figures = one["threshold"], one["figures"]
    other = abs(figures[-1]["value"]) if threshold["is"] == "share" else 1.0
    centre, reach = threshold["value"] * other, (threshold["half_width"] or 0.0) * other
    found, relation, beyond = one["difference"], one["relation"], one["detection_limit"]["value"]
    is_figure = one["quantity"] in EFFECTS or not one["other"]
    if is_figure and one["quantity"] not in EFFECTS:
        found = figures[0]
    value = Interval(found["value"], found["low"], found["high"])
    if relation == "about":
        middle, reach = (centre, reach) if is_figure else (0.0, centre)
        return Held(value, (middle - reach, middle + reach), relation, (middle - beyond, middle + beyond))
    less = relation == "less than"
    limit = centre if is_figure else (-centre if less else centre)
    return Held(value, (limit,), relation, (limit - beyond, limit) if less else (limit, limit + beyond))


@dataclass(frozen=True, slots=True)
class Ground:
    """What a figure comes from: words, and the readings they name."""

    words: str
    readings: tuple[str, ...] = ()
    more: str = ""


def ground(text: str) -> Ground:
    """Take the names of readings out of a ground, so that they can be followed.

    Examples
    --------
    >>> ground("weighings T-M1, T-M2 and 3 more")
    Ground(words='weighings', readings=('T-M1', 'T-M2'), more=' and 3 more')
    """
    found = _READINGS.fullmatch(text)
    if found is None:
        return Ground(text)
    return Ground(found["lead"], tuple(found["names"].split(", ")), found["more"] or "")


def hazards_of(measurements: Sequence[Json]) -> tuple[Hazard, ...]:
    """Usual cautions that the words of measurements call for."""
    return cautions(" ".join(f"{one['words']} {one['how']}" for one in measurements))


def state_asked(wanted: str) -> str:
    """Return the state a reader wants to see; empty for all.

    Raises
    ------
    LookupError
        There is no such state.
    """
    if wanted and wanted not in STATES:
        msg = f"no claim is {wanted!r}; {closest(wanted, STATES)}"
        raise LookupError(msg)
    return wanted


@dataclass(frozen=True, slots=True)
class Mover:
    """A change of the record between two states of a claim. `vehicle` is empty for one of the study."""

    change: int
    kind: str
    vehicle: str
    person: str
    note: str


@dataclass(frozen=True, slots=True)
class Moment:
    """A state of a claim: from when on, and which changes came between the state before and this one."""

    at: str
    change: int
    state: str
    probability: float | None
    figures: tuple[Json, ...]
    movers: tuple[Mover, ...]
    first: bool
    other_model: bool


def moments(record: Record, front: StudyFront) -> dict[str, tuple[Moment, ...]]:
    """What the record said of each claim of a study over time, the latest first.

    Notes
    -----
    A state is worked out at a change of the record; whatever touched the study or its vehicles after the state before
    and up to that change may have moved it.
    """
    stored: dict[str, list[StoredState]] = {}
    for state in states_of(front.code):
        stored.setdefault(state.claim, []).append(state)
    if not stored:
        return {}
    movers = _movers(front)
    return {claim: tuple(reversed(_moments(states, movers))) for claim, states in stored.items()}


def _moments(states: Sequence[StoredState], movers: Sequence[Mover]) -> list[Moment]:
    found = []
    before: StoredState | None = None
    for state in states:
        since = state.record_change if before is None else before.record_change
        found.append(
            Moment(
                state.at.isoformat(timespec="minutes"),
                state.record_change,
                state.state,
                state.probability,
                tuple(json.loads(state.value)["figures"]),
                tuple(one for one in movers if since < one.change <= state.record_change),
                before is None,
                before is not None and before.model_version != state.model_version,
            )
        )
        before = state
    return found


def _movers(front: StudyFront) -> list[Mover]:
    subjects = {subject_of(member.code): member.code for member in front.members}
    subjects[f"study {front.code}"] = ""
    rows = (
        Change.objects.filter(subject__in=list(subjects))
        .exclude(person=PROGRAM, kind="claims")
        .order_by("pk")
    )
    return [
        Mover(pk, kind, subjects[subject], person, note)
        for pk, kind, subject, person, note in rows.values_list("pk", "kind", "subject", "person", "note")
    ]
