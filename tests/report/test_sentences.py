"""The answer first."""

from dataclasses import replace

import pytest

from hoistbook.core.compare.bars import Interval
from hoistbook.report.sentences import account, answer, surplus_words
from report.walks import around, mass_walk, normalised_walk, range_walk

NAMES = ("Whimbrel", "Turnstone")


def plain(text):
    return text.replace("\u202f", " ").replace("\u00a0", " ")


@pytest.mark.parametrize(
    ("quantity", "gap", "sentence"),
    [
        ("range", around(-20400.0, 4500.0), "Turnstone goes 20.4 ± 4.5 km less far than Whimbrel."),
        ("range", around(20400.0, 4500.0), "Turnstone goes 20.4 ± 4.5 km farther than Whimbrel."),
        ("energy", around(36.0, 7.2), "Turnstone uses 10.0 ± 2.0 Wh/km more than Whimbrel."),
        ("energy", around(-36.0, 7.2), "Turnstone uses 10.0 ± 2.0 Wh/km less than Whimbrel."),
        ("mass", around(104.0, 3.0), "Turnstone weighs 104.0 ± 3.0 kg more than Whimbrel."),
    ],
)
def test_gap_is_one_sentence(quantity, gap, sentence):
    # first principles: 1 km = 1000 m, 1 Wh/km = 3.6 J/m; digits as GUM 7.2.6 has them.
    assert plain(answer(replace(range_walk(), quantity=quantity, gap=gap), NAMES)) == sentence


def test_gap_whose_band_holds_zero_is_not_given_a_direction():
    found = replace(range_walk(), gap=around(1200.0, 4500.0), gap_sign=0.7)
    assert plain(answer(found, NAMES)) == (
        "Turnstone and Whimbrel cannot be told apart in range: +1.2 ± 4.5 km; 70 % likely that Turnstone goes farther."
    )


def test_surprise_and_lead_frame_the_sentence():
    found = plain(answer(range_walk(), NAMES, although="its battery holds 6.0 % more", lead="As found,"))
    assert found.startswith("As found, Turnstone goes")
    assert found.endswith("than Whimbrel, although its battery holds 6.0 % more.")


def test_account_counts_the_causes_that_do_something():
    found = plain(account(range_walk(), 0.24))
    # Seven of the eight causes differ; the label factor is nothing in every draw.
    assert found.startswith("Seven causes explain −17.0 km; −2.4 (−9.7 to +1.9) km is not explained yet.")
    assert found.endswith("Unlike content makes up 24 % of the gap.")
    assert plain(account(normalised_walk(), 0.24)).endswith("took away 24 % of the gap as found.")
    assert "content" not in account(mass_walk())


def test_account_parts_causes_with_a_decision_from_those_without():
    found = plain(account(range_walk()))
    # first principles: −1.67 − 1.30 + 0.28 − 0.23 − 0.0004 = −2.92 km decided; −17.00 + 2.92 = −14.08 km is not.
    assert "Decisions account for −2.92 ± 0.30 km, causes without a decision for −14.08 ± 0.40 km." in found
    assert "Decisions" not in account(mass_walk())


@pytest.mark.parametrize(
    ("value", "half", "words"),
    [
        # first principles: the sign says which is heavier, and a band that holds zero says that nobody can tell.
        (-0.12, 0.29, "its listed pieces weigh more than the whole, within the bands of the scales"),
        (
            -0.12,
            0.05,
            "its listed pieces weigh more than the whole, beyond the bands of the scales: weigh them again",
        ),
        (0.12, 0.29, "more than its listed pieces, within the bands of the scales"),
        (0.12, 0.05, "more than its listed pieces, beyond the bands of the scales"),
    ],
)
def test_a_surplus_says_what_it_is(value, half, words):
    assert surplus_words(Interval(value, value - half, value + half)) == words
