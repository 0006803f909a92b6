"""Checks as JSON objects: what they read and give, and what one found; figures in SI."""

from __future__ import annotations

from collections.abc import Iterable

from hoistbook.core.checks.declared import Check, Reading
from hoistbook.core.checks.found import ByFormula, Figured, Held
from hoistbook.core.quantities.quantity import Quantity
from hoistbook.services.as_json.parts import Json, assumed, quantity
from hoistbook.services.checks import CheckReport, readings_set


def checks_json(checks: Iterable[Check]) -> Json:
    """Every check with its question, what it reads, gives and rests on."""
    return {"checks": [_declared(one) for one in checks]}


def _declared(check: Check) -> Json:
    return {
        "name": check.name,
        "title": check.title,
        "family": check.family,
        "question": check.question,
        "inputs": [_reading(one) for one in check.readings],
        "choices": [
            {"name": one.name, "words": one.words, "options": dict(one.options)} for one in check.choices
        ],
        "names": [{"name": one.name, "words": one.words, "each": one.each} for one in check.names],
        "outcomes": [
            {"name": one.name, "words": one.words, "unit": one.unit, "each": one.each, "effect": one.effect}
            for one in check.outcomes
        ],
        "cautions": list(check.cautions),
        "references": list(check.references),
    }


def _reading(one: Reading) -> Json:
    usual = one.usual
    return {
        "name": one.name,
        "words": one.words,
        "unit": one.unit,
        "how": one.how,
        "each": one.each,
        "least": one.least,
        "most": one.most,
        "reach": one.reach,
        "half_width": one.half_width,
        "default": None if usual is None else {"value": usual.value, "half_width": usual.half_width},
        "source": "" if usual is None else f"{usual.mark}: {usual.source}",
    }


def check_json(report: CheckReport) -> Json:
    """What a check found. `limit` and `margin` are those of the main figure, `limits` holds all."""
    result = report.result
    held = [_held(one) for one in result.held]
    return {
        "check": report.check.name,
        "question": report.check.question,
        "vehicle": report.vehicle,
        "inputs": [
            {"name": name, "values": [quantity(one) for one in several]}
            for name, several in _given(report).items()
        ],
        "choices": dict(report.stated.choices),
        "filled": [{"input": name, "from": place} for name, place in report.filled],
        "results": [_figure(one) for one in result.figures],
        "limit": held[0]["limit"] if held else None,
        "margin": held[0]["margin"] if held else None,
        "limits": held,
        "verdict": result.verdict,
        "dominant_input": result.dominant,
        "shares": [{"input": name, "share_frac": share} for name, share in result.shares],
        "assumptions": [one.sentence for one in result.assumptions],
        "assumed": assumed(result.assumptions),
        "caveats": list(result.caveats),
        "cautions": list(result.cautions),
        "references": list(result.references),
        "draws": result.draws,
        "seed": result.seed,
    }


def _given(report: CheckReport) -> dict[str, tuple[Quantity, ...]]:
    return {name: tuple(several) for name, several in readings_set(report).items()}


def _figure(one: Figured) -> Json:
    return {
        "name": one.name,
        "item": one.item,
        "words": one.words,
        "unit": one.unit,
        "value": one.value,
        "low": one.low,
        "high": one.high,
        "effect": one.effect,
        "formulas": [_formula(by) for by in one.formulas],
    }


def _formula(by: ByFormula) -> Json:
    return {"formula": by.formula, "value": by.value, "low": by.low, "high": by.high}


def _held(one: Held) -> Json:
    return {
        "result": one.outcome,
        "item": one.item,
        "limit": {
            "side": one.side,
            "value": one.bound,
            "unit": one.unit,
            "words": one.words,
            "source": f"{one.mark}: {one.source}",
            "safety": one.safety,
        },
        "margin": {"value": one.margin, "low": one.margin_low, "high": one.margin_high, "unit": one.unit},
        "probability_kept": one.kept,
    }
