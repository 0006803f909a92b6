"""The invented vans: their workbooks load, close, hang together and are what the script makes.

The data is invented, so nothing here checks an engine; what is checked is that the demo keeps its word.
"""

from __future__ import annotations

import importlib.util
import math
import sys
from collections import Counter
from pathlib import Path
from types import ModuleType

import openpyxl
import pytest

from hoistbook.capture.read import read_teardown
from hoistbook.core.energy.model import simulate
from hoistbook.core.mass import Verdict, mass_book
from hoistbook.core.quantities.quantity import Origin
from hoistbook.core.vehicle.kinds import QUANTITY_KINDS
from hoistbook.core.vehicle.records import Basis, MassState, NodeKind, Scope, SubjectKind, Teardown
from hoistbook.core.vehicle.vin import inspect as inspect_vin
from hoistbook.reference.cycles import cycle

ROOT = Path(__file__).resolve().parent.parent
NAMES = ("whimbrel", "turnstone", "dotterel")
STATED = {
    # km and kWh of the demo's question; the numbers were set when the demo was laid out, not read off its workbooks.
    "whimbrel": (268.4, 52.0),
    "turnstone": (248.0, 55.1),
}


def _load() -> ModuleType:
    spec = importlib.util.spec_from_file_location("make_vans", ROOT / "examples" / "make_vans.py")
    assert spec is not None
    assert spec.loader is not None
    module = importlib.util.module_from_spec(spec)
    sys.modules["make_vans"] = module
    spec.loader.exec_module(module)
    return module


make_vans = _load()


@pytest.fixture(scope="module")
def made():
    return {name: make_vans.make(name) for name in NAMES}


@pytest.fixture(scope="module")
def vans() -> dict[str, Teardown]:
    return {name: read_teardown(ROOT / "examples" / f"{name}.xlsx") for name in NAMES}


def _fact(teardown: Teardown, quantity: str, state: MassState | None = None):
    found = [
        f for f in teardown.facts
        if f.quantity == quantity and f.basis is Basis.SPECIMEN and (state is None or f.mass_state is state)
    ]  # fmt: skip
    assert len(found) == 1, quantity
    return found[0].value


@pytest.mark.parametrize("name", NAMES)
def test_workbook_loads_with_nothing_to_report_but_what_was_planted(vans, name):
    planted = {"whimbrel": "mass of W-0802", "turnstone": "mass of T-1701", "dotterel": "nothing"}
    assert [line for line in vans[name].reported if not line.startswith(planted[name])] == []
    assert vans[name].vehicle.name == name.capitalize()
    assert inspect_vin(vans[name].vehicle.vin, vans[name].vehicle.model_year).remarks == ()


@pytest.mark.parametrize("name", NAMES)
def test_part_tree_reaches_the_last_fastener(vans, name):
    nodes = vans[name].nodes
    # common practice: the demo promises 600 nodes and at least four systems down to their fasteners.
    assert len(nodes) >= 600
    top = {node.tag: node for node in nodes if node.parent == f"{name[0].upper()}-0000"}
    parent = {node.tag: node.parent for node in nodes}
    fasteners: Counter[str] = Counter()
    for node in nodes:
        tag = node.tag
        while tag not in top and parent[tag] is not None:
            tag = parent[tag]
        if node.kind is NodeKind.FASTENER:
            fasteners[top[tag].name] += 1
    assert sum(count >= 5 for count in fasteners.values()) >= 8


@pytest.mark.parametrize("name", NAMES)
def test_every_leaf_but_the_missing_ones_was_read(vans, name):
    teardown = vans[name]
    parents = {node.parent for node in teardown.nodes}
    read = {m.subject for m in teardown.measurements if m.quantity == "mass"}
    unread = [n for n in teardown.nodes if n.tag not in parents and n.tag not in read]
    weighed_whole = {m.subject for m in teardown.measurements if m.scope is Scope.SUBTREE}
    above = {node.tag: node.parent for node in teardown.nodes}

    def inside(tag: str) -> bool:
        parent = above[tag]
        return parent is not None and (parent in weighed_whole or inside(parent))

    lacking = [node.name for node in unread if not inside(node.tag)]
    # The demo plants a part without a mass, so that there is something left to weigh; Dotterel is complete.
    assert lacking == ([] if name == "dotterel" else ["Roof loom"])


@pytest.mark.parametrize("name", NAMES)
def test_only_the_complete_van_may_say_that_parts_and_scale_agree(vans, name):
    verdict = mass_book(vans[name]).closure.verdict
    assert verdict is (Verdict.AGREE if name == "dotterel" else Verdict.SAYS_LITTLE)


@pytest.mark.parametrize("name", NAMES)
def test_quantities_are_written_in_the_words_of_the_template(name):
    words = {kind.words for kind in QUANTITY_KINDS.values()}
    book = openpyxl.load_workbook(ROOT / "examples" / f"{name}.xlsx", read_only=True)
    for sheet in ("facts", "measurements", "content", "effects"):
        rows = list(book[sheet].iter_rows(values_only=True))
        place = rows[0].index("quantity")
        assert {row[place] for row in rows[1:]} <= words


@pytest.mark.parametrize("name", NAMES)
def test_the_test_mass_names_its_duty(vans, name):
    [fact] = [f for f in vans[name].facts if f.mass_state is MassState.TEST]
    assert fact.duty == "wltc3b"


@pytest.mark.parametrize("name", NAMES)
def test_the_driven_axle_follows_from_the_corner_masses_and_the_axle_lift(vans, name):
    share, transfer = (_fact(vans[name], key) for key in ("driven_load_share", "load_transfer"))
    assert share.origin is transfer.origin is Origin.INFERRED
    centre = mass_book(vans[name]).centre_of_gravity
    front = centre.front_share.value
    # first principles: what is not on one axle is on the other; braking loads the front axle and unloads the rear one.
    # A tenth of a per cent is written, and a thousandth.
    assert share.value == pytest.approx(front if name == "whimbrel" else 1.0 - front, abs=0.0006)
    sign = 1.0 if name == "whimbrel" else -1.0
    lever = centre.height.value / _fact(vans[name], "wheelbase").value
    assert transfer.value == pytest.approx(sign * lever, abs=0.0011)
    # The band holds the truth, and what driver and equipment shift.
    truth = make_vans.VANS[name].corners
    assert abs(transfer.value - truth.load_transfer) <= transfer.expanded()
    assert abs(share.value - truth.driven_share) <= share.expanded()


def _pieces(teardown: Teardown) -> dict[str, float]:
    by_tag = {node.tag: node for node in teardown.nodes}
    pieces = {}
    for node in teardown.nodes:
        count, above = node.count, node.parent
        while above is not None:
            count *= by_tag[above].count
            above = by_tag[above].parent
        pieces[node.tag] = count
    return pieces


def _sum_of_leaves(teardown: Teardown):
    """Sum of the first counting reading of every leaf, counted up to the vehicle, and the terms of its band."""
    parents = {node.parent for node in teardown.nodes}
    superseded = {m.supersedes for m in teardown.measurements}
    pieces = _pieces(teardown)
    seen = set()
    total = None
    for m in teardown.measurements:
        if (
            m.quantity != "mass"
            or m.subject in parents
            or m.subject in seen
            or m.covers
            or m.id in superseded
        ):
            continue
        seen.add(m.subject)
        mass = m.value * (pieces[m.subject] / m.pieces)
        total = mass if total is None else total + mass
    return total


@pytest.mark.parametrize("name", NAMES)
def test_parts_close_with_the_vehicle_scale(vans, name):
    rest = _fact(vans[name], "mass", MassState.CURB) - _sum_of_leaves(vans[name])
    # first principles: what agrees lies within the 95 % band of the difference (E_n <= 1); the planted nameless
    # kilograms are on the scale and in no line, so the rest is positive.
    assert 0.0 < rest.value <= rest.expanded()
    # common practice: a roll-up closes within 0.5 % of the vehicle.
    assert rest.value < 0.005 * 1551.0


@pytest.mark.parametrize("name", NAMES)
def test_whole_assemblies_agree_with_their_pieces_but_for_the_planted_one(made, vans, name):
    teardown = vans[name]
    by_parent: dict[str, list[str]] = {}
    for node in teardown.nodes:
        by_parent.setdefault(node.parent or "", []).append(node.tag)
    pieces = _pieces(teardown)
    first = {}
    superseded = {m.supersedes for m in teardown.measurements}
    for m in teardown.measurements:
        if m.quantity == "mass" and not m.covers and m.scope is Scope.SELF and m.id not in superseded:
            first.setdefault(m.subject, m.value * (1.0 / m.pieces))

    def below(tag: str):
        return [t for child in by_parent.get(tag, []) for t in (below(child) or [child])]

    off = []
    compared = 0
    for m in teardown.measurements:
        leaves = below(m.subject) if m.scope is Scope.SUBTREE else []
        if not leaves or any(leaf not in first for leaf in leaves):
            continue
        compared += 1
        parts = [first[leaf] * (pieces[leaf] / pieces[m.subject]) for leaf in leaves]
        difference = m.value * (1.0 / m.pieces) - sum(parts[1:], parts[0])
        if abs(difference.value) > 0.1 and abs(difference.value) > 2.0 * difference.standard_uncertainty:
            off.append(next(n.name for n in teardown.nodes if n.tag == m.subject))
    planted = {"whimbrel": ["Refrigerant circuit"], "turnstone": ["Cooling circuits"], "dotterel": []}
    # common practice: a level closes within 2 u; below 0.1 kg is left out, where one in twenty passes 2 u by chance.
    assert off == planted[name]
    assert compared >= 8


@pytest.mark.parametrize(("name", "part"), [("whimbrel", "Subframe"), ("turnstone", "Cross-beam, towing")])
def test_one_pair_of_repeat_readings_contradicts(vans, name, part):
    tag = next(node.tag for node in vans[name].nodes if node.name == part)
    one, other = (
        m.value for m in vans[name].measurements if m.subject == tag and m.quantity == "mass" and not m.covers
    )
    difference = one - other
    # first principles: repeat readings share the calibration error, so only resolution and repeatability may differ.
    assert abs(difference.value) > 3.0 * difference.standard_uncertainty > 0.0


@pytest.mark.parametrize("name", NAMES)
def test_one_wrong_reading_is_superseded_by_the_right_one(vans, name):
    corrections = [m for m in vans[name].measurements if m.supersedes]
    assert len(corrections) == 1
    wrong = next(m for m in vans[name].measurements if m.id == corrections[0].supersedes)
    assert wrong.subject == corrections[0].subject
    assert wrong.value.value != corrections[0].value.value


@pytest.mark.parametrize("name", NAMES)
def test_corner_masses_add_up_to_the_curb_mass(vans, name):
    corners = [
        _fact(vans[name], f"corner_mass_{corner}").value
        for corner in ("front_left", "front_right", "rear_left", "rear_right")
    ]
    # first principles: the pads carry the whole vehicle.
    assert sum(corners) == pytest.approx(_fact(vans[name], "mass", MassState.CURB).value, abs=1e-9)


@pytest.mark.parametrize("name", NAMES)
def test_test_mass_is_curb_mass_with_driver_and_equipment(vans, name):
    extra = _fact(vans[name], "mass", MassState.TEST) - _fact(vans[name], "mass", MassState.CURB)
    # first principles: driver 75 kg and equipment 25 kg, as the note of the fact says.
    assert extra.value == pytest.approx(100.0, abs=extra.expanded())


@pytest.mark.parametrize("name", ["whimbrel", "turnstone"])
def test_the_question_of_the_demo_is_stated(vans, name):
    range_km, usable_kwh = STATED[name]
    assert _fact(vans[name], "range").value / 1e3 == pytest.approx(range_km, abs=0.05)
    assert _fact(vans[name], "usable_energy").value / 3.6e6 == pytest.approx(usable_kwh, abs=0.05)


@pytest.mark.parametrize("name", NAMES)
def test_stated_range_is_the_chain_at_the_truth_times_the_planted_error(made, vans, name):
    one = made[name]
    parameters = one.van.parameters(one.curb_kg + 100.0)
    result = simulate(cycle("wltc3b"), parameters)
    chain_km = float(parameters.usable_energy_j * result.distance_m / result.cell_j) / 1e3
    # first principles: stated = true range + an error within its band; to the kilometre, as the demo promises.
    assert _fact(vans[name], "range").value / 1e3 == pytest.approx(chain_km * one.van.residual, abs=1.0)


@pytest.mark.parametrize("name", ["whimbrel", "turnstone"])
def test_every_stated_parameter_lies_within_its_band_of_the_truth(made, vans, name):
    parameters = made[name].van.parameters(made[name].curb_kg + 100.0)
    for quantity, field in (
        ("tyre_coefficient", "tyre_coefficient"), ("drag_area", "drag_area_m2"), ("wheel_radius", "wheel_radius_m"),
        ("loss_c0", "loss_c0_w"), ("loss_k1", "loss_k1"), ("loss_k2", "loss_k2"), ("loss_k3", "loss_k3"),
        ("return_share", "return_frac"), ("cut_in_low", "cut_in_low_m_per_s"), ("accessory_power", "accessory_power_w"),
        ("pack_resistance", "pack_resistance_ohm"), ("usable_energy", "usable_energy_j"),
    ):  # fmt: skip
        stated = _fact(vans[name], quantity)
        # first principles: a 95 % band that is meant holds the truth nearly always; the demo plants no exception.
        assert abs(stated.value - getattr(parameters, field)) <= stated.expanded(), quantity


def test_carried_over_parts_weigh_the_same_within_the_scale(vans):
    masses = {}
    for name in ("turnstone", "dotterel"):
        superseded = {m.supersedes for m in vans[name].measurements}
        for m in vans[name].measurements:
            if (
                m.quantity == "mass"
                and m.instrument
                and not m.covers
                and m.id not in superseded
                and m.replicate == 1
            ):
                masses[m.subject, m.scope] = m.value * (1.0 / m.pieces)
    compared = 0
    for node in vans["dotterel"].nodes:
        if not node.note.startswith("carried over: "):
            continue
        twin = node.note.split("; ")[0].removeprefix("carried over: ")
        one, other = masses.get((node.tag, Scope.SELF)), masses.get((twin, Scope.SELF))
        if one is None or other is None:
            continue
        compared += 1
        difference = one - other
        # first principles: two readings of one mass on one scale differ by resolution and repeatability alone; four
        # standard uncertainties leave room for a thousand pairs (6e-5 each beyond it for a normal error).
        assert abs(difference.value) <= 4.0 * difference.standard_uncertainty + 1e-9, node.tag
    assert compared >= 500


def test_content_masses_come_from_the_part_tree(made):
    def mass(name: str, path: str) -> float:
        return make_vans.find(made[name].root, path).true_mass_kg()

    def said(name: str, item: str) -> float:
        return next(i.value for i in made[name].van.content if i.item == item and i.quantity == "mass")

    # first principles: what is stripped or added is what lies on the bench; tolerances are the bands of the items.
    assert said("turnstone", "towing preparation") == pytest.approx(
        mass("turnstone", "Towing preparation"), abs=0.06
    )
    wheels = 4.0 * (mass("turnstone", "Wheel assembly") - mass("dotterel", "Wheel assembly"))
    assert said("turnstone", "wheel size") == pytest.approx(wheels, abs=0.2)
    ring = mass("turnstone", "Load floor/Tie-down ring") + 0.0315  # with its M10×25 screw
    assert said("turnstone", "tie-down rings") == pytest.approx(2.0 * ring, abs=0.02)
    seats = mass("turnstone", "Double passenger seat") - mass("dotterel", "Passenger seat")
    bench = seats - mass("dotterel", "Shelf beside passenger seat")
    assert said("dotterel", "passenger bench") == pytest.approx(bench, abs=0.1)
    window = mass("whimbrel", "Bulkhead/Window, bulkhead") + mass("whimbrel", "Bulkhead/Window seal")
    assert said("whimbrel", "bulkhead window") == pytest.approx(window, abs=0.1)


@pytest.mark.parametrize("name", NAMES)
def test_every_function_has_an_approach_and_the_bolts_are_counted(vans, name):
    teardown = vans[name]
    leaves = {f.code for f in teardown.functions if f.parent}
    assert {a.function for a in teardown.approaches} == leaves
    assert 10 <= len(leaves) <= 20
    served = {n.function for n in teardown.nodes if n.function}
    assert {a.function for a in teardown.approaches if a.present} == served
    # What the approaches say in words: 22 bolts through lugs against 38 through side rails.
    fastening = next(n.tag for n in teardown.nodes if n.name == "Pack fastening")
    bolts = next(n for n in teardown.nodes if n.parent == fastening and n.kind is NodeKind.FASTENER)
    assert bolts.count == {"whimbrel": 22, "turnstone": 38, "dotterel": 38}[name]


@pytest.mark.parametrize("name", NAMES)
def test_fasteners_at_joints_are_in_the_part_tree(vans, name):
    by_tag = {node.tag: node for node in vans[name].nodes}
    screwed = [joint for joint in vans[name].joints if joint.fastener]
    # common practice: fasteners tagged = fasteners at joints.
    assert all(by_tag[joint.fastener].count == joint.fastener_count for joint in screwed)
    assert len(screwed) >= 200


@pytest.mark.parametrize("name", NAMES)
def test_cable_runs_are_as_long_as_the_approach_says(vans, name):
    run = next(
        m.value.value for m in vans[name].measurements
        if m.subject_kind is SubjectKind.APPROACH and m.subject.endswith("F33") and m.quantity == "length"
    )  # fmt: skip
    assert run == pytest.approx({"whimbrel": 2.9, "turnstone": 6.2, "dotterel": 6.2}[name], abs=0.05)


def test_dotterel_leaves_tyres_and_drag_force_inseparable(vans):
    quantities = {fact.quantity for fact in vans["dotterel"].facts}
    assert {"road_load_a", "road_load_b", "road_load_c"} <= quantities
    assert not {"tyre_coefficient", "drag_area", "drag_torque", "drag_force"} & quantities


def test_instruments_are_the_same_on_every_van(vans):
    rows = [dict(vans[name].instruments) for name in NAMES]
    assert rows[0] == rows[1] == rows[2]


def test_script_makes_the_stored_workbooks(made):
    assert make_vans.check(list(made.values())) == []


def test_script_makes_the_same_bytes_twice(made, tmp_path):
    again = [make_vans.make(name) for name in NAMES]
    first = make_vans.write(list(made.values()), tmp_path / "one")
    second = make_vans.write(again, tmp_path / "two")
    assert [path.read_bytes() for path in first] == [path.read_bytes() for path in second]


def test_packaged_copies_are_the_examples():
    for name in NAMES:
        stored = ROOT / "examples" / f"{name}.xlsx"
        assert stored.read_bytes() == (make_vans.PACKAGED / stored.name).read_bytes()


def test_a_changed_workbook_is_noticed(made, tmp_path):
    made_rows = made["whimbrel"].rows
    other = {**made_rows, "vehicle": [{**made_rows["vehicle"][0], "name": "Whimbrel II"}]}
    make_vans.write_workbook(tmp_path / "changed.xlsx", other)
    assert not make_vans.same_workbook(tmp_path / "changed.xlsx", ROOT / "examples" / "whimbrel.xlsx")


def test_true_masses_of_the_readme_are_those_of_the_trees(made):
    text = (ROOT / "examples" / "README.md").read_text(encoding="utf-8")
    row = next(line for line in text.splitlines() if line.startswith("| curb mass"))
    told = [float(cell) for cell in row.split("|")[3:6]]
    assert all(
        math.isclose(a, made[name].curb_kg, abs_tol=0.006) for a, name in zip(told, NAMES, strict=True)
    )
