"""Which mass readings count, and what each of them says was on the scale."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, replace
from enum import StrEnum

from hoistbook.core.quantities.quantity import Origin, Quantity, weakest
from hoistbook.core.quantities.repeats import ADVICE as REPEATS_ADVICE
from hoistbook.core.quantities.repeats import repeats
from hoistbook.core.vehicle.records import Measurement, Method, Scope, SubjectKind


class FlagKind(StrEnum):
    """What a flag is about."""

    REPEATS_DIFFER = "repeat readings differ"
    READINGS_CONTRADICT = "readings contradict"
    PIECES_HEAVIER = "pieces heavier than the assembly"
    SURPLUS = "assembly heavier than its pieces"
    NEGATIVE = "negative mass by difference"
    METHODS_DIFFER = "another method differs"
    NOT_SEPARABLE = "masses cannot be told apart"
    SCALE_OFFSET = "scale seems to be off"
    NOT_USED = "reading not used"
    SCOPE = "assembly weighed without its parts"
    SHARES = "shares do not add up"
    CODE = "unknown code"


@dataclass(frozen=True, slots=True)
class Flag:
    """Something a person should look at. Nothing is corrected because of it.

    `residual_kg` is the amount by which readings differ and `bound_kg` what their bands would allow; None when the
    flag is not about an amount.
    """

    kind: FlagKind
    message: str
    advice: str
    tags: tuple[str, ...] = ()
    readings: tuple[str, ...] = ()
    residual_kg: float | None = None
    bound_kg: float | None = None


@dataclass(frozen=True, slots=True)
class Observation:
    """One mass that was read: `value` is of everything on the scale.

    `on_scale` lists (tag, pieces); with scope subtree everything still attached to each piece was on the scale too.
    `readings` holds the ids of the reading, or of the repeat readings combined here.
    """

    readings: tuple[str, ...]
    subject: str
    scope: Scope
    method: Method
    value: Quantity
    on_scale: tuple[tuple[str, float], ...]
    instrument: str = ""


@dataclass(frozen=True, slots=True)
class SetAside:
    """A reading that does not count, and why."""

    reading: str
    reason: str


@dataclass(frozen=True, slots=True)
class Ledger:
    """Readings that count, readings that do not, and what was met on the way.

    `of_vehicle` are weighings of the whole vehicle: they check the sum of the parts and are never part of it.
    """

    observations: tuple[Observation, ...]
    of_vehicle: tuple[Observation, ...]
    set_aside: tuple[SetAside, ...]
    flags: tuple[Flag, ...]


RANK: Mapping[Method, int] = {
    Method.WEIGHED: 0,
    Method.MEASURED: 0,
    Method.COMPUTED: 1,
    Method.ESTIMATED: 2,
    Method.LITERATURE: 2,
}
"""Strength of a method for a mass; a weaker reading counts only where no stronger one speaks of the part."""

_ORIGIN: Mapping[Method, Origin] = {
    Method.WEIGHED: Origin.MEASURED,
    Method.MEASURED: Origin.MEASURED,
    Method.COMPUTED: Origin.INFERRED,
    Method.ESTIMATED: Origin.ASSUMED,
    Method.LITERATURE: Origin.PUBLISHED,
}


def ledger(measurements: Iterable[Measurement], root: str, vehicle: str) -> Ledger:
    """Sort the mass readings of one vehicle.

    Parameters
    ----------
    measurements : iterable of Measurement
        All measurements; other quantities than mass are passed over.
    root : str
        Tag of the vehicle itself.
    vehicle : str
        Code of the vehicle; names the errors of the means of repeat readings.

    Returns
    -------
    Ledger
        Readings of one slot (subject, scope, what was covered, pieces, method) are repeats of each other and become one
        observation.

    Raises
    ------
    ValueError
        A mass that is not in kg, or pieces or covered numbers that are not positive.

    Notes
    -----
    A reading that another one supersedes does not count, whether or not the newer one stays in its slot. A weighing
    of the vehicle itself is kept apart: it checks the sum of the parts. Readings of joints, approaches and
    configurations count only when they say what was on the scale (`covers`).
    """
    masses = [m for m in measurements if m.quantity == "mass"]
    superseded = {m.supersedes for m in masses if m.supersedes}
    set_aside = [SetAside(m.id, "superseded") for m in masses if m.id in superseded]
    slots: dict[tuple[object, ...], list[Measurement]] = {}
    of_vehicle: list[Observation] = []
    flags: list[Flag] = []
    for m in sorted((m for m in masses if m.id not in superseded), key=lambda m: m.id):
        _check(m)
        if m.subject_kind is SubjectKind.CONFIGURATION and not m.covers:
            of_vehicle.append(_observation([m], m.value, root))
        elif m.subject_kind is not SubjectKind.PART and not m.covers:
            set_aside.append(
                SetAside(
                    m.id, f"mass of a {m.subject_kind.value}: say in 'covers' which parts were on the scale"
                )
            )
            flags.append(
                Flag(
                    FlagKind.NOT_USED,
                    f"Reading {m.id} is the mass of {m.subject_kind.value} {m.subject} and does not say which "
                    "parts were weighed.",
                    "Fill the column covers, e.g. F12 × 4; then it counts.",
                    readings=(m.id,),
                )
            )
        else:
            slots.setdefault((m.subject_kind, m.subject, m.scope, m.covers, m.pieces, m.method), []).append(m)
    observations: list[Observation] = []
    for readings in slots.values():
        first = readings[0]
        value, contradiction = _combined(readings, vehicle)
        flags.extend(contradiction)
        observation = _observation(readings, value, first.subject)
        is_vehicle = first.subject == root and not first.covers and first.subject_kind is SubjectKind.PART
        (of_vehicle if is_vehicle else observations).append(observation)
    return Ledger(tuple(observations), tuple(of_vehicle), tuple(set_aside), tuple(flags))


def _check(m: Measurement) -> None:
    if m.value.unit != "kg":
        msg = f"reading {m.id} of {m.subject}: a mass in {m.value.unit}; give kilograms."
        raise ValueError(msg)
    if not m.pieces > 0.0:
        msg = f"reading {m.id} of {m.subject}: pieces = {m.pieces!r}; give the number of pieces on the scale, above 0."
        raise ValueError(msg)
    for tag, number in m.covers:
        if not number > 0.0:
            msg = (
                f"reading {m.id} of {m.subject}: covers {tag} × {number!r}; give the number of pieces on the scale, "
                "above 0."
            )
            raise ValueError(msg)


def _observation(repeats: Sequence[Measurement], value: Quantity, subject: str) -> Observation:
    first = repeats[0]
    on_scale = {subject: first.pieces} if not first.covers else {}
    for tag, number in first.covers:
        on_scale[tag] = on_scale.get(tag, 0.0) + number
    limit = _ORIGIN[first.method]
    origin = value.origin if value.origin is limit else weakest((value.origin, limit))
    return Observation(
        readings=tuple(m.id for m in repeats),
        subject=subject,
        scope=first.scope,
        method=first.method,
        value=value if value.origin is origin else replace(value, origin=origin),
        on_scale=tuple(on_scale.items()),
        instrument=first.instrument,
    )


def _combined(readings: Sequence[Measurement], vehicle: str) -> tuple[Quantity, list[Flag]]:
    if len(readings) == 1:
        return readings[0].value, []
    first = readings[0]
    slot = f"{vehicle} {first.subject} ({first.id})"
    mean = repeats([m.value for m in readings], [_error_name(m) for m in readings], slot)
    if not mean.contradicted:
        return mean.quantity, []
    values = [m.value.value for m in readings]
    # The names that keep errors of several vehicles apart say nothing to a reader of one book.
    message = mean.message.replace(f"{slot}: ", f"{first.subject}: ")
    for m in readings:
        message = message.replace(_error_name(m), m.id)
    flag = Flag(
        FlagKind.REPEATS_DIFFER,
        message.removesuffix(REPEATS_ADVICE).rstrip(),
        REPEATS_ADVICE,
        (first.subject,),
        tuple(m.id for m in readings),
        max(values) - min(values),
        None,
    )
    return mean.quantity, [flag]


def _error_name(m: Measurement) -> str:
    """Id under which the reading's own errors are named: ``reading <id>/…``, with or without the vehicle before it."""
    for source, _ in m.value.terms:
        if source.name.startswith("reading "):
            name = source.name.removeprefix("reading ").rpartition("/")[0]
            if name.endswith(m.id):
                return name
    return m.id
