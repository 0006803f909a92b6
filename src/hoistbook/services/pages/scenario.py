"""A scenario as its page shows it: every figure with its limits and source, and what nobody has looked at."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from functools import lru_cache

from hoistbook.core.cost.drawn import SharedDraws
from hoistbook.core.cost.figure import MARKS, MONEY, Figure
from hoistbook.core.cost.machine_rate import MachineRate, machine_rate
from hoistbook.core.cost.processes import PROCESSES
from hoistbook.core.cost.scenario import Scenario
from hoistbook.reference.cost import packaged_scenario
from hoistbook.services import DEFAULT_DRAWS, DEFAULT_SEED
from hoistbook.services.cost_scenario import ScenarioFigure, scenario_figures

_READ_IN: Mapping[str, tuple[str, float]] = {
    "money/s": ("money/h", 3600.0),
    "money/J": ("money/kWh", 3.6e6),
    "Pa": ("MPa", 1e-6),
    "m2/s": ("mm2/s", 1e6),
    "m": ("mm", 1e3),
    "W": ("kW", 1e-3),
    "J/m3": ("kJ/l", 1e-6),
    "m/s": ("mm/s", 1e3),
}
"""Units in which figures are read: the unit with its factor; others as they are kept. An hour is exact, so is a kWh."""
PROCESS = "process"
GROUPS = ("scenario", "region", "supplier", "machine", "material", PROCESS)
"""Kinds of entries that hold figures, in the order of the page."""


@dataclass(frozen=True, slots=True)
class ReadFigure:
    """A figure in the unit in which people read it.

    `unit` spells out the currency; a share is in %.
    """

    figure: Figure
    value: float
    low: float
    high: float
    unit: str

    @property
    def reviewed(self) -> str:
        """Who looked at it; empty where nobody did."""
        return self.figure.reviewed


@dataclass(frozen=True, slots=True)
class Entry:
    """What holds figures: a region, a supplier, a material, a class of machines, a process, or the scenario itself."""

    group: str
    code: str
    words: str
    figures: tuple[ReadFigure, ...]

    @property
    def never(self) -> int:
        """Figures nobody has looked at."""
        return sum(not one.reviewed for one in self.figures)


@dataclass(frozen=True, slots=True)
class GroupCount:
    """Figures of one group: how many, how many nobody has looked at, and how many of each mark."""

    group: str
    entries: int
    figures: int
    never: int
    marks: Mapping[str, int]


@dataclass(frozen=True, slots=True)
class ScenarioPage:
    """A scenario with its figures by entry.

    Attributes
    ----------
    scenario : Scenario
    entries : tuple of Entry
        In the order of `GROUPS`; processes with their figures as this scenario has them.
    counts : tuple of GroupCount
    rates : tuple of MachineRate
        Hourly rate of each class of machines at its reference size, in the region of the scenario.
    """

    scenario: Scenario
    entries: tuple[Entry, ...]
    counts: tuple[GroupCount, ...]
    rates: tuple[MachineRate, ...]

    @property
    def figures(self) -> int:
        """Figures in all."""
        return sum(one.figures for one in self.counts)

    @property
    def never(self) -> int:
        """Figures nobody has looked at."""
        return sum(one.never for one in self.counts)

    def of(self, group: str) -> tuple[Entry, ...]:
        """Entries of a group."""
        return tuple(one for one in self.entries if one.group == group)


def scenarios() -> tuple[Scenario, ...]:
    """Scenarios there are: the one that ships with the program."""
    return (packaged_scenario(),)


def scenario_of(code: str) -> Scenario:
    """Return a scenario by its code.

    Raises
    ------
    LookupError
        There is none of that code.
    """
    for one in scenarios():
        if one.code == code:
            return one
    msg = f"no scenario {code!r}; there is {', '.join(one.code for one in scenarios())}."
    raise LookupError(msg)


@lru_cache(maxsize=4)
def scenario_page(code: str) -> ScenarioPage:
    """Everything a scenario holds.

    Raises
    ------
    LookupError
        There is none of that code.
    """
    return page_of(scenario_of(code))


def page_of(scenario: Scenario) -> ScenarioPage:
    """Everything a scenario holds, whether it ships with the program or was read from a file."""
    entries = tuple(_entries(scenario))
    shared = SharedDraws(DEFAULT_DRAWS, DEFAULT_SEED)
    rates = tuple(machine_rate(scenario, one, shared) for one in scenario.machines)
    return ScenarioPage(scenario, entries, tuple(_count(group, entries) for group in GROUPS), rates)


@lru_cache(maxsize=4)
def never_of_all(code: str) -> tuple[int, int]:
    """How many figures of a scenario nobody has looked at, and of how many, processes included."""
    found = [one.reviewed for entry in _entries(scenario_of(code)) for one in entry.figures]
    return sum(not one for one in found), len(found)


def _entries(scenario: Scenario) -> Iterable[Entry]:
    words = {
        **{f"region {code}": one.words for code, one in scenario.regions.items()},
        **{f"supplier {code}": one.words for code, one in scenario.suppliers.items()},
        **{f"material {code}": one.words for code, one in scenario.materials.items()},
        **{f"machine {code}": one.words for code, one in scenario.machines.items()},
    }
    by_place: dict[str, list[ScenarioFigure]] = {}
    for one in scenario_figures(scenario):
        if not one.place.startswith(f"{PROCESS} "):
            by_place.setdefault(one.place, []).append(one)
    found = [
        Entry(
            place.partition(" ")[0],
            place.partition(" ")[2],
            words.get(place, ""),
            tuple(read_figure(one.figure) for one in several),
        )
        for place, several in by_place.items()
    ]
    order = {group: place for place, group in enumerate(GROUPS)}
    yield from sorted(found, key=lambda entry: order[entry.group])
    for name, process in PROCESSES.items():
        figures = (scenario.overrides.get(process.key(figure), figure) for figure in process.figures)
        yield Entry(PROCESS, name, process.title, tuple(map(read_figure, figures)))


def _count(group: str, entries: Iterable[Entry]) -> GroupCount:
    mine = [entry for entry in entries if entry.group == group]
    figures = [one for entry in mine for one in entry.figures]
    marks = Counter(one.figure.mark for one in figures)
    return GroupCount(
        group,
        len(mine),
        len(figures),
        sum(entry.never for entry in mine),
        {mark: marks[mark] for mark in MARKS},
    )


def read_figure(figure: Figure) -> ReadFigure:
    """A figure in the unit in which people read it: wages by the hour, energy by the kWh, shares in %."""
    unit, factor = _READ_IN.get(figure.unit, (figure.unit, 1.0))
    if figure.unit == "1" and figure.name.endswith("_frac"):
        unit, factor = "%", 100.0
    if figure.unit == "W" and abs(figure.value) < 1000.0:
        unit, factor = "W", 1.0
    return ReadFigure(
        figure,
        factor * figure.value,
        factor * figure.low,
        factor * figure.high,
        unit.replace(MONEY, figure.currency),
    )
