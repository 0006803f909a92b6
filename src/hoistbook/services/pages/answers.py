"""The answer of a study before its gap page is opened: one sentence for each pair, from what was kept."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

from hoistbook.core.compare.study import FrozenVersion
from hoistbook.services.keeping import Json, kept_values
from hoistbook.services.pages.gap import ANSWER, AskedGap, asked_gap
from hoistbook.services.vehicles import Record, codes, vehicle_states
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
    there = set(codes(record))
    known = vehicle_states(record, [code for code in frozen.frozen.codes if code in there])
    asked = {code: _asked(record, study, frozen, code, known) for code in frozen.frozen.codes[1:]}
    gaps = {code: one for code, one in asked.items() if isinstance(one, AskedGap)}
    told = kept_values(record, ANSWER, [one.inputs for one in gaps.values()])
    found = dict(zip(gaps, told, strict=True))
    return tuple(
        GapAnswer(code, "", one) if isinstance(one, str) else _answer(code, found[code])
        for code, one in asked.items()
    )


def _asked(
    record: Record, study: str, frozen: FrozenVersion, to: str, known: Mapping[str, int]
) -> AskedGap | str:
    """The gap to a vehicle, or why there is none."""
    try:
        return asked_gap(record, study, frozen, to=to, known=known)
    except LookupError as error:
        return str(error.args[0]).rstrip(".")


def _answer(to: str, found: Json | None) -> GapAnswer:
    return GapAnswer(to, "", NOT_YET) if found is None else GapAnswer(to, found["answer"], "")
