"""What of a mass gap has been looked at, as JSON and back."""

from __future__ import annotations

from collections.abc import Sequence

from hoistbook.core.compare.bars import Interval
from hoistbook.core.compare.looked_at import LookedAt, LookedLine, Standing
from hoistbook.core.compare.study import Finding
from hoistbook.services.as_json.parts import Json, interval


def coverage_json(found: LookedAt, findings: Sequence[Finding]) -> Json:
    """One pair; masses in kg, shares as fractions.

    Parameters
    ----------
    found : LookedAt
    findings : sequence of Finding
        Of the study, functions by their codes: a line names the finding it rests on by its place among them.
    """
    places = {finding: place for place, finding in reversed(list(enumerate(findings)))}
    return {
        "from": found.code_x,
        "to": found.code_y,
        "differences_kg": interval(found.differences),
        "looked_at_frac": interval(found.looked_at),
        "mass_looked_at_frac": interval(found.mass_looked_at),
        "by_standing": {standing.value: interval(share) for standing, share in found.by_standing.items()},
        "lines": [
            _line(line, None if line.finding is None else places[line.finding]) for line in found.lines
        ],
    }


def _line(line: LookedLine, finding: int | None) -> Json:
    return {
        "kind": line.kind,
        "code": line.code,
        "words": line.words,
        "difference_kg": interval(line.difference),
        "size_kg": interval(line.size),
        "share_frac": interval(line.share),
        "standing": line.standing.value,
        "finding": finding,
        "allowed_kg": line.allowed_kg,
    }


def coverage_of_json(told: Json, findings: Sequence[Finding]) -> LookedAt:
    """The pair that `coverage_json` told, with the same findings."""
    return LookedAt(
        told["from"],
        told["to"],
        Interval(**told["differences_kg"]),
        Interval(**told["looked_at_frac"]),
        {Standing(name): Interval(**share) for name, share in told["by_standing"].items()},
        Interval(**told["mass_looked_at_frac"]),
        tuple(
            LookedLine(
                line["kind"],
                line["code"],
                line["words"],
                Interval(**line["difference_kg"]),
                Interval(**line["size_kg"]),
                Interval(**line["share_frac"]),
                Standing(line["standing"]),
                None if line["finding"] is None else findings[line["finding"]],
                line["allowed_kg"],
            )
            for line in told["lines"]
        ),
    )
