"""The answer first: what a walk says, in sentences of the trade."""

from __future__ import annotations

from hoistbook.core.compare.walk import Walk
from hoistbook.core.quantities.printing import NARROW_SPACE
from hoistbook.core.quantities.units import from_si
from hoistbook.report.figures import amount, as_fine, certainty, display_unit, figure, per_cent, shown

_VERBS = {
    "range": ("goes", "farther than", "less far than"),
    "energy": ("uses", "more than", "less than"),
    "mass": ("weighs", "more than", "less than"),
}
_NOUNS = {"range": "range", "energy": "consumption", "mass": "mass"}
_TESTS = {"range": "range test", "energy": "consumption test", "mass": "scales"}
_COMPARISONS = {
    "range": "a range test of both vehicles",
    "energy": "a consumption test of both vehicles",
    "mass": "weighing both vehicles as a whole",
}
_COUNTS = (
    "No", "One", "Two", "Three", "Four", "Five", "Six", "Seven", "Eight", "Nine", "Ten", "Eleven", "Twelve",
)  # fmt: skip


def noun(quantity: str) -> str:
    """What a quantity of a gap is called in a sentence."""
    return _NOUNS[quantity]


def test_word(quantity: str) -> str:
    """What compares two whole vehicles in this quantity, as the head of a column."""
    return _TESTS[quantity]


def comparison_words(quantity: str) -> str:
    """The same in a sentence: what does not see a bar below its detection limit."""
    return _COMPARISONS[quantity]


def answer(walk: Walk, names: tuple[str, str], *, although: str = "", lead: str = "") -> str:
    """The gap in one sentence.

    Parameters
    ----------
    walk : Walk
    names : (str, str)
        Of X and Y.
    although : str
        What makes it surprising, as "its battery holds 6.0 % more"; left out when empty.
    lead : str
        Goes before the sentence, as "With unlike content set equal,".

    Returns
    -------
    str
        "Turnstone goes 20.4 ± 4.5 km less far than Whimbrel, although …" or, when the band of the gap holds zero, that
        the two cannot be told apart.
    """
    unit = display_unit(walk.quantity)
    gap = shown(walk.gap, unit)
    tail = f", although {although}." if although else "."
    start = f"{lead} " if lead else ""
    if gap.low <= 0.0 <= gap.high:
        return (
            f"{start}{names[1]} and {names[0]} cannot be told apart in {_NOUNS[walk.quantity]}: "
            f"{figure(gap, signed=True)}{NARROW_SPACE}{unit}, sign {certainty(walk.gap_sign)}{tail}"
        )
    verb, more, less = _VERBS[walk.quantity]
    size = f"{amount(gap)}{NARROW_SPACE}{unit}"
    return f"{start}{names[1]} {verb} {size} {more if gap.value > 0.0 else less} {names[0]}{tail}"


def account(walk: Walk, removed_frac: float | None = None) -> str:
    """How much of the gap is explained, what is not, and how much of it was unlike content.

    Parameters
    ----------
    walk : Walk
    removed_frac : float, optional
        Share of the gap as found that setting unlike content equal took away.

    Returns
    -------
    str
    """
    unit = display_unit(walk.quantity)
    gap, rest = shown(walk.gap, unit), figure(shown(walk.rest.amount, unit), signed=True)
    causes = sum(bar.amount.value != 0.0 for bar in walk.bars if bar is not walk.rest)
    verb = "explains" if causes == 1 else "explain"
    explained = as_fine(from_si(walk.explained, unit), gap)
    told = (
        f"{_count(causes)} cause{'' if causes == 1 else 's'} {verb} {explained}{NARROW_SPACE}{unit}; "
        f"{rest}{NARROW_SPACE}{unit} is not explained yet."
    )
    if removed_frac is None:
        return told
    share = per_cent(removed_frac)
    if walk.comparison == "normalised":
        return f"{told} Setting unlike content equal took away {share} of the gap as found."
    return f"{told} Unlike content makes up {share} of the gap."


def capital(words: str) -> str:
    """The words with a capital first letter."""
    return words[:1].upper() + words[1:]


def counted(number: int, noun_: str) -> str:
    """A number of things: "1 decision", "3 decisions"."""
    return f"{number} {noun_}{'' if number == 1 else 's'}"


def _count(number: int) -> str:
    return _COUNTS[number] if number < len(_COUNTS) else str(number)
