"""Routes that are usual for a family of parts, proposed by what the marks say; always to be confirmed or changed."""

from __future__ import annotations

from collections.abc import Collection, Sequence
from dataclasses import dataclass, replace

from hoistbook.core.cost.belief import Belief
from hoistbook.core.cost.route import PartToCost, Step


@dataclass(frozen=True, slots=True)
class Recipe:
    """A usual route.

    Attributes
    ----------
    family, words, look_for, dominant : str
        Name, as people say it, what to look for, and what usually makes the cost.
    steps : tuple of Step
        Each with origin "proposed".
    net_over_gross : (float, float)
        Mass of the part over mass bought, from–to. [1]
    """

    family: str
    words: str
    look_for: str
    dominant: str
    steps: tuple[Step, ...]
    net_over_gross: tuple[float, float]


@dataclass(frozen=True, slots=True)
class Proposal:
    """A recipe with the probability of its first process, and steps for which there is no process model yet."""

    recipe: Recipe
    probability: float
    not_modelled: tuple[str, ...]


def proposals(
    recipes: Sequence[Recipe],
    belief: Belief,
    processes: Collection[str],
    families: Collection[str] = (),
) -> tuple[Proposal, ...]:
    """Recipes, the likeliest first process first.

    Parameters
    ----------
    recipes : sequence of Recipe
    belief : Belief
    processes : collection of str
        Names of the process models there are.
    families : collection of str
        Only these; all when empty.

    Raises
    ------
    LookupError
        A family nobody knows.

    Notes
    -----
    Recipes that begin with one process share its probability evenly: marks of forming do not tell a bracket from a
    link. Recipes whose process is no candidate of the belief (a fastener, a harness) come last, with probability 0.
    """
    known = {one.family for one in recipes}
    for family in families:
        if family not in known:
            msg = f"no family named {family!r}; known: {', '.join(sorted(known))}."
            raise LookupError(msg)
    kept = [one for one in recipes if not families or one.family in families]
    shares = belief.processes()
    count: dict[str, int] = {}
    for one in kept:
        count[one.steps[0].process] = count.get(one.steps[0].process, 0) + 1
    found = [
        Proposal(
            one,
            shares.get(one.steps[0].process, 0.0) / count[one.steps[0].process],
            tuple(step.process for step in one.steps if step.process not in processes),
        )
        for one in kept
    ]
    return tuple(sorted(found, key=lambda one: (-one.probability, one.recipe.family)))


def candidate_parts(
    part: PartToCost, belief: Belief, least: float = 0.01
) -> tuple[dict[str, PartToCost], dict[str, float]]:
    """Return the part as each candidate would have it: first step and material replaced, later steps as they are.

    Parameters
    ----------
    part : PartToCost
        Its first step's own readings and note are kept, its choices are those the candidate asks for.
    belief : Belief
    least : float
        As in `Belief.likeliest`.

    Returns
    -------
    dict of str to PartToCost, dict of str to float
        By the words "process, material"; probabilities add up to 1, as `mixture.mixed` wants them.

    Raises
    ------
    ValueError
        No candidate is as likely as `least`.
    """
    parts, shares = {}, {}
    first, *later = part.steps
    for one, share in belief.likeliest(least):
        name = f"{one.process}, {one.material}"
        formed = replace(first, process=one.process, choices=one.choices, origin="proposed")
        tag = f"{part.tag} as {name}"
        parts[name] = replace(part, tag=tag, material=one.code or one.material, steps=(formed, *later))
        shares[name] = share
    return parts, shares
