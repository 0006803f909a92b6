"""A study as a printed page."""

from __future__ import annotations

from hoistbook.cli.cells import interval_cells
from hoistbook.cli.page import Column, Page, Row
from hoistbook.core.compare.looked_at import LOOKED_AT, LookedAt, Standing
from hoistbook.core.compare.strip_plan import FlagWeight
from hoistbook.core.compare.study import StatedIn, StudyContent
from hoistbook.core.quantities.printing import quantity_text
from hoistbook.core.vehicle.hazards import WHO_DECIDES
from hoistbook.core.vehicle.kinds import QUANTITY_KINDS
from hoistbook.core.vehicle.records import Rule
from hoistbook.report.figures import in_unit, per_cent, shown
from hoistbook.services.study_report import PlannedStep, StudyReport

MOST_OPEN = 8
_LOUD = {FlagWeight.LOST: "LOST", FlagWeight.ORDER: "order", FlagWeight.OPEN: "open"}


def print_version(page: Page, sentences: tuple[str, ...]) -> None:
    """Print under which version results stand; what changed after freezing is never left out."""
    page.bullets(f"{sentence[0].upper()}{sentence[1:]}." for sentence in sentences)


def print_study(page: Page, report: StudyReport) -> None:
    """Print a study with its vehicles."""
    study = report.study
    page.text(f"{study.title} ({study.code})", style="bold")
    page.text(study.question)
    print_version(page, report.state.sentences)
    if report.open_points:
        page.heading("What does not fit yet")
        page.bullets(f"{point}{' (stops freezing)' if point.blocks else ''}" for point in report.open_points)
    page.heading("Vehicles, in the order of comparison")
    page.table(
        (Column("vehicle"), Column("configuration"), Column("role", wraps=True)),
        [Row((v.vehicle, v.configuration, v.role)) for v in study.vehicles],
    )
    _equality(page, report)
    _content(page, report.content)
    if study.assumptions:
        page.heading("Assumptions")
        page.table(
            (Column("assumption", wraps=True), Column("value", wraps=True), Column("source", wraps=True)),
            [Row((row.name, row.value, row.source)) for row in study.assumptions],
        )
    _findings(page, report)
    for covered in report.coverage:
        _coverage(page, covered)
    if report.not_covered:
        page.heading("Mass gap not looked at")
        page.bullets(report.not_covered)
    _plan(page, report.plan)


def _equality(page: Page, report: StudyReport) -> None:
    codes = report.study.codes
    rows = []
    for name in dict.fromkeys(row.property for row in report.study.equality):
        own = {row.vehicle: row for row in report.study.equality if row.property == name}
        cells = []
        for code in codes:
            row = own.get(code)
            mark = "" if row is None or row.equal is None else (" =" if row.equal else " ≠")
            cells.append("" if row is None else f"{row.value}{mark}")
        unit = next((row.unit for row in own.values() if row.unit), "")
        rows.append(Row((f"{name} [{unit}]" if unit and unit != "1" else name, *cells)))
    if rows:
        page.heading(f"Do they do the same job? (=: as {codes[0]}, ≠: unlike)")
        page.table((Column("property", wraps=True), *(Column(code) for code in codes)), rows)


def _content(page: Page, content: tuple[StudyContent, ...]) -> None:
    if not content:
        return
    page.heading("Unlike content, as it counts")
    page.table(
        (
            Column("vehicle"),
            Column("item", wraps=True),
            Column("rule"),
            Column("quantity", wraps=True),
            Column("value"),
            Column("stated in", wraps=True),
        ),
        [
            Row(
                (
                    row.vehicle,
                    row.item.item,
                    row.item.rule.value,
                    QUANTITY_KINDS[row.item.quantity].words,
                    _amount(row),
                    "study" if row.stated_in is StatedIn.STUDY else "its workbook",
                )
            )
            for row in content
        ],
    )


def _amount(row: StudyContent) -> str:
    if row.item.rule is Rule.SCALE:
        return f"× {quantity_text(row.item.value)}"
    units = QUANTITY_KINDS[row.item.quantity].example_units
    return in_unit(row.item.value, units[0] if units else row.item.value.unit)


def _findings(page: Page, report: StudyReport) -> None:
    if not report.study.findings:
        return
    page.heading("Found the same, or carried over from the sister")
    lines = []
    for finding in report.study.findings:
        who = " and ".join(finding.vehicles)
        told = f"{who} from {finding.taken_from}" if finding.taken_from else who
        proof = f" ({finding.evidence})" if finding.evidence else ""
        words = report.function_words[finding.function]
        lines.append(f"{words}: {finding.kind.value}, {told}: {finding.compared}{proof}")
    page.bullets(lines)


def _coverage(page: Page, found: LookedAt) -> None:
    page.heading(f"Mass gap {found.code_x} to {found.code_y}: what has been looked at")
    share, mass = found.looked_at, found.mass_looked_at
    page.text(
        f"Looked at: {per_cent(share.value)} of the differences ({per_cent(share.low)} to {per_cent(share.high)}), "
        f"{per_cent(mass.value)} of the mass of both vehicles."
    )
    told = [f"{standing.value} {per_cent(found.by_standing[standing].value)}" for standing in LOOKED_AT]
    rest = [Standing.CONTRADICTED, Standing.OPEN]
    told += [f"{each.value} {per_cent(found.by_standing[each].value)}" for each in rest]
    page.text(f"Of the differences: {', '.join(told)}.")
    for line in found.contradicted:
        finding = line.finding
        kind = "" if finding is None else f" ({finding.kind.value})"
        page.text(
            f"CONTRADICTED: {line.words}{kind}: the masses differ by {line.difference.value:+.3f} kg, and the finding "
            f"allows {line.allowed_kg or 0.0:.3f} kg. Look again.",
            style="bold",
        )
    lines = [line for line in found.open_lines if line.standing is Standing.OPEN][:MOST_OPEN]
    cells = interval_cells([shown(line.difference, "kg") for line in lines], unit="kg", signed=True)
    page.text("Not looked at, largest first:")
    page.table(
        (Column("what", wraps=True), Column("kg"), Column("share", "right")),
        [
            Row((line.words, cell, per_cent(line.share.value)))
            for line, cell in zip(lines, cells, strict=True)
        ],
    )
    more = sum(line.standing is Standing.OPEN for line in found.lines) - len(lines)
    if more > 0:
        page.text(f"{more} more are not printed; --json lists all of them.", indent=2)


def _plan(page: Page, plan: tuple[PlannedStep, ...]) -> None:
    if not plan:
        return
    page.heading("Strip plan")
    lost = [flag for planned in plan for flag in planned.flags if flag.weight is FlagWeight.LOST]
    for flag in lost:
        page.text(f"LOST: {flag.vehicle} step {flag.step:g}: {flag.message}", style="bold")
    page.table(
        (
            Column("step", "right"),
            Column("what", wraps=True),
            Column("who", wraps=True),
            Column("status"),
            Column("still to record", wraps=True),
        ),
        [
            Row(
                (
                    f"{p.step.vehicle} {p.step.step:g}",
                    p.step.what,
                    p.step.who,
                    p.step.status.value,
                    ", ".join(p.step.unrecorded),
                )
            )
            for p in plan
        ],
    )
    page.bullets(
        f"{_LOUD[flag.weight]}: {flag.vehicle} step {flag.step:g}: {flag.message}"
        for planned in plan
        for flag in planned.flags
        if flag.weight is not FlagWeight.LOST
    )
    _cautions(page, plan)


def _cautions(page: Page, plan: tuple[PlannedStep, ...]) -> None:
    """Print each caution once, with the steps it belongs to."""
    steps: dict[str, list[str]] = {}
    words: dict[str, str] = {}
    for planned in plan:
        for hazard in planned.hazards:
            steps.setdefault(hazard.name, []).append(f"{planned.step.vehicle} {planned.step.step:g}")
            words[hazard.name] = hazard.caution
    if not steps:
        return
    page.heading("Usual cautions")
    page.text(WHO_DECIDES)
    page.bullets(f"{words[name]} (steps {', '.join(own)})" for name, own in steps.items())
