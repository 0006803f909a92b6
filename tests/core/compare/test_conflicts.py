"""Conflicts of claims against sentences whose logic is plain."""

from itertools import combinations

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from hoistbook.core.compare.claim_verdict import State
from hoistbook.core.compare.claim_words import conflict_sentences
from hoistbook.core.compare.claims import Claim, Relation, ThresholdIs
from hoistbook.core.compare.conflicts import conflicts
from hoistbook.core.quantities.quantity import Quantity, Source

LESS, MORE, ABOUT = Relation.LESS_THAN, Relation.MORE_THAN, Relation.ABOUT


def says(code, vehicle, relation, threshold, other="", *, share=False, quantity="mass", **more):
    unit = "1" if share else {"mass": "kg", "effect on range": "m", "range": "m", "drag_force": "N"}[quantity]
    terms = ((Source(f"near {code}"), 1.0),) if relation is ABOUT and not other else ()
    kind = ThresholdIs.SHARE if share else ThresholdIs.ABSOLUTE
    given_ = Quantity(threshold, unit, terms)
    return Claim(code, f"{code} said", quantity, vehicle, relation, given_, other, threshold_is=kind, **more)


def sets(*claims):
    found = conflicts(claims)
    assert found.complete
    return [one.claims for one in found.found]


@pytest.mark.parametrize(
    ("claims", "expected"),
    # first principles: the order of numbers.
    [
        ([("a", "A", LESS, 0.0, "B"), ("b", "B", LESS, 0.0, "A")], [("a", "b")]),
        ([("a", "A", LESS, 0.0, "B"), ("b", "B", MORE, 0.0, "A")], []),
        ([("a", "A", LESS, 0.0, "B"), ("b", "B", LESS, 0.0, "C"), ("c", "C", LESS, 0.0, "A")], [("a", "b", "c")]),
        ([("a", "A", LESS, 5.0, "B"), ("b", "A", ABOUT, 2.0, "B")], [("a", "b")]),
        ([("a", "A", LESS, 2.0, "B"), ("b", "A", ABOUT, 2.0, "B")], [("a", "b")]),  # less than 2 apart at most 2
        ([("a", "A", LESS, 1.0, "B"), ("b", "A", ABOUT, 2.0, "B")], []),
        ([("a", "A", LESS, 10.0), ("b", "A", MORE, 12.0)], [("a", "b")]),
        ([("a", "A", LESS, 12.0), ("b", "A", MORE, 10.0)], []),
        ([("a", "A", ABOUT, 10.0), ("b", "A", MORE, 11.9)], []),  # half width 1.96 of the threshold
        ([("a", "A", ABOUT, 10.0), ("b", "A", MORE, 12.0)], [("a", "b")]),
        ([("a", "A", LESS, 0.0)], [("a",)]),  # no mass is below nothing
        ([("a", "A", LESS, 6.0, "B"), ("b", "B", LESS, 5.0)], [("a", "b")]),  # A would weigh less than −1
        ([("a", "A", LESS, -2.0, "B"), ("b", "A", MORE, 1.0, "B")], []),  # no more than 2 heavier, 1 heavier
        ([("a", "A", LESS, -2.0, "B"), ("b", "A", MORE, 3.0, "B")], [("a", "b")]),
    ],
)  # fmt: skip
def test_known_logic(claims, expected):
    assert sets(*(says(*one) for one in claims)) == expected


def test_shares_and_differences_go_together():
    # first principles: A < 0.8 B and A > B − 1 ask for B < 5, so B > 6 is one too many.
    three = [
        says("a", "A", LESS, 0.2, "B", share=True),
        says("b", "A", MORE, -1.0, "B"),
        says("c", "B", MORE, 6.0),
    ]
    assert sets(*three) == [("a", "b", "c")]
    assert sets(*three[:2]) == []
    # first principles: 20 % less than 20 % less than itself is possible for nothing only, and "less" is strict.
    assert sets(says("a", "A", LESS, 0.2, "B", share=True), says("b", "B", LESS, 0.2, "A", share=True)) == [
        ("a", "b")
    ]


def test_other_subjects_quantities_and_duties_do_not_conflict():
    a = says("a", "A", LESS, 0.0, "B", function="F")
    assert sets(a, says("b", "B", LESS, 0.0, "A", function="G")) == []
    assert sets(a, says("b", "B", LESS, 0.0, "A", part="F")) == []
    ranges = [says(c, v, LESS, 0.0, o, quantity="range", duty=d) for c, v, o, d in ("aABu", "bBAw")]
    assert sets(*ranges) == []


def test_effects_turn_with_their_direction():
    cable = {"quantity": "effect on range", "function": "CABLE"}
    # first principles: what costs X→Y gains Y→X.
    both_cost = [says("a", "Y", LESS, 0.0, "X", **cable), says("b", "X", LESS, 0.0, "Y", **cable)]
    assert sets(*both_cost) == [("a", "b")]
    assert sets(both_cost[0], says("b", "X", MORE, 0.0, "Y", **cable)) == []
    # first principles: below −2 % of a range over 100 km is below −2 km.
    share = says("a", "Y", LESS, -0.02, "X", share=True, **cable)
    far = says("c", "X", MORE, 100e3, quantity="range")
    assert sets(share, far, says("b", "Y", MORE, -2e3, "X", **cable)) == [("a", "c", "b")]
    assert sets(share, far, says("b", "Y", MORE, -2.1e3, "X", **cable)) == []


def test_share_of_a_signed_figure_is_named_as_unchecked():
    found = conflicts([says("a", "A", LESS, 0.2, "B", share=True, quantity="drag_force")])
    assert found.unchecked == ("a",)
    assert "Not held against the others: a" in conflict_sentences(found, {})[0]


def test_confirmed_claims_in_conflict_raise_an_alarm():
    two = [says("a", "A", LESS, 0.0, "B"), says("b", "B", LESS, 0.0, "A")]
    confirmed = conflicts(two, {"a": State.CONFIRMED, "b": State.CONFIRMED})
    assert [one.alarm for one in confirmed.found] == [True]
    assert [one.alarm for one in conflicts(two, {"a": State.CONFIRMED, "b": State.OPEN}).found] == [False]
    told = conflict_sentences(confirmed, {claim.code: claim for claim in two})
    assert len(told) == 1
    assert told[0].startswith(
        "a “a said” and b “b said” cannot both hold. The record confirms every one of them"
    )


def test_a_code_twice_is_refused():
    with pytest.raises(ValueError, match="two claims have the code 'a'"):
        conflicts([says("a", "A", LESS, 1.0), says("a", "B", LESS, 1.0)])


PAIRS = st.tuples(st.sampled_from("ABCD"), st.sampled_from("ABCD")).filter(lambda pair: pair[0] != pair[1])


@settings(max_examples=25, deadline=None)
@given(st.lists(PAIRS, min_size=1, max_size=6))
def test_orders_conflict_exactly_in_their_smallest_cycles(pairs):
    claims = [says(f"c{i}", v, LESS, 0.0, o) for i, (v, o) in enumerate(pairs)]

    def cyclic(chosen):
        left = set(chosen)
        while True:
            lighter = {pairs[i][0] for i in left}
            keep = {i for i in left if pairs[i][1] in lighter}
            if keep == left:
                return bool(left)
            left = keep

    # first principles: v < o for a set of pairs can hold exactly when they have no cycle; brute force over subsets.
    bad = [set(c) for n in range(2, len(pairs) + 1) for c in combinations(range(len(pairs)), n) if cyclic(c)]
    smallest = {tuple(f"c{i}" for i in sorted(c)) for c in bad if not any(other < c for other in bad)}
    assert set(sets(*claims)) == smallest


@settings(max_examples=25, deadline=None)
@given(
    st.lists(st.floats(1.0, 100.0), min_size=3, max_size=3),
    st.lists(st.tuples(PAIRS, st.floats(-20.0, 20.0)), max_size=8),
)
def test_true_sentences_never_conflict(masses, drafts):
    truth = dict(zip("ABCD", [*masses, 7.0], strict=True))
    claims = []
    for i, ((v, o), t) in enumerate(drafts):
        # first principles: what is true of one set of figures can hold together.
        gap = truth[v] - truth[o]
        relation = LESS if gap < -t - 1e-3 else MORE if gap > t + 1e-3 else None
        if relation is not None:
            claims.append(says(f"c{i}", v, relation, t, o))
    assert sets(*claims) == []
