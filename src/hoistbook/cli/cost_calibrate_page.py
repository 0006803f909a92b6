"""What quotes make of process models, as a printed page."""

from __future__ import annotations

import math

from hoistbook.capture.faults import counted
from hoistbook.cli.money import CENTS, band, money_words
from hoistbook.cli.page import Column, Page, Row
from hoistbook.core.cost.calibration import Calibration
from hoistbook.core.cost.processes import PROCESSES
from hoistbook.report.figures import aligned, per_cent, to_place, worded
from hoistbook.services.cost_calibration import CalibrationReport


def print_calibration(page: Page, report: CalibrationReport, vehicle: str) -> None:
    """Print a calibration."""
    scenario = report.scenario
    money = money_words(scenario.currency, scenario.year)
    before, after = report.before.whole.total, report.after.whole.total
    page.text(
        f"{counted(len(report.quotes), 'quote')} for parts of {vehicle}, for "
        f"{counted(len(report.found), 'process model')}. "
        f"What is costed of the vehicle: {to_place(before.value, 0)} {money} before (95 % band {band(before)}), "
        f"{to_place(after.value, 0)} after ({band(after)}).",
        style="bold",
    )
    page.heading("True cost over model: 95 % band of the next part")
    page.table(
        (
            Column("process", wraps=True),
            Column("quotes", "right"),
            Column("before"),
            Column("after"),
            Column("on average", "right"),
            Column("misses before", "right"),
            Column("held out", "right"),
        ),
        [Row(_process(one, report)) for one in report.found],
    )
    page.text(
        "Misses are root mean squares of the logarithm: by the model as it was, and of each quote as predicted from "
        "the others of its process."
    )
    page.heading(f"Quotes against the model, {money}")
    quoted = aligned([to_place(one.quote.quoted_money, CENTS) for one in report.quotes], pad=" ")
    modelled = aligned([to_place(one.quote.model_money, CENTS) for one in report.quotes], pad=" ")
    page.table(
        (
            Column("tag"),
            Column("part", wraps=True),
            Column("basis"),
            Column("source", wraps=True),
            Column("quoted", "right"),
            Column("model", "right"),
            Column("miss", "right"),
            Column("piece before", wraps=True),
            Column("piece after", wraps=True),
        ),
        [
            Row(
                (
                    one.row.tag,
                    one.name,
                    one.row.basis,
                    one.row.source,
                    *cells,
                    _miss(one.quote.miss_ln),
                    band(one.before),
                    band(one.after),
                )
            )
            for one, *cells in zip(report.quotes, quoted, modelled, strict=True)
        ],
    )
    page.text(
        "Quoted and model stand on one basis: without packaging, freight and tools; make also without mark-ups."
    )
    if report.processes_left:
        left = ", ".join(PROCESSES[name].title for name in report.processes_left)
        page.heading("No quote speaks for")
        page.text(f"{left}. They keep the band they had.")
    if report.notes:
        page.heading("Remarks on reading the quotes")
        page.bullets(worded(one) for one in report.notes)


def _process(one: Calibration, report: CalibrationReport) -> tuple[str, ...]:
    return (
        PROCESSES[one.process].title,
        str(sum(quote.process == one.process for quote in report.quotes)),
        _ends(one.before),
        _ends(one.after),
        to_place(math.exp(one.error.bias_ln), 2),
        "" if one.before_rms_ln is None else per_cent(one.before_rms_ln),
        "too few" if one.hold_out_rms_ln is None else per_cent(one.hold_out_rms_ln),
    )


def _ends(found: tuple[float, float]) -> str:
    return f"{to_place(found[0], 2)} to {to_place(found[1], 2)}"


def _miss(miss_ln: float) -> str:
    return f"{to_place(100.0 * math.expm1(miss_ln), 0, signed=True)} %"
