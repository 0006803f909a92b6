"""Scenarios and processes as JSON: every figure with its limits, mark, source and reviewer."""

from __future__ import annotations

from typing import Any

from hoistbook.core.cost.figure import Figure
from hoistbook.core.cost.inputs import INPUTS
from hoistbook.core.cost.process import Process
from hoistbook.core.cost.scenario import Scenario
from hoistbook.services.as_json.cost import money, scenario_head
from hoistbook.services.pages.scenario import ScenarioPage

Json = dict[str, Any]


def figure_json(figure: Figure) -> Json:
    """One figure in SI; amounts in `currency` of `year`."""
    return {
        "name": figure.name,
        "words": figure.words,
        "value": figure.value,
        "low": figure.low,
        "high": figure.high,
        "unit": figure.unit,
        "currency": figure.currency,
        "year": figure.year or None,
        "index": figure.index,
        "option": None if figure.when is None else {"choice": figure.when[0], "option": figure.when[1]},
        "mark": figure.mark,
        "source": figure.source,
        "reviewed": figure.reviewed,
    }


def scenario_json(found: ScenarioPage) -> Json:
    """Everything a scenario holds."""
    scenario = found.scenario
    return {
        **scenario_head(scenario),
        "currency": scenario.currency,
        "year": scenario.year,
        "machine_years": scenario.machine_years,
        "interest_frac": scenario.interest_frac,
        "lot_count": scenario.lot_count,
        "learning_frac": scenario.learning_frac,
        "learning_theory": scenario.learning_theory,
        "learning_from": scenario.learning_from,
        "note": scenario.note,
        "figures": found.figures,
        "never_reviewed": found.never,
        "groups": [
            {
                "group": one.group,
                "entries": one.entries,
                "figures": one.figures,
                "never_reviewed": one.never,
                "marks": dict(one.marks),
            }
            for one in found.counts
        ],
        "entries": [
            {
                "group": entry.group,
                "code": entry.code,
                "words": entry.words,
                "figures": [figure_json(one.figure) for one in entry.figures],
            }
            for entry in found.entries
        ],
        "machine_rates": [
            {
                "machine": one.code,
                "size": one.size,
                "money_per_h": money(one.whole),
                "parts": {name: money(part) for name, part in one.parts.items()},
            }
            for one in found.rates
        ],
        "indices": [
            {
                "code": one.code,
                "words": one.words,
                "points": {str(year): value for year, value in one.points.items()},
                "mark": one.mark,
                "source": one.source,
            }
            for one in scenario.indices.values()
        ],
        "exchange": [
            {"currency": one.currency, "rate": one.rate, "at": one.at, "source": one.source}
            for one in scenario.exchange.values()
        ],
    }


def process_json(process: Process, scenario: Scenario) -> Json:
    """A process with its readings, choices and figures as the scenario has them."""
    return {
        "name": process.name,
        "title": process.title,
        "family": process.family,
        "adds_material": process.adds_material,
        "needs": [_reading(name) for name in process.needs],
        "optional": [_reading(name) for name in process.optional],
        "choices": [
            {"name": one.name, "words": one.words, "options": dict(one.options)} for one in process.choices
        ],
        "figures": [
            {
                "key": key,
                **figure_json(scenario.overrides.get(key, figure)),
                "stated": key in scenario.overrides,
            }
            for figure in process.figures
            for key in (process.key(figure),)
        ],
        "limits": [one.words for one in process.limits],
        "advice": [one.words for one in process.advice],
        "notes": process.notes,
        "sketch": process.sketch,
    }


def _reading(name: str) -> Json:
    known = INPUTS[name]
    return {
        "name": name,
        "words": known.words,
        "unit": known.unit,
        "how": known.how,
        "low": known.low,
        "high": known.high,
    }
