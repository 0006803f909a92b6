"""Rates of a vehicle, printed and as JSON."""

from __future__ import annotations

from hoistbook.cli.as_json import Json, interval
from hoistbook.cli.cells import interval_cells
from hoistbook.cli.page import Column, Page, Row
from hoistbook.core.compare.rates import Rate
from hoistbook.core.quantities.printing import NARROW_SPACE, text
from hoistbook.report.figures import figure, shown
from hoistbook.services.rates import RatesReport


def print_rates(page: Page, report: RatesReport, name: str) -> None:
    """Print what one unit of each effect is worth, as built and with the mass that would follow."""
    mass = next(rate for rate in report.as_built if rate.effect.name == "mass")
    worth = figure(shown(mass.range, "m"), signed=True)
    page.text(
        f"At {name}, {mass.effect.words} is worth {worth}{NARROW_SPACE}m of range on {report.duty}.",
        style="bold",
    )
    follows = text(report.secondary_mass_kg_per_kg)
    page.text(f"Band 95 %; {report.n_draws} draws, seed {report.seed}.")
    page.blank()
    followed = [rate for rate in report.with_secondary if rate.effect.name == "mass"]
    rows = [*report.as_built, *followed]
    columns = (
        interval_cells([shown(rate.range, "m") for rate in rows], signed=True),
        interval_cells([shown(rate.energy, "Wh/km") for rate in rows], signed=True),
    )
    words = [rate.effect.words for rate in report.as_built]
    words += [f"{rate.effect.words}, and what follows it" for rate in followed]
    page.table(
        (Column("one unit of", wraps=True), Column("range\nm"), Column("consumption at the wall\nWh/km")),
        [Row(cells) for cells in zip(words, *columns, strict=True)],
    )
    follows = text(report.secondary_mass_kg_per_kg)
    page.text(
        f"And what follows it: a redesign in which {follows}{NARROW_SPACE}kg go or come with each kg. This vehicle on "
        "the road has none of it."
    )
    if report.assumptions:
        page.heading("Assumed")
        page.bullets(report.assumptions)


def rates_json(report: RatesReport) -> Json:
    """Rates per unit of each effect: range in m, consumption at the wall in Wh/km; the step is in SI."""
    return {
        "vehicle": report.code,
        "configuration": report.configuration,
        "duty": report.duty,
        "as_built": [_rate(rate) for rate in report.as_built],
        "with_secondary": [_rate(rate) for rate in report.with_secondary],
        "secondary_mass_kg_per_kg": report.secondary_mass_kg_per_kg,
        "assumptions": list(report.assumptions),
        "draws": report.n_draws,
        "seed": report.seed,
    }


def _rate(rate: Rate) -> Json:
    return {
        "name": rate.effect.name,
        "words": rate.effect.words,
        "parameter": rate.effect.field,
        "step_si": rate.effect.step,
        "range_m": interval(rate.range),
        "energy_wh_per_km": interval(shown(rate.energy, "Wh/km")),
    }
