"""The mass book of a vehicle as one JSON object."""

from __future__ import annotations

from hoistbook.core.mass import Breakdown, CentreOfGravity, Line, MassBook, Surplus
from hoistbook.services.as_json.parts import Json, assumed, quantity


def mass_json(book: MassBook) -> Json:
    """The whole book; every mass in kg, every quantity with its unit, band and origin."""
    return {
        "vehicle": book.vehicle,
        "configuration": book.configuration,
        "parts": quantity(book.total),
        "closure": closure_json(book),
        "unchecked": [one.sentence for one in book.unchecked],
        "systems": _breakdown(book.systems),
        "subsystems": _breakdown(book.subsystems),
        "functions": _breakdown(book.functions),
        "coverage": [
            {
                "how": line.cover.value,
                "node_count": line.node_count,
                "piece_count": line.piece_count,
                "node_share_frac": line.node_share_frac,
                "mass": None if line.mass is None else quantity(line.mass),
                "mass_share_frac": line.mass_share_frac,
            }
            for line in book.coverage.lines
        ],
        "nodes": [
            {
                "tag": node.tag,
                "basis": node.basis.value,
                "pieces": node.pieces,
                "own_kg": node.own_kg,
                "own_low_kg": node.own_low_kg,
                "own_high_kg": node.own_high_kg,
                "subtree_kg": node.subtree_kg,
                "subtree_low_kg": node.subtree_low_kg,
                "subtree_high_kg": node.subtree_high_kg,
                "unknown_below": node.unknown_below,
                "held_by": node.held_by,
                "holds": list(node.holds),
                "origin": node.origin.value,
            }
            for node in book.nodes
        ],
        "unallocated": [_surplus_json(surplus) for surplus in book.unallocated],
        "not_broken_down": [_surplus_json(surplus) for surplus in book.not_broken_down],
        "missing": list(book.missing),
        "expected_absent": [absent.message for absent in book.expected_absent],
        "flags": [
            {
                "kind": flag.kind.value,
                "message": flag.message,
                "advice": flag.advice,
                "tags": list(flag.tags),
                "readings": list(flag.readings),
                "residual_kg": flag.residual_kg,
                "bound_kg": flag.bound_kg,
            }
            for flag in book.flags
        ],
        "set_aside": [{"reading": one.reading, "reason": one.reason} for one in book.set_aside],
        "next_to_weigh": [
            {
                "tag": one.tag,
                "scope": one.scope.value,
                "instrument": one.instrument,
                "lot": one.lot,
                "now": one.now.value,
                "band_now_kg": one.band_now_kg,
                "band_then_kg": one.band_then_kg,
                "gap_band_now_kg": one.gap_band_now_kg,
                "gap_band_then_kg": one.gap_band_then_kg,
                "settles": one.settles,
                "assumed": one.assumed,
            }
            for one in book.next_to_weigh
        ],
        "weighing_notes": list(book.weighing_notes),
        "centre_of_gravity": _centre_json(book.centre_of_gravity),
        "assumptions": list(book.assumptions),
        "assumed": assumed(book.assumed),
    }


def closure_json(book: MassBook) -> Json | None:
    """Parts against scale; nothing where there is no scale to hold them against."""
    closed = book.closure
    if closed is None:
        return None
    return {
        "verdict": closed.verdict.value,
        "statement": closed.statement,
        "scale": quantity(closed.scale),
        "parts": quantity(closed.parts),
        "difference": quantity(closed.difference),
        "normalised_error": closed.normalised_error,
        "probability": closed.probability,
        "band_frac": closed.band_frac,
        "threshold_frac": closed.threshold_frac,
        "missing_count": closed.missing_count,
    }


def _breakdown(found: Breakdown) -> Json:
    return {
        "by": found.by,
        "lines": [_line(line) for line in (*found.lines, found.unassigned)],
        "unallocated": quantity(found.unallocated),
        "total": quantity(found.total),
    }


def _line(line: Line) -> Json:
    return {
        "code": line.key,
        "words": line.name,
        "mass": quantity(line.mass),
        "unallocated": quantity(line.unallocated),
        "total": quantity(line.total),
        "share_frac": line.share_frac,
        "node_count": line.node_count,
        "missing_count": line.missing_count,
        "held": list(line.held),
    }


def _surplus_json(surplus: Surplus) -> Json:
    return {
        "tag": surplus.tag,
        "name": surplus.name,
        "mass": quantity(surplus.mass),
        "holds": list(surplus.holds),
    }


def _centre_json(centre: CentreOfGravity | None) -> Json | None:
    if centre is None:
        return None
    found = {
        "mass": centre.mass,
        "front_share": centre.front_share,
        "behind_front_axle": centre.behind_front_axle,
        "left_of_centre": centre.left_of_centre,
        "height": centre.height,
    }
    return {name: None if value is None else quantity(value) for name, value in found.items()}
