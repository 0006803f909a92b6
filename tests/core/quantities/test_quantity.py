"""Arithmetic with named sources, against two independent libraries and the laws it must obey."""

import math
import pickle

import GTC
import numpy as np
import pytest
import uncertainties
from hypothesis import assume, given
from hypothesis import strategies as st

from hoistbook.core.quantities.evaluation import normal
from hoistbook.core.quantities.quantity import (
    Origin,
    Quantity,
    Source,
    combine,
    correlation,
    covariance,
    coverage_factor,
    total,
    weakest,
)

COUNT = 4
values = st.floats(0.2, 5.0)
uncertainties_of = st.floats(1e-4, 0.3)
leaves = st.tuples(values, uncertainties_of)

# An expression tree over the leaves 0 … COUNT − 1, so that the same error enters several times.
trees = st.recursive(
    st.integers(0, COUNT - 1),
    lambda inner: st.one_of(
        st.tuples(st.sampled_from("+-*/"), inner, inner),
        st.tuples(st.just("**"), inner, st.sampled_from([-1.0, 0.5, 2.0, 3.0])),
        st.tuples(st.sampled_from("kd"), inner, st.floats(0.3, 3.0)),
    ),
    max_leaves=10,
)


def evaluate(tree, variables):
    if isinstance(tree, int):
        return variables[tree]
    operation, left, right = tree
    a = evaluate(left, variables)
    if operation == "**":
        return a**right
    if operation == "k":
        return right * a - 1.0 + a / right
    if operation == "d":
        return right / a + (right - a)
    b = evaluate(right, variables)
    return {"+": lambda: a + b, "-": lambda: a - b, "*": lambda: a * b, "/": lambda: a / b}[operation]()


@given(st.lists(leaves, min_size=COUNT, max_size=COUNT), trees)
def test_random_expressions_agree_with_an_independent_library(inputs, tree):
    plain = [x for x, _ in inputs]
    try:
        value = evaluate(tree, plain)
    except (ZeroDivisionError, OverflowError):
        assume(False)
    assume(isinstance(value, float) and math.isfinite(value) and 1e-6 < abs(value) < 1e9)
    try:
        ours = evaluate(tree, [normal(x, u, "1", f"x{k}") for k, (x, u) in enumerate(inputs)])
    except ValueError:  # a power or quotient at exactly 0 or of a negative value inside the tree
        assume(False)
    theirs = evaluate(tree, [uncertainties.ufloat(x, u) for x, u in inputs])
    # computed: uncertainties 3.2. Cancellation inside a tree leaves round-off of the largest term.
    scale = max(theirs.s, abs(value), 1.0)
    assert ours.value == pytest.approx(theirs.n, rel=1e-9, abs=1e-12 * scale)
    assert ours.standard_uncertainty == pytest.approx(theirs.s, rel=1e-7, abs=1e-9 * scale)


@given(
    st.lists(
        st.tuples(st.floats(0.01, 3.0), st.sampled_from([1.0, 2.0, 4.0, 9.5, 50.0, math.inf])),
        min_size=1,
        max_size=6,
    )
)
def test_effective_degrees_of_freedom_agree_with_an_independent_library(parts):
    ours = total([normal(1.0, u, "1", f"x{k}", dof=dof) for k, (u, dof) in enumerate(parts)])
    theirs = sum((GTC.ureal(1.0, u, dof) for u, dof in parts), GTC.ureal(0.0, 0.0))
    # computed: GTC 1.5, Welch–Satterthwaite for independent inputs.
    assert ours.standard_uncertainty == pytest.approx(theirs.u, rel=1e-12)
    if math.isinf(ours.dof):
        # GTC reports more than a million degrees of freedom as infinite or very large.
        assert theirs.df > 1e6
    else:
        assert ours.dof == pytest.approx(theirs.df, rel=1e-9)


@given(
    st.lists(
        st.tuples(st.floats(-1e3, 1e3), st.floats(0.0, 10.0), st.floats(0.0, 1.0), st.floats(-5, 5)),
        min_size=1,
        max_size=20,
    )
)
def test_total_equals_the_sum_term_by_term(rows):
    shared = Source("instrument B2/calibration", "rectangular")
    quantities = [
        Quantity(x, "kg", ((Source(f"reading {k}"), own), (shared, c)))
        for k, (x, own, c, _) in enumerate(rows)
    ]
    weights = [w for *_, w in rows]
    summed = quantities[0] * weights[0]
    for quantity, weight in zip(quantities[1:], weights[1:], strict=True):
        summed = summed + quantity * weight
    result = total(quantities, weights)
    # first principles: u² = sum (w own)² + (sum w c)².
    expected = math.hypot(*(w * own for _, own, _, w in rows), sum(w * c for *_, c, w in rows))
    assert result.standard_uncertainty == pytest.approx(expected, rel=1e-9, abs=1e-9)
    assert result.value == pytest.approx(summed.value, rel=1e-9, abs=1e-9)
    assert result.standard_uncertainty == pytest.approx(summed.standard_uncertainty, rel=1e-9, abs=1e-9)


@given(st.lists(st.tuples(st.floats(-2, 2), st.floats(-2, 2), st.floats(-2, 2)), min_size=2, max_size=2))
def test_variance_of_a_difference_is_that_of_its_covariance(coefficients):
    sources = [Source(name) for name in "abc"]
    x, y = (Quantity(1.0, "m", tuple(zip(sources, c, strict=True))) for c in coefficients)
    # first principles: var(x − y) = var x + var y − 2 cov(x, y).
    var = x.standard_uncertainty**2 + y.standard_uncertainty**2 - 2.0 * covariance(x, y)
    assert (x - y).standard_uncertainty ** 2 == pytest.approx(var, rel=1e-9, abs=1e-12)
    assert covariance(x, y) == covariance(y, x)
    assert covariance(x, x) == pytest.approx(x.standard_uncertainty**2)


def test_correlation_of_a_value_with_itself_and_its_opposite():
    x = normal(3.0, 0.2, "m", "x")
    # first principles.
    assert correlation(x, 2.0 * x) == pytest.approx(1.0)
    assert correlation(x, 5.0 - x) == pytest.approx(-1.0)
    assert correlation(x, normal(1.0, 0.1, "m", "y")) == 0.0
    with pytest.raises(ValueError, match="without uncertainty has no correlation"):
        correlation(x, Quantity(1.0, "m"))


def test_what_cancels_exactly_leaves_no_term():
    x = normal(3.0, 0.2, "m", "x")
    assert (x - x).terms == ()
    assert (x / x).terms == ()
    assert (x / x).value == 1.0


@pytest.mark.parametrize(
    ("build", "unit"),
    # first principles: SI dimensions.
    [
        (lambda m, s, kg: kg * m / s / s, "N"),
        (lambda m, s, kg: kg * (m / s) ** 2, "J"),
        (lambda m, s, kg: kg * m**2 / s**3, "W"),
        (lambda m, s, kg: kg / m**3, "kg/m3"),
        (lambda m, s, kg: m**2, "m2"),
        (lambda m, s, kg: (m * m) ** 0.5, "m"),
        (lambda m, s, kg: m / m, "1"),
        (lambda m, s, kg: 1.0 / s, "1/s"),
        (lambda m, s, kg: 2.0 * kg, "kg"),
        (lambda m, s, kg: m / s, "m/s"),
        (lambda m, s, kg: kg * kg * m / s, "kg2.m/s"),
        (lambda m, s, kg: kg / (m * m * m * m * s), "kg/(m4.s)"),
    ],
)
def test_units_of_products(build, unit):
    result = build(Quantity(2.0, "m"), Quantity(4.0, "s"), Quantity(3.0, "kg"))
    assert result.unit == unit


def test_a_torque_keeps_its_name_when_told():
    torque = (Quantity(120.0, "N") * Quantity(0.5, "m")).in_unit("N.m")
    assert (torque.value, torque.unit) == (60.0, "N.m")
    with pytest.raises(ValueError, match="cannot combine J with kg"):
        (Quantity(120.0, "N") * Quantity(0.5, "m")).in_unit("kg")


def test_unlike_units_do_not_add():
    with pytest.raises(ValueError, match="cannot combine kg with m"):
        Quantity(1.0, "kg") + Quantity(1.0, "m")
    with pytest.raises(ValueError, match="cannot combine kg with m"):
        total([Quantity(1.0, "kg"), Quantity(1.0, "m")])


def test_the_weakest_origin_wins():
    measured = Quantity(1.0, "kg")
    assumed = Quantity(1.0, "kg", (), Origin.ASSUMED)
    published = Quantity(1.0, "kg", (), Origin.PUBLISHED)
    assert (measured + assumed).origin is Origin.ASSUMED
    assert (published * measured).origin is Origin.PUBLISHED
    assert total([measured, published, assumed, measured]).origin is Origin.ASSUMED
    assert combine(1.0, [(measured, 1.0), (published, 1.0)], "kg").origin is Origin.PUBLISHED
    assert (2.0 * published - 1.0).origin is Origin.PUBLISHED
    assert weakest([]) is Origin.MEASURED
    assert [o.rank for o in (Origin.MEASURED, Origin.PUBLISHED, Origin.INFERRED, Origin.ASSUMED)] == [
        0,
        1,
        2,
        3,
    ]


def test_one_name_is_one_error():
    a = Quantity(1.0, "kg", ((Source("B2", "normal"), 0.1),))
    b = Quantity(1.0, "kg", ((Source("B2", "rectangular"), 0.1),))
    for clash in (lambda: a + b, lambda: total([a, b]), lambda: covariance(a, b)):
        with pytest.raises(ValueError, match="both named 'B2'"):
            clash()


def test_a_source_given_twice_is_added_up():
    s = Source("s")
    # first principles: one error with coefficients 3 and 1 is one with 4, not sqrt(10).
    assert Quantity(0.0, "m", ((s, 3.0), (s, 1.0))).standard_uncertainty == 4.0


def test_numpy_scalars_do_not_spread():
    q = np.float64(2.0) * Quantity(np.float64(1.5), "kg", ((Source("s"), np.float64(0.1)),))
    assert type(q.value) is float
    assert all(type(c) is float for _, c in q.terms)
    assert q.value == 3.0


def test_a_quantity_survives_pickling():
    q = normal(1.0, 0.1, "kg", "x", Origin.INFERRED, dof=4)
    assert pickle.loads(pickle.dumps(q)) == q


@pytest.mark.parametrize(
    ("build", "message"),
    [
        (lambda: Quantity(math.nan, "kg"), "not a finite number"),
        (lambda: Quantity(1.0, "stone"), "not an SI symbol"),
        (lambda: Quantity(1.0, "kg/m/s"), "2 divisions"),
        (lambda: Quantity(1.0, "kg", ((Source("s"), math.inf),)), "source 's': its coefficient inf"),
        (lambda: Source(""), "needs a name"),
        (lambda: Source("s", "gaussian"), "no shape named 'gaussian'; known shapes: normal"),
        (lambda: Source("s", dof=0.5), "dof = 0.5"),
        (lambda: Source("s", dof=math.nan), "dof = nan"),
        (lambda: Source("s", "student"), "needs finite dof"),
        (lambda: Source("s", "trapezoid", 1.5), "outside 0–1"),
        (lambda: Source("s", "normal", 0.5), "means nothing"),
        (lambda: Quantity(1.0, "kg") / Quantity(0.0, "kg"), "division by a quantity of value 0 kg"),
        (lambda: 1.0 / Quantity(0.0, "kg"), "division by a quantity of value 0 kg"),
        (lambda: Quantity(1.0, "kg") / 0.0, "division by a quantity of value 0"),
        (lambda: Quantity(-1.0, "1") ** 0.5, "negative value has no fractional power"),
        (lambda: Quantity(0.0, "1") ** 0.5, "no first-order slope"),
        (lambda: Quantity(2.0, "m") ** 0.5, "has no SI symbol"),
        (lambda: total([]), "nothing to sum"),
        (lambda: total([Quantity(1.0, "kg")], [1.0, 2.0]), "1 quantities but 2 weights"),
        (lambda: coverage_factor(0.5), "dof = 0.5"),
        (lambda: coverage_factor(5, 95), "outside 0–1"),
    ],
)
def test_errors_say_what_is_wrong(build, message):
    with pytest.raises(ValueError, match=message):
        build()


def test_the_sum_of_nothing_is_exactly_nothing():
    nothing = total([], unit="kg")
    assert (nothing.value, nothing.unit, nothing.terms) == (0.0, "kg", ())


@pytest.mark.parametrize(
    ("dof", "t"),
    # computed: scipy.stats.t, as GUM table G.2 (from memory).
    [
        (1, 12.706),
        (2, 4.303),
        (3, 3.182),
        (4, 2.776),
        (5, 2.571),
        (10, 2.228),
        (20, 2.086),
        (math.inf, 1.960),
    ],
)
def test_student_factors(dof, t):
    assert coverage_factor(dof) == pytest.approx(t, abs=5e-4)


def test_degrees_of_freedom_are_truncated_but_round_off_is_not():
    # computed: scipy.stats.t for 7 degrees of freedom (GUM G.4.1 truncates 7.9 to 7).
    assert coverage_factor(7.9) == pytest.approx(2.36462, abs=5e-6)
    assert coverage_factor(7.0 - 1e-12) == pytest.approx(2.36462, abs=5e-6)


def test_band_is_symmetric_about_the_value():
    q = normal(10.0, 0.5, "kg", "x")
    low, high = q.band()
    # computed: 1.959964 × 0.5.
    assert (low, high) == (pytest.approx(10.0 - 0.979982, abs=1e-6), pytest.approx(10.0 + 0.979982, abs=1e-6))
    assert Quantity(10.0, "kg").band() == (10.0, 10.0)
    # computed: 99 % normal factor 2.575829.
    assert q.expanded(0.99) == pytest.approx(2.575829 * 0.5, abs=1e-6)


def test_a_sum_over_one_ensemble_has_the_degrees_of_freedom_of_its_sample():
    pair = [
        Source("pair/1", "student", dof=4, ensemble="pair"),
        Source("pair/2", "student", dof=4, ensemble="pair"),
    ]
    together = Quantity(0.0, "m", ((pair[0], 1.0), (pair[1], 1.0)))
    apart = Quantity(0.0, "m", tuple((Source(f"s{k}", "student", dof=4), 1.0) for k in range(2)))
    # first principles: one component of variance 2 with 4 degrees of freedom, against 2²/(1/4 + 1/4) = 8.
    assert together.dof == pytest.approx(4.0)
    assert apart.dof == pytest.approx(8.0)
