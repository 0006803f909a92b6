"""Walks as drawings: which rows there are and what stands around them; `board` draws them."""

from __future__ import annotations

from hoistbook.core.compare.bars import Bar, Interval
from hoistbook.core.compare.walk import NOT_EXPLAINED, Walk
from hoistbook.core.quantities.printing import NARROW_SPACE
from hoistbook.core.quantities.units import from_si
from hoistbook.report.board import draw
from hoistbook.report.drawing import Spec
from hoistbook.report.figures import METRIC, as_fine, certainty, display_unit, figure, shown
from hoistbook.report.pairing import paired
from hoistbook.report.sentences import capital, end_word, limit_word
from hoistbook.report.sheet import Board, Captions, Row, Stairs
from hoistbook.report.theme import LIGHT, Theme

WIDTH_PX = 1440.0


def walk_spec(
    walk: Walk,
    captions: Captions,
    *,
    other: Walk | None = None,
    first: Walk | None = None,
    width_px: float = WIDTH_PX,
    theme: Theme = LIGHT,
    units: str = METRIC,
) -> Spec:
    """Draw a walk of any quantity: running value left, what each cause is worth right.

    Parameters
    ----------
    walk : Walk
    captions : Captions
    other : Walk, optional
        The other comparison: its value stands as ◇ over each bar where it differs.
    first : Walk, optional
        Keeps its order of bars (as found); `walk` itself when left out.
    width_px : float
        At least 900.
    theme : Theme
        `theme.SHEET` draws for inside a page, in the colours of whatever theme the page has.
    units : str
        "metric" or "us".

    Returns
    -------
    dict
        A Vega specification; `render` turns it into SVG or PNG.
    """
    unit = display_unit(walk.quantity, units)
    rows = tuple(
        Row(
            name=pair.bar.name,
            words=capital(pair.bar.words),
            detail=captions.details.get(pair.bar.name, ""),
            amount=shown(pair.bar.amount, unit),
            origin=pair.bar.origin,
            standing=standing(pair.bar),
            gains=gaining(walk.quantity, pair.bar.amount),
            other=from_si(pair.other.amount.value, unit) if other and pair.other else None,
        )
        for pair in paired(walk, other or walk, first or walk)
    )
    gap = shown(walk.gap, unit)
    rest = as_fine(from_si(walk.rest.amount.value, unit), gap)
    board = Board(
        rows=rows,
        captions=captions,
        unit=unit,
        quantity=walk.quantity,
        foot=(
            f"Gap, {walk.comparison}",
            f"{as_fine(from_si(walk.explained, unit), gap)} explained, {rest} not",
        ),
        stairs=Stairs(
            shown(walk.value_x, unit),
            shown(walk.value_y, unit),
            gap,
            (_short_end(walk, 0, other), _short_end(walk, 1, other)),
        ),
        limit=from_si(walk.detection_limit, unit) or None,
        limit_words=limit_word(walk),
        is_stated=walk.is_stated,
        other=other.comparison if other else "",
        codes=(walk.code_x, walk.code_y),
    )
    return draw(board, theme, width_px)


def _short_end(walk: Walk, place: int, other: Walk | None) -> str:
    """What an end is, as far as there is room: the notes below say in full what was normalised."""
    word = end_word(walk, place, other)
    return "normalised" if word != end_word(walk, place) else word


def decisions_spec(
    walk: Walk,
    bar: Bar,
    captions: Captions,
    *,
    width_px: float = WIDTH_PX,
    theme: Theme = LIGHT,
    units: str = METRIC,
) -> Spec:
    """Draw what the decisions inside one cause are worth; the cause less its decisions is hatched.

    Parameters
    ----------
    walk : Walk
    bar : Bar
        One of its bars.
    captions : Captions
    width_px : float
        At least 900.
    theme : Theme
        `theme.SHEET` draws for inside a page, in the colours of whatever theme the page has.
    units : str
        "metric" or "us".

    Returns
    -------
    dict
        A Vega specification.

    Raises
    ------
    ValueError
        The bar has no decisions.
    """
    if not bar.decisions:
        msg = f"{bar.words}: no decision is recorded for this cause, so there is nothing to draw."
        raise ValueError(msg)
    unit = display_unit(walk.quantity, units)

    def row(name: str, words: str, amount: Interval, origin: str) -> Row:
        detail = captions.details.get(name, "")
        return Row(
            name, capital(words), detail, shown(amount, unit), origin, "", gaining(walk.quantity, amount)
        )

    rows = [row(line.name, line.words, line.amount, "") for line in bar.decisions]
    rows.append(row("not_explained", "no decision found yet", bar.unexplained, NOT_EXPLAINED))
    total = f"{figure(shown(bar.amount, unit), signed=True, unit=unit)}{NARROW_SPACE}{unit}"
    board = Board(
        rows=tuple(rows),
        captions=captions,
        unit=unit,
        quantity=walk.quantity,
        foot=(capital(bar.words), f"{total} in all"),
    )
    return draw(board, theme, width_px)


def standing(bar: Bar) -> str:
    """What a comparison of the two whole vehicles can see of a bar; empty when it stands out of the detection limit."""
    if bar.amount == Interval(0.0, 0.0, 0.0):
        return "no difference"
    return "" if bar.resolved else f"not resolved · sign {certainty(bar.p_sign)}"


def gaining(quantity: str, amount: Interval) -> int:
    """Which vehicle a bar favours: 0 for X, 1 for Y. More range is a gain; more consumption or mass is none."""
    return int((amount.value > 0.0) == (quantity == "range"))
