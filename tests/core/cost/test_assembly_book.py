"""Assembly of a whole vehicle, reasons of parts, and what another fixing changes."""

import random
from dataclasses import replace

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from core.cost.assembly_bench import JOINTS, NODES, packaged, van, workshop
from hoistbook.core.cost.assembly.book import KnownParts, assembly_book, base_of
from hoistbook.core.cost.assembly.fastener_list import fastener_list
from hoistbook.core.cost.assembly.fastening import Fastening, Station, fastening_steps
from hoistbook.core.cost.assembly.necessity import necessity
from hoistbook.core.cost.assembly.plans import Kind
from hoistbook.core.cost.assembly.reading import NOT_STATED, read_joint
from hoistbook.core.cost.assembly.swap import Fixing, swap
from hoistbook.core.cost.assembly.tally import Rates
from hoistbook.core.cost.assembly.times import AllowanceForm
from hoistbook.core.cost.fasteners.designation import read_designation
from hoistbook.core.cost.money import MoneyBasis
from hoistbook.core.quantities.evaluation import exact
from hoistbook.core.quantities.quantity import Quantity, total
from hoistbook.core.quantities.sampling import joint_draws
from hoistbook.core.vehicle.records import Joint, Reason, ReasonKind, Share
from hoistbook.core.vehicle.tree import PartTree
from hoistbook.reference.fasteners import fastener_figures, fastener_tables

EUR = MoneyBasis("EUR", 2024)
RATE = exact(36.0 / 3600.0, "1/s")


def book(teardown=None, shop=None, **more):
    return assembly_book(teardown or van(), shop or packaged(), money_per_s=RATE, basis=EUR, **more)


def of(found, joint):
    return next(work for work in found.joints if work.joint == joint)


def same(a: Quantity, b: Quantity) -> bool:
    ours, theirs = ({source.name: c for source, c in q.terms} for q in (a, b))
    return a.value == pytest.approx(b.value) and all(
        ours.get(name, 0.0) == pytest.approx(theirs.get(name, 0.0), abs=1e-9) for name in {*ours, *theirs}
    )


def test_joints_are_read():
    found = book()
    assert [work.reading.kind for work in found.joints] == [
        Kind.ELSEWHERE, Kind.BOLT, Kind.CLIP, Kind.BOLT, Kind.HOSE_AND_CLAMP, Kind.BOLT, Kind.ADHESIVE,
    ]  # fmt: skip
    assert [work.base for work in found.joints] == ["D", "D", "D", "V", "V", "V", "V"]
    # first principles: two doors, one vehicle.
    assert [work.occurrences for work in found.joints] == [2.0, 2.0, 2.0, 1.0, 1.0, 1.0, 1.0]
    assert found.whole.fastener_count == 2 * 3 + 2 + 4
    assert found.whole.quick_count == 2 * 9
    assert found.whole.drives == ("T30", "hex 13")
    assert found.whole.directions == ("below", "front", "inside")
    assert (found.whole.joint_count, found.whole.elsewhere_count, found.whole.direction_not_stated) == (
        7,
        1,
        1,
    )
    assert found.whole.missing == ()


def test_welded_and_hemmed_joints_take_no_time_here_and_say_why():
    work = of(book(), "J1")
    # first principles: the process model of the step has the time; counting it here would count it twice.
    assert work.normal_s.value == 0.0
    assert "made in another step" in work.notes[0]


def test_every_joint_opens_down_to_its_motions():
    found = book(shop=workshop())
    for work in found.joints:
        by_hand = sum(step.seconds.value for step in work.steps)
        # first principles: the sum of the steps, for every piece of the base.
        assert work.normal_s.value == pytest.approx(work.occurrences * by_hand)
    assert all(step.code or step.words for work in found.joints for step in work.steps)


def test_sums_add_up_in_value_and_in_every_error():
    found = book(van(shares=(Share("P", "A-cool", 0.25), Share("P", "A-door", 0.75))))
    parts = [*found.approaches.values(), found.unassigned["C"]]
    assert same(total([p.normal_s for p in parts]), found.whole.normal_s)
    assert same(total([p.standard_s for p in parts]), found.whole.standard_s)
    assert same(total([p.cost_money for p in parts]), found.whole.cost_money)
    assert sum(p.fastener_count for p in parts) == pytest.approx(found.whole.fastener_count)
    assert same(found.whole.joining_s + found.whole.placing_s, found.whole.normal_s)
    # first principles: standard = normal (1 + A), cost = standard × rate.
    assert found.whole.standard_s.value == pytest.approx(1.15 * found.whole.normal_s.value)
    assert found.whole.cost_money.value == pytest.approx(found.whole.standard_s.value * RATE.value)
    assert found.whole.basis == EUR


def test_approaches_hold_their_own_joints():
    found = book()
    assert found.approaches["A-latch"].fastener_count == 6.0
    assert found.approaches["A-door"].quick_count == 18.0
    assert found.approaches["A-cool"].directions == ("below", "front")
    assert found.unassigned["C"].joint_count == 1  # the glass


@settings(max_examples=20)
@given(st.randoms(use_true_random=False))
def test_order_of_joints_does_not_matter(shuffler: random.Random):
    joints = list(JOINTS)
    shuffler.shuffle(joints)
    ours, theirs = book(van(tuple(joints))), book()
    assert ours.whole == theirs.whole
    assert ours.approaches == theirs.approaches
    assert ours.joints == theirs.joints


def test_another_side_costs_a_change_of_side_once_per_station():
    def fixed(*access):
        return tuple(Joint(f"K{i}", ("S", "V"), "screwing", "P1", 1, "T30", a) for i, a in enumerate(access))

    one, two, again = (
        book(van(fixed(*sides)), workshop()).whole.joining_s.value
        for sides in (("from below",) * 3, ("from below", "from above", "from below"), ("from above",) * 3)
    )
    # first principles: 37.2 TMU to turn round and three paces of 15 (from memory), slowed by nothing.
    assert two - one == pytest.approx((37.2 + 45.0) * 0.036)
    assert again == pytest.approx(one)


def test_another_drive_costs_a_bit_only_without_a_tool_of_its_own():
    joints = (
        Joint("K1", ("S", "V"), "screwing", "P1", 1, "T30"),
        Joint("K2", ("S", "V"), "screwing", "P1", 1, "T40"),
    )
    own, bits = (book(van(joints), station=Station(own_tool_per_drive=flag)).whole for flag in (True, False))
    assert bits.joining_s.value > own.joining_s.value
    assert own.drives == ("T30", "T40")


def test_form_of_the_allowance_is_named():
    found = book(station=Station(allowance_form=AllowanceForm.OF_SHIFT))
    # first principles: a share of the shift, 1/(1 − 0.15).
    assert found.whole.standard_s.value == pytest.approx(found.whole.normal_s.value / 0.85)
    assert "the allowance is a share of the shift" in [a.text for a in found.assumed]


def test_what_no_time_can_be_said_of_is_listed_and_not_counted_as_zero():
    broken = (*JOINTS, Joint("J8", ("S", "V"), "screwing"), Joint("J9", ("S", "V"), "bonding"))
    found = book(van(broken))
    assert of(found, "J8").normal_s is None
    assert found.whole.missing == (
        "J8: the number of fasteners is not recorded",
        "J9: the length of the bead is not recorded (write it in the note, e.g. 1.2 m)",
    )
    assert found.whole.joining_s == book().whole.joining_s


def test_a_part_is_placed_once_and_its_mass_counts():
    light = book(known=KnownParts(masses={"P": exact(0.5, "kg")}))
    heavy = book(known=KnownParts(masses={"P": exact(8.0, "kg")}))
    assert [work.tag for work in light.parts] == ["D2", "D4", "G", "P", "S"]
    assert [work.pieces for work in light.parts] == [2.0, 2.0, 1.0, 1.0, 1.0]
    assert heavy.whole.placing_s.value > light.whole.placing_s.value
    assert any("parts have no mass" in a.text for a in light.assumed)


def test_line_rules_stand_beside_the_motions_of_the_same_joints():
    found = book().whole
    # first principles: three screwed joints, one clipped, one clamped have a rule; hemming and bonding have none.
    assert found.ruled_joints == 5
    assert 0.0 < found.ruled_s.value < found.standard_s.value
    # common practice: 8.5 s a bolt (12), 3 s a clip (18), 11.5 s a hose (2).
    assert found.rule_s.value == pytest.approx(12 * 8.5 + 18 * 3.0 + 2 * 11.5)


def test_difference_of_two_vehicles_is_sharper_than_either():
    more = (*JOINTS, Joint("J8", ("S", "V"), "screwing", "P1", 2, "hex 13", "from below"))
    ours, theirs = book(van(more)).whole.standard_s, book().whole.standard_s
    assert (ours - theirs).standard_uncertainty < 0.3 * theirs.standard_uncertainty
    table = joint_draws([ours, theirs], 4_000, 3)
    # first principles: the draws share what the quantities share; 4,000 draws know a spread to 1.1 %, so 4 %.
    assert np.std(table[0] - table[1]) == pytest.approx((ours - theirs).standard_uncertainty, rel=0.04)


def test_a_rate_needs_its_currency():
    with pytest.raises(ValueError, match="needs its currency and year"):
        assembly_book(van(), packaged(), money_per_s=RATE)
    assert assembly_book(van(), packaged()).whole.cost_money is None


@pytest.mark.parametrize(
    ("access", "direction", "obstructed"),
    [
        ("from below", "below", False), ("from behind", "rear", False), ("from behind plug", "rear", True),
        ("from inside, behind lining", "inside", True), ("from above, lid off", "above", True), ("", NOT_STATED, False),
        ("from load space", "inside", False), ("through the wheel house", NOT_STATED, True), ("left", "left", False),
    ],
)  # fmt: skip
def test_access_is_read(access, direction, obstructed):
    found = read_joint(Joint("J", ("P",), "screwing", access=access), "", "")
    assert (found.direction, found.obstructed) == (direction, obstructed)


@pytest.mark.parametrize(
    ("process", "fastener", "names", "kind"),
    [
        ("screwing", "Screw M6", "", Kind.BOLT), ("screwing", "bolt M8 with nut", "", Kind.BOLT_AND_NUT),
        ("screwing", "Screw in rivet nut M8", "", Kind.BOLT), ("clipping", "", "Door seal", Kind.MOULDED_CLIP),
        ("clipping", "", "Connector, drive end", Kind.CONNECTOR), ("clipping", "Trim clip", "", Kind.CLIP),
        ("clamping", "Cable tie 4.8", "", Kind.CABLE_TIE), ("clamping", "Ear clamp", "", Kind.HOSE_AND_CLAMP),
        ("pressing in", "", "", Kind.PRESS_FIT), ("riveting", "Rivet 6.4", "", Kind.RIVET),
        ("bonding", "", "", Kind.ADHESIVE), ("spot welding", "", "", Kind.ELSEWHERE),
        ("riveting and bonding", "", "", Kind.ELSEWHERE), ("hemming", "", "", Kind.ELSEWHERE),
        ("knotting", "", "", Kind.UNKNOWN),
    ],
)  # fmt: skip
def test_kind_is_read(process, fastener, names, kind):
    assert read_joint(Joint("J", ("P",), process), fastener, names).kind is kind


def test_base_of_a_joint():
    tree = PartTree(NODES)
    assert base_of(Joint("J", ("D2", "D"), ""), tree, {}) == "D"
    masses = {"P": exact(2.0, "kg"), "S": exact(1.0, "kg")}
    assert base_of(Joint("J", ("P", "S"), ""), tree, masses) == "P"
    assert base_of(Joint("J", ("P", "S"), ""), tree, {}) == "S"
    with pytest.raises(ValueError, match="it names no part"):
        base_of(Joint("J", (), ""), tree, {})


def test_reasons_are_counted_by_approach_and_for_the_vehicle():
    reasons = (
        Reason("P", ReasonKind.MOVES, "impeller turns"),
        Reason("D2", ReasonKind.BOUGHT, "bought latch"),
        Reason("S", ReasonKind.BOUGHT, "carried over"),
        Reason("D2", ReasonKind.MOVES, "pawl"),
    )
    found = necessity(replace(van(), reasons=reasons))
    assert found[""].physical == ("D2", "P")
    assert found[""].economic == ("S",)
    assert found[""].none == ("D1", "D4", "G")
    # first principles: two doors with a latch each and one pump.
    assert found[""].pieces_physical == 3.0
    assert found["A-cool"].physical_frac == 0.5
    assert found["A-cool"].none == ()


def test_reasons_are_checked():
    with pytest.raises(ValueError, match="it is a fastener"):
        necessity(van(), [Reason("D3", ReasonKind.MAKING, "thread")])
    with pytest.raises(ValueError, match="no such tag"):
        necessity(van(), [Reason("X", ReasonKind.MOVES, "turns")])
    assert [kind for kind in ReasonKind if not kind.physical] == [ReasonKind.BOUGHT]


TABLES, PRICES = fastener_tables(), fastener_figures()
RATES = Rates(exact(0.15, "1"), AllowanceForm.OF_NORMAL_TIME, RATE, EUR)


def fixing(text, count, **more):
    return Fixing(read_designation(text, TABLES), count, **more)


def test_one_bolt_fewer_saves_the_marginal_bolt():
    shop = workshop(engaged_diameters=exact(2.1, "1"))
    found = swap(fixing("M10x30 flange hex 13", 3), fixing("M10x30 flange hex 13", 2), shop, PRICES, RATES)
    # computed on published and remembered elements: the marginal M10 takes 6.69 s normal, 7.70 s standard.
    assert found.normal_s.value == pytest.approx(-6.69, abs=0.005)
    assert found.standard_s.value == pytest.approx(-7.70, abs=0.005)
    # computed: 29.63 g at the largest head height; the best estimate allows for a dished top of 0.75 mm at M10.
    assert -29.63 < found.mass.value * 1e3 < -29.63 + 1.0
    assert found.money.value == pytest.approx(sum(line.value for _, line in found.lines))
    assert "whether the joint still holds" in found.assumed[-1].text
    named = {a.field for a in found.assumed}
    assert {"density_kg_per_m3", "forming_money", "run_down_rev_per_s"} <= named
    assert "half_turn_count" not in named  # stated here


def test_a_swap_takes_the_errors_of_its_place_once():
    found = swap(
        fixing("M8x25 flange hex 13", 3), fixing("M8x25 flange hex 13", 2), packaged(), PRICES, RATES
    )
    before = found.old.standard_s
    # first principles: before and after are off by the same factor, so the difference is no less sure in proportion.
    assert found.standard_s.standard_uncertainty / abs(found.standard_s.value) < 1.3 * (
        before.standard_uncertainty / before.value
    )


def test_flange_bolt_instead_of_hexagon_and_washer():
    washer = read_designation("Washer M10", TABLES)
    found = swap(
        fixing("M10x40 ISO 4017", 4, washer=washer), fixing("M10x40 EN 1662", 4), packaged(), PRICES, RATES
    )
    # computed: 34.71 g with the washer against 32.93 to 34.65 g: the same, and one handling fewer for each.
    assert abs(found.mass.value) * 1e3 < 4 * 2.0
    assert found.standard_s.value < 0.0


def test_a_locating_feature_in_place_of_a_bolt_says_its_terms():
    found = swap(
        fixing("M8x25 flange hex 13", 3),
        fixing("M8x25 flange hex 13", 2, feature_mass=exact(0.012, "kg"), feature_money=exact(0.03, "1")),
        packaged(),
        PRICES,
        RATES,
    )
    assert [name for name, _ in found.lines] == ["fasteners", "labour", "locating features"]
    # first principles: what is stated of the feature is what it adds.
    assert dict(found.lines)["locating features"].value == pytest.approx(0.03)
    assert found.money.standard_uncertainty < found.old.money.standard_uncertainty


def test_a_swap_with_itself_changes_nothing_exactly():
    same_fixing = fixing("M8x25 flange T40", 3)
    found = swap(same_fixing, same_fixing, packaged(), PRICES, RATES)
    assert (found.mass.value, found.standard_s.value, found.money.value) == (0.0, 0.0, 0.0)
    assert found.money.standard_uncertainty == pytest.approx(0.0, abs=1e-12)


def test_swap_refuses_what_makes_no_sense():
    with pytest.raises(ValueError, match="give both, or neither"):
        Fixing(None, 2)
    with pytest.raises(ValueError, match="labour rate with currency"):
        swap(
            Fixing(None, 0),
            Fixing(None, 0),
            packaged(),
            PRICES,
            Rates(exact(0.15, "1"), AllowanceForm.OF_SHIFT),
        )
    dollars = Rates(exact(0.15, "1"), AllowanceForm.OF_SHIFT, RATE, MoneyBasis("USD", 2009))
    with pytest.raises(ValueError, match="USD of 2009, the other in EUR of 2024"):
        swap(Fixing(None, 0), Fixing(None, 0), packaged(), PRICES, dollars)


def test_twin_spindle_saves_engagements():
    joint = Fastening(Kind.BOLT, 4.0, 0.008)
    one, two = (
        total([s.seconds for s in fastening_steps(joint, packaged(), Station(n))], unit="s").value
        for n in (1, 2)
    )
    assert two < one


def test_fasteners_of_a_vehicle():
    teardown = van()
    found = fastener_list(teardown, book(teardown), TABLES, PRICES, 50_000)
    # first principles: two doors with three screws, two for the pump, four for the shield.
    assert (found.count, found.read_count) == (12.0, 12.0)
    assert found.kinds == (
        "Screw M6x16 flanged T30",
        "Screw M6×20, flanged, T30",
        "Screw M8×30, flanged, hex 13",
    )
    assert found.commonality_frac == pytest.approx(1.0 - 2.0 / 11.0)
    masses = [row.piece_kg.value * row.count for row in found.joints]
    assert found.mass.value == pytest.approx(sum(masses))
    assert found.money.value == pytest.approx(
        sum(row.price.piece_money.value * row.count for row in found.joints)
    )
    assert found.joints[0].price.volume_per_year == 6 * 50_000


def test_fasteners_that_cannot_be_read_are_listed_and_in_no_sum():
    teardown = van((*JOINTS, Joint("J8", ("S", "V"), "screwing", "Tapping screw 4.8×19", 5, "T20")))
    found = fastener_list(teardown, book(teardown), TABLES, PRICES, 50_000)
    assert (found.count, found.read_count) == (17.0, 12.0)
    assert "'tapping' has no dimensions" in found.joints[-1].refused
    assert "5 of 17 threaded fasteners could not be read: in no sum" in [a.text for a in found.assumed]


def test_a_book_lists_only_the_figures_it_rests_on():
    clipped = book(van((JOINTS[2],)))
    named = {a.field for a in clipped.assumed}
    assert "run_down_rev_per_s" not in named
    assert "allowance_frac" in named
    assert "run_down_rev_per_s" in {a.field for a in book().assumed}
    stated = {a.field for a in book(shop=workshop()).assumed}
    assert "analysis_frac" not in stated
