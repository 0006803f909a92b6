"""Formulas of cost accounting against published examples."""

import numpy as np
import pytest

from hoistbook.core.cost.economics import (
    average_learned_frac,
    capital_recovery_frac,
    good_piece,
    learned_frac,
    learning_exponent,
    yearly_capital,
)
from hoistbook.core.cost.lines import starts


def test_capital_recovery_of_the_textbook():
    # published: Blank & Tarquin sec. 6.2 (second hand): P 50,000, S 5,000, 10 %, 5 years: 12,371 a year.
    assert yearly_capital(50_000.0, 0.0, 5_000.0, 0.10, 5.0) == pytest.approx(12_370.89, abs=0.005)
    # published (second hand): CRF(4.25 %, 5) = 0.2262; 500 borrowed: 113.10 a year.
    assert capital_recovery_frac(0.0425, 5) == pytest.approx(0.2262, abs=5e-5)
    assert 500 * capital_recovery_frac(0.0425, 5) == pytest.approx(113.10, abs=0.005)
    # first principles: without interest, capital comes back in equal parts.
    assert capital_recovery_frac(0.0, 8) == 0.125


def test_learning_of_both_theories():
    count = np.array([1.0, 2.0, 4.0, 8.0])
    # published: Wright at 80 %: unit 2 costs 60 %, the average of four is 64 % (learning-curve appendix, second hand).
    assert learned_frac(count, 0.80, "wright")[1] == pytest.approx(0.60, abs=1e-12)
    assert average_learned_frac(4, 0.80, "wright") == pytest.approx(0.64, abs=1e-12)
    # published: Crawford at 80 %: units 1, 2, 4, 8 cost 100, 80, 64, 51.2 % (second hand).
    assert learned_frac(count, 0.80, "crawford") == pytest.approx([1.0, 0.80, 0.64, 0.512], abs=1e-12)
    # computed: Crawford at 85 %: unit 100 33.97 %, sum of 1 to 100 4,375.39 of a first unit of 100.
    assert learned_frac(np.array([100.0]), 0.85, "crawford")[0] == pytest.approx(0.3397, abs=5e-5)
    assert 100 * 100 * average_learned_frac(100, 0.85, "crawford") == pytest.approx(4_375.39, abs=0.01)
    assert learning_exponent(0.80) == pytest.approx(-0.321928, abs=1e-6)


def test_the_long_sum_of_unit_costs_is_the_sum_of_its_terms():
    # first principles: term by term.
    terms = np.arange(1, 250_001, dtype=float) ** learning_exponent(0.9)
    assert average_learned_frac(250_000, 0.9, "crawford") == pytest.approx(terms.mean(), rel=1e-12)


def test_scrap_of_the_textbook():
    # published: Groover Ex 1.3: 1,000 good pieces at 4 % scrap need 1,042 starts.
    (entering,) = starts(np.array([[1_000.0]]), [np.array([[0.04]])])
    assert int(np.ceil(entering[0, 0])) == 1_042
    # published: Groover Ex 1.4: C_m 1.75, (42 + 24) USD/h, 2.20 min, availability 0.97, 5 % scrap: 4.47 USD.
    # The conversion is what 2.20 min cost over availability.
    spent = 1.75 + (42 + 24) / 60 * 2.20 / 0.97
    assert good_piece(spent, 0.05, 0.0) == pytest.approx(4.46826, abs=2e-4)


def test_a_chain_of_yields_of_the_lecture():
    # published: MIT dry-pressing cost model: .99, 1, .98, .89, 1, 1, .99, .97 give 82.9 %.
    rejects = [1 - y for y in (0.99, 1.0, 0.98, 0.89, 1.0, 1.0, 0.99, 0.97)]
    entering = starts(np.array([[1.0]]), [np.array([[q]]) for q in rejects])
    assert 1 / entering[0][0, 0] == pytest.approx(0.829, abs=5e-4)


@pytest.mark.parametrize(
    ("work", "why"),
    [
        (lambda: capital_recovery_frac(-0.1, 5), "interest_frac = -0.1"),
        (lambda: capital_recovery_frac(0.1, 0), "years = 0"),
        (lambda: learning_exponent(85), "rate_frac = 85"),
        (lambda: average_learned_frac(0.5, 0.8, "wright"), "count = 0.5"),
    ],
)
def test_what_cannot_be_is_refused(work, why):
    with pytest.raises(ValueError, match=why):
        work()
