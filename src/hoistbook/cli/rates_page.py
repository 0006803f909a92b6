"""Rates of a vehicle as a printed page."""

from __future__ import annotations

from hoistbook.cli.assumed import print_assumed
from hoistbook.cli.cells import interval_cells
from hoistbook.cli.page import Column, Page, Row
from hoistbook.core.compare.bars import Interval
from hoistbook.core.compare.rates import Rate
from hoistbook.core.quantities.printing import NARROW_SPACE, text
from hoistbook.core.quantities.units import from_si
from hoistbook.report.figures import METRIC, US, display_unit, figure, shown
from hoistbook.services.rates import RatesReport

_US_EFFECT_UNITS = {"mass": ("1 lb of mass", "kg", "lb")}
"""Effects that people who think in miles count in a unit of their own: words, unit of the step, unit shown."""


def print_rates(page: Page, report: RatesReport, name: str, units: str = METRIC) -> None:
    """Print what one unit of each effect is worth, as built and with the mass that would follow."""
    range_unit = "m" if units == METRIC else display_unit("range", units)
    energy_unit = display_unit("energy", units)
    mass = next(rate for rate in report.as_built if rate.effect.name == "mass")
    worth = (
        f"{figure(_per_effect(mass, mass.range, range_unit, units), signed=True)}{NARROW_SPACE}{range_unit}"
    )
    page.text(
        f"At {name}, {_effect_words(mass, units)} is worth {worth} of range on {report.duty}.",
        style="bold",
    )
    page.text(f"Band 95 %; {report.n_draws} draws, seed {report.seed}.")
    page.blank()
    followed = [rate for rate in report.with_secondary if rate.effect.name == "mass"]
    rows = [*report.as_built, *followed]
    # A rate is small by nature, one kilogram of a whole vehicle: it keeps the digits its band carries.
    columns = (
        interval_cells([_per_effect(rate, rate.range, range_unit, units) for rate in rows], signed=True),
        interval_cells([_per_effect(rate, rate.energy, energy_unit, units) for rate in rows], signed=True),
    )
    words = [_effect_words(rate, units) for rate in report.as_built]
    words += [f"{_effect_words(rate, units)}, and what follows it" for rate in followed]
    page.table(
        (
            Column("one unit of", wraps=True),
            Column(f"range\n{range_unit}"),
            Column(f"consumption at the wall\n{energy_unit}"),
        ),
        [Row(cells) for cells in zip(words, *columns, strict=True)],
    )
    follows = text(report.secondary_mass_kg_per_kg)
    page.text(
        f"And what follows it: a redesign in which {follows}{NARROW_SPACE}kg go or come with each kg. This vehicle on "
        "the road has none of it."
    )
    print_assumed(page, report.assumed)


def _effect_words(rate: Rate, units: str) -> str:
    found = _US_EFFECT_UNITS.get(rate.effect.name) if units == US else None
    return found[0] if found else rate.effect.words


def _per_effect(rate: Rate, worth: Interval, unit: str, units: str) -> Interval:
    """What one unit of an effect is worth, the effect counted in the units of the page."""
    found = _US_EFFECT_UNITS.get(rate.effect.name) if units == US else None
    there = shown(worth, unit)
    if found is None:
        return there
    # Rates are linear: one lb is 0.45 kg.
    size = from_si(1.0, found[1]) / from_si(1.0, found[2])
    return Interval(there.value * size, there.low * size, there.high * size)
