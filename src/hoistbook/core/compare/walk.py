"""A walk: the gap as sorted bars with bands, origins, merges and the unexplained rest, ready to be shown."""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass
from types import MappingProxyType

import numpy as np

from hoistbook.core.arrays import Array
from hoistbook.core.compare.bars import (
    MERGE_RATIO,
    Bar,
    DecisionBar,
    Interval,
    Merge,
    Remark,
    WeightedDraws,
    merge_groups,
)
from hoistbook.core.compare.causes import BATTERY, CAUSES, RESIDUAL, RESIDUAL_WORDS
from hoistbook.core.compare.gap import Decision, GapDraws, Question, Side
from hoistbook.core.compare.origins import BarOrigins
from hoistbook.core.quantities.assumption import Assumption, definition, sentences
from hoistbook.core.quantities.quantity import weakest

NOT_EXPLAINED = "not explained"
MODEL_END = "model"
WALL_ENERGY_WORDS = "wall energy of a charge"


@dataclass(frozen=True, slots=True)
class Walk:
    """A reconciled gap.

    Attributes
    ----------
    quantity, unit : str
        Unit of every figure: SI.
    code_x, code_y : str
        From X to Y.
    comparison : str
        "as found" or "normalised".
    value_x, value_y, gap : Interval
    end_words : (str, str)
        How each end is known: the origin of the stated figure, or "model" where nothing was stated.
    basis : str
        "specimen" or "label": whose figures were compared; empty for mass.
    not_compared : tuple of str
        Words of systems left in the rest because one vehicle lists next to nothing there (mass).
    decided, undecided : Interval
        All decisions; all causes less them.
    doubts : tuple of str
        What does not fit together in the figures; to be read before anything else.
    detection_limit : float
        Half width of the band of the gap: a smaller bar cannot be seen by comparing the two vehicles.
    bars : tuple of Bar
        Sorted by size, the unexplained rest last; their values add up to the gap.
    decisions : tuple of DecisionBar
        Each decision summed over the causes it acts on.
    remarked : tuple of Remark
        Merges and what would separate them; causes that cannot be told from the rest.
    assumed : tuple of Assumption
    effective_draws : float
    closing_error : float
    """

    quantity: str
    unit: str
    code_x: str
    code_y: str
    comparison: str
    value_x: Interval
    value_y: Interval
    gap: Interval
    gap_sign: float
    detection_limit: float
    bars: tuple[Bar, ...]
    decisions: tuple[DecisionBar, ...]
    remarked: tuple[Remark, ...]
    assumed: tuple[Assumption, ...]
    effective_draws: float
    closing_error: float
    end_words: tuple[str, str]
    basis: str
    decided: Interval
    undecided: Interval
    not_compared: tuple[str, ...] = ()
    doubts: tuple[str, ...] = ()

    @property
    def assumptions(self) -> tuple[str, ...]:
        """What was assumed, as sentences."""
        return sentences(self.assumed)

    @property
    def remarks(self) -> tuple[str, ...]:
        """What cannot be told apart, as sentences."""
        return tuple(str(remark) for remark in self.remarked)

    @property
    def is_stated(self) -> bool:
        """Whether both ends are stated figures."""
        return MODEL_END not in self.end_words

    @property
    def explained(self) -> float:
        """Sum of the values of all bars but the rest."""
        return float(sum(bar.amount.value for bar in self.bars if bar.origin != NOT_EXPLAINED))

    @property
    def rest(self) -> Bar:
        """The bar of what is not explained."""
        return next(bar for bar in self.bars if bar.origin == NOT_EXPLAINED)


def make_bars(
    shares: Mapping[str, Array],
    words: Mapping[str, str],
    origin_of: Callable[[Sequence[str]], str],
    decisions: Mapping[tuple[str, str], Array],
    decision_words: Mapping[str, str],
    draws: WeightedDraws,
    detection_limit: float,
    *,
    rest: str,
    separate_by: Mapping[str, str],
    first_in: Mapping[str, Array] = MappingProxyType({}),
    last_in: Mapping[str, Array] = MappingProxyType({}),
    merge: bool = True,
    always_together: Sequence[tuple[tuple[str, str], str, str]] = (),
    decision_origins: Mapping[str, str] = MappingProxyType({}),
) -> tuple[tuple[Bar, ...], tuple[Remark, ...]]:
    """Bars from draws, causes merged where they cannot be told apart, sorted by size with the rest last.

    Parameters
    ----------
    shares : mapping of name to array, shape (n_draws,)
        Every cause and the rest; causes that are zero in every draw and that no decision acts on are left out.
    words, separate_by : mapping
        Per cause: the words of the trade, the measurement that would set it apart.
    origin_of : callable
        Origin word of a bar, from the causes in it.
    decisions : mapping of (cause, decision) to array
    decision_words, decision_origins : mapping of decision name to str
    draws : WeightedDraws
    detection_limit : float
    rest : str
        Name of the unexplained share: never merged into a cause.
    first_in, last_in : mapping, optional
    merge : bool
        False keeps every cause apart.
    always_together : sequence of ((name, name), words, reason)
        Causes that are one bar by construction.

    Returns
    -------
    bars : tuple of Bar
    remarks : tuple of Remark
    """
    remarks: list[Remark] = []
    # A cause that is nothing in every draw is no bar, unless a decision acts on it.
    acted_on = {name for name, _ in decisions}
    causes = {
        name: values
        for name, values in shares.items()
        if name != rest and (np.any(values) or name in acted_on)
    }
    fixed: dict[tuple[str, ...], tuple[str, str]] = {}
    for together, title, reason in always_together:
        if not set(together) & set(causes):
            continue
        joint = sum(
            (causes.pop(name) for name in together if name in causes), start=np.zeros_like(shares[rest])
        )
        causes["+".join(together)] = joint
        fixed[together] = (title, reason)
    groups = merge_groups(causes, draws) if merge else [Merge((name,), "") for name in causes]
    bars: list[Bar] = []
    for group in groups:
        names = tuple(part for name in group.names for part in name.split("+"))
        title, reason = fixed.get(names, ("", group.reason))
        amount = sum((shares[name] for name in names), start=np.zeros_like(shares[rest]))
        remark = ""
        ways = tuple(separate_by[name] for name in names if separate_by.get(name))
        if len(names) > 1:
            title = title or " and ".join(words[name] for name in names)
            remarks.append(Remark(f"{title} are one bar: {reason}.", ways))
            remark = str(remarks[-1])
        bars.append(
            _bar(
                "+".join(names),
                title or words[names[0]],
                amount,
                origin=origin_of(names),
                merged=names if len(names) > 1 else (),
                decisions=_grouped(decisions, names),
                decision_words=decision_words,
                decision_origins=decision_origins,
                draws=draws,
                detection_limit=detection_limit,
                ends=(
                    (draws.mean(first_in[names[0]]), draws.mean(last_in[names[0]]))
                    if len(names) == 1 and names[0] in first_in
                    else (None, None)
                ),
                remark=remark,
                separate_by=ways,
            )
        )
    rest_draws = shares[rest]
    rest_width = draws.interval(rest_draws).half_width
    for bar in bars:
        members = bar.merged or (bar.name,)
        amount = sum((shares[name] for name in members), start=np.zeros_like(rest_draws))
        alike = like_the_rest(bar, rest_width, draws.interval(amount + rest_draws).half_width)
        remarks += [] if alike is None else [alike]
    bars.sort(key=lambda bar: -abs(bar.amount.value))
    bars.append(
        _bar(
            rest,
            words[rest],
            rest_draws,
            origin=NOT_EXPLAINED,
            merged=(),
            decisions={},
            decision_words=decision_words,
            decision_origins=decision_origins,
            draws=draws,
            detection_limit=detection_limit,
            ends=(None, None),
            remark="",
        )
    )
    return tuple(bars), tuple(remarks)


def like_the_rest(bar: Bar, rest_half_width: float, together_half_width: float) -> Remark | None:
    """Say that a cause can hardly be told from what is not explained; None where it can.

    Parameters
    ----------
    bar : Bar
    rest_half_width, together_half_width : float
        Of the band of the rest, and of the band of the cause and the rest together.

    Notes
    -----
    Common band under `MERGE_RATIO` of the larger of their own: the rule by which two causes become one bar. The rest is
    never merged into a cause, so it is said instead.
    """
    larger = max(bar.amount.half_width, rest_half_width)
    if larger <= 0.0 or together_half_width >= MERGE_RATIO * larger:
        return None
    told = (
        f"{bar.words} can hardly be told from what is not explained: its band and the rest's largely cancel."
    )
    return Remark(told, bar.separate_by)


def range_walk(
    question: Question,
    found: GapDraws,
    x: Side,
    y: Side,
    decisions: Sequence[Decision],
    *,
    comparison: str,
    basis: str = "",
    usable_energy_from_wall: bool = False,
    merge: bool = True,
) -> Walk:
    """Sum up the draws of a range or consumption gap.

    Parameters
    ----------
    question : Question
    found : GapDraws
    x, y : Side
    decisions : sequence of Decision
    comparison : str
        "as found" or "normalised".
    basis : str
        Whose figures were stated, "specimen" or "label".
    usable_energy_from_wall : bool
        Usable energy was inferred from wall energy and charging efficiency: the two are one bar.
    merge : bool
        Merge causes that cannot be told apart.

    Returns
    -------
    Walk
    """
    draws, quantity = found.draws, question.quantity
    gap = draws.interval(found.gap)
    limit = gap.half_width
    words = {cause.name: cause.words for cause in CAUSES} | {RESIDUAL: RESIDUAL_WORDS}
    if quantity == "energy":
        # How much a battery holds has no part in consumption; what it loses inside has.
        words[BATTERY.name] = "battery resistance and voltage"
    decided = np.sum(list(found.decisions.values()), axis=0) if found.decisions else np.zeros_like(found.gap)
    of_causes = found.gap - found.shares[RESIDUAL]
    decision_words = {decision.name: decision.words for decision in decisions}
    decision_origins = {one.name: weakest(one.origins).value for one in decisions if one.origins}
    together: list[tuple[tuple[str, str], str, str]] = []
    if usable_energy_from_wall:
        together.append(
            (
                ("usable_energy", "charging"),
                WALL_ENERGY_WORDS,
                "usable energy was inferred from the wall energy of a charge",
            )
        )
    bars, remarks = make_bars(
        found.shares,
        words,
        BarOrigins(question, x, y, draws).of,
        found.decisions,
        decision_words,
        draws,
        limit,
        rest=RESIDUAL,
        separate_by={cause.name: cause.separate_by for cause in CAUSES},
        first_in=found.first_in,
        last_in=found.last_in,
        merge=merge,
        always_together=together,
        decision_origins=decision_origins,
    )
    assumed = list(found.assumed)
    nothing = [words[name] for name, share in found.shares.items() if not np.any(share)]
    if nothing:
        told = f"equal at both vehicles or without a part in {quantity}: {', '.join(nothing)}"
        assumed.append(definition(told))
    return Walk(
        quantity=quantity,
        unit="m" if quantity == "range" else "J/m",
        code_x=x.code,
        code_y=y.code,
        comparison=comparison,
        value_x=draws.interval(found.value_x),
        value_y=draws.interval(found.value_y),
        gap=gap,
        gap_sign=draws.sign_probability(found.gap),
        detection_limit=limit,
        bars=bars,
        decisions=decision_totals(found.decisions, decision_words, draws, decision_origins),
        remarked=remarks,
        assumed=tuple(assumed),
        effective_draws=draws.effective_count,
        closing_error=found.closing_error,
        end_words=(_end_word(x), _end_word(y)),
        basis=basis,
        decided=draws.interval(decided),
        undecided=draws.interval(of_causes - decided),
    )


def _end_word(side: Side) -> str:
    return MODEL_END if side.stated_origin is None else side.stated_origin.value


def decision_totals(
    split: Mapping[tuple[str, str], Array],
    words: Mapping[str, str],
    draws: WeightedDraws,
    origins: Mapping[str, str] = MappingProxyType({}),
) -> tuple[DecisionBar, ...]:
    """Each decision summed over the causes it acts on, counted once, sorted by size."""
    totals: dict[str, Array] = {}
    for (_, name), values in split.items():
        totals[name] = totals[name] + values if name in totals else values
    bars = (
        DecisionBar(name, words.get(name, name), draws.interval(values), origins.get(name, ""))
        for name, values in totals.items()
    )
    return tuple(sorted(bars, key=lambda bar: -abs(bar.amount.value)))


def _bar(
    name: str,
    words: str,
    amount: Array,
    *,
    origin: str,
    merged: tuple[str, ...],
    decisions: Mapping[str, Array],
    decision_words: Mapping[str, str],
    decision_origins: Mapping[str, str],
    draws: WeightedDraws,
    detection_limit: float,
    ends: tuple[float | None, float | None],
    remark: str,
    separate_by: tuple[str, ...] = (),
) -> Bar:
    interval = draws.interval(amount)
    lines = [
        DecisionBar(
            decision,
            decision_words[decision],
            draws.interval(values),
            decision_origins.get(decision, ""),
        )
        for decision, values in decisions.items()
    ]
    lines.sort(key=lambda line: -abs(line.amount.value))
    left = amount - np.sum(list(decisions.values()), axis=0) if decisions else amount
    return Bar(
        name=name,
        words=words,
        amount=interval,
        origin=origin,
        merged=merged,
        resolved=abs(interval.value) >= detection_limit,
        p_sign=draws.sign_probability(amount),
        first_in=ends[0],
        last_in=ends[1],
        decisions=tuple(lines),
        unexplained=draws.interval(left),
        remark=remark,
        separate_by=separate_by,
    )


def _grouped(decisions: Mapping[tuple[str, str], Array], causes: Sequence[str]) -> dict[str, Array]:
    grouped: dict[str, Array] = {}
    for (cause, decision), values in decisions.items():
        if cause in causes:
            grouped[decision] = grouped[decision] + values if decision in grouped else values
    return grouped
