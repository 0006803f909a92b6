"""The rows of the record behind one figure of a gap, vehicle by vehicle."""

from __future__ import annotations

from collections.abc import Collection, Iterable, Mapping, Sequence
from dataclasses import dataclass

from hoistbook.core.vehicle.kinds import QUANTITY_KINDS, field_words
from hoistbook.services.as_json.parts import Json
from hoistbook.services.evidence import Evidence, readings_of_approaches, readings_of_parts, rows_behind
from hoistbook.services.grounds import SHARED, Ground
from hoistbook.services.vehicles import Record
from hoistbook.services.wording import quantity_words

STATED, FIELD, FUNCTION = "stated", "figure", "decision"
MASS_FIELD = "test_mass_kg"
CARRIES_FRAC = 0.01
"""A reading with this share of a figure's variance is always shown; project rule."""
_READINGS = "measurements"
_OWN_ERRORS = {
    "/contradiction": "disagreement of the readings",
    "/scatter": "scatter of the readings",
    "/resolution": "step of the instrument",
}


@dataclass(frozen=True, slots=True)
class Asked:
    """Which figure: what kind, and its name (an energy parameter, a system, a function)."""

    kind: str
    name: str = ""

    @property
    def text(self) -> str:
        """As it stands in an address."""
        return f"{self.kind}:{self.name}" if self.name else self.kind

    @classmethod
    def read(cls, text: str) -> Asked:
        """From an address.

        Raises
        ------
        LookupError
            There is no such kind of figure.
        """
        kind, _, name = text.partition(":")
        if kind not in (STATED, FIELD, FUNCTION):
            msg = f"no figure {text!r} in a gap; known: {STATED}, {FIELD}:NAME, {FUNCTION}:CODE."
            raise LookupError(msg)
        return cls(kind, name)


@dataclass(frozen=True, slots=True)
class Behind:
    """What one vehicle's figure rests on.

    Attributes
    ----------
    code : str
    families : tuple of tuple of Evidence
        Each a row that counts with what it took the place of below it; of weighed parts the heaviest first.
    shared : tuple of (str, float)
        Errors that belong to no single row, and their share of the figure's variance.
    more : int
        Errors too small to name, `more_frac` of the variance together.
    parts : int
        Parts of the function or system.
    before, left_out : int
        Readings before and after those that are here.
    known : bool
        Whether the vehicle has the figure at all.
    """

    code: str
    families: tuple[tuple[Evidence, ...], ...]
    shared: tuple[tuple[str, float], ...]
    more: int
    more_frac: float
    parts: int
    before: int
    left_out: int
    known: bool

    @property
    def count(self) -> int:
        """Rows that count."""
        return sum(one[0].counts for one in self.families) + self.before + self.left_out

    @property
    def former(self) -> int:
        """Rows shown that no longer do."""
        return sum(not row.counts for family in self.families for row in family)


def evidence_behind(
    record: Record,
    grounds: Json,
    codes: Sequence[str],
    asked: Asked,
    fields: Collection[str] = (),
    *,
    mass: bool,
    most: int = 0,
    first: int | None = None,
) -> tuple[Behind, ...]:
    """What a figure of a gap rests on.

    Parameters
    ----------
    record : Record
    grounds : dict
        Of `gap.grounds_of`.
    codes : sequence of str
        The vehicles.
    asked : Asked
    fields : collection of str
        Of a function: only what it contributes to these parameters or systems; all where empty.
    mass : bool
        Whether the gap is one of mass.
    most : int
        Readings that are looked up for each vehicle, those that carry the band and the largest first; all where 0.
    first : int, optional
        From which of them on. From a later one on there are readings alone, no facts and no shared errors. Left out,
        all that carry the band are there, even where they are more than `most`.

    Raises
    ------
    LookupError
        No vehicle has the figure.
    """
    found = tuple(_behind(record, grounds[code], code, asked, fields, mass, most, first) for code in codes)
    if not any(one.known for one in found):
        msg = f"no figure {asked.text!r} in this gap; open one from the table of causes."
        raise LookupError(msg)
    return found


def _behind(
    record: Record,
    own: Json,
    code: str,
    asked: Asked,
    fields: Collection[str],
    mass: bool,
    most: int,
    first: int | None,
) -> Behind:
    parts: Collection[str] = ()
    ids: list[str] = []
    if asked.kind == STATED:
        told = [own["stated"]] if own["stated"] is not None else []
    elif asked.kind == FIELD:
        told = [own["values"][asked.name]] if asked.name in own["values"] else []
        if mass:
            parts = own["systems"].get(asked.name, ())
    else:
        amounts: Mapping[str, Json] = own["functions"].get(asked.name, {})
        told = [amounts[name] for name in amounts if not fields or name in fields]
        if mass or not fields or MASS_FIELD in fields:
            parts = own["parts"].get(asked.name, ())
            if mass and fields:
                here = {tag for name in fields for tag in own["systems"].get(name, ())}
                parts = [tag for tag in parts if tag in here]
        ids += readings_of_approaches(record, code, own["approaches"].get(asked.name, ()))
    ids += readings_of_parts(record, code, parts, "mass")
    grounds = [Ground(*row) for one in told for row in one["rows"]]
    read = {one.name: one for one in grounds if one.sheet == _READINGS}
    carrying = [one.name for one in read.values() if one.share_frac >= CARRIES_FRAC]
    queue = list(dict.fromkeys([*carrying, *ids, *read]))
    before = min(first or 0, len(queue))
    enough = max(most, len(carrying)) if first is None else most
    shown = queue[before : before + enough] if most else queue[before:]
    grounds = [] if first else [one for one in grounds if one.sheet != _READINGS]
    grounds += [read.get(one) or Ground(_READINGS, one, 0.0) for one in shown]
    shared: dict[str, float] = {}
    for one in grounds:
        if one.sheet == SHARED:
            words = shared_words(one.name)
            shared[words] = max(one.share_frac, shared.get(words, 0.0))
    return Behind(
        code,
        _families(rows_behind(record, code, grounds)),
        tuple(sorted(shared.items(), key=lambda item: -item[1])),
        sum(one["more"] for one in told),
        sum(one["more_frac"] for one in told),
        len(parts),
        before,
        len(queue) - before - len(shown),
        bool(told or ids),
    )


def shared_words(name: str) -> str:
    """A shared error in words: the names of instruments and defaults are made by the program."""
    kind, _, rest = name.partition(" ")
    if kind == "default":
        return f"assumed {field_words(rest.partition('/')[0])}"
    if kind == "instrument" and rest.endswith("/calibration"):
        return f"calibration of {rest.removesuffix('/calibration')}"
    if kind == "slot" and rest.endswith(tuple(_OWN_ERRORS)):
        reading, _, error = rest.rpartition("/")
        return f"{_OWN_ERRORS[f'/{error}']} of {reading}"
    parts = name.split("/")
    quantity = next((part for part in parts if part in QUANTITY_KINDS), "")
    return f"{quantity_words(quantity)} of {parts[0]}" if quantity else name


def _families(rows: Iterable[Evidence]) -> tuple[tuple[Evidence, ...], ...]:
    """Put each row that counts together with the former ones below it."""
    found: dict[tuple[str, str], list[Evidence]] = {}
    for row in rows:
        found.setdefault((row.sheet, row.root), []).append(row)
    readings = [one for one in found.values() if one[0].sheet == _READINGS]
    others = [one for one in found.values() if one[0].sheet != _READINGS]
    readings.sort(key=lambda one: (one[0].quantity != "mass", -one[0].value.value))
    return tuple(tuple(one) for one in (*others, *readings))
