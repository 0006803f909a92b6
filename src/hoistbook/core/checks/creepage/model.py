"""Creepage distance against the table of the standard."""

from __future__ import annotations

import numpy as np

from hoistbook.core.arrays import Array
from hoistbook.core.checks.creepage.data import CHOICES, CREEPAGE_MM, READINGS, SKETCH, VOLTAGES_V
from hoistbook.core.checks.declared import Check, Found, Given, Limit, Outcome
from hoistbook.core.checks.found import CheckResult
from hoistbook.core.checks.words import kept


def _wanted(g: Given) -> Array:
    row = CREEPAGE_MM[g.choice("pollution"), g.choice("group")]
    factor = 2.0 if g.choice("insulation") == "reinforced" else 1.0
    wanted: Array = factor * np.interp(g.voltage_v, VOLTAGES_V, row) * 1e-3
    return wanted


def _evaluate(g: Given) -> Found:
    wanted = _wanted(g)
    return {"creepage_m": g.creepage_m, "wanted_m": wanted, "over_frac": g.creepage_m / wanted}


def _verdict(result: CheckResult, given: Given) -> str:
    wanted = result.figure("wanted_m").value * 1e3
    return (
        f"{result.figure('creepage_m').value * 1e3:.1f} mm along the surface; the table asks for {wanted:.1f} mm in "
        "pollution degree "
        f"{given.choice('pollution')}, material group {given.choice('group')}, {given.choice('insulation')} "
        "insulation: it "
        f"{kept(result.held[0])} The material group is a property of the plastic: a tape alone cannot certify."
    )


CHECK = Check(
    name="creepage",
    title="Creepage at a connector",
    question="Is the way along the insulator long enough for the voltage?",
    family="high_voltage",
    readings=READINGS,
    choices=CHOICES,
    outcomes=(
        Outcome("creepage_m", "way along the surface", "m", show="mm"),
        Outcome("wanted_m", "least way by the table", "m", show="mm"),
        Outcome("over_frac", "way over the least", "1"),
    ),
    evaluate=_evaluate,
    verdict=_verdict,
    sketch=SKETCH,
    limits=(
        Limit(
            "creepage_m",
            "at least",
            _wanted,
            "least creepage distance",
            "published",
            "IEC 60664-1, table F.4, second hand",
            safety=True,
        ),
    ),
    cannot_say=(
        "The material group, which is measured on the plastic",
        "Clearance through the air, coatings, altitude above 2000 m",
        (
            "Between the rows of the table a straight line is taken, which the standard allows for functional "
            "insulation only"
        ),
    ),
    references=(
        "published: IEC 60664-1, table F.4, as a maker's catalogue of 2015 reproduces it",
        "from memory: reinforced insulation has twice the creepage of basic insulation: IEC 60664-1",
    ),
    method="""
| what | equation | source |
|---|---|---|
| least creepage | by voltage, pollution, material group; a line between rows | published: IEC 60664-1, table F.4 |
| reinforced | twice that | from memory: IEC 60664-1 |
""",
    cautions=(
        (
            "Connectors of a traction battery carry lethal voltage: measure only after a licensed person has isolated "
            "the vehicle "
            "and proved it dead, by the maker's sheet and local law."
        ),
    ),
)
