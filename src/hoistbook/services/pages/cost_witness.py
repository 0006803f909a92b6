"""How a part was made and what of, by what can be seen on it: probabilities, the cheapest next look, what it costs."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, replace
from functools import lru_cache

from hoistbook.core.cost.belief import Belief, NextLook, believe, next_looks
from hoistbook.core.cost.engine import cost_parts
from hoistbook.core.cost.estimates import with_estimates
from hoistbook.core.cost.mixture import Mixed, mixed
from hoistbook.core.cost.processes import PROCESSES
from hoistbook.core.cost.recipes import candidate_parts
from hoistbook.core.cost.result import PartCost
from hoistbook.core.cost.route import PartToCost
from hoistbook.core.cost.scenario import Scenario
from hoistbook.core.cost.witness import Measured, Observation, Seen, WitnessTable
from hoistbook.reference.witness import packaged_witness
from hoistbook.services.pages.cost import DRAWS, SEED, is_estimate
from hoistbook.services.pages.cost_form import number

LEAST = 0.03
"""project rule: candidates less likely than this are not costed; the others are scaled up to 1, which is said."""
MOST_NEXT = 3


@dataclass(frozen=True, slots=True)
class AsMade:
    """The part as one candidate would have it: probability, and its cost or why it has none."""

    process: str
    material: str
    probability: float
    cost: PartCost | None
    why: str


@dataclass(frozen=True, slots=True)
class Witness:
    """What was seen on a part and what follows.

    Attributes
    ----------
    table : WitnessTable
    typed : mapping of str to str
        What was seen or read, by the name of the look.
    faults : mapping of str to str
        What is wrong, by the name of the look; "" is all of it together.
    belief : Belief or None
        None where what was seen excludes every candidate or is wrong.
    next : tuple of NextLook
        The ones that decide the most per minute.
    candidates : tuple of AsMade
        Empty before anything was seen.
    mixed : Mixed or None
        Over the candidates that have a cost.
    """

    table: WitnessTable
    typed: Mapping[str, str]
    faults: Mapping[str, str]
    belief: Belief | None
    next: tuple[NextLook, ...]
    candidates: tuple[AsMade, ...]
    mixed: Mixed | None


def witness(part: PartToCost, scenario: Scenario, typed: Mapping[str, str]) -> Witness:
    """Weigh what was seen on a part.

    Parameters
    ----------
    part : PartToCost
        Its later steps are those of every candidate.
    scenario : Scenario
    typed : mapping of str to str
        Outcome of each look, reading of each measure; empty where nobody looked.
    """
    table = packaged_witness()
    seen: list[Observation] = []
    faults: dict[str, str] = {}
    for name, said in typed.items():
        try:
            one = _observed(table, name, said)
            believe(table, [one])
            seen.append(one)
        except (ValueError, LookupError) as error:
            faults[name] = str(error.args[0])
    if faults:
        return Witness(table, typed, faults, None, (), (), None)
    try:
        belief, looks = _weighed(tuple(seen))
    except ValueError as error:
        return Witness(table, typed, {"": str(error.args[0])}, None, (), (), None)
    if not seen:
        return Witness(table, typed, {}, belief, looks, (), None)
    candidates, whole = _costed(part, scenario, belief)
    return Witness(table, typed, {}, belief, looks, candidates, whole)


@lru_cache(maxsize=64)
def _weighed(seen: tuple[Observation, ...]) -> tuple[Belief, tuple[NextLook, ...]]:
    """What was seen does not depend on the part: ranking the looks takes longer than all else of the page."""
    table = packaged_witness()
    belief = believe(table, seen)
    return belief, next_looks(table, belief, "both")[:MOST_NEXT]


def _observed(table: WitnessTable, name: str, said: str) -> Observation:
    if name in table.measures:
        return Measured(name, number(said))
    return Seen(name, said)


def _costed(part: PartToCost, scenario: Scenario, belief: Belief) -> tuple[tuple[AsMade, ...], Mixed | None]:
    """Cost of every candidate worth costing, and over those that have one."""
    likely = belief.likeliest(LEAST) if max(belief.probability) >= LEAST else ()
    if not likely:
        return (), None
    parts, shares = candidate_parts(part, belief, LEAST)
    ready = {}
    for name, one in parts.items():
        # Estimates of the record rest on its own material and process; they are made anew for each candidate.
        bare = {key: value for key, value in one.readings.items() if not is_estimate(one, key)}
        ready[name] = with_estimates(
            replace(one, readings=bare, estimated=()), PROCESSES, scenario.materials
        )[0]
    costed = cost_parts(ready.values(), scenario, PROCESSES, DRAWS, SEED, threads=1)
    found, with_cost = [], {}
    for (candidate, share), name in zip(likely, parts, strict=True):
        cost = costed.parts.get(ready[name].tag)
        why = costed.refused.get(ready[name].tag, "").removeprefix(ready[name].tag).lstrip(":, ")
        found.append(AsMade(candidate.process, candidate.material, share, cost, why))
        if cost is not None:
            with_cost[name] = (cost, shares[name])
    total = sum(share for _, share in with_cost.values())
    whole = None
    if with_cost:
        whole = mixed(
            part.tag,
            {name: cost for name, (cost, _) in with_cost.items()},
            {name: share / total for name, (_, share) in with_cost.items()},
            SEED,
        )
    return tuple(found), whole
