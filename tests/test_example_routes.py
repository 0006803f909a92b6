"""How the parts of the invented vans were made: routes that the cost engine takes, sizes, marks and reasons.

The data is invented, so no cost here checks an engine; what is checked is that the demo keeps its word.
"""

from __future__ import annotations

from collections import defaultdict
from pathlib import Path

import pytest

from hoistbook.capture.read import read_teardown
from hoistbook.core.cost.engine import Costed, cost_parts
from hoistbook.core.cost.estimates import with_estimates
from hoistbook.core.cost.inputs import INPUT_OF_KIND
from hoistbook.core.cost.processes import PROCESSES
from hoistbook.core.cost.route import PartToCost, Step
from hoistbook.core.mass import mass_book
from hoistbook.core.quantities.quantity import Quantity
from hoistbook.core.vehicle.records import NodeKind, ReasonKind, RouteStep, Seen, Teardown
from hoistbook.core.vehicle.tree import PartTree
from hoistbook.reference.cost import packaged_scenario
from test_examples import make_vans

ROOT = Path(__file__).resolve().parent.parent
NAMES = ("whimbrel", "turnstone", "dotterel")
# USD of the scenario per kg of part, and per piece of bought fastener, low and high. common practice: what the trade
# pays for such parts; wide, as aluminium is among the sheet and small parts cost more per kg.
PER_KG = {
    "sheet_stamping": (1.5, 16.0),
    "press_hardening": (3.0, 8.0),
    "roll_forming": (1.5, 6.0),
    "extrusion": (4.0, 19.0),
    "high_pressure_die_casting": (5.0, 24.0),
    "sand_casting": (2.0, 8.0),
    "injection_moulding": (3.0, 13.5),
    "thermoforming": (3.0, 8.0),
    "harness_assembly": (20.0, 60.0),
}
LIGHT_KG = 0.1
FASTENER_USD = (0.005, 0.6)


@pytest.fixture(scope="module")
def vans() -> dict[str, Teardown]:
    return {name: read_teardown(ROOT / "examples" / f"{name}.xlsx") for name in NAMES}


def routes_of(teardown: Teardown) -> dict[str, list[RouteStep]]:
    found: dict[str, list[RouteStep]] = defaultdict(list)
    for step in teardown.routes:
        found[step.tag].append(step)
    return {tag: sorted(steps, key=lambda one: one.number) for tag, steps in found.items()}


def process_name(step: RouteStep) -> str:
    return step.process.replace(" ", "_")


def parts_of(teardown: Teardown) -> tuple[list[PartToCost], dict[str, tuple[str, ...]]]:
    tree = PartTree(teardown.nodes)
    book = mass_book(teardown)
    sizes: dict[str, dict[str, Quantity]] = defaultdict(dict)
    for one in teardown.measurements:
        known = INPUT_OF_KIND.get(one.quantity)
        if known is not None and one.quantity != "mass":
            sizes[one.subject][known.name] = one.value
    parts, missing = [], {}
    materials = packaged_scenario().materials
    for tag, steps in routes_of(teardown).items():
        readings = {**sizes[tag], "mass_kg": book.mass(tag)}
        chain = tuple(Step(process_name(one), dict(one.options), origin=one.seen.value) for one in steps)
        part = PartToCost(tag, tree[tag].name, steps[0].material, readings, chain, tree.pieces(tag))
        whole, lacking = with_estimates(part, PROCESSES, materials)
        parts.append(whole)
        if lacking:
            missing[tag] = lacking
    return parts, missing


@pytest.fixture(scope="module")
def costed(vans) -> dict[str, tuple[list[PartToCost], dict[str, tuple[str, ...]], Costed]]:
    found = {}
    for name in NAMES:
        parts, missing = parts_of(vans[name])
        found[name] = (parts, missing, cost_parts(parts, packaged_scenario(), PROCESSES, n_draws=0))
    return found


@pytest.mark.parametrize("name", NAMES)
def test_at_least_150_parts_have_a_route(vans, name):
    kinds = {node.tag: node.kind for node in vans[name].nodes}
    routed = routes_of(vans[name])
    # common practice: what the demo promises, fasteners aside.
    assert sum(kinds[tag] is NodeKind.PART for tag in routed) >= 150
    assert all(1 <= len(steps) <= 5 for steps in routed.values())
    assert {process_name(step) for step in vans[name].routes} <= set(PROCESSES)
    assert len({process_name(step) for step in vans[name].routes}) >= 25


@pytest.mark.parametrize("name", NAMES)
def test_options_and_materials_are_those_of_the_models(vans, name):
    materials = packaged_scenario().materials
    for tag, steps in routes_of(vans[name]).items():
        assert PROCESSES[process_name(steps[0])].adds_material, tag
        assert steps[0].material in materials, tag
        for step in steps:
            PROCESSES[process_name(step)].chosen(dict(step.options))


@pytest.mark.parametrize("name", NAMES)
def test_every_routed_part_is_costed(costed, name):
    parts, missing, result = costed[name]
    assert missing == {}
    assert dict(result.refused) == {}
    assert len(result.parts) == len(parts)
    # Planted: sizes that nobody took, so that estimates are shown.
    assert sum(bool(part.estimated) for part in parts) >= 50


@pytest.mark.parametrize("name", NAMES)
def test_costs_are_what_the_trade_would_accept(costed, name):
    parts, _, result = costed[name]
    for part in parts:
        mass, piece = part.readings["mass_kg"].value, result.parts[part.tag].piece.value
        first = part.steps[0]
        if first.choices.get("kind") == "fastener":
            # Nobody buys a U-bolt of 0.4 kg for cents.
            assert mass > LIGHT_KG or FASTENER_USD[0] < piece < FASTENER_USD[1], (part.tag, part.name, piece)
        elif first.process in PER_KG and mass > LIGHT_KG:
            low, high = PER_KG[first.process]
            assert low < piece / mass < high, (part.tag, part.name, piece / mass)


@pytest.mark.parametrize("name", NAMES)
def test_some_steps_are_assumed_and_the_rest_says_what_was_seen(vans, name):
    assumed = [step for step in vans[name].routes if step.seen is Seen.ASSUMED]
    assert 10 <= len(assumed) <= len(vans[name].routes) // 4
    assert all(step.evidence for step in vans[name].routes if step.seen is Seen.OBSERVED)


@pytest.mark.parametrize("name", NAMES)
def test_reasons_are_of_every_kind_and_not_for_every_part(vans, name):
    teardown = vans[name]
    tree = PartTree(teardown.nodes)
    assert {reason.kind for reason in teardown.reasons} == set(ReasonKind)
    assert all(reason.policy for reason in teardown.reasons if reason.kind is ReasonKind.COMES_OFF)
    reasoned = {reason.tag for reason in teardown.reasons}
    functions: dict[str, set[bool]] = defaultdict(set)
    for node in teardown.nodes:
        if tree.is_leaf(node.tag) and node.kind is NodeKind.PART:
            functions[tree.function(node.tag)].add(node.tag in reasoned)
    # Some parts with a reason and some without, in three decisions.
    assert all(functions[code] == {True, False} for code in ("F11", "F12", "F32"))


def test_dotterel_shares_marks_and_routes_with_turnstone(vans):
    def marks(name: str) -> dict[str, str]:
        found = {}
        for node in vans[name].nodes:
            said = [piece for piece in node.note.split("; ") if piece.startswith("mark ")]
            if said:
                assert len(said) == 1
                found[said[0]] = node.tag
        return found

    turnstone, dotterel = marks("turnstone"), marks("dotterel")
    shared = set(turnstone) & set(dotterel)
    assert len(shared) >= 150
    assert set(dotterel) - shared
    notes = {node.tag: node.note for node in vans["dotterel"].nodes}
    there, here = routes_of(vans["turnstone"]), routes_of(vans["dotterel"])
    for mark in shared:
        assert f"carried over: {turnstone[mark]}" in notes[dotterel[mark]]
        told = [
            [(step.process, step.options, step.material) for step in routes[tag]]
            for routes, tag in ((there, turnstone[mark]), (here, dotterel[mark]))
        ]
        assert told[0] == told[1]
    assert not set(marks("whimbrel")) & set(turnstone)


def test_every_statement_of_the_demo_is_used():
    # The script puts its folder where modules are found.
    from van_data.routes import routed, statements

    said, used = statements(), set()
    for name in make_vans.VANS:
        list(routed(make_vans.make(name).root, said, used))
    assert set(said) == used
