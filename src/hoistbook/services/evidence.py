"""From a figure down to the record: the rows it rests on, what they took the place of, and the change of each.

Which rows those are, `grounds` says.
"""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Collection, Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass, replace
from typing import Any

from hoistbook.core.quantities.quantity import Quantity
from hoistbook.core.vehicle.records import (
    ContentItem,
    Effect,
    Fact,
    Measurement,
    Method,
    Rule,
    SubjectKind,
)
from hoistbook.services.grounds import Ground
from hoistbook.services.vehicles import Record, known_code
from hoistbook.services.wording import quantity_words, statement_words
from hoistbook.store.changes.models import Change
from hoistbook.store.vehicles import models
from hoistbook.store.vehicles.mapping import KIND_OF, Quantities
from hoistbook.store.vehicles.reading import WORKBOOK
from hoistbook.store.versions import Version, columns

_MOST_ASKED_FOR = 1000
"""Parts whose readings are asked for by name; of more, all are read and looked through."""
_SHEETS: dict[str, type[Version]] = {
    KIND_OF[model].sheet: model
    for model in (models.Fact, models.Measurement, models.Effect, models.ContentItem)
}


@dataclass(frozen=True, slots=True)
class Evidence:
    """One row of the record, as it stands or as it once stood.

    Attributes
    ----------
    vehicle, sheet : str
    name : str
        By which `history` finds it: id of a reading, quantity of a fact, function of an effect, item of content.
    words : str
        What it says.
    tag : str
        Of the part it was read of; empty where it was none.
    quantity : str
        Its key; empty for a factor.
    value : Quantity
    how, instrument, person, at, evidence, note : str
        As written down; `person` and `at` are whoever took the reading and when.
    statement : str
        Test or table it came from; empty for the workbook.
    change : int
        The change that wrote it, `entered` when and `entered_by` whom, from `file_name`.
    share_frac : float or None
        Of the variance of the figure asked about; None where it has no part in its band.
    ended : int or None
        The change that ended it; None while it stands.
    why : str
        Why it does not count; empty where it does.
    root : str
        Slot of the row that it stands below, or its own.
    """

    vehicle: str
    sheet: str
    name: str
    words: str
    tag: str
    quantity: str
    value: Quantity
    how: str
    instrument: str
    person: str
    at: str
    evidence: str
    note: str
    statement: str
    change: int
    entered: str
    entered_by: str
    file_name: str
    share_frac: float | None = None
    ended: int | None = None
    why: str = ""
    root: str = ""

    @property
    def counts(self) -> bool:
        """Whether figures rest on it today."""
        return not self.why


def rows_behind(record: Record, code: str, grounds: Iterable[Ground]) -> tuple[Evidence, ...]:
    """Rows of one vehicle that a figure rests on, below each what it took the place of.

    Parameters
    ----------
    record : Record
    code : str
    grounds : iterable of Ground
        Shared errors are passed over: they are no rows.

    Returns
    -------
    tuple of Evidence
        In the order of the grounds.
    """
    code = known_code(record, code)
    wanted: dict[str, dict[str, float | None]] = defaultdict(dict)
    for one in grounds:
        if one.sheet in _SHEETS:
            wanted[one.sheet][one.name] = one.share_frac
    found: list[Evidence] = []
    for sheet, shares in wanted.items():
        found += _rows(code, _SHEETS[sheet], shares)
    return tuple(found)


def readings_of_parts(record: Record, code: str, tags: Collection[str], kind: str = "") -> tuple[str, ...]:
    """Ids of the readings that stand of these parts, of one quantity or of all; the largest first."""
    return _reading_ids(known_code(record, code), SubjectKind.PART, tags, kind)


def readings_of_approaches(record: Record, code: str, ids: Collection[str]) -> tuple[str, ...]:
    """Ids of the readings that stand of these approaches, the largest first."""
    return _reading_ids(known_code(record, code), SubjectKind.APPROACH, ids, "")


def _reading_ids(code: str, subject_kind: SubjectKind, of: Collection[str], kind: str) -> tuple[str, ...]:
    if not of:
        return ()
    rows = models.Measurement.objects.current(owner=code, subject_kind=subject_kind.value)
    if kind:
        rows = rows.filter(quantity=kind)
    if len(of) <= _MOST_ASKED_FOR:
        rows = rows.filter(subject__in=list(of))
    known = set(of)
    pairs = rows.order_by("-value", "id").values_list("slot", "subject")
    return tuple(slot for slot, subject in pairs if subject in known)


@dataclass(frozen=True, slots=True)
class _Stand:
    """A version of a row and what became of it; the changes are ids."""

    id: int
    slot: str
    statement: str
    change: int
    retired: bool
    later: int | None
    ended: int | None
    record: Any


def _versions(code: str, model: type[Version], slots: Collection[str]) -> list[_Stand]:
    read = KIND_OF[model].reader(code, Quantities())
    rows = model.objects.filter(owner=code, slot__in=list(slots)).order_by("-id")
    return [
        _Stand(row[0], row[1], row[2], row[3], row[4], row[5], row[6], read(row[1], row[7:]))
        for row in rows.values_list(
            "id",
            "slot",
            "statement",
            "change_id",
            "retired",
            "superseded_by",
            "superseded_by__change_id",
            *columns(model),
        )
    ]


def _rows(code: str, model: type[Version], shares: Mapping[str, float | None]) -> Iterator[Evidence]:
    slots = dict.fromkeys(shares)
    if model is models.Measurement:
        slots |= dict.fromkeys(_corrected(code, slots))
    found = _versions(code, model, slots)
    acts = Change.objects.in_bulk({one.change for one in found} | {one.ended for one in found if one.ended})
    retirements = {one.id for one in found if one.retired}
    heads: dict[str, list[_Stand]] = defaultdict(list)
    former: dict[str, list[_Stand]] = defaultdict(list)
    for one in found:
        if not one.retired:
            (heads if one.later is None else former)[one.slot].append(one)
    corrects = {
        head.record.supersedes: head
        for group in heads.values()
        for head in group
        if isinstance(head.record, Measurement) and head.record.supersedes
    }
    names = _names(code, found)

    def told(one: _Stand, ended: int | None, why: str) -> Evidence:
        made = _evidence(code, one.record, names)
        act = acts[one.change]
        return replace(
            made,
            statement="" if one.statement == WORKBOOK else one.statement,
            change=one.change,
            entered=act.at.isoformat(timespec="minutes"),
            entered_by=act.person,
            file_name=act.file_name,
            share_frac=shares.get(one.slot) if not why else None,
            ended=ended,
            why=why,
        )

    def once(slot: str) -> Iterator[Evidence]:
        for one in former[slot]:
            ended = one.ended or 0  # what was superseded was so in a change
            what = "retired" if one.later in retirements else "superseded"
            yield told(one, ended, f"{what} in change {ended} by {acts[ended].person}")

    def family(slot: str) -> Iterator[Evidence]:
        # Of two statements in one slot the one entered later counts, as where the engines read.
        group = sorted(heads[slot], key=lambda one: -one.change)
        for place, one in enumerate(group):
            why, ended = "", None
            if place:
                why = f"set aside: {statement_words(group[0].statement)} was entered later"
                ended = group[0].change
            elif one.slot in corrects:
                later = corrects[one.slot]
                why = f"superseded by {later.slot}, {later.record.person or acts[later.change].person}"
                ended = later.change
            yield told(one, ended, why)
        yield from once(slot)
        for other in former_ids(group):
            yield from family(other)

    def former_ids(group: Sequence[_Stand]) -> Iterator[str]:
        for one in group:
            if isinstance(one.record, Measurement) and one.record.supersedes in slots:
                yield one.record.supersedes

    for slot in slots:
        if slot not in corrects:
            yield from (replace(row, root=slot) for row in family(slot))


def _corrected(code: str, ids: Collection[str]) -> set[str]:
    """Ids that these readings say they supersede, and theirs in turn; those that supersede these."""
    pairs = list(
        models.Measurement.objects.current(owner=code).exclude(corrects="").values_list("slot", "corrects")
    )
    known = set(ids)
    while True:
        more = {other for one, other in pairs if one in known} | {
            one for one, other in pairs if other in known
        }
        if more <= known:
            return known
        known |= more


def _names(code: str, found: Iterable[_Stand]) -> dict[str, str]:
    """Names of the parts the readings are of."""
    tags = {one.record.subject for one in found if isinstance(one.record, Measurement)}
    if not tags:
        return {}
    return dict(models.Node.objects.current(owner=code, slot__in=tags).values_list("slot", "name"))


def _evidence(code: str, record: Any, names: Mapping[str, str]) -> Evidence:
    words, quantity = quantity_words(record.quantity), record.quantity
    tag = instrument = person = at = ""
    how = str(record.value.origin.value)
    evidence = getattr(record, "evidence", "")
    match record:
        case Fact():
            sheet, name, instrument = "facts", record.quantity, record.instrument
            state = record.mass_state.value if record.mass_state else ""
            words = ", ".join(filter(None, (words, state, record.duty)))
            if record.basis.value == "label":
                how = f"{how}, label"
        case Measurement():
            sheet, name, instrument = "measurements", record.id, record.instrument
            person, at = record.person, record.at
            how = record.method.value if record.method is not Method.MEASURED else how
            if record.subject_kind is SubjectKind.PART:
                tag = record.subject
            words = _reading_words(record, names)
        case Effect():
            sheet, name = "effects", record.function
        case ContentItem():
            sheet, name = "content", record.item
            words = f"{record.item}: {words}, {record.rule.value}"
            if record.rule is Rule.SCALE:
                quantity = ""  # a factor, whatever it scales
        case _:
            msg = f"{type(record).__name__}: no row a figure rests on; known: {', '.join(_SHEETS)}."
            raise TypeError(msg)
    return Evidence(
        code,
        sheet,
        name,
        words,
        tag,
        quantity,
        record.value,
        how,
        instrument,
        person,
        at,
        evidence,
        record.note,
        "",
        0,
        "",
        "",
        "",
    )


def _reading_words(record: Measurement, names: Mapping[str, str]) -> str:
    """What was on the scale or in the calliper: "load floor panel, 4 pieces, with all in it"."""
    told = [names.get(record.subject, record.subject)]
    if record.quantity != "mass":
        told.append(quantity_words(record.quantity))
    if record.pieces != 1.0:
        told.append(f"{record.pieces:g} pieces together")
    if record.covers:
        told.append(f"{len(record.covers)} lines on the scale")
    elif record.scope.value == "subtree":
        told.append("with all in it")
    if record.replicate > 1:
        told.append(f"reading {record.replicate}")
    return ", ".join(told)
