"""How a part was probably made: marks and readings of the bench weighed, the look that decides most, cost in doubt."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from pathlib import Path

from hoistbook.core.cost.belief import About, Belief, NextLook, believe, next_looks
from hoistbook.core.cost.engine import cost_parts
from hoistbook.core.cost.estimates import with_estimates
from hoistbook.core.cost.mixture import Mixed, mixed
from hoistbook.core.cost.processes import PROCESSES
from hoistbook.core.cost.recipes import Proposal, candidate_parts, proposals
from hoistbook.core.cost.result import PartCost
from hoistbook.core.cost.route import PartToCost
from hoistbook.core.cost.scenario import Scenario
from hoistbook.core.cost.witness import Look, Measure, Measured, Observation, Seen, WitnessTable
from hoistbook.core.vehicle.records import Teardown
from hoistbook.core.vehicle.tree import PartTree
from hoistbook.reference.witness import NOT_SEEN, SEEN, packaged_recipes, packaged_witness, read_witness
from hoistbook.services.cost import no_cost
from hoistbook.services.cost_inputs import cost_inputs
from hoistbook.services.cost_words import closest
from hoistbook.services.loading import chosen_configuration
from hoistbook.services.mass import mass_report

LEAST_FRAC = 0.02
"""Candidates less likely than this are not costed; project rule: their cost would not move the band."""


@dataclass(frozen=True, slots=True)
class InDoubt:
    """Cost of a part over the candidates that its marks leave.

    Attributes
    ----------
    tag, name : str
    costs : mapping of str to PartCost
        By "process, material".
    probability : mapping of str to float
        Of those that have a cost; 1 in all.
    refused : mapping of str to str
        Candidates that cannot be costed, and why: their probability is spread over the others.
    refused_frac : float
        That probability.
    mixed : Mixed
    """

    tag: str
    name: str
    costs: Mapping[str, PartCost]
    probability: Mapping[str, float]
    refused: Mapping[str, str]
    refused_frac: float
    mixed: Mixed


@dataclass(frozen=True, slots=True)
class Marks:
    """What marks say.

    Attributes
    ----------
    table : WitnessTable
    belief : Belief
    about : str
    doubt_bits : float
        Left about it.
    looks : tuple of NextLook
        The one that decides most per minute first.
    routes : tuple of Proposal
        Usual routes that begin with a process that is possible.
    in_doubt : InDoubt or None
    """

    table: WitnessTable
    belief: Belief
    about: About
    doubt_bits: float
    looks: tuple[NextLook, ...]
    routes: tuple[Proposal, ...]
    in_doubt: InDoubt | None = None


def observations(
    table: WitnessTable, seen: Sequence[str], not_seen: Sequence[str], read: Sequence[tuple[str, str]]
) -> tuple[Observation, ...]:
    """Observations by the names or the words of the table.

    Parameters
    ----------
    table : WitnessTable
    seen, not_seen : sequence of str
        Marks that are there, and marks that were looked for in vain.
    read : sequence of (str, str)
        Results with their outcome, and measures with their value in the unit of the table.

    Raises
    ------
    LookupError
        Nobody knows it; the message names the closest.
    ValueError
        A measure that is no number, or a mark that has other outcomes than seen or not seen.
    """
    found: list[Observation] = []
    for names, state in ((seen, SEEN), (not_seen, NOT_SEEN)):
        for text in names:
            name = _named(table, text)
            look = table.looks.get(name)
            if look is None or state not in look.states:
                outcomes = "a value" if look is None else f"one of {', '.join(look.states)}"
                msg = f"{text}: it has {outcomes}; state it as --read {name}=…"
                raise ValueError(msg)
            found.append(Seen(name, state))
    for text, value in read:
        name = _named(table, text)
        if name in table.looks:
            states = {state.casefold(): state for state in table.looks[name].states}
            found.append(Seen(name, states.get(value.casefold(), value)))
            continue
        measure = table.measures[name]
        try:
            number = float(value)
        except ValueError:
            msg = f"{measure.words}: {value!r} is no number; give it in {measure.unit}."
            raise ValueError(msg) from None
        found.append(Measured(name, number))
    return tuple(found)


def _named(table: WitnessTable, text: str) -> str:
    known: dict[str, Look | Measure] = {**table.looks, **table.measures}
    wanted = "_".join(text.casefold().replace("-", " ").replace("_", " ").split())
    by_words = {"_".join(one.words.casefold().split()): name for name, one in known.items()}
    name = wanted if wanted in known else by_words.get(wanted)
    if name is None:
        msg = f"no mark or reading named {text!r}; {closest(wanted, known)}"
        raise LookupError(msg)
    return name


def witness_from(path: Path | None) -> WitnessTable:
    """Return the packaged table, or that of a file."""
    return packaged_witness() if path is None else read_witness(path)


def marks_report(
    table: WitnessTable,
    seen: Sequence[Observation],
    process: str = "",
    material: str = "",
    about: About = "process",
) -> Marks:
    """Weigh what was seen and read.

    Parameters
    ----------
    table : WitnessTable
    seen : sequence of Seen or Measured
    process, material : str
        What the engineer says; it overrides the marks.
    about : str
        Which doubt a further look should take away: "process", "material" or "both".

    Raises
    ------
    ValueError, LookupError
        See `core.cost.belief.believe`.
    """
    belief = believe(table, seen, process, material)
    routes = [one for one in proposals(packaged_recipes(), belief, PROCESSES) if one.probability > 0.0]
    return Marks(
        table,
        belief,
        about,
        belief.entropy_bits(about),
        next_looks(table, belief, about),
        tuple(routes),
    )


def cost_in_doubt(
    teardown: Teardown,
    tag: str,
    belief: Belief,
    scenario: Scenario,
    configuration: str | None = None,
    *,
    n_draws: int,
    seed: int,
) -> InDoubt:
    """Cost of a part over the candidates that are left, later steps of its route as they are.

    Raises
    ------
    ValueError, LookupError
        No such part, a part without a route, or no candidate that can be costed.
    """
    chosen = chosen_configuration(teardown, configuration)
    tree = PartTree(teardown.nodes)
    inputs = cost_inputs(teardown, tree, mass_report(teardown, chosen.id, proposals=0), scenario)
    part = next((one for one in inputs.parts if one.tag == tag), None)
    if part is None:
        why = {
            **dict.fromkeys(inputs.unrouted, "no route; list how it is made in the sheet routes"),
            **inputs.refused,
        }
        raise no_cost(teardown.vehicle.code, tag, tree.order, why)
    parts, shares = candidate_parts(part, belief, LEAST_FRAC)
    ready: dict[str, PartToCost] = {}
    refused: dict[str, str] = {}
    for name, one in parts.items():
        try:
            ready[name] = with_estimates(one, PROCESSES, scenario.materials)[0]
        except (ValueError, LookupError) as error:
            refused[name] = str(error.args[0])
    costed = cost_parts(ready.values(), scenario, PROCESSES, n_draws, seed)
    costs = {name: costed.parts[one.tag] for name, one in ready.items() if one.tag in costed.parts}
    refused |= {name: costed.refused[one.tag] for name, one in ready.items() if one.tag in costed.refused}
    left = sum(shares[name] for name in costs)
    if not left > 0.0:
        msg = "\n".join([f"{tag}: no candidate can be costed.", *refused.values()])
        raise ValueError(msg)
    probability = {name: shares[name] / left for name in costs}
    return InDoubt(
        tag, part.name, costs, probability, refused, 1.0 - left, mixed(tag, costs, probability, seed)
    )
