"""Do two values agree, and which is the larger?"""

import math

import pytest
from hypothesis import given
from hypothesis import strategies as st

from hoistbook.core.quantities.agreement import normalised_error, probability_greater
from hoistbook.core.quantities.evaluation import normal
from hoistbook.core.quantities.quantity import Quantity, Source


@given(st.floats(-5, 5), st.floats(-5, 5), st.floats(0.01, 2.0), st.floats(0.01, 2.0), st.floats(0.0, 2.0))
def test_probabilities_of_both_orders_add_up(x, y, u, v, shared):
    s = Source("shared")
    a = Quantity(x, "m", ((Source("a"), u), (s, shared)))
    b = Quantity(y, "m", ((Source("b"), v), (s, shared)))
    # first principles.
    assert probability_greater(a, b) + probability_greater(b, a) == pytest.approx(1.0)
    assert (probability_greater(a, b) > 0.5) == (x > y) or math.isclose(x, y, abs_tol=1e-9)
    # first principles: what is shared cancels in the difference.
    alone_a, alone_b = Quantity(x, "m", ((Source("a"), u),)), Quantity(y, "m", ((Source("b"), v),))
    assert probability_greater(a, b) == pytest.approx(probability_greater(alone_a, alone_b), abs=1e-12)


def test_exact_values_are_simply_compared():
    one, two = Quantity(1.0, "m"), Quantity(2.0, "m")
    assert (probability_greater(two, one), probability_greater(one, two), probability_greater(one, one)) == (
        1.0,
        0.0,
        0.5,
    )
    assert normalised_error(one, one) == 0.0
    assert normalised_error(one, two) == math.inf


def test_normalised_error_leaves_out_what_is_shared():
    s = Source("shared")
    a = Quantity(1.0, "m", ((s, 5.0), (Source("a"), 0.1)))
    b = Quantity(1.5, "m", ((s, 5.0), (Source("b"), 0.1)))
    # computed: 0.5/(1.959964 · 0.1 sqrt 2) = 1.804.
    assert normalised_error(a, b) == pytest.approx(1.804, abs=5e-4)


def test_normalised_error_uses_student_factors():
    a = normal(1.0, 0.1, "m", "a", dof=4)
    # computed: t_95(4) = 2.776 for a, 1.960 for b: 0.5/sqrt(0.2776² + 0.1960²).
    assert normalised_error(a, normal(1.5, 0.1, "m", "b")) == pytest.approx(
        0.5 / math.hypot(0.2776, 0.1960), abs=5e-4
    )


def test_unlike_quantities_are_not_compared():
    for compare in (normalised_error, probability_greater):
        with pytest.raises(ValueError, match="cannot combine m with kg"):
            compare(Quantity(1.0, "m"), Quantity(1.0, "kg"))
