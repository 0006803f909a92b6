"""From what is known about an error to its standard uncertainty."""

import math

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from hoistbook.core.quantities import evaluation as ev
from hoistbook.core.quantities.quantity import correlation, covariance


@pytest.mark.parametrize(
    ("quantity", "u"),
    # from memory: GUM 4.3 (formulas); computed: the figures. All for a = 1.
    [
        (ev.rectangular(5.0, 1.0, "m", "x"), 1.0 / math.sqrt(3.0)),
        (ev.triangular(5.0, 1.0, "m", "x"), 0.408),
        (ev.trapezoid(5.0, 1.0, 0.0, "m", "x"), 0.408),
        (ev.trapezoid(5.0, 1.0, 0.5, "m", "x"), 0.456),
        (ev.trapezoid(5.0, 1.0, 1.0, "m", "x"), 0.577),
        (ev.arcsine(5.0, 1.0, "m", "x"), 0.7071),
        (ev.fifty_percent(5.0, 1.0, "m", "x"), 1.4826),
        (ev.two_in_three(5.0, 1.0, "m", "x"), 1.0),
        (ev.resolution(5.0, 1.0, "m", "x"), 0.2887),
        (ev.resolution(5.0, 1.0, "m", "x", difference=True), 0.4082),
        (ev.certificate(5.0, 1.0, 2.0, "m", "x"), 0.5),
        (ev.stated_band(5.0, 1.0, "m", "x"), 0.51021),
        (ev.stated_band(5.0, 1.0, "m", "x", dof=4), 0.36018),
        (ev.normal(5.0, 1.0, "m", "x"), 1.0),
    ],
)
def test_type_b(quantity, u):
    assert quantity.standard_uncertainty == pytest.approx(u, abs=5e-4)
    assert quantity.value == 5.0
    assert quantity.unit == "m"


def test_no_error_has_no_source():
    assert ev.rectangular(5.0, 0.0, "m", "x").terms == ()
    assert ev.exact(5.0, "1").terms == ()


def test_type_a_is_the_standard_deviation_of_the_mean():
    q = ev.type_a([731.0, 728.0, 733.0, 730.0, 729.0], "m", "hose")
    # computed: NumPy: mean 730.2, s = 1.92354, s/sqrt(5) = 0.86023 (GUM 4.2).
    assert q.value == pytest.approx(730.2)
    assert q.standard_uncertainty == pytest.approx(0.86023, abs=5e-6)
    assert q.dof == 4


def test_type_a_pooled_keeps_the_earlier_degrees_of_freedom():
    q = ev.type_a_pooled([1.0, 2.0, 3.0], 0.6, 20, "m", "x")
    # first principles: 0.6/sqrt(3) whatever the three readings scatter.
    assert q.standard_uncertainty == pytest.approx(0.6 / math.sqrt(3.0))
    assert (q.value, q.dof) == (2.0, 20)


matrices = st.lists(st.lists(st.floats(-3, 3), min_size=3, max_size=3), min_size=3, max_size=3)


@given(matrices)
def test_correlated_values_have_the_given_covariance(rows):
    a = np.array(rows)
    matrix = a @ a.T
    quantities = ev.correlated((1.0, 2.0, 3.0), matrix, ("x", "y", "z"), "m")
    scale = np.sqrt(np.outer(np.diag(matrix), np.diag(matrix)))
    for i in range(3):
        for j in range(3):
            # first principles: covariance of L z is L Lᵀ. The floor of the factor is 1e-6 of the correlations.
            assert covariance(quantities[i], quantities[j]) == pytest.approx(
                matrix[i, j], abs=1e-6 * scale[i, j] + 1e-12
            )


def test_perfectly_correlated_values_are_allowed():
    x, y = ev.correlated((1.0, 2.0), [[4.0, -2.0], [-2.0, 1.0]], ("x", "y"), ("V", "A"))
    assert correlation(x, y) == pytest.approx(-1.0)
    assert (x.unit, y.unit) == ("V", "A")
    # first principles: x + 2 y has no error left.
    assert (x * 1.0 + (y * 2.0).value).value == 5.0
    assert x.standard_uncertainty**2 + 4 * y.standard_uncertainty**2 + 4 * covariance(x, y) == pytest.approx(
        0.0, abs=1e-12
    )


def test_values_of_very_different_size_keep_their_correlation():
    x, y = ev.correlated((1.0, 1.0), [[1e12, 0.5], [0.5, 1e-12]], ("x", "y"), "m")
    # first principles: 0.5/sqrt(1e12 · 1e-12).
    assert correlation(x, y) == pytest.approx(0.5)


@pytest.mark.parametrize(
    ("build", "message"),
    [
        (lambda: ev.correlated((1.0, 2.0), [[1.0, 2.0], [2.0, 1.0]], ("x", "y"), "m"), "negative eigenvalue"),
        (lambda: ev.correlated((1.0, 2.0), [[1.0, 0.2], [0.3, 1.0]], ("x", "y"), "m"), "not a symmetric"),
        (lambda: ev.correlated((1.0, 2.0), [[-1.0, 0.0], [0.0, 1.0]], ("x", "y"), "m"), "not a symmetric"),
        (lambda: ev.correlated((1.0, 2.0), [[1.0]], ("x", "y"), "m"), r"shape \(2, 2\), not \(1, 1\)"),
        (lambda: ev.correlated((1.0, 2.0), np.eye(2), ("x", "x"), "m"), "not all different"),
        (lambda: ev.joint_type_a({"x": [1.0, 2.0], "y": [1.0]}, {"x": "m", "y": "m"}), "one length"),
        (lambda: ev.type_a([1.0], "m", "x"), "no scatter"),
        (lambda: ev.type_a_pooled([], 1.0, 3, "m", "x"), "no reading"),
        (lambda: ev.certificate(1.0, 1.0, 0.0, "m", "x"), "coverage factor 0.0"),
        (lambda: ev.rectangular(1.0, -1.0, "m", "tape"), "tape: half width"),
        (lambda: ev.normal(1.0, math.nan, "m", "tape"), "tape: "),
    ],
)
def test_errors_say_what_is_wrong(build, message):
    with pytest.raises(ValueError, match=message):
        build()
