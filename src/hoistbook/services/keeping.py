"""Results kept by what they were worked out from, so that an old figure can be shown again and its change explained."""

from __future__ import annotations

import hashlib
import json
import zlib
from collections import OrderedDict
from collections.abc import Callable, Mapping, Sequence
from contextlib import suppress
from dataclasses import dataclass, replace
from datetime import UTC, datetime
from functools import cache
from pathlib import Path
from time import monotonic, perf_counter
from typing import Any

import hoistbook
from hoistbook.services.record import Record, known_code
from hoistbook.store.problems import Busy, StoreRefused
from hoistbook.store.results import keeping

Json = dict[str, Any]
_MODEL = ("core", "reference", "report", "services")
_MODEL_FILES = (".py", ".csv", ".toml", ".json")
_MOST_UNKEPT = 200
"""Results held where the store cannot be written; packed, the largest of a vehicle of 10,000 parts takes about 1 MB."""
REST_S = 30.0
"""project rule: how long nobody tries again to write into a store that just refused it."""
_unkept: OrderedDict[tuple[str, str], tuple[KeptResult, bytes]] = OrderedDict()
_refused: dict[str, tuple[str, float]] = {}


class MovedOn(ValueError):
    """The record moved on while something was worked out: nothing is wrong, whoever asked may ask again."""


@dataclass(frozen=True, slots=True)
class KeptResult:
    """A result and what it came from. `states` names for each vehicle the last change that had touched it."""

    hash: str
    kind: str
    subject: str
    model_version: str
    inputs: Json
    value: Json
    at: str
    seconds: float

    @property
    def states(self) -> dict[str, int]:
        """Vehicle codes and states, in the order of the question."""
        return dict(self.inputs.get("states", {}))

    def as_json(self, *, with_value: bool = True) -> Json:
        """The result with what it came from, for scripts."""
        told: Json = {
            "id": self.hash,
            "kind": self.kind,
            "subject": self.subject,
            "model": self.model_version,
            "at": self.at,
            "seconds": self.seconds,
            "inputs": self.inputs,
        }
        return {**told, "value": self.value} if with_value else told


@cache
def model_version() -> str:
    """Version of the program, and a digest of all source and data that figures depend on.

    Returns
    -------
    str
        ``"0.2.0+3f9a1c2b7d40"``; two programs with the same one give the same figures.
    """
    root = Path(hoistbook.__file__).parent
    digest = hashlib.sha256()
    for part in _MODEL:
        for path in sorted((root / part).rglob("*")):
            if path.suffix in _MODEL_FILES and path.is_file():
                digest.update(path.relative_to(root).as_posix().encode() + b"\0")
                digest.update(hashlib.sha256(path.read_bytes()).digest())
    return f"{hoistbook.__version__}+{digest.hexdigest()[:12]}"


def canonical(value: Any) -> str:
    """JSON text that is the same for equal values: keys sorted, no blanks."""
    return json.dumps(value, sort_keys=True, ensure_ascii=False, separators=(",", ":"), allow_nan=False)


def input_hash(kind: str, inputs: Json, model: str | None = None) -> str:
    """SHA-256 under which a result is kept."""
    told = {"kind": kind, "inputs": inputs, "model": model or model_version()}
    return hashlib.sha256(canonical(told).encode()).hexdigest()


def kept(record: Record, kind: str, inputs: Json) -> KeptResult | None:
    """Return the result of these inputs with today's model, if it was worked out before."""
    return found(record, input_hash(kind, inputs))


def keep(record: Record, kind: str, inputs: Json, value: Json, seconds: float) -> KeptResult:
    """Keep a result.

    Notes
    -----
    Where somebody else is writing for longer than a writer waits, the result is handed back all the same and worked
    out again the next time it is asked for.
    """
    result = _made(kind, inputs, value, seconds)
    with suppress(Busy):
        _write(result)
    return result


def keep_or_hold(record: Record, kind: str, inputs: Json, value: Json, seconds: float) -> None:
    """Keep a result; where the store cannot be written, hold it in this process, where `kept` finds it.

    Notes
    -----
    So a copy of a store without permission to write, a full disk or a long load of somebody else costs working things
    out anew at the next start, and no more. What is held is written down as soon as something else could be.
    """
    folder = str(record.folder.resolve())
    result = _made(kind, inputs, value, seconds)
    try:
        _write(result)
        for place in [place for place in list(_unkept) if place[0] == folder]:
            _write(_unpacked(_unkept[place]))
            del _unkept[place]
    except StoreRefused as error:
        text = json.dumps(value, ensure_ascii=False, allow_nan=False)
        _unkept[folder, result.hash] = (replace(result, value={}), zlib.compress(text.encode()))
        while len(_unkept) > _MOST_UNKEPT:
            _unkept.popitem(last=False)
        note_refusal(record, error)
    else:
        _refused.pop(folder, None)


def note_refusal(record: Record, error: StoreRefused) -> None:
    """Take note that the store could not be written, for `not_kept`."""
    _refused[str(record.folder.resolve())] = (str(error), monotonic())


def not_kept(record: Record) -> str:
    """Why this process could not keep what it last worked out; empty where it could."""
    return _refused.get(str(record.folder.resolve()), ("", 0.0))[0]


def refused_just_now(record: Record) -> bool:
    """Whether the store could not be written less than `REST_S` ago, so that trying again is not worth it yet."""
    told = _refused.get(str(record.folder.resolve()))
    return told is not None and monotonic() - told[1] < REST_S


def _made(kind: str, inputs: Json, value: Json, seconds: float) -> KeptResult:
    return KeptResult(
        input_hash(kind, inputs),
        kind,
        " → ".join(inputs.get("states", {})) or str(inputs.get("subject", "")),
        model_version(),
        inputs,
        value,
        datetime.now(UTC).isoformat(timespec="seconds"),
        seconds,
    )


def _write(result: KeptResult) -> None:
    keeping.keep(
        result.hash,
        result.kind,
        result.subject,
        result.model_version,
        json.dumps(result.inputs, ensure_ascii=False, allow_nan=False),
        json.dumps(result.value, ensure_ascii=False, allow_nan=False),
        result.at,
        result.seconds,
    )


def _unpacked(held: tuple[KeptResult, bytes]) -> KeptResult:
    return replace(held[0], value=json.loads(zlib.decompress(held[1])))


def kept_or_worked_out(record: Record, kind: str, inputs: Json, work: Callable[[], Json]) -> Json:
    """Return the kept result of these inputs and today's model, or work it out and keep it.

    Parameters
    ----------
    record : Record
    kind : str
        What kind of result: mass, range, gap, rates, or a further one.
    inputs : dict
        Everything the result depends on; `states` (vehicle code → `record.state_of`) for the vehicles in it.
    work : callable
        Called without arguments where nothing is kept; returns plain JSON values.

    Notes
    -----
    Where the store cannot be written the result is handed back all the same, and worked out again the next time.
    """
    known = kept(record, kind, inputs)
    if known is not None:
        return known.value
    start = perf_counter()
    value = work()
    keep_or_hold(record, kind, inputs, value, perf_counter() - start)
    return value


def results_of(record: Record, codes: Sequence[str] = (), kind: str | None = None) -> tuple[KeptResult, ...]:
    """Results kept of a vehicle, of a pair in this order, or of a whole store; oldest first, without their values."""
    wanted = [known_code(record, code) for code in codes]
    rows = (_result(row, with_value=False) for row in keeping.listing(kind))
    return tuple(
        one
        for one in rows
        if not wanted or (list(one.states) == wanted if len(wanted) > 1 else wanted[0] in one.states)
    )


def kept_value(record: Record, kind: str, inputs: Json) -> Json | None:
    """What `kept` finds, without where it came from."""
    known = kept(record, kind, inputs)
    return None if known is None else known.value


def kept_values(record: Record, kind: str, several: Sequence[Json]) -> list[Json | None]:
    """The same for several inputs, asked for at once."""
    hashes = [input_hash(kind, inputs) for inputs in several]
    rows = keeping.by_hashes(hashes)
    told: list[Json | None] = []
    for name in hashes:
        held = _result(rows[name]) if name in rows else _held(record, name)
        told.append(None if held is None else held.value)
    return told


def found(record: Record, name: str) -> KeptResult | None:
    """Return a result by its hash, kept in the store or held by `keep_or_hold`; None where there is none."""
    row = keeping.by_hash(name)
    if row is not None:
        return _result(row)
    return _held(record, name)


def _held(record: Record, name: str) -> KeptResult | None:
    """A result that could not be kept in the store."""
    held = _unkept.get((str(record.folder.resolve()), name))
    return None if held is None else _unpacked(held)


def result(record: Record, name: str) -> KeptResult:
    """Return a result by its hash or the first digits of it.

    Raises
    ------
    LookupError
        None begins so, or several do.
    """
    hashes = keeping.beginning(name.lower()) if name else []
    if len(hashes) == 1:
        row = keeping.by_hash(hashes[0])
        if row is not None:
            return _result(row)
    many = f"{len(hashes)} kept results begin" if hashes else "no kept result begins"
    msg = f"{many} with {name!r}; hoistbook results lists them, eight digits are enough."
    raise LookupError(msg)


def _result(row: Mapping[str, Any], *, with_value: bool = True) -> KeptResult:
    return KeptResult(
        row["input_hash"],
        row["kind"],
        row["subject"],
        row["model_version"],
        json.loads(row["inputs"]),
        json.loads(row["value"]) if with_value else {},
        row["at"].isoformat(timespec="seconds"),
        row["seconds"],
    )
