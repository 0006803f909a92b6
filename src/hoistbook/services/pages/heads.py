"""Which vehicles and studies there are, and what stands in the head and foot of their pages."""

from __future__ import annotations

from collections import Counter
from collections.abc import Sequence
from dataclasses import dataclass

from hoistbook.core.quantities.quantity import Quantity
from hoistbook.core.vehicle.records import Basis, Configuration, Fact, Vehicle
from hoistbook.services.pages.standing import Standing, standing, standing_of_all
from hoistbook.services.vehicles import Record, known_code, subject_of, vehicle_states
from hoistbook.store.changes.models import Change
from hoistbook.store.studies.reading import stored_study, study_codes
from hoistbook.store.vehicles import models


@dataclass(frozen=True, slots=True)
class Head:
    """A vehicle as its pages name it.

    `place` counts the vehicles of the store from 0 in the order they came in: it decides colour and shape of the mark
    wherever no study says otherwise. `change`, `at` and `person` are of the last change that touched it, `changes` is
    how many there were.
    """

    vehicle: Vehicle
    place: int
    configurations: tuple[Configuration, ...]
    change: int
    at: str
    person: str
    changes: int

    @property
    def code(self) -> str:
        """Short code."""
        return self.vehicle.code

    @property
    def name(self) -> str:
        """Name, or the code where there is none."""
        return self.vehicle.name or self.vehicle.code

    def configuration(self, wanted: str = "") -> Configuration:
        """Return the configuration asked for; the first one when none was.

        Raises
        ------
        LookupError
            There is none of that name, or none at all.
        """
        for one in self.configurations:
            if not wanted or one.id == wanted:
                return one
        known = ", ".join(one.id for one in self.configurations) or "none"
        msg = f"{self.code} has no configuration {wanted!r}; it has {known}."
        raise LookupError(msg)


@dataclass(frozen=True, slots=True)
class StudyHead:
    """A study as the list of studies names it."""

    code: str
    title: str
    question: str
    vehicles: tuple[str, ...]


def places(record: Record) -> dict[str, int]:
    """Place of every vehicle of the store, in the order they came in."""
    ordered = models.Vehicle.objects.order_by("change_id", "code").values_list("code", flat=True)
    return {code: place for place, code in enumerate(ordered)}


def heads(record: Record) -> tuple[Head, ...]:
    """Every vehicle of the store, in the order they came in."""
    identities = {code: rows[0].record for code, rows in standing_of_all(models.Identity).items()}
    configurations = standing_of_all(models.Configuration)
    known = {code: place for code, place in places(record).items() if code in identities}
    written = _written(record, list(known))
    return tuple(
        _head(place, identities[code], configurations.get(code, ()), written[code])
        for code, place in known.items()
    )


def head(record: Record, code: str) -> Head:
    """One vehicle.

    Raises
    ------
    LookupError
        There is no such vehicle; the message names close ones.
    """
    code = known_code(record, code)
    identity = standing(models.Identity, code)[0].record
    written = _written(record, [code])[code]
    return _head(places(record)[code], identity, standing(models.Configuration, code), written)


@dataclass(frozen=True, slots=True)
class _Written:
    """The last change of a vehicle, and how many there were."""

    change: int
    at: str
    person: str
    changes: int


def _written(record: Record, codes: Sequence[str]) -> dict[str, _Written]:
    last = vehicle_states(record, codes)
    acts = Change.objects.in_bulk(set(last.values()))
    about = Change.objects.filter(subject__in=[subject_of(code) for code in codes])
    counts = Counter(about.values_list("subject", flat=True))
    return {
        code: _Written(
            change,
            acts[change].at.isoformat(timespec="minutes"),
            acts[change].person,
            counts[subject_of(code)],
        )
        for code, change in last.items()
    }


def _head(place: int, vehicle: Vehicle, configurations: Sequence[Standing], written: _Written) -> Head:
    chosen = tuple(row.record for row in configurations)
    return Head(vehicle, place, chosen, written.change, written.at, written.person, written.changes)


def stated_ranges(record: Record) -> dict[str, tuple[tuple[str, Quantity], ...]]:
    """Ranges stated of every vehicle, with their duty: those of the first configuration, measured before published."""
    found: dict[str, tuple[tuple[str, Quantity], ...]] = {}
    first = {code: rows[0].record.id for code, rows in standing_of_all(models.Configuration).items()}
    for code, rows in standing_of_all(models.Fact, quantity="range").items():
        facts = [row.record for row in rows if row.record.configuration == first.get(code)]
        found[code] = tuple((fact.duty, fact.value) for fact in sorted(facts, key=_of_the_specimen))
    return found


def _of_the_specimen(fact: Fact) -> bool:
    return fact.basis is not Basis.SPECIMEN


def studies(record: Record) -> tuple[StudyHead, ...]:
    """Every study of the store."""
    found = ((code, stored_study(code)) for code in study_codes())
    return tuple(
        StudyHead(code, study.title, study.question, study.codes)
        for code, study in found
        if study is not None
    )
