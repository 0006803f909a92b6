"""The mass book of a vehicle as a printed page."""

from __future__ import annotations

from collections.abc import Sequence

from hoistbook.cli.assumed import print_assumed
from hoistbook.cli.cells import band_of, interval_cells
from hoistbook.cli.gap_page import CAUTION
from hoistbook.cli.page import Column, Page, Row
from hoistbook.core.compare.bars import Interval
from hoistbook.core.mass import Breakdown, CentreOfGravity, Line, MassBook, Surplus
from hoistbook.core.quantities.assumption import sentences
from hoistbook.core.quantities.printing import NARROW_SPACE, NOT_MEASURED, quantity_text
from hoistbook.core.quantities.quantity import Quantity
from hoistbook.core.quantities.units import from_si
from hoistbook.core.vehicle.records import Scope
from hoistbook.report.figures import (
    METRIC,
    amount,
    display_unit,
    figure,
    in_unit,
    per_cent,
    shown,
    to_place,
    worded,
)
from hoistbook.report.sentences import capital, counted, surplus_words

MOST = 8
"""Lines of each list that are printed; the rest is counted, and --json holds all of them."""

NAMED = 3
"""Parts spelled out within one line; the rest is counted."""

SCOPE_WORDS = {Scope.SELF: "alone", Scope.SUBTREE: "with all in it"}


def print_mass(page: Page, book: MassBook, name: str, units: str = METRIC) -> None:
    """Print the mass book of a vehicle: closure, systems, coverage, what does not fit, what to weigh next."""
    unit = display_unit("mass", units)
    page.text(closure_sentence(book, name), style="bold")
    difference = difference_sentence(book, unit)
    if difference:
        page.text(difference)
    page.heading(f"Mass by system, {unit}, band 95 %, configuration {book.configuration}")
    _systems(page, book.systems, unit)
    page.heading(f"Mass by function, {unit}")
    _functions(page, book.functions, unit)
    page.heading("How the mass is known")
    _coverage(page, book, unit)
    _centre(page, book.centre_of_gravity)
    _listed(
        page,
        "Look at these",
        [worded(f"{flag.kind.value}: {flag.message} {flag.advice}") for flag in book.flags],
    )
    _listed(
        page,
        "On the scale, but in none of the listed pieces",
        [_surplus(surplus, unit) for surplus in book.unallocated if surplus.mass.value != 0.0],
    )
    _listed(
        page,
        "Not weighed alone, inside a weighed assembly",
        [_rest(book, surplus, unit) for surplus in book.not_broken_down],
    )
    _listed(page, "No mass yet", [_named(book, tag) for tag in book.missing])
    _listed(page, "Expected, not found", [absent.message for absent in book.expected_absent])
    _listed(page, "Readings set aside", [f"{one.reading}: {one.reason}" for one in book.set_aside])
    print_assumed(page, [one for one in book.assumed if one not in book.unchecked])
    page.heading("What to weigh next")
    if book.next_to_weigh:
        _next(page, book, unit)
    else:
        page.text(
            "Nothing to propose: no scale in the sheet instruments, or no weighing would narrow the sum."
        )
    page.bullets(worded(note) for note in book.weighing_notes)
    page.text(CAUTION)


def closure_sentence(book: MassBook, name: str) -> str:
    """What parts and vehicle scale say together, or why they cannot be compared."""
    if book.closure is not None:
        return worded(f"{name}: {book.closure.statement}")
    total = in_unit(book.total, "kg")
    why = "; ".join(sentences(book.unchecked)) or "no mass of the whole vehicle to hold against it"
    return worded(f"{name}: the parts add up to {total}, not compared with a scale: {why}".rstrip(".") + ".")


def difference_sentence(book: MassBook, unit: str = "kg") -> str:
    """The difference of the closure with its band and share, whether the bands hold it, and what was not weighed."""
    closed = book.closure
    if closed is None:
        return ""
    found = shown(band_of(closed.difference), unit)
    share = to_place(from_si(abs(closed.difference.value) / closed.scale.value, "%"), 2)
    side = "more on the scale" if found.value >= 0.0 else "more in the parts"
    size = figure(found, signed=True, unit=unit) if found.value >= 0.0 else amount(found, unit)
    within = "within" if closed.normalised_error <= 1.0 else "beyond"
    told = f"{size}{NARROW_SPACE}{unit} {side}, {share}{NARROW_SPACE}%: {within} the bands"
    if not book.missing:
        return f"{told}."
    named = ", ".join(_named(book, tag) for tag in book.missing[:NAMED])
    more = len(book.missing) - NAMED
    tail = f" and {more} more" if more > 0 else ""
    lacking = counted(len(book.missing), "part")
    return f"{told}; {lacking} not weighed, so every sum is a lower bound: {named}{tail}."


def _systems(page: Page, systems: Breakdown, unit: str) -> None:
    lines = [line for line in (*systems.lines, systems.unassigned) if line.node_count or line.total.value]
    totals = _column([*(line.total for line in lines), systems.total], unit)
    surplus = _column([line.unallocated for line in lines], unit)
    rows = [
        Row(
            (
                line.name or line.key or "no system given",
                total,
                "" if line.unallocated.value == 0.0 else loose,
                *_counts(line),
            )
        )
        for line, total, loose in zip(lines, totals, surplus, strict=False)
    ]
    rows.append(Row(("Sum of the parts", totals[-1], "", "", "", ""), closing=True))
    page.table(
        (
            Column("system", wraps=True),
            Column(unit),
            Column("of which\nnot listed"),
            Column("share", "right"),
            Column("parts", "right"),
            Column("without\nmass", "right"),
        ),
        rows,
    )


def _functions(page: Page, functions: Breakdown, unit: str) -> None:
    """The heaviest functions, how many more there are, and what is in none."""
    chosen, small = functions.lines[:MOST], functions.lines[MOST:]
    lines = [*chosen, functions.unassigned]
    masses = _column([*(line.total for line in lines), functions.total], unit)
    rows = [
        Row((line.name or line.key, mass, *_counts(line))) for line, mass in zip(chosen, masses, strict=False)
    ]
    if small:
        share = sum(line.share_frac or 0.0 for line in small)
        parts = sum(line.node_count for line in small)
        missing = sum(line.missing_count for line in small)
        words = f"{counted(len(small), 'lighter function')}, see --json"
        rows.append(Row((words, "", per_cent(share), str(parts), str(missing) if missing else "")))
    rows.append(Row(("in no function", masses[len(chosen)], *_counts(functions.unassigned))))
    rows.append(Row(("Sum of the parts", masses[-1], "", "", ""), closing=True))
    page.table(
        (
            Column("function", wraps=True),
            Column(unit),
            Column("share", "right"),
            Column("parts", "right"),
            Column("without\nmass", "right"),
        ),
        rows,
    )


def _column(quantities: Sequence[Quantity | None], unit: str, missing: str = "") -> tuple[str, ...]:
    """Masses as a column of a table."""
    found = [None if one is None else shown(band_of(one), unit) for one in quantities]
    return interval_cells(found, unit=unit, missing=missing)


def _counts(line: Line) -> tuple[str, str, str]:
    """Share, number of parts, and of those without a mass."""
    return (
        "" if line.share_frac is None else per_cent(line.share_frac),
        str(line.node_count),
        str(line.missing_count) if line.missing_count else "",
    )


def _coverage(page: Page, book: MassBook, unit: str) -> None:
    lines = [
        line for line in book.coverage.lines if line.node_count or (line.mass is not None and line.mass.value)
    ]
    masses = _column([line.mass for line in lines], unit, NOT_MEASURED)
    page.table(
        (Column("how", wraps=True), Column("parts", "right"), Column(unit), Column("share", "right")),
        [
            Row(
                (
                    capital(line.cover.value),
                    str(line.node_count),
                    mass,
                    "" if line.mass_share_frac is None else per_cent(line.mass_share_frac),
                )
            )
            for line, mass in zip(lines, masses, strict=True)
        ],
    )


def _centre(page: Page, centre: CentreOfGravity | None) -> None:
    if centre is None:
        return
    page.heading("Centre of gravity")
    page.bullets(
        (
            f"on the front axle: {in_unit(centre.front_share, '%')}",
            f"behind the front axle: {_millimetres(centre.behind_front_axle)}",
            f"left of the middle: {_millimetres(centre.left_of_centre)}",
            f"above the ground: {_millimetres(centre.height)}",
        )
    )


def _millimetres(found: Quantity | None) -> str:
    return NOT_MEASURED if found is None else quantity_text(found, "mm")


def _surplus(surplus: Surplus, unit: str) -> str:
    words = surplus_words(band_of(surplus.mass))
    return f"{surplus.tag} {surplus.name}: {in_unit(surplus.mass, unit)} ({words})"


def _rest(book: MassBook, surplus: Surplus, unit: str) -> str:
    held = [_named(book, tag) for tag in surplus.holds[:NAMED]]
    more = len(surplus.holds) - len(held)
    names = "; ".join([*held, *([f"{more} more"] if more else [])])
    return (
        f"{names}: in {surplus.tag} {surplus.name}, where the pieces weighed alone leave "
        f"{in_unit(surplus.mass, unit)}"
    )


def _listed(page: Page, head: str, items: Sequence[str], most: int | None = MOST) -> None:
    if not items:
        return
    page.heading(f"{head} ({len(items)})")
    page.bullets(items[:most])
    if most is not None and len(items) > most:
        page.text(f"{len(items) - most} more are not printed; --json lists all of them.", indent=2)


def _named(book: MassBook, tag: str) -> str:
    """Tag and name of a part."""
    tree = book.roll.tree
    return f"{tag} {tree.nodes[tree.index[tag]].name}"


def _next(page: Page, book: MassBook, unit: str) -> None:
    rows = []
    for proposal in book.next_to_weigh[:MOST]:
        bands = (
            ("not known", "")
            if proposal.band_now_kg is None or proposal.band_then_kg is None
            else (_half_width(proposal.band_now_kg, unit), _half_width(proposal.band_then_kg, unit))
        )
        lot = f" × {proposal.lot}" if proposal.lot > 1 else ""
        rows.append(
            Row(
                (
                    f"{_named(book, proposal.tag)}{lot}",
                    SCOPE_WORDS[proposal.scope],
                    proposal.instrument or "any scale",
                    proposal.now.value,
                    *bands,
                )
            )
        )
    page.table(
        (
            Column("part", wraps=True),
            Column("weigh"),
            Column("on"),
            Column("known today", wraps=True),
            Column(f"band of\nthe sum, {unit}"),
            Column(f"then\n{unit}"),
        ),
        rows,
    )


def _half_width(band_kg: float, unit: str) -> str:
    return figure(shown(Interval(0.0, -band_kg, band_kg), unit), unit=unit).band
