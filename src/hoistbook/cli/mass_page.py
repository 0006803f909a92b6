"""The mass book of a vehicle as a printed page."""

from __future__ import annotations

from collections.abc import Sequence

from hoistbook.cli.cells import band_of, interval_cells
from hoistbook.cli.gap_page import CAUTION
from hoistbook.cli.page import Column, Page, Row
from hoistbook.core.mass import Breakdown, CentreOfGravity, MassBook, Surplus
from hoistbook.core.quantities.printing import NARROW_SPACE, NOT_MEASURED, quantity_text, text
from hoistbook.core.quantities.quantity import Quantity
from hoistbook.core.vehicle.records import Scope
from hoistbook.report.figures import per_cent
from hoistbook.report.sentences import capital, counted

MOST = 8
"""Lines of each list that are printed; the rest is counted, and --json holds all of them."""

NAMED = 3
"""Parts spelled out within one line; the rest is counted."""

SCOPE_WORDS = {Scope.SELF: "alone", Scope.SUBTREE: "with all in it"}


def print_mass(page: Page, book: MassBook, name: str) -> None:
    """Print the mass book of a vehicle: closure, systems, coverage, what does not fit, what to weigh next."""
    page.text(closure_sentence(book, name), style="bold")
    if book.missing:
        page.text(
            f"{capital(counted(len(book.missing), 'part'))} without a mass: every sum is a lower bound."
        )
    page.heading(f"Mass by system, kg, band 95 %, configuration {book.configuration}")
    _systems(page, book.systems)
    page.heading("How the mass is known")
    _coverage(page, book)
    _centre(page, book.centre_of_gravity)
    _listed(
        page, "Look at these", [f"{flag.kind.value}: {flag.message} {flag.advice}" for flag in book.flags]
    )
    _listed(
        page,
        "On the scale, but in none of the listed pieces",
        [_surplus(surplus) for surplus in book.unallocated if surplus.mass.value != 0.0],
    )
    _listed(
        page,
        "Not weighed alone, inside a weighed assembly",
        [_rest(book, surplus) for surplus in book.not_broken_down],
    )
    _listed(page, "No mass yet", [_named(book, tag) for tag in book.missing])
    _listed(page, "Expected, not found", [absent.message for absent in book.expected_absent])
    _listed(page, "Readings set aside", [f"{one.reading}: {one.reason}" for one in book.set_aside])
    _listed(page, "Assumed", book.assumptions, most=None)
    page.heading("What to weigh next")
    if book.next_to_weigh:
        _next(page, book)
    else:
        page.text(
            "Nothing to propose: no scale in the sheet instruments, or no weighing would narrow the sum."
        )
    page.bullets(book.weighing_notes)
    page.text(CAUTION)


def closure_sentence(book: MassBook, name: str) -> str:
    """What parts and vehicle scale say together."""
    if book.closure is not None:
        return f"{name}: {book.closure.statement}"
    total = quantity_text(book.total)
    return f"{name}: the parts add up to {total}; no mass of the whole vehicle to hold against it."


def _systems(page: Page, systems: Breakdown) -> None:
    lines = [line for line in (*systems.lines, systems.unassigned) if line.node_count or line.total.value]
    totals = interval_cells([*(band_of(line.total) for line in lines), band_of(systems.total)])
    surplus = interval_cells([band_of(line.unallocated) for line in lines])
    rows = [
        Row(
            (
                line.name or line.key or "no system given",
                total,
                "" if line.unallocated.value == 0.0 else loose,
                "" if line.share_frac is None else per_cent(line.share_frac),
                str(line.node_count),
                str(line.missing_count) if line.missing_count else "",
            )
        )
        for line, total, loose in zip(lines, totals, surplus, strict=False)
    ]
    rows.append(Row(("Sum of the parts", totals[-1], "", "", "", ""), closing=True))
    page.table(
        (
            Column("system", wraps=True),
            Column("kg"),
            Column("of which\nnot listed"),
            Column("share", "right"),
            Column("parts", "right"),
            Column("without\nmass", "right"),
        ),
        rows,
    )


def _coverage(page: Page, book: MassBook) -> None:
    lines = [
        line for line in book.coverage.lines if line.node_count or (line.mass is not None and line.mass.value)
    ]
    masses = interval_cells(
        [None if line.mass is None else band_of(line.mass) for line in lines], missing=NOT_MEASURED
    )
    page.table(
        (Column("how", wraps=True), Column("parts", "right"), Column("kg"), Column("share", "right")),
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
            f"on the front axle: {quantity_text(centre.front_share, '%')}",
            f"behind the front axle: {_millimetres(centre.behind_front_axle)}",
            f"left of the middle: {_millimetres(centre.left_of_centre)}",
            f"above the ground: {_millimetres(centre.height)}",
        )
    )


def _millimetres(found: Quantity | None) -> str:
    return NOT_MEASURED if found is None else quantity_text(found, "mm")


def _surplus(surplus: Surplus) -> str:
    return f"{surplus.tag} {surplus.name}: {quantity_text(surplus.mass)}"


def _rest(book: MassBook, surplus: Surplus) -> str:
    held = [_named(book, tag) for tag in surplus.holds[:NAMED]]
    more = len(surplus.holds) - len(held)
    names = "; ".join([*held, *([f"{more} more"] if more else [])])
    return (
        f"{names}: in {surplus.tag} {surplus.name}, where the pieces weighed alone leave "
        f"{quantity_text(surplus.mass)}"
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


def _next(page: Page, book: MassBook) -> None:
    rows = []
    for proposal in book.next_to_weigh[:MOST]:
        bands = (
            ("not known", "")
            if proposal.band_now_kg is None or proposal.band_then_kg is None
            else (_half_width(proposal.band_now_kg), _half_width(proposal.band_then_kg))
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
            Column("band of\nthe sum, kg"),
            Column("then\nkg"),
        ),
        rows,
    )


def _half_width(band_kg: float) -> str:
    return f"±{NARROW_SPACE}{text(0.0, band_kg).partition(NARROW_SPACE)[2]}"
