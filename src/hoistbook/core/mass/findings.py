"""What the weighings show: contradictions, surplus, masses that cannot be told apart, scales that are off."""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np

from hoistbook.core.mass.ledger import Flag, FlagKind
from hoistbook.core.mass.nodes import MassBasis
from hoistbook.core.mass.reconcile import OverDetermined
from hoistbook.core.mass.rollup import RollUp

_NAMED = 6  # tags spelled out in a message; the record itself holds all of them


def findings(roll: RollUp, basis: Sequence[MassBasis], residual_bound: float = 2.0) -> tuple[Flag, ...]:
    """Everything a person should look at in the weighings themselves.

    Parameters
    ----------
    roll : RollUp
    basis : sequence of MassBasis
        How the own mass of every node was come by.
    residual_bound : float
        Differences beyond this many standard uncertainties are flagged. [1]

    Returns
    -------
    tuple of Flag
        Contradictions first, largest difference first within a kind.
    """
    flags = [
        *(
            _contradiction(roll, block, residual_bound)
            for block in roll.solution.blocks
            if block.fit.contradictory
        ),
        *_differences(roll, basis, residual_bound),
        *_not_separable(roll),
        *_offsets(roll, residual_bound),
    ]
    order = list(FlagKind)
    return tuple(
        sorted(flags, key=lambda flag: (order.index(flag.kind), -abs(flag.residual_kg or 0.0), flag.tags))
    )


def _named(tags: Sequence[str]) -> str:
    more = f" and {len(tags) - _NAMED} more" if len(tags) > _NAMED else ""
    return ", ".join(tags[:_NAMED]) + more


def _contradiction(roll: RollUp, block: OverDetermined, residual_bound: float) -> Flag:
    ratio = np.abs(block.fit.residual_kg) / np.where(
        block.fit.residual_u_kg > 0.0, block.fit.residual_u_kg, np.inf
    )
    worst = int(np.argmax(ratio))
    observation = roll.solution.observations[int(block.observations[worst])]
    residual = float(block.fit.residual_kg[worst])
    bound = residual_bound * float(block.fit.residual_u_kg[worst])
    tags = tuple(roll.tree.nodes[place].tag for place in block.nodes.tolist())
    readings = tuple(
        r for row in block.observations.tolist() for r in roll.solution.observations[row].readings
    )
    side = "above" if residual > 0.0 else "below"
    return Flag(
        FlagKind.READINGS_CONTRADICT,
        f"{_named(tags)}: readings {_named(readings)} contradict each other. {observation.readings[0]} "
        f"({observation.subject}) is {abs(residual):.4g} kg {side} what the readings together say; their bands "
        f"allow {bound:.2g} kg.",
        "Check what was on the scale and the number of pieces, weigh again, and supersede the wrong reading. "
        "Until then the bands are widened so that they span the readings.",
        tags,
        readings,
        residual,
        bound,
    )


def _differences(roll: RollUp, basis: Sequence[MassBasis], residual_bound: float) -> list[Flag]:
    wanted = (MassBasis.UNALLOCATED, MassBasis.DIFFERENCE, MassBasis.NOT_BROKEN_DOWN)
    places = [place for place, how in enumerate(basis) if how in wanted]
    if not places:
        return []
    bands = roll.bands(roll.rows([{place: 1.0} for place in places]))
    flags = []
    for place, value, u in zip(places, bands.value_kg.tolist(), bands.u_kg.tolist(), strict=True):
        bound = residual_bound * u
        if value < -bound:
            flags.append(_too_light(roll, place, basis[place], value, bound))
        elif value > bound and basis[place] is MassBasis.UNALLOCATED:
            flags.append(_surplus(roll, place, value, bound))
    return flags


def _pivot_readings(roll: RollUp, place: int) -> tuple[str, ...]:
    row = int(roll.solution.pivot[place])
    return roll.solution.observations[row].readings if row >= 0 else ()


def _too_light(roll: RollUp, place: int, how: MassBasis, value: float, bound: float) -> Flag:
    node = roll.tree.nodes[place]
    readings = _pivot_readings(roll, place)
    if roll.tree.is_group[place]:
        kind = FlagKind.PIECES_HEAVIER
        message = (
            f"{node.tag} {node.name}: its pieces weigh {-value:.4g} kg more than the assembly "
            f"({_named(readings)}); the bands allow {bound:.2g} kg."
        )
        advice = (
            "Check the counts of its pieces, pieces listed twice or under the wrong assembly, and the tare of both "
            "weighings."
        )
    else:
        kind = FlagKind.NEGATIVE
        message = (
            f"{node.tag} {node.name}: {how.value} it would weigh {value:.4g} kg ({_named(readings)}); the bands "
            f"allow {-bound:.2g} kg."
        )
        advice = "Weigh the part itself; check counts and what was on the scale."
    return Flag(kind, message, advice, (node.tag,), readings, value, bound)


def _surplus(roll: RollUp, place: int, value: float, bound: float) -> Flag:
    node = roll.tree.nodes[place]
    readings = _pivot_readings(roll, place)
    return Flag(
        FlagKind.SURPLUS,
        f"{node.tag} {node.name}: {value:.4g} kg of the assembly ({_named(readings)}) is in none of its listed "
        f"pieces; the bands allow {bound:.2g} kg.",
        "Look for adhesive, sealer, grease, fluid, coatings, and pieces that were not listed; list and weigh them.",
        (node.tag,),
        readings,
        value,
        bound,
    )


def _not_separable(roll: RollUp) -> list[Flag]:
    """Nodes held in another's mass where the vehicle's total depends on how that mass is split."""
    solution, tree = roll.solution, roll.tree
    held = np.flatnonzero(solution.holder >= 0)
    if held.size == 0:
        return []
    # One kilogram more in a held node takes that much from the nodes that share its readings; a split that does not
    # matter leaves the vehicle as heavy as before.
    design = solution.design[:, held]
    response = np.asarray(solution.map.T @ tree.pieces) @ design
    effect = tree.pieces[held] - response
    flags = []
    for place, change in zip(held.tolist(), effect.tolist(), strict=True):
        if abs(change) > 1e-9 * tree.pieces[place]:
            holder = tree.nodes[int(solution.holder[place])].tag
            node = tree.nodes[place]
            flags.append(
                Flag(
                    FlagKind.NOT_SEPARABLE,
                    f"{node.tag} {node.name} was weighed only together with {holder}, in other numbers than the "
                    f"vehicle holds. The whole reading is booked to {holder}; each kilogram of {node.tag} moves "
                    f"the vehicle by {change:+.3g} kg.",
                    f"Weigh {node.tag} or {holder} by itself.",
                    (node.tag, holder),
                    _pivot_readings(roll, int(solution.holder[place])),
                )
            )
    return flags


def _error_words(source: str) -> str:
    """Words for a shared error: its source is named ``instrument <id>/calibration``, or as somebody typed it."""
    instrument, slash, rest = source.rpartition("/")
    return (
        f"the {rest} of {instrument}" if slash and rest == "calibration" else f"what is shared as '{source}'"
    )


def _offsets(roll: RollUp, residual_bound: float) -> list[Flag]:
    flags = []
    table = roll.solution.table
    for place, size in zip(table.shared.tolist(), roll.solution.shared_estimate.tolist(), strict=True):
        if abs(size) > residual_bound:
            flags.append(
                Flag(
                    FlagKind.SCALE_OFFSET,
                    f"Readings that overlap suggest that {_error_words(table.sources[place].name)} is off by "
                    f"{size:+.1f} times its stated standard uncertainty.",
                    "Check that instrument against a known mass. All its readings are corrected by the estimate.",
                )
            )
    return flags
