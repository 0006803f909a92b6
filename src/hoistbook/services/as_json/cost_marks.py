"""What marks say, as JSON."""

from __future__ import annotations

from typing import Any

from hoistbook.services.as_json.cost import money
from hoistbook.services.cost_marks import InDoubt, Marks

Json = dict[str, Any]


def marks_json(found: Marks) -> Json:
    """Probabilities of processes, materials and pairs, what to look at next, and the cost in doubt."""
    belief, table = found.belief, found.table
    return {
        "observed": list(belief.sentences),
        "processes": [
            {"name": name, "words": table.processes[name], "probability": share}
            for name, share in belief.processes().items()
        ],
        "materials": [
            {"name": name, "words": table.materials[name], "probability": share}
            for name, share in belief.materials().items()
        ],
        "candidates": [
            {"process": one.process, "material": one.material, "probability": float(share)}
            for one, share in zip(belief.candidates, belief.probability, strict=True)
        ],
        "about": found.about,
        "doubt_bits": found.doubt_bits,
        "next_looks": [
            {
                "name": one.name,
                "words": one.words,
                "how": one.how,
                "time_s": one.time_s,
                "expected_bits": one.expected_bits,
                "bits_per_minute": one.bits_per_minute,
            }
            for one in found.looks
        ],
        "routes": [
            {
                "family": one.recipe.family,
                "words": one.recipe.words,
                "probability": one.probability,
                "look_for": one.recipe.look_for,
                "dominant": one.recipe.dominant,
                "steps": [
                    {"process": step.process, "choices": dict(step.choices)} for step in one.recipe.steps
                ],
                "not_modelled": list(one.not_modelled),
            }
            for one in found.routes
        ],
        "in_doubt": None if found.in_doubt is None else _in_doubt(found.in_doubt),
    }


def _in_doubt(found: InDoubt) -> Json:
    one = next(iter(found.costs.values()))
    return {
        "tag": found.tag,
        "name": found.name,
        "currency": one.currency,
        "year": one.year,
        "piece": money(found.mixed.piece),
        "mean": found.mixed.mean_money,
        "likeliest": found.mixed.likeliest,
        "candidates": [
            {"name": name, "probability": found.probability[name], "piece": money(cost.piece)}
            for name, cost in found.costs.items()
        ],
        "refused": [{"name": name, "why": why} for name, why in found.refused.items()],
        "refused_frac": found.refused_frac,
        "note": found.mixed.sentence,
    }
