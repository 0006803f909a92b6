"""What holds for every registered process model."""

import ast
import inspect
import sys

import numpy as np
import pytest

from core.cost.processes.trial import MATERIAL, fields, number, operation, outputs, settings, typical
from hoistbook.core.cost.inputs import INPUTS
from hoistbook.core.cost.process import Fields
from hoistbook.core.cost.processes import PROCESSES
from hoistbook.core.cost.symbol import Record, Symbol
from hoistbook.reference.cost import packaged_scenario

ALL = pytest.mark.parametrize("process", PROCESSES.values(), ids=PROCESSES.keys())
# What a spreadsheet can do cell by cell; `abs` in limits, the others to write a constant.
ALLOWED = {
    "maximum", "minimum", "sqrt", "log", "exp", "ceil", "floor", "where", "pi", "inf", "zeros", "full", "asarray",
    "abs", "bool_", "float64",
}  # fmt: skip


@ALL
def test_is_named_like_its_folder(process):
    place = inspect.getmodule(process.evaluate).__name__.split(".")
    assert place[-2] == process.name
    assert process.notes
    assert process.sketch


@ALL
def test_evaluates_parts_and_draws_at_once_as_one_by_one(process):
    """first principles: element-wise formulas give each part and draw what they give it alone."""
    for choices in settings(process):
        parts, draws = np.array([[0.9], [1.0], [1.1]]), np.linspace(0.95, 1.05, 5)[None, :]
        base = fields(process, choices)
        names = (*process.needs, *process.optional)
        figures = [one.name for one in process.figures_for(process.chosen(choices))] + list(MATERIAL)
        values = {name: getattr(base, name) for name in (*names, *figures)}
        values |= {name: getattr(base, name) for name in ("pieces_per_year", "programme_years", "lot_count")}
        whole = values | {
            name: values[name] * (parts if name in names else draws) for name in (*names, *figures)
        }
        found = outputs(process.evaluate(Fields(whole, process.chosen(choices), process.title)))
        for row, column in ((0, 0), (2, 4), (1, 3)):
            one = values | {
                name: values[name] * (parts[row] if name in names else draws[:, column : column + 1])
                for name in (*names, *figures)
            }
            alone = outputs(process.evaluate(Fields(one, process.chosen(choices), process.title)))
            for name, value in found.items():
                cell = np.broadcast_to(value, (3, 5))[row, column]
                assert cell == pytest.approx(number(alone[name]), rel=1e-12), f"{choices} {name}"


@ALL
def test_gives_sensible_numbers_for_every_option(process):
    for choices in settings(process):
        one = operation(process, choices)
        for name, value in outputs(one).items():
            assert np.all(np.isfinite(value)) or name == "tool_life", f"{choices} {name}"
            assert np.all(np.asarray(value) >= 0.0), f"{choices} {name}"
        assert np.all(np.asarray(one.reject_frac) < 1.0)
        assert np.all(np.asarray(one.recycled_frac) <= 1.0)
        assert np.all(np.asarray(one.tool_life) > 0.0)
        if one.machine:
            assert sum(number(stage.time_s) for stage in one.stages) > 0.0
            assert number(one.machine_size) > 0.0
        else:
            assert number(one.bought) > 0.0


@ALL
def test_whatever_is_not_refused_gives_sensible_numbers(process):
    """Readings from half to twice the typical ones, figures anywhere within their limits."""
    random = np.random.default_rng(20261125)
    for choices in settings(process):
        chosen = process.chosen(choices)
        base = fields(process, choices)
        values = {
            name: getattr(base, name)
            for name in (*MATERIAL, "pieces_per_year", "programme_years", "lot_count")
        }
        for name in (*process.needs, *process.optional):
            values[name] = getattr(base, name) * 2.0 ** random.uniform(-1.0, 1.0, (200, 1))
        for figure in process.figures_for(chosen):
            share = random.random((200, 1))
            stated = packaged_scenario().money(figure)
            values[figure.name] = stated.low + share * (stated.high - stated.low)
        drawn = Fields(values, chosen, process.title)
        with np.errstate(all="ignore"):  # those that are refused may be nonsense
            kept = ~np.any(
                [np.broadcast_to(limit.breaks(drawn), (200, 1)) for limit in process.limits]
                or [np.zeros((200, 1))],
                axis=0,
            ).astype(bool)
            one = process.evaluate(drawn)
        for name, value in outputs(one).items():
            cells = np.broadcast_to(value, (200, 1))[kept]
            assert np.all(cells >= 0.0), f"{choices} {name}"
            assert name == "tool_life" or np.all(np.isfinite(cells)), f"{choices} {name}"


@ALL
def test_runs_on_symbols_and_branches_on_none(process):
    for choices in settings(process):
        chosen = process.chosen(choices)
        record = Record()
        names = [
            *process.needs,
            *process.optional,
            *MATERIAL,
            *(one.name for one in process.figures_for(chosen)),
            "pieces_per_year",
            "programme_years",
            "lot_count",
        ]
        base = fields(process, choices)
        values = {name: record.input(name, number(getattr(base, name))) for name in names}
        drawn = Fields(values, chosen, process.title)
        one = process.evaluate(drawn)
        assert any(isinstance(value, Symbol) for value in outputs(one).values())
        for limit in (*process.limits, *process.advice):
            limit.breaks(drawn)
        assert not record.branches


@ALL
def test_runs_on_machines_that_the_packaged_scenario_has(process):
    machines = {operation(process, choices).machine for choices in settings(process)}
    assert machines - {""} <= set(packaged_scenario().machines)


def moves(process, name, choices):
    """Whether a figure or a reading has any effect in these settings."""
    before = outputs(operation(process, choices))
    value = number(getattr(fields(process, choices), name))
    for changed in (value * 100.0, value * 0.01, value + 1.0):
        with np.errstate(all="ignore"):  # a part that far out need not exist
            after = outputs(operation(process, choices, **{name: changed}))
        if any(not np.array_equal(before[one], after[one]) for one in before):
            return True
    return False


@ALL
def test_every_figure_and_every_reading_moves_something(process):
    asked = asked_by_limits(process)
    for name in dict.fromkeys(figure.name for figure in process.figures):
        if name.startswith("usual_") or name in asked:
            continue
        kept = [
            one for one in settings(process) if name in {figure.name for figure in process.figures_for(one)}
        ]
        assert any(moves(process, name, one) for one in kept), name
    for name in (*process.needs, *process.optional):
        # Packaging and freight go by the mass of what a route begins with.
        if name in asked or (name == "mass_kg" and process.adds_material):
            continue
        assert any(moves(process, name, one) for one in settings(process)), name


def asked_by_limits(process):
    """Names that limits and advice ask for."""
    asked = set()

    class Asking(Fields):
        __slots__ = ()

        def __getattr__(self, one):
            asked.add(one)
            return super().__getattr__(one)

    for choices in settings(process):
        base = fields(process, choices)
        spy = Asking(base._values, base._choices, base._where)
        for limit in (*process.limits, *process.advice):
            limit.breaks(spy)
    return asked


@ALL
def test_uses_only_what_a_spreadsheet_can_do(process):
    tree = ast.parse(inspect.getsource(sys.modules[process.evaluate.__module__]))
    used = {
        node.attr
        for node in ast.walk(tree)
        if isinstance(node, ast.Attribute) and isinstance(node.value, ast.Name) and node.value.id == "np"
    }
    assert used <= ALLOWED
    assert not [node for node in ast.walk(tree) if isinstance(node, ast.While)]


@ALL
def test_figures_are_stated_once_and_usual_ones_name_a_reading(process):
    keys = [process.key(figure) for figure in process.figures]
    assert len(keys) == len(set(keys))
    for figure in process.figures:
        if figure.name.startswith("usual_"):
            assert figure.name.removeprefix("usual_") in process.optional
            assert figure.unit == INPUTS[figure.name.removeprefix("usual_")].unit
    for choice in process.choices:
        named = {figure.name for figure in process.figures if figure.when and figure.when[0] == choice.name}
        for option in choice.options:
            stated = {figure.name for figure in process.figures if figure.when == (choice.name, option)}
            assert stated <= named


def test_typical_readings_are_within_reach():
    for name, one in INPUTS.items():
        one.check(typical(name), "typical part")
