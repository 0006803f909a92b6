"""The formulas that the engine leaves behind say what the engine says, also for other numbers."""

import math

import numpy as np
import pytest

from core.cost.any_part import any_part
from core.cost.changed import with_figure, with_reading
from core.cost.processes.metal_parts import to_cost
from core.cost.shop import operation, process, scenario
from hoistbook.core.cost.engine import cost_parts
from hoistbook.core.cost.processes import PROCESSES
from hoistbook.core.cost.route import PartToCost, Step
from hoistbook.core.cost.symbol import CONSTANT, INPUT, Record
from hoistbook.core.cost.traced import traced
from hoistbook.core.quantities.quantity import Quantity
from hoistbook.reference.cost import packaged_scenario

ALL = pytest.mark.parametrize("name", PROCESSES)
PLAIN = {
    "add": lambda a, b: a + b, "subtract": lambda a, b: a - b, "multiply": lambda a, b: a * b,
    "divide": lambda a, b: a / b, "power": lambda a, b: a**b, "negative": lambda a: -a, "absolute": abs,
    "maximum": max, "minimum": min, "sqrt": math.sqrt, "log": math.log, "exp": math.exp, "ceil": math.ceil,
    "floor": math.floor, "greater": lambda a, b: a > b, "greater_equal": lambda a, b: a >= b,
    "less": lambda a, b: a < b, "less_equal": lambda a, b: a <= b, "equal": lambda a, b: a == b,
    "not_equal": lambda a, b: a != b, "and": lambda a, b: a and b, "or": lambda a, b: a or b, "not": lambda a: not a,
}  # fmt: skip


class Worked:
    """A graph worked out with the standard library, some of its inputs changed; only what is asked for."""

    def __init__(self, changed):
        self.known = dict(changed)

    def __call__(self, node):
        if node not in self.known:
            if node.function in (INPUT, CONSTANT):
                self.known[node] = node.value
            elif node.function == "where":
                asked, yes, no = node.operands
                self.known[node] = self(yes if self(asked) else no)
            else:
                self.known[node] = PLAIN[node.function](*(self(one) for one in node.operands))
        return self.known[node]


def piece(found, changed=None):
    work = Worked(changed or {})
    return math.fsum(work(node) for _, _, node in found.lines)


def engine(part, around):
    found = cost_parts([part], around, PROCESSES, 0)
    assert not found.refused, found.refused
    return found.parts[part.tag]


@ALL
def test_formulas_give_the_lines_of_the_engine(name):
    """computed: the graph worked out number by number with the standard library."""
    part, around = any_part(name), packaged_scenario()
    found, cost = traced(part, around, PROCESSES), engine(part, around)
    work = Worked({})
    lines = [(step, words, work(node)) for step, words, node in found.lines]
    expected = {(line.step, line.name): line.value_money for line in cost.lines}
    for step, words, value in lines:
        assert value == pytest.approx(expected.get((step, words), 0.0), rel=1e-12, abs=1e-15), words
    assert {(step, words) for step, words, value in lines if value} == set(expected)
    assert work(found.tooling) == pytest.approx(cost.tooling.value, rel=1e-12)
    for traced_step, taken in zip(found.steps, cost.steps, strict=True):
        stages = tuple((words, pytest.approx(work(node), rel=1e-12)) for words, _, node in traced_step.stages)
        assert taken.stages == stages


@ALL
def test_formulas_follow_every_figure_as_the_engine_does(name):
    """computed: the engine itself on a scenario of which one figure is 7 % larger."""
    part, around = any_part(name), packaged_scenario()
    found = traced(part, around, PROCESSES)
    base = piece(found)
    moved = 0
    for one in found.inputs:
        if one.place.split("/")[0] in ("reading", "part"):
            continue
        changed = with_figure(around, one.place, 1.07)
        expected = cost_parts([part], changed, PROCESSES, 0)
        if expected.refused:  # seven per cent can be too much for a limit
            continue
        value = piece(found, {one.node: one.node.value * 1.07})
        assert value == pytest.approx(expected.parts[part.tag].piece.value, rel=1e-12), one.place
        moved += value != base
    assert moved > 5  # mark-ups, packaging and freight move any part


@ALL
def test_formulas_follow_every_reading_as_the_engine_does(name):
    """computed: the engine itself on a part of which one reading is 4 % smaller."""
    part, around = any_part(name), packaged_scenario()
    found = traced(part, around, PROCESSES)
    tried = 0
    for one in found.inputs:
        if one.reading is None:
            continue
        _, _, reading = one.place.split("/")
        try:
            changed = with_reading(part, reading, 0.96)
        except ValueError:  # a part that cannot be
            continue
        expected = cost_parts([changed], around, PROCESSES, 0)
        if expected.refused:
            continue
        value = piece(found, {one.node: one.node.value * 0.96})
        assert value == pytest.approx(expected.parts[part.tag].piece.value, rel=1e-12), reading
        tried += 1
    assert tried


@pytest.mark.parametrize("tooling", ["apart", "simple", "annuity"])
@pytest.mark.parametrize("dedicated", [False, True])
def test_each_way_of_paying_is_traced(tooling, dedicated):
    """computed: the engine itself at twice the volume."""
    part = to_cost("high_pressure_die_casting")
    around = packaged_scenario()
    around = with_figure(around, "scenario/availability_frac", 0.98)
    around = type(around)(**{**fields_of(around), "tooling": tooling, "dedicated": dedicated})
    found = traced(part, around, PROCESSES)
    volume = next(one.node for one in found.inputs if one.place == "scenario/volume_per_year")
    assert piece(found) == pytest.approx(engine(part, around).piece.value, rel=1e-12)
    twice = with_figure(around, "scenario/volume_per_year", 2.0)
    assert piece(found, {volume: 120_000.0}) == pytest.approx(engine(part, twice).piece.value, rel=1e-12)


def fields_of(one):
    return {name: getattr(one, name) for name in type(one).__slots__}


def test_learning_by_wright_follows_the_volume_and_crawfords_says_that_it_does_not():
    part = to_cost("high_pressure_die_casting")
    for theory in ("wright", "crawford"):
        around = type(packaged_scenario())(
            **{**fields_of(packaged_scenario()), "learning_frac": 0.9, "learning_theory": theory}
        )
        found = traced(part, around, PROCESSES)
        twice = engine(part, with_figure(around, "scenario/volume_per_year", 2.0)).piece.value
        volume = next(one.node for one in found.inputs if one.place == "scenario/volume_per_year")
        assert piece(found) == pytest.approx(engine(part, around).piece.value, rel=1e-12)
        # computed: the engine itself at twice the volume.
        follows = piece(found, {volume: 120_000.0}) == pytest.approx(twice, rel=1e-9)
        settled = [one.node.words for one in found.inputs if one.place == "scenario/learned"]
        assert follows == (theory == "wright")
        assert bool(settled) != follows
        assert follows or "does not follow the volume" in settled[0]


def test_a_reading_of_a_step_is_an_input_of_its_own():
    part = to_cost("electrocoat")
    own = {"surface_area_m2": Quantity(0.03, "m2")}
    part = PartToCost(
        part.tag, part.name, part.material, part.readings, (part.steps[0], Step("electrocoat", {}, own))
    )
    found = traced(part, packaged_scenario(), PROCESSES)
    places = {one.place: one.node.value for one in found.inputs}
    assert places["reading/2/surface_area_m2"] == 0.03
    assert "reading//surface_area_m2" not in places
    assert piece(found) == pytest.approx(engine(part, packaged_scenario()).piece.value, rel=1e-12)


def test_a_limit_is_a_formula_too():
    found = traced(to_cost("high_pressure_die_casting"), packaged_scenario(), PROCESSES)
    wall = next(one.node for one in found.inputs if one.place == "reading//wall_thickness_max_m")
    (check,) = (one for one in found.checks if "below 0.5 mm" in one.words)
    # first principles: 0.4 mm is below 0.5 mm, 0.6 mm is not.
    assert Worked({wall: 0.0004})(check.node) is not check.when
    assert Worked({wall: 0.0006})(check.node) is check.when


def test_results_are_named_by_what_the_code_calls_them():
    found = traced(to_cost("high_pressure_die_casting"), packaged_scenario(), PROCESSES)
    units = {node.name: node.unit for node in found.nodes if node.name}
    assert units["shot_kg"] == "kg"
    assert units["pace"] == "s"
    assert units["capital"] == "money/year"
    assert "found" not in units


def test_a_branch_is_kept_with_its_answer():
    record = Record()
    wall = record.input("wall", 0.002)
    assert wall > 0.001
    ((node, answer),) = record.branches.items()
    assert (node.function, answer) == ("greater", True)


def test_what_no_cell_can_do_is_refused():
    wall = Record().input("wall", 0.002)
    with pytest.raises(TypeError, match="nothing that a cell"):
        np.sin(wall)
    with pytest.raises(TypeError, match="nothing that a cell"):
        np.cumsum(wall)
    with pytest.raises(TypeError, match="no single number"):
        wall + np.array([1.0, 2.0])


def test_neutral_numbers_leave_no_trace():
    record = Record()
    wall = record.input("wall", 0.002)
    zero = np.zeros((1, 1))
    # first principles: x + 0, 0 + x, 1 x, x/1 and x^1 are x; 0 x and x over infinity are 0.
    for same in (wall + zero, zero + wall, 1.0 * wall, wall / 1.0, wall**1.0, wall - 0.0):
        assert same.node is wall.node
    for none in (0.0 * wall, wall / np.inf):
        assert (none.node.function, none.node.value) == (CONSTANT, 0.0)


def test_the_worked_bracket_is_traced():
    """computed: 8.904535 delivered by annuity, the worked bracket of `test_bracket`."""
    made = {
        "cast": process(
            "cast",
            lambda f: operation(
                {"all": 40}, "cell", crew=0.5, reject_frac=0.03, gross_kg=0.85 + 0.04 * 0.85 * 1.55, recycled_frac=0.7,
                consumables=0.15 * 0.85 * 1.55, tools=220_000.0, tool_life=130_000.0,
            ),
        ),
        "trim": process("trim", lambda f: operation({"trim": 12}, "trim"), adds_material=False),
        "mill": process(
            "mill",
            lambda f: operation({"mill": 45}, "mill", reject_frac=0.01, tools=75_000.0),
            adds_material=False,
        ),
    }  # fmt: skip
    part = PartToCost(
        "B1", "bracket", "A380", {"mass_kg": Quantity(0.85, "kg")}, (Step("cast"), Step("trim"), Step("mill"))
    )
    assert piece(traced(part, scenario(tooling="annuity"), made)) == pytest.approx(8.904535, rel=1e-5)
