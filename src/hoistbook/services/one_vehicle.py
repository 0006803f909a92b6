"""Where every report about the energy of one vehicle starts: its configuration, what it states, and its parameters."""

from __future__ import annotations

from dataclasses import dataclass

from hoistbook.core.compare.gap import Question
from hoistbook.core.energy.defaults import EnergyDefaults
from hoistbook.core.vehicle.records import Configuration, Teardown
from hoistbook.reference.energy import energy_defaults
from hoistbook.services import sides
from hoistbook.services.duties import NamedDuty, named_duty
from hoistbook.services.loading import chosen_configuration


@dataclass(frozen=True, slots=True)
class OneVehicle:
    """One vehicle in a duty; its range decides whether the specimen or the label is spoken of."""

    asked: NamedDuty
    known: EnergyDefaults
    configuration: Configuration
    stated: sides.Stated
    subject: sides.Subject

    def question(self) -> Question:
        """Ask for its range."""
        one = self.subject
        return sides.question("range", self.asked, one.resolved, self.known, one.seed)


def one_vehicle(
    teardown: Teardown,
    *,
    duty: str,
    configuration: str | None,
    n_draws: int,
    seed: int,
    defaults: EnergyDefaults | None,
) -> OneVehicle:
    """Resolve one vehicle for a duty.

    Parameters
    ----------
    teardown : Teardown
    duty : str
        See `duties.named_duty`.
    configuration : str or None
        Needed when the vehicle has several.
    n_draws, seed : int
    defaults : EnergyDefaults or None
        What is taken for figures nobody stated; None takes the packaged ones.

    Raises
    ------
    ValueError, LookupError
        Unknown duty or configuration, or a figure is missing or impossible.
    """
    known = defaults or energy_defaults()
    asked = named_duty(duty)
    chosen = chosen_configuration(teardown, configuration)
    stated = sides.stated_figures([(teardown, chosen)], "range", asked.duty.name)
    subject = sides.subject(teardown, asked, n_draws, seed, chosen.id, stated.basis, known)
    return OneVehicle(asked, known, chosen, stated, subject)
