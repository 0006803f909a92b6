"""Assembly and service of a vehicle cut to what their pages show."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from time import perf_counter

from hoistbook.core.cost.assembly.tally import JointWork, PartWork
from hoistbook.core.cost.assembly.work import Step
from hoistbook.core.vehicle.approaches import approach_parts
from hoistbook.core.vehicle.records import Teardown
from hoistbook.services.as_json.cost import scenario_head
from hoistbook.services.as_json.cost_assembly import service_json, tally_json
from hoistbook.services.as_json.parts import assumed, quantity
from hoistbook.services.cost_assembly import AssemblyReport, assembly_report, part_of, service_report
from hoistbook.services.cost_scenario import Stated
from hoistbook.services.keeping import Json
from hoistbook.services.kept import inputs_of
from hoistbook.services.pages.kept_pages import KeptPages
from hoistbook.services.vehicles import Record, teardown

Progress = Callable[[int, int, str], None]
ASSEMBLY, SERVICE = KeptPages("assembly page", 12), KeptPages("service page", 60)
WORK, PARTS = KeptPages("work of a function", 24), KeptPages("parts in assembly", 8)
MOST_WORK = 25
"""project rule: joints and placings that are shown before a function is opened; the slowest first."""
MOST_REASONS = 12
"""project rule: parts without a reason on record that are named."""
_STEPS = 3


@dataclass(frozen=True, slots=True)
class AskedAssembly:
    """Whose assembly, or whose part is taken off: vehicle, its state, configuration, scenario and tag."""

    code: str
    change: int
    configuration: str
    stated: Stated
    tag: str = ""

    @property
    def inputs(self) -> Json:
        """What the result depends on, as it is kept."""
        options = {
            "configuration": self.configuration,
            "scenario": self.stated.as_json(),
            "part": self.tag,
        }
        return inputs_of({self.code: self.change}, options)


def assembly_of(record: Record, asked: AskedAssembly) -> Json | None:
    """Assembly of a vehicle in short; None when it was not worked out yet.

    Returns
    -------
    dict
        Of `assembly_page`, with the slowest of all joints and placings as pairs of work and share, `counts` and
        `normal_s` of them, and of the parts without a reason a few, with their names, and how many there are. So it
        takes as long to read for 10,000 parts as for a hundred.
    """
    return ASSEMBLY.read(record, asked.inputs)


def work_of(record: Record, asked: AskedAssembly, function: str) -> Json | None:
    """All `joints` and `placed` of one function, each with its share, slowest first; None when not worked out yet."""
    return WORK.read(record, _of_function(asked, function))


def parts_of(record: Record, asked: AskedAssembly) -> Json | None:
    """Names of all parts by tag, and of those that a joint holds (`held`); None when not worked out yet."""
    return PARTS.read(record, asked.inputs)


def _of_function(asked: AskedAssembly, function: str) -> Json:
    """What the work of a function depends on, as it is kept."""
    return {**asked.inputs, "function": function}


def service_of(record: Record, asked: AskedAssembly) -> Json | None:
    """Removal of a part as `hoistbook cost service --json` prints it; None when it was not worked out yet."""
    return SERVICE.read(record, asked.inputs)


def work_out(
    record: Record, asked: AskedAssembly, progress: Progress = lambda _done, _total, _words: None
) -> None:
    """Work out the assembly of a vehicle, or the removal of the part that is asked for, and keep it.

    Parameters
    ----------
    record : Record
    asked : AskedAssembly
    progress : callable
        Called with steps done, steps in all, and what is being done.

    Raises
    ------
    ValueError, LookupError
        As `cost_assembly.assembly_report` and `service_report`.
    """
    start = perf_counter()
    progress(0, _STEPS, "reading the record")
    stated = teardown(record, asked.code, asked.change)
    scenario = asked.stated.scenario()
    progress(1, _STEPS, f"timing {len(stated.joints)} joints")
    if asked.tag:
        found = service_json(service_report(stated, scenario, asked.tag, asked.configuration))
        progress(2, _STEPS, "keeping the result")
        SERVICE.keep(record, asked.inputs, found, perf_counter() - start)
    elif not stated.nodes:
        PARTS.keep(record, asked.inputs, {"names": {}, "held": {}}, 0.0)
        ASSEMBLY.keep(record, asked.inputs, {"empty": True}, 0.0)
    else:
        page = assembly_page(assembly_report(stated, scenario, "", asked.configuration), stated)
        progress(2, _STEPS, "keeping the result")
        _keep(record, asked, page, perf_counter() - start)
    progress(_STEPS, _STEPS, "done")


def _keep(record: Record, asked: AskedAssembly, page: Json, seconds: float) -> None:
    """Keep the work function by function, and last of all the page that leads to it."""
    work = {name: page.pop(name) for name in ("joints", "placed")}
    names = page.pop("names")
    for one in page["functions"]:
        told = {name: by_share(several, one["key"]) for name, several in work.items()}
        WORK.keep(record, _of_function(asked, one["key"]), told, seconds)
    held = {tag: name for one in work["joints"] for tag, name in one["parts"][:-1]}
    PARTS.keep(record, asked.inputs, {"names": names, "held": held}, seconds)
    page["slowest"] = {name: by_share(several)[:MOST_WORK] for name, several in work.items()}
    page["counts"] = {name: len(several) for name, several in work.items()}
    page["normal_s"] = {
        name: sum(one["seconds"]["value"] for one in several if one["seconds"])
        for name, several in work.items()
    }
    for one in (page["reasons"], *page["functions"]):
        one["without_count"] = len(one["without"])
        one["without"] = [
            found if isinstance(found, list) else [found, names.get(found, found)]
            for found in one["without"][:MOST_REASONS]
        ]
    ASSEMBLY.keep(record, asked.inputs, page, seconds)


def by_share(work: Sequence[Json], function: str | None = None) -> list[tuple[Json, float]]:
    """Joints or placings with their shares, slowest first; those of one function by their share in it."""
    found = []
    for one in work:
        share = 1.0 if function is None else one["functions"].get(function, 0.0)
        if share > 0.0:
            found.append((one, share))
    found.sort(key=lambda pair: -pair[1] * (pair[0]["seconds"] or {"value": 0.0})["value"])
    return found


def assembly_page(report: AssemblyReport, stated: Teardown) -> Json:
    """Everything the page shows.

    Returns
    -------
    dict
        Sums of the vehicle (`whole`) and of each function as `hoistbook cost assembly --json` prints them; joints and
        placings with their motions, in seconds at normal performance of all there are on the vehicle, each with the
        functions it serves as pairs of code and share; reasons of parts.
    """
    scenario = report.scenario
    names = {one.code: one.name for one in stated.functions}
    serves: dict[str, dict[str, float]] = {}
    codes = []
    parts = approach_parts(stated)
    for approach in stated.approaches:
        if approach.configuration == report.configuration:
            codes.append(approach.function)
            for tag, share in parts[approach.id]:
                mine = serves.setdefault(tag, {})
                mine[approach.function] = mine.get(approach.function, 0.0) + share
    functions = []
    for code in dict.fromkeys(codes):
        found = part_of(stated, report.book, scenario, report.configuration, code)
        functions.append(
            {
                "key": code,
                "words": names.get(code, code),
                **tally_json(found.tally),
                "physical": len(found.necessity.physical),
                "economic": len(found.necessity.economic),
                "without": list(found.necessity.none),
            }
        )
    none = report.necessity
    return {
        "empty": False,
        "currency": scenario.currency,
        "year": scenario.year,
        "scenario": scenario_head(scenario),
        "whole": tally_json(report.tally),
        "functions": functions,
        "joints": [_joint(work, report, serves) for work, _ in report.joints],
        "placed": [_placed(work, report, serves) for work, _ in report.placed],
        "reasons": {
            "physical": len(none.physical),
            "economic": len(none.economic),
            "without": [[tag, report.names[tag]] for tag in none.none],
            "not_counted": list(report.not_counted),
        },
        "names": dict(report.names),
        "assumed": assumed(report.book.assumed),
    }


def _joint(work: JointWork, report: AssemblyReport, serves: dict[str, dict[str, float]]) -> Json:
    reading = work.reading
    return {
        "id": work.joint,
        "parts": [[tag, report.names.get(tag, tag)] for tag in (*work.parts, work.base)],
        "kind": reading.kind.value,
        "direction": reading.direction,
        "drive": reading.drive,
        "obstructed": reading.obstructed,
        "count": work.count * work.occurrences,
        "seconds": None if work.normal_s is None else quantity(work.normal_s),
        "rule": None if work.rule_s is None else work.rule_s.value,
        "motions": [_motion(step) for step in work.steps],
        "notes": list(work.notes),
        "missing": work.missing,
        "functions": _shares(work.claimants, serves),
    }


def _placed(work: PartWork, report: AssemblyReport, serves: dict[str, dict[str, float]]) -> Json:
    return {
        "tag": work.tag,
        "name": report.names.get(work.tag, work.tag),
        "pieces": work.pieces,
        "seconds": quantity(work.normal_s),
        "motions": [_motion(step) for step in work.steps],
        "note": work.note,
        "functions": _shares(work.claimants, serves),
    }


def _motion(step: Step) -> list[object]:
    return [step.code, step.words, step.times.value, step.seconds.value, step.slowed, step.mark]


def _shares(claimants: tuple[str, ...], serves: dict[str, dict[str, float]]) -> Json:
    """Share of a piece of work in each function: the mean over the parts that claim it."""
    found: Json = {}
    for tag in claimants:
        for code, share in serves.get(tag, {}).items():
            found[code] = found.get(code, 0.0) + share / len(claimants)
    return found


def forget() -> None:
    """Drop the results held in memory; they are read from the store again."""
    for held in (ASSEMBLY, SERVICE, WORK, PARTS):
        held.forget()
