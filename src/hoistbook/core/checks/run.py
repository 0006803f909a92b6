"""Runs a check: draws what is stated, takes the rest from usual values and says so, and gives figures with bands."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, field, replace

import numpy as np

from hoistbook.core.arrays import Array
from hoistbook.core.checks.declared import Check, Found, Given, Limit, Outcome, Reading, Spread
from hoistbook.core.checks.found import ByFormula, CheckResult, Figured, Held
from hoistbook.core.quantities.assumption import Assumption, AssumptionKind
from hoistbook.core.quantities.evaluation import exact, rectangular
from hoistbook.core.quantities.quantity import Origin, Quantity
from hoistbook.core.quantities.sampling import joint_draws
from hoistbook.core.quantities.units import from_si, uncertainty_from_si
from hoistbook.core.vehicle.kinds import unit_text

CHECK_DRAWS = 10_000
CHECK_SEED = 1
SEEN_SHARE = 0.005
"""Share of the draws outside the range of an equation from which on the result says so; project rule."""


@dataclass(frozen=True, slots=True)
class Stated:
    """What is stated for a check.

    Attributes
    ----------
    values : mapping of str to Quantity or sequence of Quantity
        By reading; as many as there are things where there are several.
    choices : mapping of str to str
    names : mapping of str to sequence of str
        Names of the things there are several of, by what they are ("mount"); not stated they are numbered.
    """

    values: Mapping[str, Quantity | Sequence[Quantity]] = field(default_factory=dict)
    choices: Mapping[str, str] = field(default_factory=dict)
    names: Mapping[str, Sequence[str]] = field(default_factory=dict)


def with_band(reading: Reading, value: float, name: str) -> Quantity:
    """A bare number as a quantity with the band of its reading.

    Parameters
    ----------
    reading : Reading
    value : float
        [unit of the reading]
    name : str
        Of the source of error.

    Returns
    -------
    Quantity
        Rectangular within the half width; exact where the reading has none.
    """
    if reading.half_width == 0.0:
        return exact(value, reading.unit)
    return rectangular(value, reading.half_width, reading.unit, name)


def run_check(
    check: Check, stated: Stated, n_draws: int = CHECK_DRAWS, seed: int = CHECK_SEED
) -> CheckResult:
    """Work a check out.

    Parameters
    ----------
    check : Check
    stated : Stated
    n_draws : int
        At least 100.
    seed : int

    Returns
    -------
    CheckResult

    Raises
    ------
    ValueError
        An unknown name, readings that are missing or outside the range of the equation (all of them, a line each),
        readings that do not go together; the message says which range holds and why.

    Notes
    -----
    Monte Carlo (from memory: JCGM 101 7): readings that share a source of error share its draws. The share of a reading
    in the variance is the squared correlation of its draws with the main figure, a first-order index that is exact
    where the figure is linear in independent readings (from memory: JCGM 101 B.1 note; Saltelli et al., Global
    Sensitivity Analysis, ch. 1).
    """
    if n_draws < 100:
        msg = f"{check.title}: {n_draws!r} draws; take at least 100."
        raise ValueError(msg)
    choices = _chosen(check, stated.choices)
    quantities, assumed = _quantities(check, stated)
    names = _named(check, stated.names, quantities)
    values = _drawn(check, quantities, n_draws, seed)
    given = Given(values, choices, names, check.title)
    caveats = list(_rules_kept(check, given))
    caveats += _draws_outside(check, values)
    with np.errstate(all="ignore"):  # what has no value is refused below, with the name of the figure
        found = check.evaluate(given)
    figures = tuple(_figures(check, found, names))
    held = tuple(
        one
        for limit in check.limits
        if limit.outcome in found
        for one in _held(check, limit, given, found, names)
    )
    shares = _shares(check, values, found)
    result = CheckResult(
        check.name,
        figures,
        held,
        "",
        _dominant(figures[0], shares),
        shares,
        tuple(assumed),
        (*caveats, *check.cannot_say),
        check.cautions,
        check.references,
        n_draws,
        seed,
    )
    return replace(result, verdict=check.verdict(result, given))


def _chosen(check: Check, stated: Mapping[str, str]) -> dict[str, str]:
    known = {one.name: one for one in check.choices}
    for name in stated:
        if name not in known:
            msg = f"{check.title} has no choice named {name!r}; its choices: {', '.join(known) or 'none'}."
            raise ValueError(msg)
    found = {}
    for name, one in known.items():
        option = stated.get(name, next(iter(one.options)))
        if option not in one.options:
            msg = f"{check.title}: {one.words} {option!r}; known: {', '.join(one.options)}."
            raise ValueError(msg)
        found[name] = option
    return found


def _quantities(check: Check, stated: Stated) -> tuple[dict[str, tuple[Quantity, ...]], list[Assumption]]:
    for name in stated.values:
        check.reading(name)
    counts = _counts(check, stated)
    quantities: dict[str, tuple[Quantity, ...]] = {}
    assumed = []
    faults = []
    for reading in check.readings:
        told = stated.values.get(reading.name)
        try:
            if told is None:
                value, said = _usual(check, reading)
                quantities[reading.name] = (value,) * counts.get(reading.each, 1)
                assumed.append(said)
            else:
                quantities[reading.name] = _told(check, reading, told)
        except ValueError as error:
            faults.append(str(error))
    if faults:
        raise ValueError("\n".join(faults))
    return quantities, assumed


def _told(check: Check, reading: Reading, told: Quantity | Sequence[Quantity]) -> tuple[Quantity, ...]:
    several = (told,) if isinstance(told, Quantity) else tuple(told)
    if not reading.each and len(several) != 1:
        msg = f"{check.title}: {reading.words} is one figure; {len(several)} were given."
        raise ValueError(msg)
    for one in several:
        in_reach(check, reading, one.in_unit(reading.unit).value)
    return several


def in_reach(check: Check, reading: Reading, value: float) -> None:
    """Refuse a reading outside the range of the equation.

    Raises
    ------
    ValueError
        The message says the range and why it holds.
    """
    if not reading.least <= value <= reading.most:
        msg = (
            f"{check.title}: {reading.words} = {shown(value, reading)} is outside {shown(reading.least, reading)} to "
            f"{shown(reading.most, reading)}, where the check holds ({reading.reach}); check the reading and its unit."
        )
        raise ValueError(msg)


def shown(value: float, one: Reading | Outcome) -> str:
    """A figure in the unit people read it in."""
    unit = one.show or one.unit
    number = f"{from_si(value, unit, one.unit):.6g}" if np.isfinite(value) else ("∞" if value > 0 else "−∞")
    return number if unit == "1" else f"{number} {unit_text(unit)}"


def shown_band(half_width: float, one: Reading | Outcome) -> str:
    """The half width of a band in the unit people read; a band of 5 K is one of 5 °C."""
    unit = one.show or one.unit
    number = f"{uncertainty_from_si(half_width, 1.0, unit):.6g}"
    return number if unit == "1" else f"{number} {unit_text(unit)}"


def _usual(check: Check, reading: Reading) -> tuple[Quantity, Assumption]:
    usual = reading.usual
    if usual is None:
        msg = f"{check.title}: nothing states {reading.words} ({reading.name}); measure it: {reading.how}."
        raise ValueError(msg)
    name = f"usual {reading.name} of {check.name}"
    if usual.half_width:
        value = rectangular(usual.value, usual.half_width, reading.unit, name, Origin.ASSUMED)
    else:
        value = exact(usual.value, reading.unit, Origin.ASSUMED)
    band = f" ± {shown_band(usual.half_width, reading)}" if usual.half_width else ""
    text = f"{reading.words} taken as {shown(usual.value, reading)}{band} ({usual.mark}: {usual.source})"
    return value, Assumption(
        AssumptionKind.DEFAULT,
        text,
        field=reading.name,
        value=value,
        half_width=usual.half_width,
        mark=usual.mark,
        source=usual.source,
    )


def _counts(check: Check, stated: Stated) -> dict[str, int]:
    """How many there are of each thing; all readings of a thing must agree."""
    counts: dict[str, int] = {}
    first: dict[str, str] = {}
    for reading in check.readings:
        told = stated.values.get(reading.name)
        if not reading.each or told is None:
            continue
        n = 1 if isinstance(told, Quantity) else len(told)
        if n == 0:
            msg = f"{check.title}: {reading.words} is empty; give one figure for each {reading.each}."
            raise ValueError(msg)
        if counts.setdefault(reading.each, n) != n:
            msg = (
                f"{check.title}: {n} figures of {reading.name}, but {counts[reading.each]} of {first[reading.each]}; "
                f"give one of each for every {reading.each}."
            )
            raise ValueError(msg)
        first.setdefault(reading.each, reading.name)
    return counts


def _named(
    check: Check, stated: Mapping[str, Sequence[str]], quantities: Mapping[str, tuple[Quantity, ...]]
) -> dict[str, tuple[str, ...]]:
    counts = {one.each: len(quantities[one.name]) for one in check.readings if one.each}
    for each, told in stated.items():
        if each not in counts:
            msg = f"{check.title} has no names of {each!r}; it has: {', '.join(counts) or 'none'}."
            raise ValueError(msg)
        if len(told) != counts[each]:
            msg = f"{check.title}: {len(told)} names of {each}, but {counts[each]} figures of each."
            raise ValueError(msg)
        if len(set(told)) != len(told):
            msg = f"{check.title}: two of the names of {each} are the same; each needs its own."
            raise ValueError(msg)
    return {
        each: tuple(stated.get(each) or (f"{each} {i + 1}" for i in range(n))) for each, n in counts.items()
    }


def _drawn(
    check: Check, quantities: Mapping[str, tuple[Quantity, ...]], n_draws: int, seed: int
) -> dict[str, Array]:
    flat = [one.in_unit(check.reading(name).unit) for name, several in quantities.items() for one in several]
    best = np.array([one.value for one in flat])
    rows = np.concatenate([best[:, None], joint_draws(flat, n_draws, seed)], axis=1)
    values: dict[str, Array] = {}
    at = 0
    for name, several in quantities.items():
        block = rows[at : at + len(several)]
        values[name] = block if check.reading(name).each else block[0]
        at += len(several)
    return values


def _rules_kept(check: Check, given: Given) -> Iterator[str]:
    for rule in check.rules:
        broken = np.atleast_2d(rule.breaks(given))
        if broken[:, 0].any():
            msg = f"{check.title}: {rule.words}."
            raise ValueError(msg)
        share = float(broken[:, 1:].any(axis=0).mean())
        if share > SEEN_SHARE:
            yield f"{share:.0%} of what the bands allow is refused by this: {rule.words}"


def _draws_outside(check: Check, values: Mapping[str, Array]) -> Iterator[str]:
    for reading in check.readings:
        drawn = np.atleast_2d(values[reading.name])[:, 1:]
        share = float(((drawn < reading.least) | (drawn > reading.most)).any(axis=0).mean())
        if share > SEEN_SHARE:
            yield (
                f"{share:.0%} of the band of {reading.words} lies outside {shown(reading.least, reading)} to "
                f"{shown(reading.most, reading)}, where the check holds ({reading.reach})"
            )


def _formulas(value: Array | Spread) -> Mapping[str, Array]:
    return value.by_formula if isinstance(value, Spread) else {"": value}


def _figures(check: Check, found: Found, names: Mapping[str, Sequence[str]]) -> Iterator[Figured]:
    for outcome in check.outcomes:
        if outcome.name not in found:  # it does not apply to what was chosen
            continue
        formulas = _formulas(found[outcome.name])
        for row, item in enumerate(_items(outcome, formulas, names)):
            by = tuple(
                _by_formula(check, outcome, formula, np.atleast_2d(values)[row])
                for formula, values in formulas.items()
            )
            yield Figured(
                outcome.name,
                outcome.words,
                outcome.unit,
                outcome.show,
                item,
                by[0].value,
                min(one.low for one in by),
                max(one.high for one in by),
                by if len(by) > 1 else (),
                outcome.effect,
            )


def _items(
    outcome: Outcome, formulas: Mapping[str, Array], names: Mapping[str, Sequence[str]]
) -> Sequence[str]:
    if not outcome.each:
        return ("",)
    rows = np.atleast_2d(next(iter(formulas.values()))).shape[0]
    return names.get(outcome.each) or [f"{outcome.each} {i + 1}" for i in range(rows)]


def _by_formula(check: Check, outcome: Outcome, formula: str, values: Array) -> ByFormula:
    if not np.isfinite(values).all():
        bad = int((~np.isfinite(values)).sum())
        msg = (
            f"{check.title}: {outcome.words} has no value for {bad} of {values.size} draws; the band of a reading "
            "reaches where the equation has none: narrow it by measuring again."
        )
        raise ValueError(msg)
    low, high = np.quantile(values[1:], (0.025, 0.975))
    return ByFormula(formula, float(values[0]), float(low), float(high))


def _held(
    check: Check, limit: Limit, given: Given, found: Found, names: Mapping[str, Sequence[str]]
) -> Iterator[Held]:
    outcome = next(one for one in check.outcomes if one.name == limit.outcome)
    formulas = _formulas(found[limit.outcome])
    sign = 1.0 if limit.side == "at most" else -1.0
    for row, item in enumerate(_items(outcome, formulas, names)):
        margins = []
        bound = np.asarray(limit.bound(given) if callable(limit.bound) else limit.bound, dtype=np.float64)
        of_item = bound[row] if bound.ndim == 2 else bound
        for values in formulas.values():
            drawn = np.atleast_2d(values)[row]
            margins.append(sign * (np.broadcast_to(of_item, drawn.shape) - drawn))
        every = np.stack(margins)
        bands = np.quantile(every[:, 1:], (0.025, 0.975), axis=1)
        yield Held(
            outcome.name,
            item,
            outcome.unit,
            limit.words,
            limit.side,
            limit.mark,
            limit.source,
            limit.safety,
            float(np.atleast_1d(of_item)[0]),
            float(margins[0][0]),
            float(bands[0].min()),
            float(bands[1].max()),
            float((every[:, 1:] >= 0.0).mean()),
        )


def _shares(check: Check, values: Mapping[str, Array], found: Found) -> tuple[tuple[str, float], ...]:
    main = _unit_rows(np.atleast_2d(next(iter(_formulas(found[check.outcomes[0].name]).values())))[:1, 1:])
    if not main.any():
        return ()
    shares = []
    for name, drawn in values.items():
        rows = _unit_rows(np.atleast_2d(drawn)[:, 1:])
        if rows.any():
            shares.append((name, float(((rows @ main[0]) ** 2).sum())))
    return tuple(sorted(shares, key=lambda one: -one[1]))


def _unit_rows(rows: Array) -> Array:
    """Rows less their mean at length 1; what moves by no more than round-off is taken as not moving."""
    centred = rows - rows.mean(axis=1, keepdims=True)
    size = np.linalg.norm(centred, axis=1, keepdims=True)
    still = size <= 1e-12 * np.linalg.norm(rows, axis=1, keepdims=True)
    moving: Array = np.where(still, 0.0, centred / np.where(still, 1.0, size))
    return moving


def _dominant(main: Figured, shares: Sequence[tuple[str, float]]) -> str:
    if main.formulas:
        values = [one.value for one in main.formulas]
        widest = max(one.high - one.low for one in main.formulas)
        if max(values) - min(values) > widest:
            return "formula"
    return shares[0][0] if shares else ""
