"""Assembly of a vehicle or a function as a printed page: seconds by motion, joints, and why each part is one."""

from __future__ import annotations

from collections.abc import Sequence

from hoistbook.cli.assumed import print_assumed
from hoistbook.cli.money import adding_up, money_words
from hoistbook.cli.page import Column, Page, Row
from hoistbook.core.cost.assembly.tally import JointWork, PartWork
from hoistbook.core.cost.assembly.work import Step
from hoistbook.core.quantities.assumption import AssumptionKind
from hoistbook.report.figures import aligned, in_unit, per_cent, to_place
from hoistbook.report.sentences import capital, counted
from hoistbook.services.cost_assembly import AssemblyReport
from hoistbook.services.cost_motions import motion_sums

MOST_MOTIONS, MOST_JOINTS, MOST_PARTS, MOST_LISTED = 14, 12, 6, 12


def print_assembly(page: Page, report: AssemblyReport, name: str, *, motions: bool = False) -> None:
    """Print an assembly.

    Parameters
    ----------
    page : Page
    report : AssemblyReport
    name : str
        Of the vehicle.
    motions : bool
        Print the motions of every joint and of placing every part.
    """
    tally, scenario = report.tally, report.scenario
    what = f"{name}, {report.function}" if report.function else name
    page.text(f"{what}: assembly takes {in_unit(tally.standard_s, 's')} of standard time.", style="bold")
    if tally.cost_money is not None:
        money = money_words(scenario.currency, scenario.year)
        page.text(
            f"At the wage and overhead of {scenario.regions[scenario.region].words} it costs "
            f"{in_unit(tally.cost_money, '1')} {money}. Estimated from the joints of the record by MTM-1 motions; not "
            "taken on a line."
        )
    _sums(page, report)
    _counts(page, report)
    page.heading("Joints, the longest first")
    _joints(page, report, motions)
    page.heading("Bringing parts to their place, the longest first")
    _placed(page, report, motions)
    _reasons(page, report)
    if tally.missing:
        page.heading(f"Joints without a time, in no sum ({len(tally.missing)})")
        page.bullets(_some(tally.missing))
    # What is left aside is counted for the vehicle; for a function it stands above, counted for the function.
    kept = [one for one in report.book.assumed if not (report.function and one.kind is AssumptionKind.ASIDE)]
    print_assumed(page, kept)


def _sums(page: Page, report: AssemblyReport) -> None:
    """Motions by code; they add up to normal time, and with the allowance to standard time."""
    tally = report.tally
    sums = motion_sums(report)
    shown, small = sums[:MOST_MOTIONS], sums[MOST_MOTIONS:]
    page.heading("Seconds by motion")
    rows = [
        (one.code, one.words, f"{to_place(one.times, 0)}" if one.times else "", one.seconds) for one in shown
    ]
    if small:
        rows.append(("", f"{len(small)} further motions", "", sum(one.seconds for one in small)))
    normal = len(rows)
    rows.append(("", "allowance", "", tally.standard_s.value - tally.normal_s.value))
    values = adding_up([seconds for *_, seconds in rows], 1)
    ends = aligned([*values, to_place(tally.normal_s.value, 1), to_place(tally.standard_s.value, 1)], pad=" ")
    table = [
        Row((code, words, times, value)) for (code, words, times, _), value in zip(rows, ends, strict=False)
    ]
    table.insert(normal, Row(("", "Normal time", "", ends[-2]), closing=True))
    table.append(Row(("", "Standard time", "", ends[-1]), closing=True))
    page.table(
        (Column("code"), Column("motion", wraps=True), Column("times", "right"), Column("s", "right")), table
    )
    if tally.ruled_joints:
        page.text(
            f"Line rules of thumb for {counted(tally.ruled_joints, 'joint')} of them: {in_unit(tally.rule_s, 's')}; by "
            f"motions the same joints take {in_unit(tally.ruled_s, 's')}. Both are standard times; rules are in no sum."
        )


def _counts(page: Page, report: AssemblyReport) -> None:
    tally = report.tally
    page.heading("Fasteners, drives, directions")
    said = counted(tally.direction_not_stated, "joint")
    lines = (
        (
            f"{to_place(tally.fastener_count, 0)} threaded fasteners, {to_place(tally.quick_count, 0)} clips, ties and "
            "the like"
        ),
        f"{counted(len(tally.drives), 'drive')}: {', '.join(tally.drives) or 'none recorded'}",
        (
            f"{counted(len(tally.directions), 'access direction')}: {', '.join(tally.directions) or 'none recorded'}; "
            f"{said} without recorded access, {tally.obstructed_count} reached past something"
        ),
        (
            f"{counted(tally.joint_count, 'joint')}, {tally.elsewhere_count} of them made elsewhere (welded, hemmed): "
            "their process has the time"
        ),
    )
    page.bullets(lines)


def _joints(page: Page, report: AssemblyReport, motions: bool) -> None:
    timed = [(work, share) for work, share in report.joints if work.normal_s is not None]
    for work, share in timed if motions else timed[:MOST_JOINTS]:
        page.bullets([_joint(work, share, report)])
        if motions:
            page.text(_motions(work.steps), indent=4)
    _more(page, len(timed), MOST_JOINTS, motions)


def _joint(work: JointWork, share: float, report: AssemblyReport) -> str:
    seconds = 0.0 if work.normal_s is None else work.normal_s.value * share
    parts = [report.names.get(tag, tag) for tag in work.parts]
    joined = f"{', '.join(parts[:3])}{' …' if len(parts) > 3 else ''} to " if parts else ""
    told = [work.reading.kind.value]
    if work.count:
        told.append(f"{work.count:g} pieces")
    told += [
        one
        for one in (work.reading.drive, f"from {work.reading.direction}")
        if one and "not stated" not in one
    ]
    if work.occurrences != 1.0:
        told.append(f"made {work.occurrences:g} times")
    base = report.names.get(work.base, work.base)
    return f"{work.joint}, {joined}{base}: {to_place(seconds, 1)} s ({', '.join(told)}{_by_share(share)})"


def _placed(page: Page, report: AssemblyReport, motions: bool) -> None:
    for work, share in report.placed if motions else report.placed[:MOST_PARTS]:
        page.bullets([_part(work, share, report)])
        if motions:
            page.text(_motions(work.steps), indent=4)
    _more(page, len(report.placed), MOST_PARTS, motions)


def _part(work: PartWork, share: float, report: AssemblyReport) -> str:
    pieces = "" if work.pieces == 1.0 else f", {work.pieces:g} pieces"
    note = f"; {work.note}" if work.note else ""
    return (
        f"{report.names.get(work.tag, work.tag)} ({work.tag}){pieces}: {to_place(work.normal_s.value * share, 1)} s"
        f"{_by_share(share)}{note}"
    )


def _motions(steps: Sequence[Step]) -> str:
    return "; ".join(
        f"{step.code or step.words}{f' × {step.times.value:g}' if step.times.value != 1.0 else ''} "
        f"{to_place(step.seconds.value, 2)} s"
        for step in steps
    )


def _by_share(share: float) -> str:
    return "" if share == 1.0 else f", by its share of {per_cent(share)}"


def _more(page: Page, count: int, most: int, motions: bool) -> None:
    if count > most and not motions:
        page.text(
            f"{count - most} more; --motions prints all with their motions, --json holds them.", indent=2
        )


def _reasons(page: Page, report: AssemblyReport) -> None:
    """Why each part is a part of its own, and which have no reason on record."""
    none = report.necessity
    page.heading("Why a part is a part of its own")
    share = "" if none.physical_frac is None else f" ({per_cent(none.physical_frac)})"
    page.text(
        f"{counted(len(none.physical), 'part')} with a physical reason on record{share}, {len(none.economic)} with an "
        f"economic one alone, {len(none.none)} with none: candidates for one piece, or for a look."
    )
    lines = [
        f"{report.names.get(tag, tag)} ({tag}): {one.kind.value}"
        + (f", {one.text}" if one.text else "")
        + (f" (policy: {one.policy})" if one.policy else "")
        for tag, several in report.reasons.items()
        for one in several
    ]
    page.bullets(_some(lines))
    if none.none and report.function:
        page.text(
            "No reason on record: "
            + "; ".join(_some([f"{report.names.get(tag, tag)} ({tag})" for tag in none.none]))
        )
    if report.not_counted:
        page.bullets(map(capital, _some(report.not_counted)))


def _some(lines: Sequence[str]) -> list[str]:
    shown = list(lines[:MOST_LISTED])
    left = len(lines) - len(shown)
    return [*shown, f"{left} more; --json lists all"] if left > 0 else shown
