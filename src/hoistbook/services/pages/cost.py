"""The cost of a vehicle cut to what its pages show: sums, the lines behind each, what is left out, what to find out."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass, replace
from time import perf_counter

import numpy as np

from hoistbook.core.cost.engine import cost_parts
from hoistbook.core.cost.inputs import INPUTS
from hoistbook.core.cost.processes import PROCESSES
from hoistbook.core.cost.result import band_ends
from hoistbook.core.cost.route import PartToCost
from hoistbook.core.vehicle.approaches import approach_parts
from hoistbook.core.vehicle.records import Teardown
from hoistbook.reference.taxonomy import taxonomy
from hoistbook.services.as_json.cost import part_json, scenario_head, sum_json
from hoistbook.services.as_json.cost_part import part_told
from hoistbook.services.cost import COST_DRAWS, COST_SEED, NO_FUNCTION, CostReport, NotCosted, cost_report
from hoistbook.services.cost_scenario import Stated
from hoistbook.services.keeping import Json
from hoistbook.services.kept import inputs_of
from hoistbook.services.mass import UNASSIGNED_SYSTEM
from hoistbook.services.pages.kept_pages import KeptPages
from hoistbook.services.vehicles import Record, teardown

Progress = Callable[[int, int, str], None]
SUMS, PARTS = KeptPages("cost page", 24), KeptPages("cost of parts", 8)
PIECES = KeptPages("cost of some parts", 48)
LINES = KeptPages("lines of a cost", 48)
MOST_LINES = 25
"""project rule: lines that are shown before a group is opened; the dearest first."""
MOST_LEFT = 12
"""project rule: parts without a cost that are shown before the others are asked for."""
LEFT = "left out"
PARTS_OF_A_PIECE = 100
"""project rule: parts that are kept together. All of a vehicle of 10,000 parts take 70 MB, which no page can read."""
MOST_LOOKS = 8
"""project rule: measurements that are named; those that narrow the most come first."""
_STEPS = 5


@dataclass(frozen=True, slots=True)
class AskedCost:
    """Whose cost: vehicle, its state (`record.state_of`), configuration, and what is stated of the scenario."""

    code: str
    change: int
    configuration: str
    stated: Stated

    @property
    def inputs(self) -> Json:
        """What the result depends on, as it is kept."""
        options = {"configuration": self.configuration, "scenario": self.stated.as_json()}
        return inputs_of({self.code: self.change}, options)


def sums_of(record: Record, asked: AskedCost) -> Json | None:
    """Sums of a vehicle in short; None when it was not worked out yet.

    Returns
    -------
    dict
        Of `page_json`, with the dearest lines alone, how many there are (`line_count`), and `left` in place of all that
        has no cost: the heaviest of it and counts. So it is read as fast of 10,000 parts as of a hundred.
    """
    return SUMS.read(record, asked.inputs)


def lines_of(record: Record, asked: AskedCost, by: str, key: str = "") -> list[Json] | None:
    """All lines of a "system" or "function" as pairs with their share, dearest first, or all parts `LEFT` without one.

    None when it was not worked out yet.
    """
    found = LINES.read(record, _lines(asked, by, key))
    return None if found is None else list(found["lines"])


def _lines(asked: AskedCost, by: str, key: str) -> Json:
    """What the lines of a group depend on, as they are kept."""
    return {**asked.inputs, "lines": [by, key]}


def parts_of(record: Record, asked: AskedCost) -> Json | None:
    """Which parts there are (`parts_json`, without `parts`); None when it was not worked out yet.

    Returns
    -------
    dict
        `names` of all nodes, `why` some have no cost, and in `at` the piece that each costed part is kept in.
    """
    return PARTS.read(record, asked.inputs)


def part_of(record: Record, asked: AskedCost, piece: int, tag: str) -> Json | None:
    """A costed part by the piece that `parts_of` names and its tag; None when it was not worked out yet."""
    found = PIECES.read(record, _piece(asked, piece))
    return None if found is None else found[tag]


def _piece(asked: AskedCost, piece: int) -> Json:
    """What a piece of the parts depends on, as it is kept."""
    return {**asked.inputs, "piece": piece}


def work_out(
    record: Record, asked: AskedCost, progress: Progress = lambda _done, _total, _words: None
) -> None:
    """Work out the cost of a vehicle and keep what its pages show.

    Parameters
    ----------
    record : Record
    asked : AskedCost
    progress : callable
        Called with steps done, steps in all, and what is being done.

    Raises
    ------
    ValueError, LookupError
        As `cost.cost_report`; a vehicle without a part tree.
    """
    start = perf_counter()
    progress(0, _STEPS, "reading the record")
    stated = teardown(record, asked.code, asked.change)
    if not stated.nodes:
        _keep_parts(record, asked, {"parts": {}, "why": {}, "names": {}}, 0.0)
        SUMS.keep(record, asked.inputs, {"empty": True}, 0.0)
        return
    progress(1, _STEPS, f"costing the parts of {len(stated.nodes)} lines")
    report = cost_report(stated, asked.stated.scenario(), asked.configuration)
    progress(2, _STEPS, "adding up")
    page = page_json(report, stated)
    progress(3, _STEPS, "looking for what to measure next")
    page["next"] = next_looks(report)
    progress(4, _STEPS, "keeping the results")
    _keep_parts(record, asked, parts_json(report), perf_counter() - start)
    _keep_sums(record, asked, page, perf_counter() - start)
    progress(_STEPS, _STEPS, "done")


def _keep_parts(record: Record, asked: AskedCost, told: Json, seconds: float) -> None:
    """Keep the parts piece by piece, and last of all which piece each is in."""
    tags = list(told["parts"])
    at = {tag: place // PARTS_OF_A_PIECE for place, tag in enumerate(tags)}
    for piece in range(max(at.values(), default=-1) + 1):
        some = tags[piece * PARTS_OF_A_PIECE : (piece + 1) * PARTS_OF_A_PIECE]
        PIECES.keep(record, _piece(asked, piece), {tag: told["parts"][tag] for tag in some}, seconds)
    PARTS.keep(record, asked.inputs, {"names": told["names"], "why": told["why"], "at": at}, seconds)


def _keep_sums(record: Record, asked: AskedCost, page: Json, seconds: float) -> None:
    """Keep the lines group by group, and last of all the page that leads to them."""
    lines = page.pop("lines")
    for by in ("system", "function"):
        for group in page[f"{by}s"]:
            told = {"lines": weighted(lines, **{by: group["key"]})}
            LINES.keep(record, _lines(asked, by, group["key"]), told, seconds)
    refused, unrouted = page.pop("refused"), page.pop("unrouted")
    left = sorted((*refused, *unrouted), key=lambda one: -(one["mass_share_frac"] or 0.0))
    LINES.keep(record, _lines(asked, LEFT, ""), {"lines": left}, seconds)
    page["dearest"], page["line_count"] = weighted(lines)[:MOST_LINES], len(lines)
    page["left"] = {
        "rows": left[:MOST_LEFT],
        "count": len(left),
        "refused": len(refused),
        "unrouted": len(unrouted),
        "unweighed": sum(one["mass_share_frac"] is None for one in left),
    }
    SUMS.keep(record, asked.inputs, page, seconds)


def weighted(
    lines: Sequence[Json], system: str | None = None, function: str | None = None
) -> list[tuple[Json, float]]:
    """Lines of a system or a function with their shares, dearest first; all of them where neither is named."""
    found = [(one, 1.0) for one in lines if system is None or one["system"] == system]
    if function is not None:
        found = [(one, share) for one in lines for code, share in one["functions"] if code == function]
    return sorted(found, key=lambda pair: -pair[0]["total"]["value"] * pair[1])


def page_json(report: CostReport, stated: Teardown) -> Json:
    """Everything the page of a vehicle shows but what to measure next.

    Returns
    -------
    dict
        Sums as `hoistbook cost --json` prints them: `whole`, `systems`, `functions`. `lines` holds every node that has
        a cost of its own, per vehicle: with `system`, and with the functions it serves as pairs of code and share.
        Lines of a system add up to it; so do lines of a function, each times its share.
    """
    scenario = report.scenario
    serves: dict[str, list[list[object]]] = {}
    parts = approach_parts(stated)
    for approach in stated.approaches:
        if approach.configuration == report.configuration:
            for tag, share in parts[approach.id]:
                serves.setdefault(tag, []).append([approach.function, share])
    known = taxonomy()
    lines = []
    for tag in report.tree.order:
        own = report.sums.sum_of(tag, report.tree[tag].name, {tag: 1.0})
        if not (own.total.value or own.assembly_s or own.part_count):
            continue
        system = report.tree.system(tag)
        told = sum_json(own)
        del told["parent"], told["key"], told["words"]
        lines.append(
            {
                **told,
                "tag": tag,
                "name": report.tree[tag].name,
                "pieces": report.tree.pieces(tag),
                "kind": _kind(report, tag),
                "estimated": len(report.costs[tag].estimated) if tag in report.costs else 0,
                "route": [step.title for step in report.costs[tag].steps] if tag in report.costs else [],
                "system": known.system(system).code if system in known else UNASSIGNED_SYSTEM,
                "functions": _whole_shares(serves.get(tag, [])),
            }
        )
    return {
        "empty": False,
        "vehicle": report.vehicle,
        "configuration": report.configuration,
        "currency": scenario.currency,
        "year": scenario.year,
        "scenario": scenario_head(scenario),
        "whole": sum_json(report.whole),
        "systems": [sum_json(one) for one in report.systems],
        "functions": [sum_json(one) for one in report.functions],
        "lines": lines,
        "covered": {
            "mass_frac": report.covered.mass_frac,
            "piece_frac": report.covered.piece_frac,
            "pieces": report.covered.pieces,
            "costed_pieces": report.covered.costed_pieces,
        },
        "refused": [_not_costed(one) for one in report.refused],
        "unrouted": [_not_costed(one) for one in report.unrouted],
        "doubt": _doubt_by_process(report),
        "draws": report.draws,
        "seed": report.seed,
    }


def _kind(report: CostReport, tag: str) -> str:
    """What a line is: a part by its route, a fastener bought by its name, or only put together."""
    return "made" if tag in report.costs else "fastener" if tag in report.fasteners else "assembly"


def _whole_shares(found: Sequence[list[object]]) -> list[list[object]]:
    """Functions of a node with its share in each; what is left of it serves none."""
    left = 1.0 - sum(float(str(share)) for _, share in found)
    return [*found, [NO_FUNCTION, left]] if left > 1e-12 else list(found)


def _not_costed(one: NotCosted) -> Json:
    return {"tag": one.tag, "name": one.name, "why": one.why, "mass_share_frac": one.mass_share_frac}


def _doubt_by_process(report: CostReport) -> list[Json]:
    """Cost of the parts of each process with its band, the widest first: a quote for one of them narrows all."""
    sums: dict[str, list[np.ndarray]] = {}
    counts: dict[str, int] = {}
    best: dict[str, float] = {}
    for tag, cost in report.costs.items():
        first = cost.steps[0].process
        pieces = report.tree.pieces(tag)
        sums.setdefault(first, []).append(pieces * cost.draws)
        best[first] = best.get(first, 0.0) + pieces * cost.piece.value
        counts[first] = counts.get(first, 0) + 1
    found = []
    for name, several in sums.items():
        low, high = band_ends(np.sum(several, axis=0)[None, :])
        calibrated = name in report.scenario.model_errors
        found.append(
            {
                "process": name,
                "title": PROCESSES[name].title,
                "parts": counts[name],
                "value": best[name],
                "low": float(low[0]),
                "high": float(high[0]),
                "calibrated": calibrated,
            }
        )
    return sorted(found, key=lambda one: one["low"] - one["high"])


def next_looks(report: CostReport, most: int = MOST_LOOKS) -> list[Json]:
    """Measurements that narrow the cost of a part the most, of those that were estimated.

    Parameters
    ----------
    report : CostReport
    most : int

    Returns
    -------
    list of dict
        Part, what to read off it and how, and half of the 95 % band of its cost per vehicle as it is and with those
        readings known exactly. [money]
    """
    exact: list[PartToCost] = []
    guessed: dict[str, list[str]] = {}
    for part in report.inputs.parts:
        names = [name for name in part.readings if is_estimate(part, name)]
        if names and part.tag in report.costs:
            guessed[part.tag] = names
            known = {
                name: replace(one, terms=()) if name in names else one for name, one in part.readings.items()
            }
            exact.append(replace(part, readings=known))
    then = cost_parts(exact, report.scenario, PROCESSES, report.draws, report.seed).parts
    found: list[Json] = []
    for tag, cost in then.items():
        pieces = report.tree.pieces(tag)
        now = report.costs[tag].piece
        found.append(
            {
                "tag": tag,
                "name": report.tree[tag].name,
                "measure": [{"words": INPUTS[name].words, "how": INPUTS[name].how} for name in guessed[tag]],
                "value": pieces * now.value,
                "now": 0.5 * pieces * (now.high - now.low),
                "then": 0.5 * pieces * (cost.piece.high - cost.piece.low),
            }
        )
    found = [one for one in found if one["then"] < one["now"]]
    return sorted(found, key=lambda one: one["then"] - one["now"])[:most]


def is_estimate(part: PartToCost, name: str) -> bool:
    """Whether a reading of a part was estimated from its other readings."""
    wanted = f"estimate/{part.error_name or part.tag}/{name}"
    return any(source.name == wanted for source, _ in part.readings[name].terms)


def parts_json(report: CostReport) -> Json:
    """Every costed part as `hoistbook cost --json` prints it, with what it is worked out from (`made_from`)."""
    parts = {}
    for tag in report.tree.order:
        if tag in report.costs or tag in report.fasteners:
            told = part_json(report, tag)
            told["made_from"] = part_told(report.part(tag)) if tag in report.costs else None
            parts[tag] = told
    return {
        "parts": parts,
        "why": {one.tag: one.why for one in (*report.refused, *report.unrouted)},
        "names": {node.tag: node.name for node in report.tree},
    }


def forget() -> None:
    """Drop the results held in memory; they are read from the store again."""
    for held in (SUMS, PARTS, PIECES, LINES):
        held.forget()


DRAWS, SEED = COST_DRAWS, COST_SEED
"""Of every cost that pages show."""
