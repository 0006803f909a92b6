"""The answer of a study before its gap page is opened: one sentence for each pair, from what was kept."""

from __future__ import annotations

from dataclasses import dataclass

from hoistbook.core.compare.study import FrozenVersion
from hoistbook.services.keeping import kept_value
from hoistbook.services.pages.gap import ANSWER, asked_gap
from hoistbook.services.vehicles import Record
from hoistbook.store.studies.reading import versions

NOT_FROZEN = "not frozen, so nothing is worked out yet"
NOT_YET = "not worked out yet as the record stands"


@dataclass(frozen=True, slots=True)
class GapAnswer:
    """What the gap of a study says of one vehicle against the first.

    Attributes
    ----------
    to : str
        Code of the vehicle the gap goes to; empty where the study is not frozen.
    words : str
        The gap in one sentence, with its band; empty where it is not known.
    why : str
        Why it is not known: nothing frozen, not worked out yet, or a vehicle that is not there.
    """

    to: str
    words: str
    why: str


def study_answers(record: Record, study: str, last: FrozenVersion | None = None) -> tuple[GapAnswer, ...]:
    """Answers to the question a study fixed, in the order of comparison; nothing is worked out for it.

    Parameters
    ----------
    record : Record
    study : str
    last : FrozenVersion, optional
        Its last frozen version; looked up when left out.

    Returns
    -------
    tuple of GapAnswer
        One for every vehicle but the first; a single one that says why where the study is not frozen.
    """
    frozen = last or next(reversed(versions(study)), None)
    if frozen is None:
        return (GapAnswer("", "", NOT_FROZEN),)
    return tuple(_answer(record, study, frozen, code) for code in frozen.frozen.codes[1:])


def _answer(record: Record, study: str, frozen: FrozenVersion, to: str) -> GapAnswer:
    try:
        asked = asked_gap(record, study, frozen, to=to)
    except LookupError as error:
        return GapAnswer(to, "", str(error.args[0]).rstrip("."))
    found = kept_value(record, ANSWER, asked.inputs)
    return GapAnswer(to, "", NOT_YET) if found is None else GapAnswer(to, found["answer"], "")
