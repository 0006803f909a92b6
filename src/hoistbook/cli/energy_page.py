"""Range, consumption and wheel energy as printed pages."""

from __future__ import annotations

from collections.abc import Mapping, Sequence

from hoistbook.cli.assumed import DRIVE_UNIT_EFFICIENCY, WAY_OF_EFFICIENCY, print_assumed, print_doubts
from hoistbook.cli.page import Column, Page, Row
from hoistbook.core.compare.bars import Interval
from hoistbook.core.quantities.printing import NARROW_SPACE, text
from hoistbook.core.quantities.units import from_si
from hoistbook.core.vehicle.kinds import QUANTITY_KINDS, unit_text
from hoistbook.report.figures import (
    METRIC,
    US,
    aligned,
    display_unit,
    figure,
    shown,
    to_place,
)
from hoistbook.report.sentences import capital
from hoistbook.services.energy import CycleReport, RangeReport
from hoistbook.services.parameter_rows import ParameterRow

_USUAL_UNIT = {
    kind.field: kind.example_units[0] for kind in QUANTITY_KINDS.values() if kind.field and kind.example_units
}
_STEPS = (
    ("traction", "traction at the wheels"),
    ("returned", "braking energy that reaches the drive unit"),
    ("gears", "losses of the gears"),
    ("loss", "losses of the drive unit"),
    ("accessory", "accessories"),
    ("terminal", "at the pack's terminals"),
    ("pack_loss", "loss inside the pack"),
    ("charging", "loss of charging"),
    ("wall", "at the wall"),
    ("label", "step of the label factor"),
    ("consumption", "consumption as labelled"),
)
"""Steps of the energy chain in the order they add up."""

_PLACES = 2
_SUMS = ("terminal", "wall", "consumption")
_US_UNITS = {"kg": "lb", "km/h": "mph"}
MPGE = "MPGe"


def print_range(page: Page, report: RangeReport, name: str, units: str = METRIC) -> None:
    """Print range and consumption of one vehicle, what was stated of it, and where every figure comes from."""
    print_doubts(page, report.doubts)
    unit = display_unit("range", units)
    model = f"{figure(shown(report.range, unit), unit=unit)}{NARROW_SPACE}{unit}"
    if report.stated_range is None:
        page.text(f"{name} goes {model} on {report.duty} by the model; no range was stated.", style="bold")
    else:
        stated = f"{figure(shown(report.stated_range, unit), unit=unit)}{NARROW_SPACE}{unit}"
        page.text(
            f"{name} goes {stated} on {report.duty} as stated ({report.basis}); the model says {model}.",
            style="bold",
        )
    if report.residual is not None:
        page.text(f"Stated over modelled range: {figure(report.residual)}; 1 means that the model is right.")
    error = to_place(from_si(report.model_error_frac, "%"), 1)
    page.text(
        f"Bands hold what is not known of the parameters. The model's own error comes on top: {error}{NARROW_SPACE}% "
        "(standard deviation over public vehicles it had not seen)."
    )
    _results(page, report, units)
    _chain(page, report, units)
    page.heading("Figures of the vehicle")
    page.table(
        (Column("figure", wraps=True), Column("value and band"), Column("unit"), Column("origin")),
        [Row(_parameter(row, report.one_efficiency, units)) for row in report.parameters],
    )
    print_assumed(page, report.assumed)


def _results(page: Page, report: RangeReport, units: str) -> None:
    """Range and consumption by the model and as stated, and as the label would say them."""
    page.heading(f"Range and consumption on {report.duty}")
    label = report.label
    adjusted = (None, None) if label is None else (label.range, label.energy)
    rows = [
        ("range", display_unit("range", units), report.range, report.stated_range, adjusted[0]),
        ("at the wall", display_unit("energy", units), report.energy, report.stated_energy, adjusted[1]),
    ]
    if units == US:
        rows.append((*rows[1][:1], MPGE, *rows[1][2:]))
    columns = [Column("", wraps=True), Column("model"), Column("stated")]
    if label is not None:
        columns.append(Column(f"model, label\n(× {text(label.factor)})"))
    page.table(
        [*columns, Column("unit")],
        [
            Row(
                (
                    words,
                    str(figure(_in_unit(model, unit), unit=unit)),
                    "not measured" if stated is None else str(figure(_in_unit(stated, unit), unit=unit)),
                    *(() if label_ is None else (str(figure(_in_unit(label_, unit), unit=unit)),)),
                    unit,
                )
            )
            for words, unit, model, stated, label_ in rows
        ],
    )
    if label is not None:
        page.text(
            f"Model: unadjusted, as driven on the cycles. Label: range times, consumption over the label factor of "
            f"{text(label.factor)}, a default ({label.source})."
        )


def _in_unit(found: Interval, unit: str) -> Interval:
    """An interval in a unit; distance per energy turns its ends round."""
    there = shown(found, unit)
    return there if there.low <= there.high else Interval(there.value, there.high, there.low)


def _chain(page: Page, report: RangeReport, units: str) -> None:
    """Every step from the wheels to the wall; the numbers add up to the sums below them."""
    unit = display_unit("energy", units)
    chain = {key: from_si(value, unit) for key, value in report.chain.items()}
    page.heading("Where the energy goes, mean over the draws")
    rows = []
    for key, words in _STEPS:
        if _is_nothing(key, chain, report.one_efficiency):
            continue
        value = -chain[key] if key == "returned" else chain[key]
        rows.append((key, capital(_step_words(key, words, chain, report.one_efficiency)), value))
    numbers = aligned(_adding_up(rows), pad=" ")
    page.table(
        (Column("step", wraps=True), Column(unit)),
        [
            Row((words, number), closing=key in _SUMS)
            for (key, words, _), number in zip(rows, numbers, strict=True)
        ],
    )
    page.text(
        "Each line under a rule is the sum of the lines above it; steps are rounded so that they add up."
    )


def _adding_up(rows: Sequence[tuple[str, str, float]]) -> list[str]:
    """Numbers of the chain: each step is the difference of the running sums as printed."""
    total, before, numbers = 0.0, 0.0, []
    for key, _, value in rows:
        if key in _SUMS:
            numbers.append(to_place(value, _PLACES))
            continue
        total += value
        after = round(total, _PLACES)
        numbers.append(to_place(after - before, _PLACES, signed=key != "traction"))
        before = after
    return numbers


def _is_nothing(key: str, chain: Mapping[str, float], one_efficiency: bool) -> bool:
    """Steps there is no need to print: no label factor, and a loss that a single efficiency already holds."""
    if key in ("label", "consumption"):
        return chain["label"] == 0.0
    return key == "loss" and one_efficiency and chain["loss"] == 0.0


def _step_words(key: str, words: str, chain: Mapping[str, float], one_efficiency: bool) -> str:
    if key == "returned":
        return f"{words} (of {to_place(chain['braking'], _PLACES)} at the wheels)"
    if key == "gears" and one_efficiency:
        return "losses of the drive unit by one efficiency for gears, motor and inverter"
    if key == "loss":
        what = "further losses of the drive unit" if one_efficiency else words
        return f"{what} (of it copper: {to_place(chain['copper'], _PLACES)})"
    return words


def _parameter(row: ParameterRow, one_efficiency: bool, units: str) -> tuple[str, str, str, str]:
    unit = _USUAL_UNIT.get(row.field, row.unit)
    unit = _US_UNITS.get(unit, unit) if units == US else unit
    value = figure(shown(Interval(row.value, row.low, row.high), unit), unit=unit)
    way = WAY_OF_EFFICIENCY.get(row.words)
    words = f"{DRIVE_UNIT_EFFICIENCY}, {way}" if way and one_efficiency else row.words
    return capital(words), str(value), unit_text(unit), row.origin


def print_cycle(page: Page, reports: Sequence[CycleReport]) -> None:
    """Print the wheel energy of each cycle."""
    page.text("Energy at the wheels; mass and road load were taken as given, without a band.", style="bold")
    page.blank()
    columns = [
        [to_place(from_si(report.traction_j, "kWh"), 4) for report in reports],
        [to_place(from_si(report.braking_j, "kWh"), 4) for report in reports],
        [to_place(from_si(report.distance_m, "km"), 3) for report in reports],
        [to_place(report.duration_s, 0) for report in reports],
    ]
    cells = zip(*(aligned(column, pad=" ") for column in columns), strict=True)
    page.table(
        (
            Column("cycle", wraps=True),
            Column("traction\nkWh", "right"),
            Column("braking\nkWh", "right"),
            Column("distance\nkm", "right"),
            Column("duration\ns", "right"),
        ),
        [Row((report.cycle, *row)) for report, row in zip(reports, cells, strict=True)],
    )
