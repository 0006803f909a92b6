"""Motions of an assembly added up by their codes, so that its seconds can be read line by line."""

from __future__ import annotations

from dataclasses import dataclass

from hoistbook.core.cost.assembly.work import Step
from hoistbook.services.cost_assembly import AssemblyReport

OBSTRUCTED = "slower where something is in the way"


@dataclass(frozen=True, slots=True)
class MotionSum:
    """All motions of one code: how often, and how long together at normal performance. [1], [s]

    `words` are those of the most seconds; the code is empty for what is no motion: tools running, lifting aids.
    """

    code: str
    words: str
    times: float
    seconds: float
    mark: str


def motion_sums(report: AssemblyReport) -> tuple[MotionSum, ...]:
    """Motions of a report by code, the longest first; they add up to its normal time.

    Notes
    -----
    A step is counted in every occurrence of its joint or piece of its part, by the share that was asked for. What a
    joint takes longer because something is in the way is a line of its own.
    """
    found: dict[str, list[tuple[str, float, float, str]]] = {}
    slower = 0.0
    for joint, share in report.joints:
        if joint.normal_s is None:
            continue
        _count(found, joint.steps, joint.occurrences * share)
        whole = sum(step.seconds.value for step in joint.steps) * joint.occurrences
        slower += (joint.normal_s.value - whole) * share
    for part, share in report.placed:
        _count(found, part.steps, part.pieces * share)
    sums = [_summed(key, rows) for key, rows in found.items()]
    sums.sort(key=lambda one: (-one.seconds, one.code, one.words))
    if abs(slower) > 1e-9 * max(sum(one.seconds for one in sums), 1.0):
        sums.append(MotionSum("", OBSTRUCTED, 0.0, slower, "common practice"))
    return tuple(sums)


def _count(
    found: dict[str, list[tuple[str, float, float, str]]], steps: tuple[Step, ...], factor: float
) -> None:
    for step in steps:
        row = (step.words, step.times.value * factor, step.seconds.value * factor, step.mark)
        found.setdefault(step.code or f"\x00{step.words}", []).append(row)


def _summed(key: str, rows: list[tuple[str, float, float, str]]) -> MotionSum:
    by_words: dict[str, float] = {}
    for words, _, seconds, _ in rows:
        by_words[words] = by_words.get(words, 0.0) + seconds
    longest = max(by_words, key=lambda words: by_words[words])
    return MotionSum(
        "" if key.startswith("\x00") else key,
        longest,
        sum(times for _, times, _, _ in rows),
        sum(seconds for _, _, seconds, _ in rows),
        rows[0][3],
    )
