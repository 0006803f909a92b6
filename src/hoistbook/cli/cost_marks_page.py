"""What marks say as a printed page: candidates with their probability, the next look, and the cost in doubt."""

from __future__ import annotations

from collections.abc import Mapping

from hoistbook.cli.money import band, money_words, places_for
from hoistbook.cli.page import Column, Page, Row
from hoistbook.core.cost.processes import PROCESSES
from hoistbook.core.quantities.printing import NARROW_SPACE
from hoistbook.core.vehicle.kinds import unit_text
from hoistbook.report.figures import aligned, per_cent, to_place, worded
from hoistbook.report.sentences import capital
from hoistbook.services.cost_marks import InDoubt, Marks

MOST_CANDIDATES, MOST_LOOKS, MOST_ROUTES = 6, 5, 3
LIKELIHOODS = (
    "All likelihoods are common practice; none was counted. Your word overrides them: --process, --material."
)


def print_marks(page: Page, found: Marks) -> None:
    """Print what marks say."""
    belief, table = found.belief, found.table
    shares = belief.processes()
    likeliest = next(iter(shares))
    if belief.sentences:
        material = next(iter(belief.materials()))
        page.text(
            f"Likeliest: {table.processes[likeliest]} ({per_cent(shares[likeliest])}), "
            f"{table.materials[material]} ({per_cent(belief.materials()[material])}).",
            style="bold",
        )
        page.heading("From what was seen and read")
        page.bullets(worded(capital(line)) for line in belief.sentences)
    else:
        page.text("Nothing was seen or read yet; these are shares of parts in general.", style="bold")
    for head, known, probability in (
        ("process", table.processes, shares),
        ("material", table.materials, belief.materials()),
    ):
        page.heading(f"Which {head}")
        _shares(page, head, known, probability)
    page.heading("What to look at next")
    page.text(f"Doubt about {found.about} left: {to_place(found.doubt_bits, 2)} bit.")
    looks = [one for one in found.looks if one.expected_bits > 0.0][:MOST_LOOKS]
    if looks:
        page.table(
            (
                Column("look", wraps=True),
                Column("how", wraps=True),
                Column("takes", "right"),
                Column("bit expected", "right"),
                Column("name"),
            ),
            [
                Row(
                    (capital(one.words), one.how, _time(one.time_s), to_place(one.expected_bits, 2), one.name)
                )
                for one in looks
            ],
        )
    else:
        page.text("No further look on the list would take any of it away.")
    _routes(page, found)
    if found.in_doubt is not None:
        _in_doubt(page, found.in_doubt)
    elif not belief.observed:
        _all(page, found)
    page.blank()
    page.text(LIKELIHOODS)


def _shares(page: Page, head: str, known: Mapping[str, str], probability: Mapping[str, float]) -> None:
    shown = list(probability.items())[:MOST_CANDIDATES]
    rows = [Row((capital(known[name]), per_cent(share), name)) for name, share in shown]
    left = 1.0 - sum(share for _, share in shown)
    if len(probability) > len(shown):
        rows.append(Row((f"{len(probability) - len(shown)} others", per_cent(max(left, 0.0)), "")))
    page.table((Column(head, wraps=True), Column("probability", "right"), Column("name")), rows)


def _routes(page: Page, found: Marks) -> None:
    if not found.routes:
        return
    page.heading("Usual routes that begin so, to be confirmed or changed")
    for one in found.routes[:MOST_ROUTES]:
        steps = " → ".join(PROCESSES[step.process].title if step.process in PROCESSES else step.process
                           for step in one.recipe.steps)  # fmt: skip
        without = f"; no model yet for {', '.join(one.not_modelled)}" if one.not_modelled else ""
        page.bullets((f"{capital(one.recipe.words)} ({per_cent(one.probability)}): {steps}{without}",))


def _in_doubt(page: Page, found: InDoubt) -> None:
    one = found.costs[found.mixed.likeliest]
    money = money_words(one.currency, one.year)
    places = places_for(found.mixed.piece.value)
    page.heading(f"Cost of {found.name} ({found.tag}) as each candidate, {money} a piece")
    values = aligned([to_place(cost.piece.value, places) for cost in found.costs.values()], pad=" ")
    page.table(
        (
            Column("candidate", wraps=True),
            Column("probability", "right"),
            Column("piece", "right"),
            Column("95 % band"),
        ),
        [
            Row((name, per_cent(found.probability[name]), value, band(cost.piece)))
            for (name, cost), value in zip(found.costs.items(), values, strict=True)
        ],
    )
    value = to_place(found.mixed.piece.value, places)
    page.text(
        f"With the doubt in it: {value} {money} (95 % band {band(found.mixed.piece)})"
        f", mean {to_place(found.mixed.mean_money, places)}."
    )
    if found.refused:
        page.text(
            f"Not costed, {per_cent(found.refused_frac)} of the probability, which is spread over the others:"
        )
        page.bullets(f"{name}: {worded(why)}" for name, why in found.refused.items())


def _all(page: Page, found: Marks) -> None:
    """Everything that can be looked at or read, by the name it is stated by."""
    page.heading("Marks (--seen, --not-seen)")
    marks = [one for one in found.table.looks.values() if len(one.states) == 2]
    page.bullets(f"{one.name}: {one.words} ({one.how}, {_time(one.time_s)})" for one in marks)
    page.heading("Results and measures (--read NAME=VALUE)")
    page.bullets(
        f"{one.name}: {one.words}; {', '.join(one.states)}"
        for one in found.table.looks.values()
        if one not in marks
    )
    page.bullets(
        f"{one.name}: {one.words}, {one.low:g} to {one.high:g}"
        + ("" if one.unit == "1" else f"{NARROW_SPACE}{unit_text(one.unit)}")
        for one in found.table.measures.values()
    )


def _time(time_s: float) -> str:
    return f"{time_s / 60.0:.0f}{NARROW_SPACE}min" if time_s >= 120.0 else f"{time_s:.0f}{NARROW_SPACE}s"
