"""Sources of doubt as people say them: a figure, a reading or an error by the name it is drawn under."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Protocol

from hoistbook.core.cost.figure import Figure
from hoistbook.core.cost.inputs import INPUTS
from hoistbook.core.cost.processes import PROCESSES
from hoistbook.core.cost.scenario import Scenario
from hoistbook.reference.assembly import assembly_figures
from hoistbook.services.cost_inputs import PRICE_NAME


class _Entry(Protocol):
    @property
    def words(self) -> str: ...
    @property
    def figures(self) -> Mapping[str, Figure]: ...


def source_words(source: str, scenario: Scenario) -> str:
    """Say what a source of doubt is; a name nobody knows is said as it is."""
    first, *rest = source.split("/")
    if first == "model" and rest and rest[0] in PROCESSES:
        of = f"{rest[-1]} alone" if len(rest) > 1 else "all its parts alike"
        return f"error of the model, {PROCESSES[rest[0]].title}, {of}"
    if first in PROCESSES and rest:
        return _of_process(first, rest)
    if first == "machine" and len(rest) == 2 and rest[0] in scenario.machines:
        return _of_machine(rest[0], rest[1], scenario)
    entries: dict[str, Mapping[str, _Entry]] = {
        "region": scenario.regions,
        "supplier": scenario.suppliers,
        "material": scenario.materials,
    }
    if first in entries and len(rest) == 2:
        return _of_entry(entries[first].get(rest[0]), rest[1], source, named=first != "material")
    if first == "scenario" and rest and rest[0] in scenario.figures:
        return scenario.figures[rest[0]].words
    if first == "scenario" and rest and rest[0] in assembly_figures():
        return assembly_figures().figure(rest[0]).words
    if first == "estimate" and len(rest) > 1 and rest[-1] in INPUTS:
        return f"estimate, {INPUTS[rest[-1]].words} of {' '.join(rest[:-1])}"
    if source == f"fastener/{PRICE_NAME}":
        return f"price of {PRICE_NAME}"
    return _of_record(first, rest, source)


def _of_process(name: str, rest: list[str]) -> str:
    process = PROCESSES[name]
    options = rest[1:]
    for figure in process.figures:
        held = figure.when is None or figure.when[1] in options
        if figure.name == rest[0] and held:
            option = f" ({', '.join(options)})" if options else ""
            return f"{process.title}, {figure.words}{option}"
    return f"{process.title}, {' '.join(rest)}"


def _of_machine(code: str, name: str, scenario: Scenario) -> str:
    machine = scenario.machines[code]
    figures = (machine.investment, machine.power_w, machine.area_m2, machine.consumables)
    return next((one.words for one in figures if one.name == name), f"{machine.words}, {name}")


def _of_entry(entry: _Entry | None, name: str, source: str, *, named: bool) -> str:
    figure = None if entry is None else entry.figures.get(name)
    if entry is None or figure is None:
        return source
    return f"{figure.words}, {entry.words}" if named else figure.words


def _of_record(first: str, rest: list[str], source: str) -> str:
    """What was read or timed: readings, instruments, joints and the placing of parts."""
    kind, _, of = first.partition(" ")
    if kind == "assembly" and rest:
        if of == "analysis":
            return f"motions of every {rest[0]}"
        if len(rest) > 1:
            return f"time of joint {rest[1]}" if of == "joint" else f"placing of {rest[1]}"
    if kind == "instrument" and rest:
        return f"{rest[0]} of instrument {of}"
    if kind == "reading" and rest:
        return f"reading {rest[0]}"
    return f"reading {rest[0]}" if len(rest) == 1 else source
