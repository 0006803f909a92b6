"""Piece cost of many parts at once: parts with one route are evaluated together, best estimate and draws in one go."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Mapping, Sequence
from concurrent.futures import ThreadPoolExecutor
from dataclasses import dataclass, replace

import numpy as np

from hoistbook.core.arrays import Array
from hoistbook.core.cost.drawn import ReadingDraws, SharedDraws
from hoistbook.core.cost.inputs import known_input
from hoistbook.core.cost.lines import (
    MARK_UPS,
    STEP_LINES,
    MachineFigures,
    Surroundings,
    fixed_per_year,
    pace_s,
    starts,
    step_lines,
    tooling_per_piece,
    tooling_total,
)
from hoistbook.core.cost.process import Fields, Operation, Process
from hoistbook.core.cost.result import Line, Money, PartCost, StepTaken, bands
from hoistbook.core.cost.route import PartToCost
from hoistbook.core.cost.scenario import Scenario

_CELLS = 32_768
"""Numbers per array that are worked on at a time: they stay in the cache of one core."""


@dataclass(frozen=True, slots=True)
class Costed:
    """Costs by tag, and why a part has none."""

    parts: Mapping[str, PartCost]
    refused: Mapping[str, str]


@dataclass(frozen=True, slots=True)
class _Way:
    """What parts must have in common to be evaluated together."""

    steps: tuple[tuple[str, tuple[tuple[str, str], ...], str, frozenset[str]], ...]
    region: str
    supplier: str


def cost_parts(
    parts: Iterable[PartToCost],
    scenario: Scenario,
    processes: Mapping[str, Process],
    n_draws: int = 1_000,
    seed: int = 1,
    threads: int = 2,
    progress: Callable[[int, int], None] | None = None,
) -> Costed:
    """Cost of each part.

    Parameters
    ----------
    parts : iterable of PartToCost
        Tags differ.
    scenario : Scenario
    processes : mapping of str to Process
    n_draws : int
        0 for the best estimate alone.
    seed : int
    threads : int
        The result does not depend on it, nor on the order of the parts.
    progress : callable, optional
        Called with parts done and parts in all.

    Returns
    -------
    Costed

    Raises
    ------
    ValueError
        Two parts of one tag.
    """
    found: dict[str, PartToCost] = {}
    for part in parts:
        if part.tag in found:
            msg = f"two parts are tagged {part.tag!r}; a tag belongs to one part."
            raise ValueError(msg)
        found[part.tag] = part
    ordered = [found[tag] for tag in sorted(found)]
    shared = SharedDraws(n_draws, seed)
    readings = ReadingDraws(ordered, shared)
    refused: dict[str, str] = {}
    ways: dict[_Way, list[PartToCost]] = {}
    for part in ordered:
        try:
            ways.setdefault(_way(part, scenario, processes), []).append(part)
        except (ValueError, LookupError) as error:
            refused[part.tag] = str(error.args[0])
    size = max(_CELLS // (n_draws + 1), 1)
    blocks = []
    for way, members in ways.items():
        try:
            shop = _shop(way, scenario, processes, shared)
        except (ValueError, LookupError) as error:
            refused |= {part.tag: f"{part.tag}: {error.args[0]}" for part in members}
            continue
        blocks += [(shop, members[start : start + size]) for start in range(0, len(members), size)]
    costs: dict[str, PartCost] = {}

    def work(block: tuple[_Shop, list[PartToCost]]) -> tuple[list[PartCost], dict[str, str]]:
        try:
            return _evaluated(*block, readings)
        except ValueError as error:  # the material lacks what the model asks for
            return [], {part.tag: f"{part.tag}: {error.args[0]}" for part in block[1]}

    with ThreadPoolExecutor(max(threads, 1)) as pool:
        for done, why in pool.map(work, blocks):
            costs |= {one.tag: one for one in done}
            refused |= why
            if progress is not None:
                progress(len(costs) + len(refused), len(ordered))
    return Costed(
        {part.tag: costs[part.tag] for part in found.values() if part.tag in costs},
        {tag: refused[tag] for tag in found if tag in refused},
    )


def _way(part: PartToCost, scenario: Scenario, processes: Mapping[str, Process]) -> _Way:
    steps = []
    for place, step in enumerate(part.steps, start=1):
        process = processes.get(step.process)
        if process is None:
            msg = (
                f"{part.tag}, step {place}: no process named {step.process!r}; known: {', '.join(processes)}."
            )
            raise LookupError(msg)
        if (place == 1) != process.adds_material and place == 1:
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
                f"known: {', '.join(scenario.materials)}."
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
    return _Way(tuple(steps), region, supplier)


@dataclass(frozen=True, slots=True)
class _Bench:
    """One step of a way: process, options, figures as arrays."""

    process: Process
    choices: Mapping[str, str]
    stated: frozenset[str]
    figures: Mapping[str, Array]
    price: Array
    credit: Array


@dataclass(frozen=True, slots=True)
class _Shop:
    """Everything that parts of one way share."""

    benches: tuple[_Bench, ...]
    around: Surroundings
    machines: Mapping[str, MachineFigures]
    model_error: Array
    assumed: tuple[str, ...]


def _shop(way: _Way, scenario: Scenario, processes: Mapping[str, Process], shared: SharedDraws) -> _Shop:
    def arrays(place: str, figures: Mapping[str, object]) -> dict[str, Array]:
        return {
            name: shared.figure(f"{place}/{name}", scenario.money(figure))  # type: ignore[arg-type]
            for name, figure in figures.items()
        }

    benches = []
    for name, options, material, stated in way.steps:
        process, choices = processes[name], dict(options)
        figures: dict[str, Array] = {}
        for figure in process.figures_for(choices):
            key = process.key(figure)
            figures[figure.name] = shared.figure(key, scenario.money(scenario.overrides.get(key, figure)))
        figures |= arrays(f"material/{material}", scenario.materials[material].figures)
        benches.append(
            _Bench(
                process,
                choices,
                stated,
                figures,
                figures.get("material_price_money_per_kg", _ZERO),
                figures.get("material_scrap_credit_frac", _ZERO),
            )
        )
    around = Surroundings(
        scenario,
        arrays("scenario", scenario.figures),
        arrays(f"region/{way.region}", scenario.regions[way.region].figures),
        arrays(f"supplier/{way.supplier}", scenario.suppliers[way.supplier].figures),
    )
    machines = {}
    for code, machine in scenario.machines.items():
        found = arrays(
            f"machine/{code}",
            {
                "investment_money": machine.investment,
                "power_w": machine.power_w,
                "area_m2": machine.area_m2,
                "consumables_money_per_s": machine.consumables,
            },
        )
        machines[code] = MachineFigures(machine, *found.values())
    first = way.steps[0][0]
    error = shared.model_error(
        first, scenario.figures["model_low_frac"].value, scenario.figures["model_high_frac"].value
    )
    return _Shop(tuple(benches), around, machines, error, _assumed(way, scenario))


_ZERO = np.zeros((1, 1))


def _assumed(way: _Way, scenario: Scenario) -> tuple[str, ...]:
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
    return (
        f"{scenario.volume_per_year:,.0f} vehicles a year for {scenario.programme_years:g} years",
        f"made in {scenario.regions[way.region].words}, sold by {scenario.suppliers[way.supplier].words}",
        machine,
        tools,
        learned,
    )


def _evaluated(
    shop: _Shop, parts: Sequence[PartToCost], readings: ReadingDraws
) -> tuple[list[PartCost], dict[str, str]]:
    """Cost of the parts of one block; parts beyond the reach of a process are named with the reason instead."""
    fields = [_fields(bench, place, parts, readings, shop) for place, bench in enumerate(shop.benches)]
    refused = _refused(shop, fields, parts)
    if refused:
        kept = [part for part in parts if part.tag not in refused]
        done, more = _evaluated(shop, kept, readings) if kept else ([], {})
        return done, {**refused, **more}
    operations = [bench.process.evaluate(one) for bench, one in zip(shop.benches, fields, strict=True)]
    refused = _no_machine(shop, operations, parts)
    if refused:
        kept = [part for part in parts if part.tag not in refused]
        done, more = _evaluated(shop, kept, readings) if kept else ([], {})
        return done, {**refused, **more}
    return _priced(shop, parts, fields, operations, _advised(shop, fields, parts)), {}


def _fields(
    bench: _Bench, place: int, parts: Sequence[PartToCost], readings: ReadingDraws, shop: _Shop
) -> Fields:
    process, scenario = bench.process, shop.around.scenario
    values = dict(bench.figures)
    for name in (*process.needs, *process.optional):
        if name in bench.stated:
            values[name] = readings.rows(parts, place, name)
        else:
            values[name] = bench.figures.get(f"usual_{name}", _ZERO)
    values["pieces_per_year"] = _pieces(parts, scenario)
    values["programme_years"] = np.full((1, 1), scenario.programme_years)
    values["lot_count"] = np.full((1, 1), scenario.lot_count)
    return Fields(values, bench.choices, process.title)


def _pieces(parts: Sequence[PartToCost], scenario: Scenario) -> Array:
    return np.array(
        [[(scenario.volume_per_year + part.pooled_volume) * part.pieces_per_vehicle] for part in parts]
    )


def _rows(value: Array, count: int) -> Array:
    """Column 0 of a broadcast array, one entry per part."""
    return np.broadcast_to(value[..., :1] if np.ndim(value) == 2 else np.reshape(value, (1, 1)), (count, 1))[
        :, 0
    ]


def _advised(
    shop: _Shop, fields: Sequence[Fields], parts: Sequence[PartToCost]
) -> dict[str, tuple[str, ...]]:
    """Return what the processes have to say about parts that they do cost."""
    found: dict[str, tuple[str, ...]] = {}
    for place, (bench, one) in enumerate(zip(shop.benches, fields, strict=True), start=1):
        for advice in bench.process.advice:
            rows = _rows(np.asarray(advice.breaks(one)), len(parts))
            words = f"step {place} ({bench.process.title}): {advice.words}"
            for part, holds in zip(parts, rows, strict=True):
                if holds:
                    found[part.tag] = (*found.get(part.tag, ()), words)
    return found


def _refused(shop: _Shop, fields: Sequence[Fields], parts: Sequence[PartToCost]) -> dict[str, str]:
    refused: dict[str, str] = {}
    for place, (bench, one) in enumerate(zip(shop.benches, fields, strict=True), start=1):
        for limit in bench.process.limits:
            broken = _rows(np.asarray(limit.breaks(one)), len(parts))
            for part, bad in zip(parts, broken, strict=True):
                if bad:
                    refused.setdefault(
                        part.tag, f"{part.tag}, step {place} ({bench.process.title}): {limit.words}"
                    )
    return refused


def _no_machine(shop: _Shop, operations: Sequence[Operation], parts: Sequence[PartToCost]) -> dict[str, str]:
    refused: dict[str, str] = {}
    for place, (bench, one) in enumerate(zip(shop.benches, operations, strict=True), start=1):
        if not one.machine:
            continue
        found = shop.machines.get(one.machine)
        if found is None:
            why = f"the scenario has no machine {one.machine!r}; add one"
            return {part.tag: f"{part.tag}, step {place} ({bench.process.title}): {why}." for part in parts}
        machine = found.machine
        for part, size in zip(parts, _rows(one.machine_size, len(parts)), strict=True):
            if size > machine.largest:
                refused.setdefault(
                    part.tag,
                    f"{part.tag}, step {place} ({bench.process.title}): needs a {machine.words} with "
                    f"{machine.size_words} {size:,.3g} {machine.size_unit}; the largest of the scenario has "
                    f"{machine.largest:,.3g}. Check "
                    "the readings, or extend the scenario.",
                )
    return refused


def _at_least(operation: Operation, machine: MachineFigures | None) -> Operation:
    """No machine is smaller than the smallest there is."""
    if machine is None:
        return operation
    size = np.maximum(operation.machine_size, machine.machine.smallest)
    return replace(operation, machine_size=size)


def _priced(
    shop: _Shop,
    parts: Sequence[PartToCost],
    fields: Sequence[Fields],
    operations: Sequence[Operation],
    advised: Mapping[str, tuple[str, ...]],
) -> list[PartCost]:
    around, scenario = shop.around, shop.around.scenario
    machines = [shop.machines.get(one.machine) for one in operations]
    operations = [_at_least(one, machine) for one, machine in zip(operations, machines, strict=True)]
    good_per_year = _pieces(parts, scenario)
    entering = starts(good_per_year, [one.reject_frac for one in operations])
    spent: Array = _ZERO
    lines: list[tuple[int, str, Array]] = []
    tooling: Array = _ZERO
    sets = []
    mass = fields[0].mass_kg if "mass_kg" in shop.benches[0].process.needs else _ZERO
    for place, (bench, one, machine, started) in enumerate(
        zip(shop.benches, operations, machines, entering, strict=True), start=1
    ):
        found, spent = step_lines(one, machine, started, spent, mass, bench.price, bench.credit, around)
        lines += [(place, name, found[name]) for name in STEP_LINES]
        count, total = tooling_total(one, started, scenario)
        sets.append(count)
        tooling = tooling + total
    made = spent
    for words, name in MARK_UPS.items():
        lines.append((0, words, made * around.supplier[name]))
    after = {
        "packaging": around.figure("packaging_money_per_kg") * mass,
        "freight": around.figure("freight_money_per_kg") * mass,
        "tools": tooling_per_piece(tooling, good_per_year, scenario),
    }
    lines += [(0, name, value) for name, value in after.items()]
    factor = 1.0 + sum(around.supplier[name] for name in MARK_UPS.values())
    width = max(value.shape[1] for value in (made, tooling, shop.model_error, *after.values()))
    piece = np.broadcast_to(made * shop.model_error * factor + sum(after.values()), (len(parts), width))
    # The factors above are multiplied in another order than the lines are added up: column 0 is the sum of the lines.
    shown = [(place, name, _rows(value, len(parts))) for place, name, value in lines]
    piece = np.array(piece)
    nominal = np.zeros(len(parts))
    for _, _, value in shown:
        nominal = nominal + value
    piece[:, 0] = nominal
    tool_bands = bands(np.broadcast_to(tooling, (len(parts), tooling.shape[1])))
    taken = [
        _taken(bench, one, machine, started, count, around, len(parts))
        for bench, one, machine, started, count in zip(
            shop.benches, operations, machines, entering, sets, strict=True
        )
    ]
    yields = np.ones(len(parts))
    for one in operations:
        yields = yields * (1.0 - _rows(one.reject_frac, len(parts)))
    return [
        _result(part, row, shop, piece[row], money, tool_bands[row], shown, taken, yields, advised)
        for row, (part, money) in enumerate(zip(parts, bands(piece), strict=True))
    ]


def _result(
    part: PartToCost,
    row: int,
    shop: _Shop,
    piece: Array,
    money: Money,
    tooling: Money,
    shown: Sequence[tuple[int, str, Array]],
    taken: Sequence[Sequence[StepTaken]],
    yields: Array,
    advised: Mapping[str, tuple[str, ...]],
) -> PartCost:
    scenario = shop.around.scenario
    none = [
        f"{known_input(name).words}: not stated, taken as usual for {bench.process.title}"
        if f"usual_{name}" in bench.figures
        else f"{known_input(name).words}: none stated, taken as none"
        for bench in shop.benches
        for name in bench.process.optional
        if name not in bench.stated
    ]
    proposed = [
        f"step {place} ({step.process}) is {step.origin}"
        for place, step in enumerate(part.steps, start=1)
        if step.origin != "observed"
    ]
    return PartCost(
        part.tag,
        part.name,
        scenario.currency,
        scenario.year,
        part.pieces_per_vehicle,
        (scenario.volume_per_year + part.pooled_volume) * part.pieces_per_vehicle,
        money,
        tooling,
        tuple(Line(place, name, float(value[row])) for place, name, value in shown if value[row] != 0.0),
        tuple(step[row] for step in taken),
        float(yields[row]),
        part.estimated,
        (*advised.get(part.tag, ()), *shop.assumed, *dict.fromkeys(none), *proposed),
        piece[1:],
    )


def _taken(
    bench: _Bench,
    one: Operation,
    machine: MachineFigures | None,
    started: Array,
    sets: Array,
    around: Surroundings,
    count: int,
) -> list[StepTaken]:
    def rows(value: Array) -> Array:
        return _rows(np.asarray(value, dtype=np.float64), count)

    stages = [(stage.words, rows(stage.time_s)) for stage in one.stages]
    pace = rows(pace_s(one))
    size = rows(one.machine_size)
    per_h, power = np.zeros(count), np.zeros(count)
    if machine is not None:
        ratio = (one.machine_size / machine.machine.reference_size) ** machine.machine.power_exponent
        power = rows(machine.power_w * ratio)
        fixed = rows(fixed_per_year(machine, one.machine_size, around)) / rows(around.running_s_per_year)
        per_h = 3600.0 * (fixed + power * rows(around.region["energy_money_per_j"]))
    need = rows(started) * pace / rows(around.running_s_per_year)
    columns = [
        rows(value)
        for value in (
            one.crew,
            one.reject_frac,
            one.gross_kg,
            one.returned_kg,
            one.heat_j,
            one.tools,
            one.tool_life,
            sets,
        )
    ]
    found = []
    for row in range(count):
        crew, reject, gross, returned, heat, tools, life, tool_sets = (
            float(column[row]) for column in columns
        )
        times = tuple((words, float(values[row])) for words, values in stages)
        found.append(
            StepTaken(
                bench.process.name,
                bench.process.title,
                times,
                max(times, key=lambda stage: stage[1])[0] if times else "",
                float(pace[row]),
                one.machine,
                machine.machine.words if machine is not None else "",
                machine.machine.size_unit if machine is not None else "",
                float(size[row]),
                float(per_h[row]),
                float(need[row]) if machine is not None else 0.0,
                crew,
                reject,
                gross,
                returned,
                heat + float(power[row] * pace[row]),
                tools,
                life,
                tool_sets,
            )
        )
    return found
