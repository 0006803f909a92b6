"""Stronger methods before weaker ones: an estimate counts only where nothing was weighed."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from hoistbook.core.mass.layout import BoolArray, Layout
from hoistbook.core.mass.ledger import RANK, Flag, FlagKind, Observation, SetAside
from hoistbook.core.quantities.quantity import Quantity
from hoistbook.core.vehicle.records import Method, Scope


@dataclass(frozen=True, slots=True)
class Admission:
    """Observations that make up the system of weighings.

    Attributes
    ----------
    observations : tuple of Observation
    active : array of bool, shape (n,)
        Nodes that may have a mass of their own (`reconcile.reconcile`).
    direct : tuple of (Method or None), length n
        Method of the readings that speak of one node alone; None without such a reading.
    set_aside : tuple of SetAside
    flags : tuple of Flag
    """

    observations: tuple[Observation, ...]
    active: BoolArray
    direct: tuple[Method | None, ...]
    set_aside: tuple[SetAside, ...]
    flags: tuple[Flag, ...]


def admit(tree: Layout, observations: Sequence[Observation], residual_bound: float = 2.0) -> Admission:
    """Choose the observations that count.

    Parameters
    ----------
    tree : Layout
    observations : sequence of Observation
    residual_bound : float
        A reading set aside that differs from the one that counts by more than this many standard uncertainties is
        flagged. [1]

    Returns
    -------
    Admission

    Raises
    ------
    ValueError
        A reading speaks of a tag that is not in the part tree.

    Notes
    -----
    A reading of one node alone counts unless a stronger method (weighed, computed from geometry, estimated or
    literature) read the same node. An assembly weighed with everything attached always counts. An assembly whose mass
    was computed or estimated counts only when some piece in it has no reading of its own: the pieces are the better
    figure.

    Source
    ------
    common practice.
    """
    for observation in observations:
        for tag, _ in observation.on_scale:
            if tag not in tree.index:
                msg = (
                    f"reading {observation.readings[0]}: part {tag} is not in the part tree; add that line or "
                    "correct the tag."
                )
                raise ValueError(msg)
    direct: dict[int, list[Observation]] = {}
    joint: list[Observation] = []
    for observation in observations:
        place = _alone(tree, observation)
        if place is None:
            joint.append(observation)
        else:
            direct.setdefault(place, []).append(observation)
    active = ~tree.is_group
    has_direct = np.zeros(len(tree.nodes), dtype=np.bool_)
    methods: list[Method | None] = [None] * len(tree.nodes)
    admitted: list[Observation] = []
    set_aside: list[SetAside] = []
    flags: list[Flag] = []
    for place, found in direct.items():
        best = min(found, key=lambda o: RANK[o.method])
        methods[place] = best.method
        has_direct[place] = True
        if tree.is_group[place]:
            active[place] = True
            flags.append(_scope_flag(tree, place, found))
        for observation in found:
            if RANK[observation.method] == RANK[best.method]:
                admitted.append(observation)
            else:
                reason = f"{best.method.value} reading {best.readings[0]} of the same part counts instead"
                set_aside.extend(SetAside(reading, reason) for reading in observation.readings)
                flags.extend(_difference_flag(best, observation, residual_bound))
    for observation in sorted(joint, key=lambda o: RANK[o.method]):
        if RANK[observation.method] == 0 or _breaks_new_ground(tree, observation, has_direct):
            admitted.append(observation)
            places = [tree.index[tag] for tag, _ in observation.on_scale]
            active[places] = True
            active[_surplus_lines(tree, observation, places)] = True
            if observation.scope is Scope.SELF:
                flags.extend(
                    _scope_flag(tree, place, [observation]) for place in places if tree.is_group[place]
                )
        else:
            reason = "every piece in it has a reading of its own, which is the better figure"
            set_aside.extend(SetAside(reading, reason) for reading in observation.readings)
    return Admission(tuple(admitted), active, tuple(methods), tuple(set_aside), tuple(flags))


def _surplus_lines(tree: Layout, observation: Observation, places: Sequence[int]) -> list[int]:
    """Added lines of the nodes that were on the scale with everything attached."""
    if observation.scope is not Scope.SUBTREE:
        return []
    return [line for place in places if (line := tree.surplus_line.get(place)) is not None]


def _alone(tree: Layout, observation: Observation) -> int | None:
    if len(observation.on_scale) != 1:
        return None
    place = tree.index[observation.on_scale[0][0]]
    single = observation.scope is Scope.SELF or tree.end[place] == place + 1
    return place if single else None


def _breaks_new_ground(tree: Layout, observation: Observation, has_direct: BoolArray) -> bool:
    unknown = ~tree.is_group & ~has_direct
    for tag, _ in observation.on_scale:
        place = tree.index[tag]
        stop = int(tree.end[place]) if observation.scope is Scope.SUBTREE else place + 1
        if unknown[place:stop].any():
            return True
    return False


def per_piece(observation: Observation) -> Quantity:
    """Mass of one piece, for a reading of one node alone. [kg]"""
    return observation.value / observation.on_scale[0][1]


def _difference_flag(best: Observation, other: Observation, residual_bound: float) -> list[Flag]:
    difference = per_piece(other) - per_piece(best)
    bound = residual_bound * difference.standard_uncertainty
    if abs(difference.value) <= bound:
        return []
    tag = best.on_scale[0][0]
    return [
        Flag(
            FlagKind.METHODS_DIFFER,
            f"{tag}: {other.method.value} ({other.readings[0]}) differs by {difference.value:+.4g} kg per piece from "
            f"{best.method.value} ({best.readings[0]}); their bands allow {bound:.2g} kg.",
            "The stronger method counts. Check the number of pieces and the tag of both readings.",
            (tag,),
            (*best.readings, *other.readings),
            difference.value,
            bound,
        )
    ]


def _scope_flag(tree: Layout, place: int, found: Sequence[Observation]) -> Flag:
    tag = tree.nodes[place].tag
    readings = tuple(reading for observation in found for reading in observation.readings)
    return Flag(
        FlagKind.SCOPE,
        f"{tag} is an assembly with listed parts and was read with scope self ({', '.join(readings)}): the "
        "reading is added "
        "to the mass of its parts.",
        "If the whole assembly was on the scale, supersede the reading by one with scope subtree.",
        (tag,),
        readings,
    )
