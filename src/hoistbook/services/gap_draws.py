"""The draws behind a gap in range or consumption, before they are summed up: gap, claims and pages start from them."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass

from hoistbook.core.compare.gap import Decision, GapDraws, Question, Side, reconcile
from hoistbook.core.energy.defaults import EnergyDefaults
from hoistbook.core.quantities.assumption import Assumption
from hoistbook.core.quantities.quantity import Quantity
from hoistbook.core.vehicle.records import Configuration, Teardown
from hoistbook.reference.energy import energy_defaults
from hoistbook.services import DEFAULT_DRAWS, DEFAULT_SEED, sides
from hoistbook.services.duties import NamedDuty, named_duty
from hoistbook.services.loading import chosen_configuration
from hoistbook.services.mass_sides import function_masses

Told = Callable[[str], None]
"""Hears what is being done, step by step."""


def unheard(words: str) -> None:
    """Tell nobody."""


@dataclass(frozen=True, slots=True)
class Reconciled:
    """A gap as found, draw by draw, with everything it was worked out from. Pairs are (X, Y).

    Attributes
    ----------
    asked : NamedDuty
    question : Question
    found : GapDraws
    chosen : pair of (Teardown, Configuration)
    stated : sides.Stated
    subjects : pair of sides.Subject
    contributions : pair of sides.Contributions
    sides : pair of Side
    decided : tuple of Decision
    left_out : tuple of Assumption
        Functions of which a side states nothing.
    words : mapping of function code to its name
    """

    asked: NamedDuty
    question: Question
    found: GapDraws
    chosen: tuple[tuple[Teardown, Configuration], tuple[Teardown, Configuration]]
    stated: sides.Stated
    subjects: tuple[sides.Subject, sides.Subject]
    contributions: tuple[sides.Contributions, sides.Contributions]
    sides: tuple[Side, Side]
    decided: tuple[Decision, ...]
    left_out: tuple[Assumption, ...]
    words: Mapping[str, str]


def reconciled(
    x: Teardown,
    y: Teardown,
    *,
    quantity: str,
    duty: str,
    n_draws: int = DEFAULT_DRAWS,
    seed: int = DEFAULT_SEED,
    configuration_x: str | None = None,
    configuration_y: str | None = None,
    defaults: EnergyDefaults | None = None,
    known_masses: tuple[Mapping[str, Quantity], Mapping[str, Quantity]] | None = None,
    told: Told = unheard,
) -> Reconciled:
    """Reconcile the gap from X to Y as found, without summing it up.

    Parameters
    ----------
    x, y : Teardown
    quantity : str
        "range" or "energy".
    duty : str
        See `duties.named_duty`.
    n_draws, seed : int
    configuration_x, configuration_y : str, optional
        Needed when a vehicle has several configurations.
    defaults : EnergyDefaults, optional
        What is taken for figures nobody stated, and the prior of the residual; the packaged ones when left out.
    known_masses : pair of mapping of function code to Quantity, optional
        Of X and Y, from their mass books; worked out when left out. [kg]
    told : callable
        Called with words before each step that takes long.

    Raises
    ------
    ValueError, LookupError
        Unknown duty or configuration, or figures the engines refuse.
    """
    asked = named_duty(duty)
    chosen = ((x, chosen_configuration(x, configuration_x)), (y, chosen_configuration(y, configuration_y)))
    stated = sides.stated_figures(chosen, quantity, asked.duty.name)
    known = defaults or energy_defaults()
    of_x, of_y = sides.alike(
        *(sides.subject(t, asked, n_draws, seed, c.id, stated.basis, known) for t, c in chosen)
    )
    question = sides.question(quantity, asked, of_x.resolved, known, seed)
    words = function_words(x, y)
    masses_x, masses_y = known_masses or (
        _function_masses(x, of_x.configuration.id, told),
        _function_masses(y, of_y.configuration.id, told),
    )
    own_x, own_y = sides.contributions(of_x, masses_x), sides.contributions(of_y, masses_y)
    side_x, side_y = sides.side(of_x, stated.facts[0]), sides.side(of_y, stated.facts[1])
    decided, left_out = sides.decisions(of_x, of_y, own_x, own_y, words)
    told("sharing the gap as found among its causes")
    return Reconciled(
        asked,
        question,
        reconcile(question, side_x, side_y, decided),
        chosen,
        stated,
        (of_x, of_y),
        (own_x, own_y),
        (side_x, side_y),
        decided,
        left_out,
        words,
    )


def adding_up(teardown: Teardown) -> str:
    """Say whose mass book is being worked out."""
    return f"adding up the {len(teardown.nodes)} parts of {teardown.vehicle.name or teardown.vehicle.code}"


def function_words(x: Teardown, y: Teardown) -> dict[str, str]:
    """Names of the functions of two vehicles; where both name one, X's counts."""
    return {function.code: function.name for teardown in (y, x) for function in teardown.functions}


def _function_masses(teardown: Teardown, configuration: str, told: Told) -> Mapping[str, Quantity]:
    told(adding_up(teardown))
    return function_masses(teardown, configuration)
