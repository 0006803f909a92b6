"""What parts of one route share: process models with their options, and figures as arrays drawn once."""

from __future__ import annotations

import math
from collections.abc import Mapping
from dataclasses import dataclass

import numpy as np

from hoistbook.core.arrays import Array
from hoistbook.core.cost.drawn import SharedDraws
from hoistbook.core.cost.figure import Figure
from hoistbook.core.cost.inputs import known_input
from hoistbook.core.cost.lines import MachineFigures, Surroundings, learning
from hoistbook.core.cost.model_error import Miss, miss_of_band
from hoistbook.core.cost.process import Process
from hoistbook.core.cost.route import PartToCost
from hoistbook.core.cost.scenario import Scenario

ZERO = np.zeros((1, 1))
_PRICE, _CREDIT = "material_price_money_per_kg", "material_scrap_credit_frac"


@dataclass(frozen=True, slots=True)
class Way:
    """What parts must have in common to be evaluated together.

    `steps`: process, choices, material, and names of the readings that are stated.
    """

    steps: tuple[tuple[str, tuple[tuple[str, str], ...], str, frozenset[str]], ...]
    region: str
    supplier: str


def way(part: PartToCost, scenario: Scenario, processes: Mapping[str, Process]) -> Way:
    """Return what the part has in common with others of its route.

    Raises
    ------
    LookupError
        A process, material, region or supplier that is not there.
    ValueError
        A route that begins with a step on a piece, a reading that is missing, an unknown choice.
    """
    steps = []
    for place, step in enumerate(part.steps, start=1):
        process = processes.get(step.process)
        if process is None:
            msg = (
                f"{part.tag}, step {place}: no process named {step.process!r}; known: {', '.join(processes)}."
            )
            raise LookupError(msg)
        if place == 1 and not (process.adds_material or part.assembled):
            msg = (
                f"{part.tag}: the route begins with {process.title}, which works on a piece that is there; begin with "
                "the process that gives the part its form."
            )
            raise ValueError(msg)
        readings = {**part.readings, **step.readings}
        missing = [known_input(name).words for name in process.needs if name not in readings]
        if missing:
            msg = f"{part.tag}, step {place} ({process.title}): {', '.join(missing)} not stated; read it off the part."
            raise ValueError(msg)
        choices = tuple(sorted(process.chosen(step.choices).items()))
        stated = frozenset(name for name in (*process.needs, *process.optional) if name in readings)
        material = step.material or part.material
        if material not in scenario.materials:
            msg = (
                f"{part.tag}, step {place} ({process.title}): material {material!r} is not in the scenario; "
                f"known: {'; '.join(scenario.materials)}."
            )
            raise LookupError(msg)
        steps.append((step.process, choices, material, stated))
    region, supplier = part.region or scenario.region, part.supplier or scenario.supplier
    for kind, code, known in (
        ("region", region, scenario.regions),
        ("supplier", supplier, scenario.suppliers),
    ):
        if code not in known:
            msg = f"{part.tag}: no {kind} named {code!r}; known: {', '.join(known)}."
            raise LookupError(msg)
    return Way(tuple(steps), region, supplier)


class Machines:
    """Classes of machines of a scenario as arrays; each is drawn when a step first asks for it."""

    __slots__ = ("_found", "_scenario", "_shared")

    def __init__(self, scenario: Scenario, shared: SharedDraws) -> None:
        self._scenario = scenario
        self._shared = shared
        self._found: dict[str, MachineFigures] = {}

    def get(self, code: str) -> MachineFigures | None:
        """Return a class by its code; None where the scenario has none of that name."""
        if code not in self._found:
            machine = self._scenario.machines.get(code)
            if machine is None:
                return None
            found = _arrays(
                f"machine/{code}",
                {
                    "investment_money": machine.investment,
                    "power_w": machine.power_w,
                    "area_m2": machine.area_m2,
                    "consumables_money_per_s": machine.consumables,
                },
                self._scenario,
                self._shared,
            )
            self._found[code] = MachineFigures(machine, *found.values())
        return self._found[code]


@dataclass(frozen=True, slots=True)
class Bench:
    """One step of a way: process, options, figures as arrays."""

    process: Process
    choices: Mapping[str, str]
    stated: frozenset[str]
    figures: Mapping[str, Array]
    price: Array
    credit: Array


@dataclass(frozen=True, slots=True)
class Shop:
    """Everything that parts of one way share.

    `miss` is the error of the model of the first step, `calibration` its best estimate where quotes tell it.
    """

    benches: tuple[Bench, ...]
    around: Surroundings
    machines: Machines
    shared: SharedDraws
    miss: Miss
    calibration: Array | None
    assumed: tuple[str, ...]

    @property
    def bought(self) -> bool:
        """Whether nothing is made: a price of the trade holds its maker's mark-up, and no other comes on top."""
        return all(bench.process.family == "buy" for bench in self.benches)


def _arrays(
    place: str, figures: Mapping[str, Figure], scenario: Scenario, shared: SharedDraws
) -> dict[str, Array]:
    return {
        name: shared.figure(figure.drawn_as or f"{place}/{name}", scenario.money(figure))
        for name, figure in figures.items()
    }


def shop_of(
    found: Way, scenario: Scenario, processes: Mapping[str, Process], shared: SharedDraws, machines: Machines
) -> Shop:
    """Draw what the parts of one way share.

    Raises
    ------
    LookupError
        An amount that cannot be carried to the money of the scenario.
    """
    benches = []
    for name, options, material, stated in found.steps:
        process, choices = processes[name], dict(options)
        figures: dict[str, Array] = {}
        for figure in process.figures_for(choices):
            key = process.key(figure)
            taken = scenario.overrides.get(key, figure)
            figures[figure.name] = shared.figure(taken.drawn_as or key, scenario.money(taken))
        figures |= _arrays(f"material/{material}", scenario.materials[material].figures, scenario, shared)
        benches.append(
            Bench(process, choices, stated, figures, figures.get(_PRICE, ZERO), figures.get(_CREDIT, ZERO))
        )
    around = Surroundings(
        scenario,
        _arrays("scenario", scenario.figures, scenario, shared),
        _arrays(f"region/{found.region}", scenario.regions[found.region].figures, scenario, shared),
        _arrays(f"supplier/{found.supplier}", scenario.suppliers[found.supplier].figures, scenario, shared),
        learning(scenario),
    )
    first = found.steps[0][0]
    miss = model_miss(scenario, first)
    calibration = shared.calibration(first, miss.best) if first in scenario.model_errors else None
    return Shop(
        tuple(benches),
        around,
        machines,
        shared,
        miss,
        calibration,
        _assumed(found, scenario, processes, miss),
    )


def model_miss(scenario: Scenario, process: str) -> Miss:
    """Return the error of the model of a process: calibrated by quotes, or the band of an uncalibrated one.

    Notes
    -----
    A calibrated model is best at the median of its factor: the mean of a t distribution of a logarithm is infinite.
    """
    known = scenario.model_errors.get(process)
    low, high, own = (scenario.figures[f"model_{name}_frac"].value for name in ("low", "high", "own_share"))
    if known is None:
        return miss_of_band(low, high, own)
    share = own if known.own_share_frac is None else known.own_share_frac
    return Miss(known.bias_ln, known.scale_ln, known.scale_ln, math.exp(known.bias_ln), share, known.dof)


def _assumed(found: Way, scenario: Scenario, processes: Mapping[str, Process], miss: Miss) -> tuple[str, ...]:
    machine = (
        "machines are dedicated: whole machines stand for this part"
        if scenario.dedicated
        else "machines are shared: paid by the hour they run"
    )
    tools = {
        "apart": "tools are shown apart and are not in the piece cost",
        "simple": "tools are spread over all pieces of the programme, without interest",
        "annuity": f"tools are paid back over the programme at {scenario.interest_frac:.1%} a year",
    }[scenario.tooling]
    learned = (
        "nothing is learned: the models hold for the whole programme"
        if scenario.learning_frac == 1.0
        else f"labour follows a learning curve of {scenario.learning_frac:.0%} ({scenario.learning_theory.title()})"
    )
    sold = (
        "bought at a price of the trade, which holds its maker's mark-up: none comes on top"
        if all(processes[step[0]].family == "buy" for step in found.steps)
        else f"made in {scenario.regions[found.region].words}, sold by {scenario.suppliers[found.supplier].words}"
    )
    known = scenario.model_errors.get(found.steps[0][0])
    low, high = (scenario.figures[f"model_{name}_frac"].value for name in ("low", "high"))
    band = f"the model is not calibrated: {low:+.0%} to {high:+.0%}" if known is None else known.words
    own = (
        f"{miss.own_share_frac:.0%} of the variance of the model's error is the part's own, the rest is shared by all "
        f"parts that begin with {found.steps[0][0].replace('_', ' ')}"
    )
    return (
        band,
        own,
        f"{scenario.volume_per_year:,.0f} vehicles a year for {scenario.programme_years:g} years",
        sold,
        machine,
        tools,
        learned,
    )
