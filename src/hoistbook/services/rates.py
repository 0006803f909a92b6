"""What one unit of an effect is worth at a vehicle."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from hoistbook.core.compare.bars import WeightedDraws
from hoistbook.core.compare.gap import model_value
from hoistbook.core.compare.rates import Rate, rates
from hoistbook.core.energy.defaults import EnergyDefaults
from hoistbook.core.quantities.assumption import Assumption, definition, sentences
from hoistbook.core.vehicle.records import Teardown
from hoistbook.services import DEFAULT_DRAWS, DEFAULT_SEED, sides
from hoistbook.services.one_vehicle import one_vehicle

SECONDARY_MASS_KG_PER_KG = 0.95
"""published: Alonso, Lee, Bjelkengren, Roth, Kirchain, Environ. Sci. Technol. 46, 2012, abstract: mean secondary saving
per kg primary with all parts free; 5th percentile 0.77. With four of 13 subsystems locked: 0.12 (from memory)."""


@dataclass(frozen=True, slots=True)
class RatesReport:
    """Rates of one vehicle as built, and with the mass that would follow in a redesign."""

    code: str
    configuration: str
    duty: str
    as_built: tuple[Rate, ...]
    with_secondary: tuple[Rate, ...]
    secondary_mass_kg_per_kg: float
    assumed: tuple[Assumption, ...]
    n_draws: int
    seed: int

    @property
    def assumptions(self) -> tuple[str, ...]:
        """What was assumed, as sentences."""
        return sentences(self.assumed)


def rates_report(
    teardown: Teardown,
    *,
    duty: str = "wltc3b",
    configuration: str | None = None,
    n_draws: int = DEFAULT_DRAWS,
    seed: int = DEFAULT_SEED,
    secondary_mass_kg_per_kg: float = SECONDARY_MASS_KG_PER_KG,
    defaults: EnergyDefaults | None = None,
) -> RatesReport:
    """Work out the rates of one vehicle at its own range.

    Parameters
    ----------
    teardown : Teardown
    duty : str
    configuration : str, optional
    n_draws, seed : int
    secondary_mass_kg_per_kg : float
        For the second list; the first always has none.
    defaults : EnergyDefaults, optional
        What is taken for figures nobody stated; the packaged ones when left out.

    Raises
    ------
    ValueError, LookupError
        Unknown duty or configuration, or a figure is missing or impossible.
    """
    start = one_vehicle(
        teardown, duty=duty, configuration=configuration, n_draws=n_draws, seed=seed, defaults=defaults
    )
    asked, chosen, stated, one = start.asked, start.configuration, start.stated, start.subject
    question = start.question()
    side = sides.side(one, stated.facts[0])
    notes = list(one.resolved.assumed)
    if side.stated is None:
        residual = np.ones(n_draws)
        notes.append(definition("no stated range: rates are those of the model at its own range"))
    else:
        residual = side.stated / model_value(question, side)
        notes.append(definition(stated.remark))
    equal = WeightedDraws.equal(n_draws)
    built, followed = (
        rates(question, side, residual, equal, secondary_mass_kg_per_kg=mass)
        for mass in (0.0, secondary_mass_kg_per_kg)
    )
    return RatesReport(
        code=teardown.vehicle.code,
        configuration=chosen.id,
        duty=asked.duty.name,
        as_built=built,
        with_secondary=followed,
        secondary_mass_kg_per_kg=secondary_mass_kg_per_kg,
        assumed=tuple(notes),
        n_draws=n_draws,
        seed=seed,
    )
