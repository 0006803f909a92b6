"""Draws of a check: what is stated drawn, the rest taken from usual values and said so, the equations worked out."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass

import numpy as np

from hoistbook.core.arrays import Array
from hoistbook.core.checks.declared import Check, Found, Given, Outcome, Reading, Spread
from hoistbook.core.checks.stated import Stated, in_reach, shown, shown_band
from hoistbook.core.quantities.assumption import Assumption, AssumptionKind
from hoistbook.core.quantities.evaluation import exact, rectangular
from hoistbook.core.quantities.quantity import Origin, Quantity
from hoistbook.core.quantities.sampling import joint_draws

CHECK_DRAWS = 10_000
CHECK_SEED = 1
LEAST_DRAWS = 100
MOST_FIGURES = 20_000_000
"""Readings times draws of one run, 160 MB of figures; its equations take some times as much."""
SEEN_SHARE = 0.005
"""Share of the draws outside the range of an equation from which on the result says so; project rule."""


@dataclass(frozen=True, slots=True)
class Drawn:
    """A check worked out draw by draw; column 0 holds the best estimates.

    Attributes
    ----------
    check : Check
    given : Given
    found : mapping of str to array or Spread
        Figures of the check.
    values : mapping of str to array
        Readings.
    quantities : mapping of str to tuple of Quantity
        What the readings were drawn from.
    names : mapping of str to sequence of str
        Of the things there are several of.
    assumed : tuple of Assumption
    caveats : tuple of str
        Draws outside the range of an equation.
    """

    check: Check
    given: Given
    found: Found
    values: Mapping[str, Array]
    quantities: Mapping[str, tuple[Quantity, ...]]
    names: Mapping[str, Sequence[str]]
    assumed: tuple[Assumption, ...]
    caveats: tuple[str, ...]

    def items(self, outcome: Outcome) -> Sequence[str]:
        """Names of what there is a figure for each; one empty name where there is one figure.

        None where the figure does not apply to what was chosen.
        """
        if outcome.name not in self.found:
            return ()
        if not outcome.each:
            return ("",)
        rows = np.atleast_2d(next(iter(formulas_of(self.found[outcome.name]).values()))).shape[0]
        return self.names.get(outcome.each) or [f"{outcome.each} {i + 1}" for i in range(rows)]

    def by_formula(self, outcome: Outcome, item: str = "") -> dict[str, Array]:
        """Draws of one figure by formula.

        Raises
        ------
        LookupError
            There is nothing of that name, and the message lists them; or the figure does not apply to what was chosen.
        """
        items = list(self.items(outcome))
        if not items:
            chosen = ", ".join(f"{one.words} {self.given.choice(one.name)}" for one in self.check.choices)
            msg = f"{self.check.title} gives no {outcome.words} for this choice: {chosen}"
            raise LookupError(msg)
        if item not in items:
            msg = (
                f"{self.check.title} has {outcome.words} of {', '.join(items) or 'nothing'}, not of {item!r}"
            )
            raise LookupError(msg)
        row = items.index(item)
        return {
            name: np.atleast_2d(values)[row] for name, values in formulas_of(self.found[outcome.name]).items()
        }


def formulas_of(value: Array | Spread) -> Mapping[str, Array]:
    """Draws by formula; one without a name where the literature agrees."""
    return value.by_formula if isinstance(value, Spread) else {"": value}


def draw_check(check: Check, stated: Stated, n_draws: int = CHECK_DRAWS, seed: int = CHECK_SEED) -> Drawn:
    """Work a check out draw by draw; raises as `run.run_check`."""
    if n_draws < LEAST_DRAWS:
        msg = f"{check.title}: {n_draws!r} draws; take at least {LEAST_DRAWS}."
        raise ValueError(msg)
    choices = _chosen(check, stated.choices)
    quantities, assumed = _quantities(check, stated)
    assumed += _unchosen(check, stated.choices)
    names = _named(check, stated.names, quantities)
    figures = sum(map(len, quantities.values()))
    if figures * n_draws > MOST_FIGURES:
        most = MOST_FIGURES // figures
        mend = f"take at most {most} draws" if most >= LEAST_DRAWS else "state fewer things at a time"
        msg = f"{check.title}: {figures} figures drawn {n_draws} times are too many to hold at once; {mend}."
        raise ValueError(msg)
    values = _drawn(check, quantities, n_draws, seed)
    given = Given(values, choices, names, check.title)
    caveats = (*_rules_kept(check, given), *_draws_outside(check, values))
    with np.errstate(
        all="ignore"
    ):  # what has no value is refused where it is summed up, with the name of the figure
        found = check.evaluate(given)
    return Drawn(check, given, found, values, quantities, names, tuple(assumed), caveats)


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


def _unchosen(check: Check, stated: Mapping[str, str]) -> Iterator[Assumption]:
    """Options that were taken because nobody chose."""
    for one in check.choices:
        if one.name not in stated:
            option = next(iter(one.options))
            text = f"{one.words} taken as {option}, the first of {len(one.options)}: nobody chose"
            yield Assumption(AssumptionKind.DEFAULT, text, field=one.name)


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
                value, said = _usual(check, reading, stated.whose)
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


def _usual(check: Check, reading: Reading, whose: str) -> tuple[Quantity, Assumption]:
    usual = reading.usual
    if usual is None:
        msg = f"{check.title}: nothing states {reading.words} ({reading.name}); measure it: {reading.how}."
        raise ValueError(msg)
    name = f"usual {reading.name} of {check.name}" + (f" at {whose}" if whose else "")
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
