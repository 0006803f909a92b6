"""What a vehicle should cost as one JSON object, and what two vehicles' ways of doing a function cost."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from hoistbook.core.compare.break_even import BreakEven
from hoistbook.core.cost.result import Money, PartCost, StepTaken
from hoistbook.core.cost.route import PartToCost
from hoistbook.core.cost.scenario import Scenario
from hoistbook.services.cost import CostReport, NotCosted, no_cost
from hoistbook.services.cost_compare import CostComparison, SideShown
from hoistbook.services.cost_inputs import PricedFastener
from hoistbook.services.cost_rollup import Sum
from hoistbook.services.cost_scenario import digest
from hoistbook.services.cost_sources import source_words

Json = dict[str, Any]


def money(found: Money) -> Json:
    """An amount with the ends of its 95 % band."""
    return {"value": found.value, "low": found.low, "high": found.high}


def cost_json(report: CostReport) -> Json:
    """Everything of a vehicle; amounts in `currency` of `year`, times in s, masses in kg."""
    scenario = report.scenario
    return {
        "vehicle": report.vehicle,
        "configuration": report.configuration,
        "currency": scenario.currency,
        "year": scenario.year,
        "scenario": scenario_head(scenario),
        "total": money(report.whole.total),
        "middle": report.whole.middle_money,
        "parts": [part_json(report, tag) for tag in report.tree.order if _costed(report, tag)],
        "nodes": [sum_json(one) for one in report.nodes],
        "systems": [sum_json(one) for one in report.systems],
        "functions": [sum_json(one) for one in report.functions],
        "refused": [_not_costed(one) for one in report.refused],
        "without_route": [_not_costed(one) for one in report.unrouted],
        "covered": {
            "mass_frac": report.covered.mass_frac,
            "piece_frac": report.covered.piece_frac,
            "pieces": report.covered.pieces,
            "costed_pieces": report.covered.costed_pieces,
        },
        "draws": report.draws,
        "seed": report.seed,
    }


def scenario_head(scenario: Scenario) -> Json:
    """What tells a scenario from another one."""
    return {
        "code": scenario.code,
        "title": scenario.title,
        "version": scenario.version,
        "at": scenario.at,
        "volume_per_year": scenario.volume_per_year,
        "programme_years": scenario.programme_years,
        "region": scenario.region,
        "supplier": scenario.supplier,
        "dedicated": scenario.dedicated,
        "tooling": scenario.tooling,
        "digest": digest(scenario),
    }


def _costed(report: CostReport, tag: str) -> bool:
    return tag in report.costs or tag in report.fasteners


def part_json(report: CostReport, tag: str) -> Json:
    """One part: `lines` add up to `piece`; `assembly_s` is that of one piece and not in it."""
    pieces = report.tree.pieces(tag)
    seconds = report.assembly_s.get(tag, 0.0) / pieces
    if tag in report.costs:
        told = _made(report.costs[tag], report.part(tag), report.scenario)
    else:
        told = _bought(report.fasteners[tag], report.scenario)
    sister = report.sisters.get(tag)
    return {
        **told,
        "pieces_per_vehicle": pieces,
        "assembly_s": seconds,
        "carried_over": None
        if sister is None
        else {
            "vehicle": sister.vehicle,
            "tag": sister.tag,
            "probability": dict(sister.found.probability),
            "pooled_volume_per_year": sister.pooled_volume,
            "sentences": list(sister.sentences),
        },
    }


def _made(cost: PartCost, part: PartToCost, scenario: Scenario) -> Json:
    return {
        "tag": cost.tag,
        "name": cost.name,
        "basis": "should cost",
        "currency": cost.currency,
        "year": cost.year,
        "piece": money(cost.piece),
        "lines": [{"name": name, "value": value} for name, value in cost.by_name().items()],
        "step_lines": [
            {"step": line.step, "name": line.name, "value": line.value_money} for line in cost.lines
        ],
        "tooling": money(cost.tooling),
        "estimated_inputs": list(cost.estimated),
        "assumed": list(cost.assumed),
        "material": {"code": part.material, "words": scenario.materials[part.material].words},
        "readings": [
            {
                "name": name,
                "value": reading.value,
                "low": reading.band()[0],
                "high": reading.band()[1],
                "unit": reading.unit,
                "origin": reading.origin.value,
            }
            for name, reading in part.readings.items()
        ],
        "steps": [
            _step(place, taken, step.choices, step.origin)
            for place, (taken, step) in enumerate(zip(cost.steps, part.steps, strict=True), start=1)
        ],
        "rolled_yield_frac": cost.rolled_yield_frac,
        "pieces_per_year": cost.pieces_per_year,
    }


def _step(place: int, step: StepTaken, choices: Mapping[str, str], origin: str) -> Json:
    return {
        "step": place,
        "process": step.process,
        "title": step.title,
        "choices": dict(choices),
        "seen": origin,
        "stages": [{"name": name, "seconds": seconds} for name, seconds in step.stages],
        "limits": step.limits,
        "pace_s": step.pace_s,
        "machine": step.machine,
        "machine_words": step.machine_words,
        "machine_size": step.machine_size,
        "machine_size_unit": step.size_unit,
        "machine_money_per_h": step.machine_money_per_h,
        "machines_busy": step.machine_need,
        "crew": step.crew,
        "reject_frac": step.reject_frac,
        "gross_kg": step.gross_kg,
        "returned_kg": step.returned_kg,
        "energy_j": step.energy_j,
        "tools_money": step.tools_money,
        "tool_life_pieces": step.tool_life if step.tool_life < float("inf") else None,
        "tool_sets": step.tool_sets,
    }


def _bought(fastener: PricedFastener, scenario: Scenario) -> Json:
    price = fastener.price
    return {
        "tag": fastener.tag,
        "name": fastener.name,
        "basis": "purchase price",
        "currency": scenario.currency,
        "year": scenario.year,
        "piece": {"value": price.value, "low": price.low, "high": price.high},
        "lines": [{"name": name, "value": value} for name, value in fastener.lines],
        "tooling": {"value": 0.0, "low": 0.0, "high": 0.0},
        "estimated_inputs": list(fastener.assumed),
        "assumed": [f"{price.mark}: {price.source}"],
        "pieces_per_year": fastener.pieces_per_year,
    }


def sum_json(one: Sum) -> Json:
    """A sum per vehicle: parts, fasteners and assembly add up to `total`; `middle` is the median of the draws."""
    return {
        "key": one.key,
        "words": one.words,
        "parent": one.parent,
        "parts": one.parts,
        "fasteners": one.fasteners,
        "assembly": one.assembly,
        "total": money(one.total),
        "middle": one.middle_money,
        "tooling": one.tooling,
        "assembly_s": one.assembly_s,
        "part_count": one.part_count,
    }


def _not_costed(one: NotCosted) -> Json:
    return {"tag": one.tag, "name": one.name, "why": one.why, "mass_share_frac": one.mass_share_frac}


def comparison_json(found: CostComparison) -> Json:
    """Both sides, the difference (second less first), walk, break-even and what drives it."""
    walk = found.walk
    return {
        "function": found.function,
        "currency": walk.currency,
        "year": walk.year,
        "a": {**_side(found.a, walk.first), "scenario": scenario_head(found.scenarios[0])},
        "b": {**_side(found.b, walk.second), "scenario": scenario_head(found.scenarios[1])},
        "difference": money(walk.difference),
        "probability_a_cheaper": walk.probability_a_cheaper,
        "walk": [{"factor": one.factor, "words": one.words, **money(one.money)} for one in walk.steps],
        "walk_notes": list(walk.sentences),
        "break_even": [_break_even(one) for one in found.break_even],
        "tornado": {
            "difference": found.tornado.difference_money,
            "swings": [
                {
                    "source": one.source,
                    "words": source_words(one.source, found.scenarios[0]),
                    "low": one.low_money,
                    "high": one.high_money,
                }
                for one in found.tornado.swings
            ],
            "note": found.tornado.sentence,
            "switches": [
                {
                    "switch": one.switch,
                    "turned": one.turned,
                    "difference": one.difference_money,
                    "a": one.first_money,
                    "b": one.second_money,
                }
                for one in found.tornado.switches
            ],
        },
        "pairs": [{"a": one, "b": other} for one, other in found.pairs],
        "cautions": list(found.cautions),
        "draws": found.draws,
        "seed": found.seed,
    }


def _side(side: SideShown, cost: Money) -> Json:
    return {
        "vehicle": side.code,
        "name": side.name,
        "cost": money(cost),
        "sum": sum_json(side.sum),
        "lines": [{"name": name, "value": value} for name, value in side.lines],
        "parts": [{"tag": tag, "name": name, "value": value} for tag, name, value in side.parts],
        "left_out": [_not_costed(one) for one in side.left_out],
        "mass_covered_frac": side.mass_covered_frac,
    }


def _break_even(one: BreakEven) -> Json:
    return {
        "over": one.what,
        "unit": one.unit,
        "low": one.low,
        "high": one.high,
        "crossings": [
            {
                "at": crossing.at,
                "cheaper_below": crossing.cheaper_below,
                "cheaper_above": crossing.cheaper_above,
                "jump": crossing.jump,
            }
            for crossing in one.crossings
        ],
        "sentence": one.sentence,
    }


def only_part(told: Json, tag: str) -> Json:
    """One part of a vehicle's object: its keys at the top, what it rests on beside them, and the list of one part.

    Raises
    ------
    LookupError
        The vehicle has no such part; the message names the closest.
    ValueError
        The part has no cost, with the reason.
    """
    part = next((one for one in told["parts"] if one["tag"] == tag), None)
    if part is None:
        why = {one["tag"]: one["why"] for one in (*told["refused"], *told["without_route"])}
        raise no_cost(told["vehicle"], tag, [one["key"] for one in told["nodes"]], why)
    kept = ("vehicle", "configuration", "scenario", "draws", "seed")
    return {**part, **{name: told[name] for name in kept}, "parts": [part]}
