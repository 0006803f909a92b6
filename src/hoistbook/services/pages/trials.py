"""Tests of a vehicle for its page: what each gave, which of its figures count, and what no test has measured yet."""

from __future__ import annotations

import itertools
import json
import math
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from functools import lru_cache
from typing import Any

from hoistbook.core.quantities.quantity import Origin
from hoistbook.core.vehicle.kinds import QUANTITY_KINDS
from hoistbook.core.vehicle.records import Basis, Fact
from hoistbook.services.pages.facts import FactRow, facts_of
from hoistbook.services.pages.trial_plots import Drawn, drawn
from hoistbook.services.trial_times import overlapping, span_of
from hoistbook.services.vehicles import Record, known_code
from hoistbook.store.trials.models import TrialRun

Json = dict[str, Any]

_HELD = 48
"""project rule: tests whose pictures are held in memory, about a megabyte each."""

MOST_FORMER = 12
"""project rule: superseded versions of one test that a page holds; the history of the vehicle names all changes."""


@dataclass(frozen=True, slots=True)
class Told:
    """One figure of a test. `standing` is "fact", "set aside" or "" where it is none; `why` says why."""

    figure: Json
    standing: str
    why: str


@dataclass(frozen=True, slots=True)
class Former:
    """A superseded version of a test: who wrote it and when, and each figure that differs from the version after it."""

    change: int
    written: str
    person: str
    file_name: str
    moved: tuple[tuple[str, Json | None, Json | None], ...]
    other: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class TrialSheet:
    """One test as its page shows it.

    Attributes
    ----------
    name, kind, at, note, file_name, sha256 : str
        `at` is when it was driven, as written down.
    change : int
    written, person : str
        When it was entered, and by whom.
    channels : dict
        Channel map of the first log, as kept; empty where no log was read.
    outcome : dict
    drawn : Drawn
        Its pictures.
    figures : tuple of Told
    former : tuple of Former
        Latest first, `MOST_FORMER` at most; `former_count` is how many there are.
    """

    name: str
    kind: str
    at: str
    note: str
    file_name: str
    sha256: str
    change: int
    written: str
    person: str
    channels: Json
    outcome: Json
    drawn: Drawn
    figures: tuple[Told, ...]
    former: tuple[Former, ...]
    former_count: int

    @property
    def facts(self) -> int:
        """How many of its figures count as facts."""
        return sum(told.standing == "fact" for told in self.figures)

    @property
    def correlations(self) -> tuple[tuple[str, str, float], ...]:
        """Correlation of every two figures that were found together."""
        found = self.outcome.get("jointly", {"figures": [], "covariance": []})
        words = {told.figure["key"]: told.figure["words"] for told in self.figures}
        covariance = found["covariance"]
        return tuple(
            (words[a], words[b], covariance[i][j] / math.sqrt(covariance[i][i] * covariance[j][j]))
            for (i, a), (j, b) in itertools.combinations(enumerate(found["figures"]), 2)
            if covariance[i][i] > 0.0 < covariance[j][j]
        )


@dataclass(frozen=True, slots=True)
class Open:
    """What no test measured yet: a fact of weaker origin, None where nothing is stated, and the test that would."""

    words: str
    fact: Fact | None
    test: str
    caution: str
    nearly: str


@dataclass(frozen=True, slots=True)
class Trials:
    """Tests of one configuration, what is still open, and what none of the tests measures alone (words and origin).

    `overlapping` says which tests of the vehicle, of whatever configuration, overlap in time.
    """

    tests: tuple[TrialSheet, ...]
    elsewhere: tuple[str, ...]
    open: tuple[Open, ...]
    beyond: tuple[tuple[str, str], ...]
    overlapping: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True)
class _Way:
    """A test that measures a quantity, `words` where it stands for several.

    `instead` names measured quantities that make the test needless, or nearly so.
    """

    quantity: str
    test: str
    caution: str
    instead: tuple[str, ...] = ()
    nearly: str = ""
    words: str = ""


ROAD, HOIST, VOLTAGE = "road", "hoist", "voltage"
_WAYS = (
    _Way("road_load_a", "coast-down", ROAD),
    _Way("road_load_c", "coast-down", ROAD),
    _Way(
        "drag_area",
        "coast-down",
        ROAD,
        ("road_load_c",),
        "road load C is measured and holds it, with what gears and tyres take with speed squared; a wind tunnel tells "
        "them apart",
    ),
    _Way(
        "drag_torque",
        "spin-down of all four wheels, the driven ones uncoupled: gears and motor turn along else",
        HOIST,
        ("drag_force",),
    ),
    _Way(
        "tyre_coefficient",
        "coast-down and spin-down of all four wheels, or a tyre drum",
        HOIST,
        ("road_load_a",),
        "road load A is measured and holds it, with the drag of the wheels; a spin-down of all four tells them apart",
    ),
    _Way("cg_height", "corner weights with one axle lifted", HOIST, ("lifted_front_mass",)),
    _Way("corner_mass_front_left", "corner weights", HOIST, words="corner masses"),
    _Way("usable_energy", "discharge from full to empty", VOLTAGE),
    _Way("charging_efficiency", "charge with a meter at the wall", VOLTAGE),
    _Way("pack_voltage", "discharge", VOLTAGE),
    _Way("pack_resistance", "discharge with steps of the current", VOLTAGE),
    _Way("accessory_power", "standby, ready to drive", VOLTAGE),
    _Way("consumption", "driven cycle and charge", ROAD),
)
"""Which test would measure what, in the order in which they are proposed."""

_REASONS = (
    ("force_at_", "follows from A, B and C"),
    ("drag_torque_", "one wheel; a fact once all four were spun"),
    ("inertia_", "stated for the test"),
    ("speed_at_", "where the figures beside it were taken"),
    ("loss_", "part of the loss of this charge"),
    ("wheel_", "of this drive alone"),
)
_OF_THIS_LOG = "of this log alone"


def trials_of(record: Record, code: str, configuration: str) -> Trials:
    """Tests of a configuration as they stand, with their superseded versions.

    Parameters
    ----------
    record : Record
    code, configuration : str

    Notes
    -----
    Reads the tests and facts of this vehicle alone, whatever else the store holds.
    """
    code = known_code(record, code)
    facts = facts_of(record, code, configuration)
    versions = (
        TrialRun.objects.filter(owner=code)
        .select_related("change")
        .order_by("-id")
        .defer("channels", "outcome")
    )
    by_slot: dict[str, list[TrialRun]] = {}
    for row in versions:
        by_slot.setdefault(row.slot, []).append(row)
    standing = [rows for rows in by_slot.values() if not rows[0].retired]
    shown = sorted(
        (rows for rows in standing if rows[0].configuration == configuration),
        key=lambda rows: (rows[0].change_id, rows[0].slot),
    )
    others = [rows for rows in standing if rows[0].configuration != configuration]
    texts = _texts([row for rows in shown for row in rows[: MOST_FORMER + 1]] + [rows[0] for rows in others])
    tests = tuple(_sheet(rows, texts, facts) for rows in shown)
    elsewhere = sorted({rows[0].configuration for rows in standing} - {configuration})
    spans = [span_of(one.name, one.at, one.outcome) for one in tests]
    spans += [span_of(rows[0].slot, rows[0].at, json.loads(texts[rows[0].pk][1])) for rows in others]
    told = overlapping(span for span in spans if span is not None)
    return Trials(tests, tuple(elsewhere), _open(facts), _beyond(facts), told)


def _texts(rows: Sequence[TrialRun]) -> dict[int, tuple[str, str]]:
    wanted = TrialRun.objects.filter(pk__in=[row.pk for row in rows])
    return {
        pk: (channels, outcome) for pk, channels, outcome in wanted.values_list("pk", "channels", "outcome")
    }


@lru_cache(maxsize=_HELD)
def _looked_at(outcome: str) -> tuple[Json, Drawn]:
    """A kept outcome and its pictures, which are the same as long as the text is; nobody changes them."""
    told = json.loads(outcome)
    return told, drawn(told)


def _sheet(
    rows: Sequence[TrialRun], texts: Mapping[int, tuple[str, str]], facts: Sequence[FactRow]
) -> TrialSheet:
    now, *before = rows
    channels, outcome = texts[now.pk]
    told, pictures = _looked_at(outcome)
    entered: dict[tuple[str, str], FactRow] = {}
    for row in facts:
        if row.statement == f"test {now.slot}":
            # What it took the place of stands below it.
            entered.setdefault((row.fact.quantity, row.fact.duty), row)
    former, after, later = [], told, now
    for version in before[:MOST_FORMER]:
        if version.retired:
            continue
        found = json.loads(texts[version.pk][1])
        former.append(_former(version, found, later, after))
        after, later = found, version
    return TrialSheet(
        now.slot,
        now.kind,
        now.at,
        now.note,
        now.file_name,
        now.file_sha256,
        int(now.change_id),
        now.change.at.isoformat(timespec="minutes"),
        now.change.person,
        json.loads(channels) if channels else {},
        told,
        pictures,
        tuple(_told(figure, entered) for figure in told["figures"]),
        tuple(former),
        sum(not row.retired for row in before),
    )


def _told(figure: Json, entered: Mapping[tuple[str, str], FactRow]) -> Told:
    if not figure["fact"]:
        why = next((words for start, words in _REASONS if figure["key"].startswith(start)), _OF_THIS_LOG)
        return Told(figure, "", figure["note"] or why)
    row = entered.get((figure["fact"], figure["duty"]))
    if row is not None:
        return Told(figure, "set aside" if row.why else "fact", row.why.removeprefix("set aside: "))
    if figure["origin"] == Origin.ASSUMED.value:
        return Told(figure, "", "it rests on an assumption")
    return Told(figure, "", "no longer stated as a fact")


def _former(row: TrialRun, found: Json, later: TrialRun, after: Json) -> Former:
    """What the version after this one changed."""
    was = {figure["key"]: figure for figure in found["figures"]}
    now = {figure["key"]: figure for figure in after["figures"]}
    moved = tuple(
        ((now.get(key) or was[key])["words"], was.get(key), now.get(key))
        for key in dict.fromkeys([*was, *now])
        if _value(was.get(key)) != _value(now.get(key))
    )
    pairs = (
        ("log", row.file_name, later.file_name),
        ("log, its bytes", row.file_sha256[:8], later.file_sha256[:8]),
        ("driven", row.at, later.at),
        ("note", row.note, later.note),
        ("configuration", row.configuration, later.configuration),
    )
    other = tuple(f"{words}: {old or 'none'} → {new or 'none'}" for words, old, new in pairs if old != new)
    return Former(
        int(row.change_id),
        row.change.at.isoformat(timespec="minutes"),
        row.change.person,
        row.file_name,
        moved,
        other,
    )


def _value(figure: Json | None) -> tuple[Any, ...] | None:
    return None if figure is None else tuple(figure[name] for name in ("value", "low", "high", "unit"))


def _strongest(facts: Sequence[FactRow]) -> dict[str, Fact]:
    """Of every quantity the fact that the energy model would take: of the specimen first, then by origin."""
    found: dict[str, Fact] = {}
    for row in facts:
        if row.why:
            continue
        known = found.get(row.fact.quantity)
        if known is None or _rank(row.fact) < _rank(known):
            found[row.fact.quantity] = row.fact
    return found


def _rank(fact: Fact) -> tuple[bool, int]:
    return (fact.basis is not Basis.SPECIMEN, fact.value.origin.rank)


def _open(facts: Sequence[FactRow]) -> tuple[Open, ...]:
    strongest = _strongest(facts)
    measured = {key for key, fact in strongest.items() if fact.value.origin is Origin.MEASURED}
    found = []
    for way in _WAYS:
        if way.quantity in measured:
            continue
        fact = strongest.get(way.quantity)
        near = measured.intersection(way.instead)
        if near and (fact is None or not way.nearly):
            continue
        words = way.words or QUANTITY_KINDS[way.quantity].words
        found.append(Open(words, fact, way.test, way.caution, way.nearly if near else ""))
    return tuple(found)


def _beyond(facts: Sequence[FactRow]) -> tuple[tuple[str, str], ...]:
    """Parameters of the energy model that are not measured and that none of the tests gives."""
    ours = {way.quantity for way in _WAYS}
    return tuple(
        (QUANTITY_KINDS[key].words, fact.value.origin.value)
        for key, fact in _strongest(facts).items()
        if QUANTITY_KINDS[key].field and key not in ours and fact.value.origin is not Origin.MEASURED
    )
