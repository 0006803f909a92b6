"""One part costed on symbols: the engine's own code runs once more and leaves the formulas it went through."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, replace
from typing import Any, cast

import numpy as np

from hoistbook.core.arrays import Array
from hoistbook.core.cost.breakdown import Breakdown, broken_down, fields_of, pieces_per_year
from hoistbook.core.cost.drawn import SharedDraws
from hoistbook.core.cost.figure import Figure
from hoistbook.core.cost.inputs import known_input
from hoistbook.core.cost.lines import MachineFigures, learning, pace_s
from hoistbook.core.cost.naming import naming
from hoistbook.core.cost.process import Fields, Process
from hoistbook.core.cost.route import PartToCost
from hoistbook.core.cost.scenario import Scenario
from hoistbook.core.cost.shop import Machines, Shop, shop_of, way
from hoistbook.core.cost.symbol import CONSTANT, INPUT, Node, Record, Symbol
from hoistbook.core.quantities.quantity import Quantity

TERMS = {
    "volume_per_year": ("vehicles a year", "1/year"),
    "programme_years": ("years of the programme", "year"),
    "machine_years": ("years over which machines are paid back", "year"),
    "interest_frac": ("interest a year", "1"),
    "lot_count": ("pieces between two set-ups", "1"),
}
"""Numbers of a scenario that have no band, with words and unit."""
_AMOUNTS = {
    "crew": ("people at the machine", "1"),
    "reject_frac": ("share of rejects", "1"),
    "setup_s": ("set-up of a lot", "s"),
    "gross_kg": ("material put in", "kg"),
    "returned_kg": ("offal sold", "kg"),
    "recycled_frac": ("share of the price that a reject brings back", "1"),
    "heat_j": ("heat", "J"),
    "tools": ("one set of tools", "money"),
    "tool_life": ("pieces that a set of tools makes", "1"),
}


@dataclass(frozen=True, slots=True)
class Stated:
    """An input of the formulas with what stands behind it: a reading, a figure, or a plain number of the scenario."""

    node: Node
    reading: Quantity | None = None
    figure: Figure | None = None
    place: str = ""


@dataclass(frozen=True, slots=True)
class TracedStep:
    """One step: its process and options, stages and amounts as nodes with their words."""

    process: Process
    choices: Mapping[str, str]
    material: str
    machine: str
    stages: tuple[tuple[str, bool, Node], ...]
    amounts: tuple[tuple[str, Node], ...]


@dataclass(frozen=True, slots=True)
class Check:
    """Something that must hold for the formulas to say anything; `node` is true where it does, or breaks, as `when`."""

    words: str
    node: Node
    when: bool
    refuses: bool = True


@dataclass(frozen=True, slots=True)
class Traced:
    """A part with the formulas of its cost.

    Attributes
    ----------
    part, scenario : PartToCost, Scenario
    inputs : tuple of Stated
        Those that the cost follows from.
    nodes : tuple of Node
        Everything that is needed, operands before what follows from them.
    steps : tuple of TracedStep
    lines : tuple of (int, str, Node)
        As `PartCost.lines`; those that are 0 whatever the inputs are left out.
    tooling : Node
        All tools over the programme. [money]
    checks : tuple of Check
    """

    part: PartToCost
    scenario: Scenario
    inputs: tuple[Stated, ...]
    nodes: tuple[Node, ...]
    steps: tuple[TracedStep, ...]
    lines: tuple[tuple[int, str, Node], ...]
    tooling: Node
    checks: tuple[Check, ...]


class _Figures(SharedDraws):
    """Hands out symbols where the engine draws arrays."""

    def __init__(self, part: PartToCost, record: Record) -> None:
        super().__init__(0, 0)
        self.record = record
        self.stated: dict[str, Stated] = {}
        self._first: dict[str, int] = {}
        for place, step in enumerate(part.steps, start=1):
            self._first.setdefault(step.process, place)
            self._first.setdefault(f"material/{step.material or part.material}", place)

    def figure(self, name: str, figure: Figure) -> Array:
        """Return the symbol of a figure."""
        return self.symbol(name, figure.name, figure.value, figure.words, figure.unit, figure=figure)

    def calibration(self, process: str, best: float) -> Array:
        """Return the symbol of what quotes make of a model."""
        words = f"true over modelled cost of {process}, from quotes"
        return self.symbol(f"calibration/{process}", "calibration_factor", best, words, "1")

    def reading(self, step: int, name: str, reading: Quantity | None, own: bool) -> Array:
        """Return the symbol of a reading; None: not stated, which counts as none."""
        place = f"reading/{step if own else ''}/{name}"
        one = known_input(name)
        value = 0.0 if reading is None else reading.value
        return self.symbol(place, name, value, one.words, one.unit, reading=reading, step=step if own else 0)

    def _first_step(self, place: str) -> int:
        """Step that first asks for a figure of a process or of a further material; 0 for what holds for all."""
        first, second, *_ = place.split("/")
        step = self._first.get(f"material/{second}" if first == "material" else first, 0)
        return 0 if first == "material" and step == 1 else step

    def symbol(
        self,
        place: str,
        name: str,
        value: float,
        words: str,
        unit: str,
        reading: Quantity | None = None,
        figure: Figure | None = None,
        step: int = 0,
    ) -> Array:
        """Return the symbol of an input: the same for the same place."""
        known = self.stated.get(place)
        if known is None:
            step = step or self._first_step(place)
            symbol = self.record.input(name, value, words, unit, step)
            known = self.stated[place] = Stated(symbol.node, reading, figure, place)
        return cast(Array, Symbol(known.node, self.record))


class _TracedMachines(Machines):
    """Classes of machines of which sizes and powers are symbols too."""

    def __init__(self, scenario: Scenario, figures: _Figures) -> None:
        super().__init__(scenario, figures)
        self._figures = figures

    def get(self, code: str) -> MachineFigures | None:
        """Return a class by its code."""
        if code in self._found:
            return self._found[code]
        found = super().get(code)
        if found is None:
            return None
        machine = found.machine
        changed: dict[str, Any] = {}
        for name, words, unit in (
            ("reference_size", f"size of the {machine.words} that its figures hold for", machine.size_unit),
            ("smallest", f"smallest {machine.words}", machine.size_unit),
            ("largest", f"largest {machine.words}", machine.size_unit),
            ("investment_exponent", f"exponent of the price of a {machine.words} over its size", "1"),
            ("power_exponent", f"exponent of the draw of a {machine.words} over its size", "1"),
            ("area_exponent", f"exponent of the floor of a {machine.words} over its size", "1"),
        ):
            value = getattr(machine, name)
            if value != 0.0 or name in ("smallest", "largest"):
                changed[name] = self._figures.symbol(f"machine/{code}/{name}", name, value, words, unit)
        self._found[code] = replace(found, machine=replace(machine, **changed))
        return self._found[code]


def traced(part: PartToCost, scenario: Scenario, processes: Mapping[str, Process]) -> Traced:
    """Run the engine's code for one part on symbols.

    Parameters
    ----------
    part : PartToCost
        One that the engine costs.
    scenario : Scenario
    processes : mapping of str to Process

    Returns
    -------
    Traced

    Raises
    ------
    ValueError, LookupError
        As the engine refuses the part.

    Notes
    -----
    Options, materials, and the learning curve of Crawford's theory are settled: formulas hold for those the part and
    the scenario name. Readings that are optional and not stated are inputs of value 0, or of their usual figure.
    """
    record = Record()
    figures = _Figures(part, record)
    found = way(part, scenario, processes)
    with np.errstate(all="ignore"), naming():
        live = replace(scenario, **_terms(figures, scenario))
        shop = shop_of(found, scenario, processes, figures, _TracedMachines(scenario, figures))
        shop = replace(
            shop, around=replace(shop.around, scenario=live, learned=_learned(figures, live, scenario))
        )
        fields = _fields(part, shop, figures, live)
        operations = [bench.process.evaluate(one) for bench, one in zip(shop.benches, fields, strict=True)]
        good = fields[0].pieces_per_year
        cost = broken_down(shop, fields, operations, good)
    return _collected(part, scenario, shop, fields, cost, figures)


def _terms(figures: _Figures, scenario: Scenario) -> dict[str, Any]:
    return {
        name: figures.symbol(f"scenario/{name}", name, getattr(scenario, name), words, unit)
        for name, (words, unit) in TERMS.items()
    }


def _learned(figures: _Figures, live: Scenario, scenario: Scenario) -> Any:
    if scenario.learning_frac == 1.0:
        return 1.0
    if scenario.learning_theory == "wright":
        return learning(live)
    words = "labour time over that of the models; does not follow the volume in this file"
    return figures.symbol("scenario/learned", "learned", learning(scenario), words, "1")


def _fields(part: PartToCost, shop: Shop, figures: _Figures, live: Scenario) -> list[Fields]:
    pooled = figures.symbol(
        "part/pooled_volume",
        "pooled_volume",
        part.pooled_volume,
        "vehicles a year of sisters that carry the same part",
        "1/year",
    )
    count = figures.symbol(
        "part/pieces_per_vehicle", "pieces_per_vehicle", part.pieces_per_vehicle, "pieces per vehicle", "1"
    )
    terms = {
        "pieces_per_year": pieces_per_year(live.volume_per_year, pooled, count),
        "programme_years": cast(Array, live.programme_years),
        "lot_count": cast(Array, live.lot_count),
    }
    fields = []
    for place, (bench, step) in enumerate(zip(shop.benches, part.steps, strict=True), start=1):

        def reading(name: str, place: int = place, own: Mapping[str, Quantity] = step.readings) -> Array:
            return figures.reading(place, name, own.get(name, part.readings.get(name)), name in own)

        silent = [name for name in bench.process.optional if f"usual_{name}" not in bench.figures]
        fields.append(fields_of(replace(bench, stated=bench.stated | set(silent)), reading, terms))
    return fields


def _collected(
    part: PartToCost,
    scenario: Scenario,
    shop: Shop,
    fields: list[Fields],
    cost: Breakdown,
    figures: _Figures,
) -> Traced:
    record = figures.record
    steps = []
    for place, (bench, one) in enumerate(zip(shop.benches, cost.operations, strict=True), start=1):
        amounts = [("pace", _called(record.node(pace_s(one)), "pace", "pace: time between two pieces", "s"))]
        known = cost.machines[place - 1]
        if known is not None:
            machine = known.machine
            size = record.node(one.machine_size)
            words = f"{machine.size_words} of the {machine.words}"
            amounts.append(("machine size", _called(size, "machine_size", words, machine.size_unit)))
        for name, (words, unit) in _AMOUNTS.items():
            amounts.append((words, _called(record.node(getattr(one, name)), name, words, unit)))
        started, sets = record.node(cost.entering[place - 1]), record.node(cost.sets[place - 1])
        amounts.append(
            ("pieces that enter", _called(started, "entering", "pieces a year that enter", "1/year"))
        )
        amounts.append(("sets of tools", _called(sets, "tool_sets", "sets of tools over the programme", "1")))
        stages = tuple(
            (
                stage.words,
                stage.beside,
                _called(record.node(stage.time_s), "", f"{stage.words}, per piece", "s"),
            )
            for stage in one.stages
        )
        step = part.steps[place - 1]
        steps.append(
            TracedStep(
                bench.process,
                bench.choices,
                step.material or part.material,
                "" if not one.machine else one.machine,
                stages,
                tuple(amounts),
            )
        )
    lines = [(place, name, record.node(value)) for place, name, value in cost.lines]
    lines = [one for one in lines if not (one[2].function == CONSTANT and one[2].value == 0.0)]
    for place, name, node in lines:
        words = f"{name}, step {place}" if place else name
        _called(node, f"{name.replace(' ', '_').replace('-', '')}_money", words, "money")
    tooling = _called(record.node(cost.tooling), "tooling", "all tools over the programme", "money")
    checks = _checks(shop, fields, cost, record)
    wanted = [node for _, _, node in lines]
    wanted += [node for step in steps for _, _, node in step.stages]
    wanted += [node for step in steps for _, node in step.amounts]
    wanted += [tooling, *(check.node for check in checks)]
    nodes = _needed(wanted)
    inputs = tuple(one for one in figures.stated.values() if one.node in nodes)
    return Traced(part, scenario, inputs, tuple(nodes), tuple(steps), tuple(lines), tooling, checks)


def _called(node: Node, name: str, words: str, unit: str) -> Node:
    """Name a result that people know; inputs keep their own names."""
    if node.function not in (INPUT, CONSTANT):
        node.name, node.words, node.unit = name or node.name, words, unit
    return node


def _checks(shop: Shop, fields: list[Fields], cost: Breakdown, record: Record) -> tuple[Check, ...]:
    # What the code asked for comes first: limits ask for nothing.
    found = [Check("", node, answer) for node, answer in record.branches.items()]
    for place, (bench, one) in enumerate(zip(shop.benches, fields, strict=True), start=1):
        for limits, refuses in ((bench.process.limits, True), (bench.process.advice, False)):
            for limit in limits:
                node = record.node(limit.breaks(one))
                words = f"step {place} ({bench.process.title}): {limit.words}"
                found.append(Check(words, node, False, refuses))
    for place, (operation, known) in enumerate(zip(cost.operations, cost.machines, strict=True), start=1):
        if known is not None:
            machine = known.machine
            node = record.node(operation.machine_size <= machine.largest)
            found.append(Check(f"step {place}: the scenario has no larger {machine.words}", node, True))
    return tuple(one for one in found if one.node.function != CONSTANT)


def _needed(wanted: list[Node]) -> list[Node]:
    found: set[Node] = set()
    open_nodes = list(wanted)
    while open_nodes:
        node = open_nodes.pop()
        if node not in found:
            found.add(node)
            open_nodes += node.operands
    return sorted(found, key=lambda node: node.order)
