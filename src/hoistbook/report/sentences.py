"""The answer first: what a walk says, in sentences of the trade."""

from __future__ import annotations

from hoistbook.core.compare.bars import Interval
from hoistbook.core.compare.walk import MODEL_END, Walk
from hoistbook.core.quantities.printing import NARROW_SPACE
from hoistbook.core.quantities.units import from_si
from hoistbook.report.figures import (
    METRIC,
    amount,
    as_fine,
    display_unit,
    figure,
    likely,
    per_cent,
    shown,
)

_VERBS = {
    "range": ("goes", "farther than", "less far than"),
    "energy": ("uses", "more than", "less than"),
    "mass": ("weighs", "more than", "less than"),
}
_LIKELY = {"range": "goes farther", "energy": "uses more", "mass": "weighs more"}
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


def test_word(walk: Walk) -> str:
    """What compares two whole vehicles in this quantity, as the head of a column; without stated figures, the model."""
    return _TESTS[walk.quantity] if walk.is_stated else "beside the model's error"


def limit_word(walk: Walk) -> str:
    """What the strip around zero is: the detection limit, or the error of the model where nothing was stated."""
    return "detection limit of this gap" if walk.is_stated else "the model's own error"


def limit_sentence(walk: Walk, limit: str) -> str:
    """What a bar below the limit means."""
    if walk.is_stated:
        return f"smaller than the detection limit of this gap, {limit}; {_COMPARISONS[walk.quantity]} would not show it"
    return f"smaller than the model's own error in this gap, {limit}"


def end_word(walk: Walk, place: int, other: Walk | None = None) -> str:
    """What an end of the walk is: "measured", "label", or "model, nothing stated".

    `other` is the walk as found: an end that was moved from there by setting unlike content equal was not measured as
    it stands, and is called "measured, normalised".
    """
    word = walk.end_words[place]
    if word == MODEL_END:
        return "model, nothing stated"
    word = "label" if walk.basis == "label" else word
    return f"{word}, normalised" if other is not None and _is_moved(walk, other, place) else word


def _is_moved(walk: Walk, other: Walk, place: int) -> bool:
    if walk.comparison == other.comparison or walk.comparison != "normalised":
        return False
    return ((walk.value_x, walk.value_y)[place]).value != ((other.value_x, other.value_y)[place]).value


def nothing_stated(walk: Walk, names: tuple[str, str], duty: str) -> str:
    """Which vehicle states no figure in this duty, and what that makes of the strip; empty where both state one."""
    silent = [name for name, word in zip(names, walk.end_words, strict=True) if word == MODEL_END]
    if not silent:
        return ""
    whose = "No stated figure" if len(silent) == len(names) else f"{silent[0]}: no stated figure"
    return f"{whose} in this duty ({duty}): the strip around zero is the model's own error."


def answer(
    walk: Walk, names: tuple[str, str], *, although: str = "", lead: str = "", units: str = METRIC
) -> str:
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
    units : str
        "metric" or "us".

    Returns
    -------
    str
        "Turnstone goes 20.4 ± 4.5 km less far than Whimbrel, although …" or, when the band of the gap holds zero, that
        the two cannot be told apart.
    """
    unit = display_unit(walk.quantity, units)
    gap = shown(walk.gap, unit)
    tail = f", although {although}." if although else "."
    start = f"{lead} " if lead else ""
    if gap.low <= 0.0 <= gap.high:
        return (
            f"{start}{names[1]} and {names[0]} cannot be told apart in {_NOUNS[walk.quantity]}: "
            f"{figure(gap, signed=True, unit=unit)}{NARROW_SPACE}{unit}; {likely(walk.gap_sign)} that "
            f"{names[int(gap.value > 0.0)]} {_LIKELY[walk.quantity]}{tail}"
        )
    verb, more, less = _VERBS[walk.quantity]
    size = f"{amount(gap, unit)}{NARROW_SPACE}{unit}"
    return f"{start}{names[1]} {verb} {size} {more if gap.value > 0.0 else less} {names[0]}{tail}"


def account(walk: Walk, removed_frac: float | None = None, units: str = METRIC) -> str:
    """How much of the gap is explained, by decisions and without, what is not, and how much was unlike content.

    Parameters
    ----------
    walk : Walk
    removed_frac : float, optional
        Share of the gap as found that setting unlike content equal took away.
    units : str
        "metric" or "us".

    Returns
    -------
    str
    """
    unit = display_unit(walk.quantity, units)
    gap = shown(walk.gap, unit)
    decided, undecided, rest = (
        f"{figure(shown(part, unit), signed=True, unit=unit)}{NARROW_SPACE}{unit}"
        for part in (walk.decided, walk.undecided, walk.rest.amount)
    )
    causes = sum(bar.amount.value != 0.0 for bar in walk.bars if bar is not walk.rest)
    verb = "explains" if causes == 1 else "explain"
    explained = as_fine(from_si(walk.explained, unit), gap)
    told = (
        f"{_count(causes)} cause{'' if causes == 1 else 's'} {verb} {explained}{NARROW_SPACE}{unit}; "
        f"{rest} is not explained yet."
    )
    if walk.decisions:
        told += f" Decisions account for {decided}, causes without a decision for {undecided}."
    if removed_frac is None:
        return told
    share = per_cent(removed_frac)
    if walk.comparison == "normalised":
        return f"{told} Setting unlike content equal took away {share} of the gap as found."
    return f"{told} Unlike content makes up {share} of the gap."


def surplus_words(found: Interval) -> str:
    """What a surplus of a weighed assembly over its listed pieces says; a minus is no mass, and needs a word most.

    Parameters
    ----------
    found : Interval
        Whole less pieces. [kg]

    Examples
    --------
    >>> surplus_words(Interval(-0.12, -0.41, 0.17))
    'its listed pieces weigh more than the whole, within the bands of the scales'
    """
    more = (
        "its listed pieces weigh more than the whole" if found.value < 0.0 else "more than its listed pieces"
    )
    if found.low <= 0.0 <= found.high:
        return f"{more}, within the bands of the scales"
    beyond = f"{more}, beyond the bands of the scales"
    return f"{beyond}: weigh them again" if found.value < 0.0 else beyond


def capital(words: str) -> str:
    """The words with a capital first letter."""
    return words[:1].upper() + words[1:]


def counted(number: int, noun_: str) -> str:
    """A number of things: "1 decision", "3 decisions"."""
    return f"{number} {noun_}{'' if number == 1 else 's'}"


def _count(number: int) -> str:
    return _COUNTS[number] if number < len(_COUNTS) else str(number)
