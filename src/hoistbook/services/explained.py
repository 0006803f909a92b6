"""Why an old result differs from today's: what the records moved, and what the model moved."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from datetime import UTC, datetime
from typing import Any

from hoistbook.services.history import Line, changed_between
from hoistbook.services.keeping import Json, KeptResult, input_hash, kept, model_version, result
from hoistbook.services.kept import QUESTIONS, answer, inputs_of, states
from hoistbook.services.record import Record


@dataclass(frozen=True, slots=True)
class Moved:
    """One figure that differs: where it stands, and how it went. `model` and `data` add up to new less old."""

    place: str
    old: float | None
    new: float | None
    model: float | None
    data: float | None


@dataclass(frozen=True, slots=True)
class Explained:
    """Why an old result differs from today's: by the model, by the records, or both, and in which figures."""

    old: KeptResult
    new: KeptResult
    model_changed: bool
    records: dict[str, tuple[Line, ...]]
    moved: tuple[Moved, ...]

    def as_json(self) -> Json:
        """The same, for scripts."""
        return {
            "kind": self.old.kind,
            "subject": self.old.subject,
            "old": {
                "id": self.old.hash,
                "at": self.old.at,
                "model": self.old.model_version,
                "states": self.old.states,
            },
            "new": {
                "id": self.new.hash,
                "at": self.new.at,
                "model": self.new.model_version,
                "states": self.new.states,
            },
            "model_changed": self.model_changed,
            "records": {code: [line.as_json() for line in lines] for code, lines in self.records.items()},
            "moved": [
                {"place": m.place, "old": m.old, "new": m.new, "model": m.model, "data": m.data}
                for m in self.moved
            ],
        }


def explained_change(record: Record, old: KeptResult) -> Explained:
    """Set an old result beside today's, and part what the model moved from what the records moved.

    Parameters
    ----------
    record : Record
    old : KeptResult
        Of one of the ready-made questions.

    Returns
    -------
    Explained
        Where both differ, the question is answered once more from the records of then with today's model: what lies
        between the old result and that one is the model's doing, the rest is that of the records.

    Raises
    ------
    ValueError
        Its kind is none of the ready-made questions.
    """
    if old.kind not in QUESTIONS:
        msg = f"a kept result of kind {old.kind!r} cannot be worked out anew here; known kinds: {', '.join(QUESTIONS)}."
        raise ValueError(msg)
    old = result(record, old.hash)  # a listing leaves the values out
    order = old.inputs["order"]
    options = old.inputs["options"]
    then = {code: old.states[code] for code in order}
    now = states(record, *order)
    between = _again(record, old.kind, then, options)
    new = _again(record, old.kind, now, options)
    changed = {code: changed_between(record, code, then[code], now[code]) for code in order}
    return Explained(
        old,
        new,
        old.model_version != model_version(),
        changed,
        tuple(_moved(dict(figures(old.value)), dict(figures(between.value)), dict(figures(new.value)))),
    )


def _again(record: Record, kind: str, of: Mapping[str, int], options: Json) -> KeptResult:
    value = answer(record, kind, of, options)
    inputs = inputs_of(of, options)
    again = kept(record, kind, inputs)
    if again is None:  # somebody else keeps the store locked: the answer is there, only not kept
        return KeptResult(
            input_hash(kind, inputs),
            kind,
            " → ".join(of),
            model_version(),
            inputs,
            value,
            datetime.now(UTC).isoformat(timespec="seconds"),
            0.0,
        )
    return again


def _moved(
    old: Mapping[str, float], between: Mapping[str, float], new: Mapping[str, float]
) -> Iterator[Moved]:
    for place in dict.fromkeys([*old, *new]):
        was, mid, now = old.get(place), between.get(place), new.get(place)
        if was == now:
            continue
        by_model = None if was is None or mid is None else mid - was
        by_data = None if now is None or mid is None else now - mid
        yield Moved(place, was, now, by_model, by_data)


def figures(value: Any, place: str = "") -> Iterator[tuple[str, float]]:
    """Every number in a result with its place; entries of a list go by their name where they have one."""
    if isinstance(value, Mapping):
        for key, inner in value.items():
            yield from figures(inner, f"{place}.{key}" if place else str(key))
    elif isinstance(value, list):
        for number, inner in enumerate(value):
            name = str(number)
            if isinstance(inner, Mapping):
                name = str(
                    next((inner[key] for key in ("code", "key", "name", "tag") if inner.get(key)), number)
                )
            yield from figures(inner, f"{place}[{name}]")
    elif isinstance(value, int | float) and not isinstance(value, bool):
        yield place, float(value)
