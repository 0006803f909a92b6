"""Range, consumption and wheel energy, printed and as JSON."""

from __future__ import annotations

from collections.abc import Sequence

from hoistbook.cli.as_json import Json, interval, optional_interval
from hoistbook.cli.page import Column, Page, Row
from hoistbook.core.compare.bars import Interval
from hoistbook.core.quantities.printing import NARROW_SPACE
from hoistbook.core.quantities.units import from_si
from hoistbook.core.vehicle.kinds import QUANTITY_KINDS
from hoistbook.report.figures import aligned, figure, printed, shown, to_place
from hoistbook.report.sentences import capital
from hoistbook.services.energy import CycleReport, ParameterRow, RangeReport

_USUAL_UNIT = {
    kind.field: kind.example_units[0] for kind in QUANTITY_KINDS.values() if kind.field and kind.example_units
}
_CHAIN_WORDS = {
    "traction": "traction at the wheels",
    "braking": "braking at the wheels",
    "returned": "of which sent back to the shaft",
    "shaft": "net at the motor shaft",
    "loss": "drive-unit losses",
    "copper": "of which with torque squared",
    "accessory": "accessories",
    "terminal": "at the pack's terminals",
    "pack_loss": "inside the pack",
    "cell": "from the cells",
    "wall": "at the wall",
}


def print_range(page: Page, report: RangeReport, name: str) -> None:
    """Print range and consumption of one vehicle, what was stated of it, and where every figure comes from."""
    model = figure(shown(report.range, "km"))
    if report.stated_range is None:
        page.text(
            f"{name} goes {model}{NARROW_SPACE}km on {report.duty} by the model; no range was stated.",
            style="bold",
        )
    else:
        stated = figure(shown(report.stated_range, "km"))
        page.text(
            f"{name} goes {stated}{NARROW_SPACE}km on {report.duty} as stated ({report.basis}); the model says "
            f"{model}{NARROW_SPACE}km.",
            style="bold",
        )
    if report.residual is not None:
        page.text(f"Stated over modelled range: {figure(report.residual)}; 1 means that the model is right.")
    error = to_place(from_si(report.model_error_frac, "%"), 1)
    page.text(
        f"Bands hold what is not known of the parameters. The model's own error comes on top: {error}{NARROW_SPACE}% "
        "(standard deviation over public vehicles it had not seen)."
    )
    page.heading(f"Range and consumption on {report.duty}")
    rows = [
        ("range", "km", report.range, report.stated_range),
        ("at the wall", "Wh/km", report.energy, report.stated_energy),
    ]
    page.table(
        (Column("", wraps=True), Column("model"), Column("stated"), Column("unit")),
        [
            Row(
                (
                    words,
                    str(figure(shown(model_, unit))),
                    "not measured" if stated_ is None else str(figure(shown(stated_, unit))),
                    unit,
                )
            )
            for words, unit, model_, stated_ in rows
        ],
    )
    page.heading("Where the energy goes, best estimate")
    numbers = aligned([to_place(from_si(value, "Wh/km"), 1) for value in report.chain.values()], pad=" ")
    page.table(
        (Column("step", wraps=True), Column("Wh/km")),
        [
            Row((_CHAIN_WORDS.get(key, key), number))
            for key, number in zip(report.chain, numbers, strict=True)
        ],
    )
    page.heading("Figures of the vehicle")
    page.table(
        (Column("figure", wraps=True), Column("value and band"), Column("unit"), Column("origin")),
        [Row(_parameter(row)) for row in report.parameters],
    )
    if report.assumptions:
        page.heading("Assumed")
        page.bullets(report.assumptions)


def _parameter(row: ParameterRow) -> tuple[str, str, str, str]:
    unit = _USUAL_UNIT.get(row.field, row.unit)
    value = figure(shown(Interval(row.value, row.low, row.high), unit))
    return capital(row.words), str(value), printed(unit), row.origin


def range_json(report: RangeReport) -> Json:
    """A range report in SI, except range in km and consumption in Wh/km beside it."""
    return {
        "vehicle": report.code,
        "configuration": report.configuration,
        "duty": report.duty,
        "basis": report.basis,
        "range_km": interval(shown(report.range, "km")),
        "stated_range_km": _in(report.stated_range, "km"),
        "energy_wh_per_km": interval(shown(report.energy, "Wh/km")),
        "stated_energy_wh_per_km": _in(report.stated_energy, "Wh/km"),
        "residual": optional_interval(report.residual),
        "model_error_frac": report.model_error_frac,
        "parameters": [
            {
                "name": row.field,
                "words": row.words,
                "value": row.value,
                "low": row.low,
                "high": row.high,
                "unit": row.unit,
                "origin": row.origin,
            }
            for row in report.parameters
        ],
        "chain_j_per_m": dict(report.chain),
        "assumptions": list(report.assumptions),
        "draws": report.n_draws,
        "seed": report.seed,
    }


def _in(found: Interval | None, unit: str) -> Json | None:
    return None if found is None else interval(shown(found, unit))


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


def cycle_json(name: str, reports: Sequence[CycleReport]) -> Json:
    """Wheel energy in J; one flat object for a single cycle, a list for a duty of several."""
    rows = [
        {
            "cycle": report.cycle,
            "traction_j": report.traction_j,
            "braking_j": report.braking_j,
            "distance_m": report.distance_m,
            "duration_s": report.duration_s,
        }
        for report in reports
    ]
    return rows[0] if len(rows) == 1 else {"cycle": name, "cycles": rows}
