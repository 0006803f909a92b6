"""Removal sequences against every sequence of small graphs, the worked examples, and removals from joints."""

import itertools
import math

import pytest
from hypothesis import assume, given, settings
from hypothesis import strategies as st

from core.cost.assembly_bench import JOINTS, packaged, van
from hoistbook.core.cost.assembly.book import assembly_book
from hoistbook.core.cost.service.bounds import critical_path_s, good_sequence, lower_bound_s, persons_bound_s
from hoistbook.core.cost.service.cuts import Cut, dismantling_for, full_dismantling
from hoistbook.core.cost.service.derive import Obstacle, removal_from_joints, service_of_part, take_off
from hoistbook.core.cost.service.operations import Operation, OperationGraph, SetUp, walked
from hoistbook.core.cost.service.removal import Once, service_time
from hoistbook.core.cost.service.sequence import TooWideError, longest, sequence_count, shortest
from hoistbook.core.quantities.assumption import AssumptionKind
from hoistbook.core.quantities.evaluation import exact
from hoistbook.core.vehicle.hazards import HAZARDS, WHO_DECIDES
from hoistbook.core.vehicle.records import Joint
from hoistbook.reference.assembly import assembly_figures

FIGURES = assembly_figures()


def op(name, seconds, tool="", after="", any_of=(), position=""):
    return Operation(name, name, exact(seconds, "s"), tool, position, tuple(after), tuple(map(tuple, any_of)))


# computed: worked example of the reference: a component behind an undershield, times in seconds.
EXAMPLE = OperationGraph(
    [
        op("S", 180, "T30"), op("C", 25, "", "S"), op("H", 20, "", "C"), op("D", 240, "10 mm", "S"),
        op("L", 60, "10 mm", "D"), op("G", 30, "T30", "S"), op("W", 75, "T30", "S"), op("B", 90, "13 mm", "HLG"),
        op("X", 30, "", "B"),
    ]
)  # fmt: skip
TOOL = SetUp(8.0)


def test_worked_example():
    # computed: Σ 675 s, 8 steps, 30 orders; best 699 s with 3 pick-ups, worst 715 s with 5; critical path 600 s.
    best = shortest(EXAMPLE, "X", TOOL)
    assert len(best.order) == 8
    assert "W" not in best.order
    assert (best.seconds, best.picks) == (699.0, 3)
    assert best.seconds - 8.0 * best.picks == 675.0
    worst = longest(EXAMPLE, best.order, TOOL)
    assert (worst.seconds, worst.picks) == (715.0, 5)
    assert sequence_count(EXAMPLE, best.order) == 30
    assert critical_path_s(EXAMPLE, "X") == 600.0
    assert walked(EXAMPLE, tuple("SCGDHLBX"), TOOL).seconds == 699.0
    assert lower_bound_s(EXAMPLE, "X", TOOL) <= 699.0


def test_persons_bound():
    # computed: 675 s shared by two is 337.5 s, below the critical path of 600 s; one person has 675 s.
    assert persons_bound_s(EXAMPLE, "X", 2) == 600.0
    assert persons_bound_s(EXAMPLE, "X", 1) == 675.0
    with pytest.raises(ValueError, match="at least one person"):
        persons_bound_s(EXAMPLE, "X", 0)


TOOLS = ("", "a", "b")
SIDES = ("", "top", "under")


@st.composite
def graphs(draw, most=6, alternatives=True):
    count = draw(st.integers(1, most))
    operations = []
    for i in range(count):
        earlier = [f"o{k}" for k in range(i)]
        groups = (
            st.lists(st.lists(st.sampled_from(earlier), min_size=1, max_size=3), max_size=2)
            if earlier
            else st.just([])
        )
        operations.append(
            op(
                f"o{i}",
                float(draw(st.integers(0, 30))),
                draw(st.sampled_from(TOOLS)),
                draw(st.lists(st.sampled_from(earlier), max_size=2, unique=True)) if earlier else (),
                draw(groups) if alternatives else (),
                draw(st.sampled_from(SIDES)),
            )
        )
    return OperationGraph(operations)


SET_UPS = st.builds(
    SetUp, tool_s=st.sampled_from([0.0, 3.0, 8.0]), move_s=st.sampled_from([0.0, 5.0]), tool=st.sampled_from(TOOLS),
    position=st.sampled_from(SIDES),
)  # fmt: skip


def every_removal(graph, target):
    """All feasible orders that end with the target, by trying all."""
    others = [o.id for o in graph.operations if o.id != target]
    for size in range(len(others) + 1):
        for order in itertools.permutations(others, size):
            if graph.allows((*order, target)):
                yield (*order, target)


@settings(max_examples=120)
@given(graphs(), SET_UPS)
def test_shortest_equals_trying_all_orders(graph, set_up):
    target = graph.operations[-1].id
    best = shortest(graph, target, set_up)
    tried = [walked(graph, order, set_up).seconds for order in every_removal(graph, target)]
    # first principles: the least over every feasible order of every subset.
    assert best.seconds == pytest.approx(min(tried), abs=1e-9)
    assert graph.allows(best.order)
    assert best.order[-1] == target
    assert lower_bound_s(graph, target, set_up) <= best.seconds + 1e-9
    good = good_sequence(graph, target, set_up)
    assert graph.allows(good.order)
    assert target in good.order
    assert good.seconds >= best.seconds - 1e-9


@settings(max_examples=60)
@given(graphs(), SET_UPS)
def test_longest_and_count_equal_trying_all_orders(graph, set_up):
    members = shortest(graph, graph.operations[-1].id, set_up).order
    orders = [order for order in itertools.permutations(members) if graph.allows(order)]
    # first principles: over every feasible order of the same operations.
    assert longest(graph, members, set_up).seconds == pytest.approx(
        max(walked(graph, order, set_up).seconds for order in orders), abs=1e-9
    )
    assert sequence_count(graph, members) == len(orders)


@settings(max_examples=60)
@given(graphs())
def test_critical_path_equals_the_longest_chain_of_the_best_choice(graph):
    target = graph.operations[-1].id

    def end(name):
        o = graph.operations[graph.index(name)]
        ends = [end(a) for a in o.after] + [min(end(a) for a in group) for group in o.after_any]
        return o.seconds.value + max([0.0, *ends])

    # first principles: recursion over what comes before; the engine settles in order of rising end instead.
    assert critical_path_s(graph, target) == pytest.approx(end(target))


@given(graphs(alternatives=False), st.integers(1, 5))
def test_more_people_never_take_longer_and_no_bound_beats_the_critical_path(graph, people):
    target = graph.operations[-1].id
    bound = persons_bound_s(graph, target, people)
    assert persons_bound_s(graph, target, people + 1) <= bound
    assert bound >= critical_path_s(graph, target)


@given(graphs(alternatives=False), SET_UPS)
def test_one_more_thing_in_the_way_never_helps(graph, set_up):
    target = graph.operations[-1]
    assume(len(graph) > 1)
    more = [*graph.operations[:-1], op("extra", 4.0, "b"), Operation(
        target.id, target.words, target.seconds, target.tool, target.position, (*target.after, "extra"))]  # fmt: skip
    blocked = OperationGraph(more)
    assert (
        shortest(blocked, target.id, set_up).seconds
        >= shortest(graph, target.id, set_up).seconds + 4.0 - 1e-9
    )


def test_either_of_two_covers():
    graph = OperationGraph(
        [
            op("left", 50),
            op("right", 30),
            op("pin", 5, after=["left"]),
            op("out", 10, any_of=[["left", "right"]]),
        ]
    )
    # first principles: the cheaper cover, unless the other must come off anyway.
    assert shortest(graph, "out", TOOL).order == ("right", "out")
    both = OperationGraph([*graph.operations[:3], op("out", 10, after=["pin"], any_of=[["left", "right"]])])
    assert shortest(both, "out", TOOL).order == ("left", "pin", "out")


def test_many_operations_are_bounded_and_say_so():
    def antichain(n):
        names = [f"o{i}" for i in range(n)]
        return OperationGraph(
            [*(op(x, 10.0, f"t{i % 3}") for i, x in enumerate(names)), op("X", 5.0, after=names)]
        )

    best = shortest(antichain(12), "X", TOOL)
    # first principles: 12 operations, three tools taken once each.
    assert best.seconds == 120.0 + 5.0 + 3 * 8.0
    assert sequence_count(antichain(12), best.order) == math.factorial(12)
    wide = antichain(30)
    with pytest.raises(TooWideError, match="31 operations"):
        shortest(wide, "X", TOOL)
    found = service_time(wide, "X", FIGURES)
    assert not found.exact
    assert found.sequence_count is None
    # first principles: the bound is reached here, which proves the sequence.
    assert found.search_s == found.bound_s
    assert any("more operations" in a.text for a in found.assumed)


def test_graph_is_checked():
    with pytest.raises(ValueError, match="a, b wait for each other"):
        OperationGraph([op("a", 1, after="b"), op("b", 1, after="a")])
    with pytest.raises(ValueError, match="wait for each other"):
        OperationGraph([op("a", 1, any_of=[["b"]]), op("b", 1, after="a")])
    with pytest.raises(ValueError, match="used twice"):
        OperationGraph([op("a", 1), op("a", 2)])
    with pytest.raises(ValueError, match="'c', which is not among"):
        OperationGraph([op("a", 1, after="c")])
    with pytest.raises(ValueError, match="time -1"):
        op("a", -1)
    with pytest.raises(ValueError, match="empty group"):
        op("a", 1, any_of=[[]])
    with pytest.raises(ValueError, match="breaks a precedence"):
        walked(EXAMPLE, ("X",), TOOL)
    with pytest.raises(KeyError, match="no operation 'Z'"):
        shortest(EXAMPLE, "Z", TOOL)


def test_remove_and_replace_time_adds_up():
    extras = (Once("bleed", exact(600.0, "s")),)
    found = service_time(EXAMPLE, "X", FIGURES, once=extras, worst=True, person_count=2)
    figures = {name: FIGURES[name].value for name in ("tool_pick_up_s", "reinstall_frac", "service_setup_s")}
    changes = found.picks * figures["tool_pick_up_s"]
    # first principles: out, back in at 1.1–1.3 of it with the same changes, set-up and extras once.
    assert found.removal_s.value == pytest.approx(675.0 + changes)
    assert found.replacement_s.value == pytest.approx(675.0 * figures["reinstall_frac"] + changes)
    assert found.once_s.value == pytest.approx(figures["service_setup_s"] + 600.0)
    assert found.total_s.value == pytest.approx(
        found.removal_s.value + found.replacement_s.value + found.once_s.value
    )
    assert found.visits[-1].ends_s == pytest.approx(found.search_s)
    assert found.worst_s >= found.search_s >= found.bound_s
    assert (found.depth, found.sequence_count, found.persons_bound_s) == (8, 30, 600.0)
    assert found.total_s.standard_uncertainty > 0.0


CUTS = [
    Cut(name, frozenset(one), frozenset(other), seconds)
    for name, one, other, seconds in [
        ("a1", "L", "GMT", 60), ("a2", "LG", "MT", 75), ("a3", "G", "MT", 20), ("a4", "M", "T", 90),
        ("a5", "L", "G", 10), ("a7", "GT", "M", 95), ("a8", "G", "T", 25),
    ]
]  # fmt: skip


def test_cuts_of_a_lid_a_gasket_a_module_and_a_tray():
    # computed: full 170 s by a1, a3, a4; module 155 by a1, a7; gasket 80 by a1, a3; tray 165 by a2, a4.
    full = full_dismantling("LGMT", CUTS)
    assert (full.seconds, set(full.cuts)) == (170.0, {"a1", "a3", "a4"})
    single = {part: dismantling_for("LGMT", part, CUTS) for part in "MGT"}
    assert {part: found.seconds for part, found in single.items()} == {"M": 155.0, "G": 80.0, "T": 165.0}
    assert single["M"].cuts == ("a1", "a7")
    with pytest.raises(ValueError, match="no cuts lead"):
        full_dismantling("LGMT", CUTS[:1])
    with pytest.raises(ValueError, match="no part of"):
        dismantling_for("LGMT", "Z", CUTS)
    with pytest.raises(ValueError, match="none can be on both"):
        Cut("b", frozenset("L"), frozenset("LG"), 1.0)


BOOK = assembly_book(van(), packaged())


def test_a_removal_is_made_of_the_joints_that_hold_the_part():
    removal = removal_from_joints(van(), BOOK, "P", FIGURES)
    assert {o.id for o in removal.graph.operations} == {"J4", "J5", take_off("P")}
    pump = next(o for o in removal.graph.operations if o.id == "J4")
    assert (pump.tool, pump.position) == ("hex 13", "below")
    line = next(work for work in BOOK.joints if work.joint == "J4").normal_s.value
    # common practice: a workshop takes twice the line's time, changeable.
    assert pump.seconds.value == pytest.approx(2.0 * line)


def test_one_piece_is_removed_where_the_vehicle_has_two():
    removal = removal_from_joints(van(), BOOK, "D2", FIGURES)
    latch = next(o for o in removal.graph.operations if o.id == "J2")
    both = next(work for work in BOOK.joints if work.joint == "J2").normal_s.value
    # first principles: two doors on the line, one in the workshop, at twice the time (common practice).
    assert latch.seconds.value == pytest.approx(2.0 * both / 2.0)


def test_what_stands_in_the_way_is_stated():
    behind = [Obstacle("P", ("S",))]
    plain, blocked = (service_of_part(van(), BOOK, "P", FIGURES, obstacles=o) for o in ((), behind))
    assert blocked.depth == plain.depth + 2
    order = [visit.operation for visit in blocked.visits]
    assert order.index(take_off("S")) < order.index(take_off("P"))
    assert blocked.total_s.value > plain.total_s.value
    either = [Obstacle("J4", ("S", "J5"), any_of=True)]
    assert service_of_part(van(), BOOK, "P", FIGURES, obstacles=either).search_s < blocked.search_s


def test_hazards_are_cautioned_and_their_work_added_once():
    found = service_of_part(van(), BOOK, "P", FIGURES, masses={"P": exact(30.0, "kg")})
    cautions = [a.text for a in found.assumed if a.kind is AssumptionKind.CAUTION]
    assert any(text.startswith("Fluids") for text in cautions)
    assert any("lifted with an aid" in text for text in cautions)
    assert WHO_DECIDES in cautions[-1]
    # One list: what a strip plan says beside such a part, a service time says, too.
    words = {hazard.caution for hazard in HAZARDS}
    assert all(text.split(" (")[0] in words or "lifted with an aid" in text for text in cautions[:-1])
    assert any("coolant circuit" in once.words for once in found.once)
    latch = service_of_part(van(), BOOK, "D2", FIGURES)
    assert "Local law" in [a.text for a in latch.assumed if a.kind is AssumptionKind.CAUTION][-1]
    assert len(latch.once) == 1  # set-up alone


def test_what_cannot_be_undone_needs_a_stated_time():
    with pytest.raises(ValueError, match="joint J7 \\(bonding\\) is not made to be undone"):
        service_of_part(van(), BOOK, "G", FIGURES)
    found = service_of_part(van(), BOOK, "G", FIGURES, stated={"J7": exact(1800.0, "s")})
    assert found.removal_s.value > 1800.0
    with pytest.raises(ValueError, match="no joint holds it"):
        service_of_part(van(), BOOK, "D", FIGURES)
    with pytest.raises(ValueError, match="neither a joint nor a tag"):
        service_of_part(van(), BOOK, "P", FIGURES, obstacles=[Obstacle("P", ("Q",))])
    open_ended = (*JOINTS, Joint("J8", ("S", "V"), "screwing"))
    with pytest.raises(ValueError, match="J8: the number of fasteners is not recorded"):
        service_of_part(van(open_ended), assembly_book(van(open_ended), packaged()), "S", FIGURES)
