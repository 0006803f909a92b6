"""Worked examples of the Guide and its supplements, and of the shop, reproduced to their digits.

GUM is JCGM 100:2008, JCGM 101:2008 its supplement on Monte Carlo.
"""

import math

import GTC
import numpy as np
import pytest
import uncertainties
import uncertainties.umath
from scipy.stats import irwinhall

from hoistbook.core.quantities.agreement import normalised_error, probability_greater
from hoistbook.core.quantities.coverage import coverage_factor
from hoistbook.core.quantities.evaluation import (
    arcsine,
    certificate,
    correlated,
    joint_type_a,
    normal,
    rectangular,
    triangular,
    type_a_pooled,
)
from hoistbook.core.quantities.instruments import Instrument, reading
from hoistbook.core.quantities.montecarlo import propagate, shortest_interval
from hoistbook.core.quantities.printing import text
from hoistbook.core.quantities.quantity import Quantity, Source, combine, correlation, total
from hoistbook.core.quantities.repeats import repeats
from hoistbook.core.quantities.second_order import second_order_variance

NM = 1e-9
MM = 1e-3


# A. GUM H.1, end gauge


def end_gauge_inputs():
    # published: inputs as worked in the documentation of the GUM Tree Calculator library.
    return {
        "standard": normal(50_000_623 * NM, 25 * NM, "m", "standard", dof=18),
        "difference": normal(215 * NM, 5.8 * NM, "m", "comparison, repeats", dof=24)
        + normal(0.0, 3.9 * NM, "m", "comparator, random", dof=5)
        + normal(0.0, 6.7 * NM, "m", "comparator, systematic", dof=8),
        "expansion": rectangular(11.5e-6, 2e-6, "1/K", "expansion of the standard"),
        "expansion_difference": rectangular(0.0, 1e-6, "1/K", "difference of expansion", dof=50),
        "temperature": normal(-0.1, 0.2, "K", "mean temperature")
        + arcsine(0.0, 0.5, "K", "cycle of temperature"),
        "temperature_difference": rectangular(0.0, 0.05, "K", "difference of temperature", dof=2),
    }


def end_gauge_length(
    standard, difference, expansion, expansion_difference, temperature, temperature_difference
):
    return (
        standard
        + difference
        - standard * (expansion_difference * temperature + expansion * temperature_difference)
    )


def test_end_gauge_length_and_its_uncertainty():
    length = end_gauge_length(**end_gauge_inputs())
    # published: GUM H.1 as worked in GTC's documentation, 50 000 838(32) nm.
    assert round(length.value / NM) == 50_000_838
    assert round(length.standard_uncertainty / NM) == 32
    # computed: NumPy, unrounded: u = 31.66388 nm, effective degrees of freedom 16.75.
    assert length.standard_uncertainty / NM == pytest.approx(31.66388, abs=5e-6)
    assert length.dof == pytest.approx(16.75, abs=0.005)


def test_end_gauge_contributions():
    inputs = end_gauge_inputs()
    # computed: sqrt(5.8² + 3.9² + 6.7²) = 9.6819 nm with 25.45 degrees of freedom; sqrt(0.2² + 0.5²/2) = 0.40620 K.
    assert inputs["difference"].standard_uncertainty / NM == pytest.approx(9.6819, abs=5e-5)
    assert inputs["difference"].dof == pytest.approx(25.45, abs=0.005)
    assert inputs["temperature"].standard_uncertainty == pytest.approx(0.40620, abs=5e-6)
    terms = {source.name: abs(c) / NM for source, c in end_gauge_length(**inputs).terms}
    # computed: contributions 25.000, 2.8868 and 16.5990 nm; expansion of the standard and temperature vanish.
    assert terms["standard"] == pytest.approx(25.000, abs=5e-4)
    assert terms["difference of expansion"] == pytest.approx(2.8868, abs=5e-5)
    assert terms["difference of temperature"] == pytest.approx(16.5990, abs=5e-5)
    assert "expansion of the standard" not in terms
    assert "mean temperature" not in terms


def test_end_gauge_expanded_uncertainty_rounds_only_once():
    length = end_gauge_length(**end_gauge_inputs())
    # computed: t_99(16) = 2.92078 and U_99 = 92.48 nm unrounded; 93.47 nm if u is first rounded to 32 nm.
    assert length.coverage_factor(0.99) == pytest.approx(2.92078, abs=5e-6)
    assert length.expanded(0.99) / NM == pytest.approx(92.48, abs=0.005)
    assert coverage_factor(length.dof, 0.99) * 32 == pytest.approx(93.47, abs=0.005)


def test_end_gauge_second_order():
    inputs = end_gauge_inputs()
    first, second = second_order_variance(end_gauge_length, inputs)
    # computed: second-order terms 11.726 and 1.667 nm, u = 33.807 nm. published: GUM H.1.7 as worked in GTC's
    # documentation: u = 34 nm.
    assert math.sqrt(first) / NM == pytest.approx(31.66388, abs=5e-5)
    assert math.sqrt(second) / NM == pytest.approx(33.807, abs=5e-4)
    assert math.sqrt(second - first) / NM == pytest.approx(math.hypot(11.726, 1.667), abs=1e-3)
    assert round(math.sqrt(second) / NM) == 34


def test_end_gauge_agrees_with_an_independent_library():
    standard = GTC.ureal(50_000_623, 25, 18)
    difference = GTC.ureal(215, 5.8, 24) + GTC.ureal(0, 3.9, 5) + GTC.ureal(0, 6.7, 8)
    temperature = GTC.ureal(-0.1, 0.2) + GTC.ureal(0, 0.5 / math.sqrt(2))
    length = end_gauge_length(
        standard,
        difference,
        GTC.ureal(11.5e-6, 2e-6 / math.sqrt(3)),
        GTC.ureal(0, 1e-6 / math.sqrt(3), 50),
        temperature,
        GTC.ureal(0, 0.05 / math.sqrt(3), 2),
    )
    ours = end_gauge_length(**end_gauge_inputs())
    # computed: GTC 1.5.
    assert ours.value / NM == pytest.approx(length.x, rel=1e-12)
    assert ours.standard_uncertainty / NM == pytest.approx(length.u, rel=1e-9)
    assert ours.dof == pytest.approx(length.df, rel=1e-6)


# B. GUM H.2, resistance and reactance from correlated readings

# published: data of GUM H.2 as given in GTC's documentation. V, A, rad.
VOLTAGE = (5.007, 4.994, 5.005, 4.990, 4.999)
CURRENT = (19.663e-3, 19.639e-3, 19.640e-3, 19.685e-3, 19.678e-3)
PHASE = (1.0456, 1.0438, 1.0468, 1.0428, 1.0433)


def impedance(v, i, phase):
    """Resistance, reactance and impedance with the partial derivatives of V cos(phi)/I, V sin(phi)/I and V/I."""
    z = v.value / i.value
    cos, sin = math.cos(phase.value), math.sin(phase.value)
    parts = [(z * cos, cos, -z * sin), (z * sin, sin, z * cos), (z, 1.0, 0.0)]
    return [
        combine(value, [(v, factor / i.value), (i, -factor * z / i.value), (phase, slope)], "ohm")
        for value, factor, slope in parts
    ]


def joint_readings():
    q = joint_type_a({"V": VOLTAGE, "I": CURRENT, "phi": PHASE}, {"V": "V", "I": "A", "phi": "rad"})
    return q["V"], q["I"], q["phi"]


def test_impedance_means_and_correlations():
    v, i, phase = joint_readings()
    # computed: NumPy from the published readings.
    assert v.value == pytest.approx(4.999, abs=1e-12)
    assert v.standard_uncertainty == pytest.approx(3.209361e-3, abs=5e-10)
    assert i.value == pytest.approx(0.019661, abs=1e-14)
    assert i.standard_uncertainty == pytest.approx(9.471008e-6, abs=5e-13)
    assert phase.value == pytest.approx(1.04446, abs=1e-12)
    assert phase.standard_uncertainty == pytest.approx(7.520638e-4, abs=5e-11)
    assert correlation(v, i) == pytest.approx(-0.355311, abs=5e-7)
    assert correlation(v, phase) == pytest.approx(0.857624, abs=5e-7)
    assert correlation(i, phase) == pytest.approx(-0.645111, abs=5e-7)


def test_impedance_results():
    r, x, z = impedance(*joint_readings())
    # computed: NumPy. published: GTC's documentation of GUM H.2: R 127.732(70), X 219.85(30), Z 254.26(24) ohm.
    assert r.value == pytest.approx(127.732170, abs=5e-7)
    assert r.standard_uncertainty == pytest.approx(0.0710714, abs=5e-8)
    assert x.value == pytest.approx(219.846512, abs=5e-7)
    assert x.standard_uncertainty == pytest.approx(0.2955817, abs=5e-8)
    assert z.value == pytest.approx(254.259702, abs=5e-7)
    assert z.standard_uncertainty == pytest.approx(0.2363361, abs=5e-8)
    assert correlation(r, x) == pytest.approx(-0.588430, abs=5e-7)
    assert correlation(r, z) == pytest.approx(-0.485259, abs=5e-7)
    assert correlation(x, z) == pytest.approx(0.992512, abs=5e-7)


def test_impedance_without_its_correlations_is_wrong():
    v, i, phase = joint_readings()
    apart = [
        normal(q.value, q.standard_uncertainty, q.unit, name)
        for q, name in ((v, "voltage alone"), (i, "current alone"), (phase, "phase alone"))
    ]
    r, x, _ = impedance(*apart)
    # computed: by hand from relative uncertainties, 6.4200e-4 (V), 4.8172e-4 (I) and u(phi) tan(phi) = 1.29441e-3 make
    # 1.523067e-3 of 127.732 ohm; with u(phi)/tan(phi) = 4.36955e-4 they make 9.13866e-4 of 219.847 ohm.
    assert r.standard_uncertainty == pytest.approx(0.194545, abs=1e-6)
    assert x.standard_uncertainty == pytest.approx(0.20091, abs=5e-6)


def test_impedance_degrees_of_freedom_are_those_of_the_joint_sample():
    r, x, z = impedance(*joint_readings())
    ensemble = GTC.ta.multi_estimate_real([VOLTAGE, CURRENT, PHASE], labels=["V", "I", "phi"])
    oracle = ensemble[0] / ensemble[1] * GTC.cos(ensemble[2])
    # computed: GTC 1.5 (Willink's rule for one ensemble); first principles: five joint readings leave four.
    assert oracle.df == pytest.approx(4.0)
    assert oracle.u == pytest.approx(r.standard_uncertainty, rel=1e-9)
    for q in (r, x, z):
        assert q.dof == pytest.approx(4.0, rel=1e-9)


# C. GUM H.3, straight-line calibration


def test_straight_line_calibration():
    # from memory: GUM table H.6. Readings and corrections in °C.
    t = np.array([21.521, 22.012, 22.512, 23.003, 23.507, 23.999, 24.513, 25.002, 25.503, 26.010, 26.511])
    b = -np.array([0.171, 0.169, 0.166, 0.159, 0.164, 0.165, 0.156, 0.157, 0.159, 0.161, 0.160])
    design = np.column_stack([np.ones_like(t), t - 20.0])
    fit, *_ = np.linalg.lstsq(design, b, rcond=None)
    s2 = float(np.sum((b - design @ fit) ** 2)) / (len(t) - 2)
    matrix = s2 * np.linalg.inv(design.T @ design)
    y1, y2 = correlated(fit.tolist(), matrix, ("offset", "slope"), ("K", "1"), dof=len(t) - 2)
    # computed: NumPy: s = 0.00349756, y1, y2, r and b(30 °C) with its u.
    assert math.sqrt(s2) == pytest.approx(0.00349756, abs=5e-9)
    assert y1.value == pytest.approx(-0.171204, abs=5e-7)
    assert y1.standard_uncertainty == pytest.approx(0.002878, abs=5e-7)
    assert y2.value == pytest.approx(0.00218270, abs=5e-9)
    assert y2.standard_uncertainty == pytest.approx(0.000667939, abs=5e-10)
    assert correlation(y1, y2) == pytest.approx(-0.930430, abs=5e-7)
    correction = y1 + y2 * Quantity(30.0 - 20.0, "K")
    assert correction.value == pytest.approx(-0.149377, abs=5e-7)
    assert correction.standard_uncertainty == pytest.approx(0.00413860, abs=5e-9)
    # first principles: both come from one fit of 11 points and 2 coefficients.
    assert correction.dof == pytest.approx(9.0)


# D. EURACHEM/CITAC QUAM example A1


def test_standard_solution():
    # published: inputs of QUAM A1 as worked in GTC's documentation. mg, 1, mL, written here as plain numbers.
    mass = normal(100.28, 0.05, "1", "mass")
    purity = rectangular(0.9999, 0.0001, "1", "purity")
    volume = (
        triangular(100.0, 0.1, "1", "flask")
        + normal(0.0, 0.02, "1", "filling")
        + rectangular(0.0, 0.084, "1", "temperature")
    )
    c = 1000.0 * mass * purity / volume
    # computed: u(V) = 0.0664731, c = 1002.69972 mg/L, components; published: u = 0.835199 mg/L (GTC's documentation).
    assert volume.standard_uncertainty == pytest.approx(0.0664731, abs=5e-8)
    assert c.value == pytest.approx(1002.69972, abs=5e-6)
    assert c.standard_uncertainty == pytest.approx(0.835199, abs=5e-7)
    terms = {source.name: abs(u) for source, u in c.terms}
    assert math.hypot(terms["flask"], terms["filling"], terms["temperature"]) == pytest.approx(
        0.666525, abs=1e-6
    )
    assert terms["mass"] == pytest.approx(0.499950, abs=5e-7)
    assert terms["purity"] == pytest.approx(0.0578967, abs=5e-8)


def test_standard_solution_agrees_with_two_independent_libraries():
    widths = (0.1 / math.sqrt(6), 0.02, 0.084 / math.sqrt(3))
    ours = (
        1000.0
        * normal(100.28, 0.05, "1", "m")
        * normal(0.9999, 0.0001 / math.sqrt(3), "1", "P")
        / total([normal(100.0 if k == 0 else 0.0, u, "1", f"V{k}") for k, u in enumerate(widths)])
    )
    for make in (uncertainties.ufloat, GTC.ureal):
        volume = make(100.0, widths[0]) + make(0.0, widths[1]) + make(0.0, widths[2])
        c = 1000.0 * make(100.28, 0.05) * make(0.9999, 0.0001 / math.sqrt(3)) / volume
        u = c.s if hasattr(c, "s") else c.u
        # computed: uncertainties 3.2 and GTC 1.5.
        assert ours.standard_uncertainty == pytest.approx(u, rel=1e-10)


# E. JCGM 101 9.2, additive model


def quantile_error(density, n, tail=0.025):
    """Standard error of the quantile of n draws where the density is known (asymptotic, first principles)."""
    return math.sqrt(tail * (1.0 - tail) / n) / density


def add(a, b, c, d):
    return a + b + c + d


def four(make):
    return {name: make(name) for name in "abcd"}


def test_sum_of_four_normals():
    n = 1_000_000
    run = propagate(add, four(lambda name: normal(0.0, 1.0, "1", name)), n, seed=1)
    # first principles: normal with u = 2, 95 % interval ±3.920.
    assert run.standard_uncertainty == pytest.approx(2.0, abs=4 * 2.0 / math.sqrt(2 * n))
    density = math.exp(-(1.96**2) / 2) / math.sqrt(2 * math.pi) / 2.0
    for end in run.interval:
        assert abs(end) == pytest.approx(3.919928, abs=4 * quantile_error(density, n))


def test_sum_of_four_rectangular():
    n = 1_000_000
    inputs = four(lambda name: rectangular(0.0, math.sqrt(3.0), "1", name))
    run = propagate(add, inputs, n, seed=2)
    # computed: SciPy, Irwin–Hall distribution, exact end 3.879407; from memory: JCGM 101 table 3 prints ±3.88.
    law = irwinhall(4)
    width = 2.0 * math.sqrt(3.0)
    assert (law.ppf(0.975) - 2.0) * width == pytest.approx(3.879407, abs=5e-7)
    error = quantile_error(float(law.pdf(law.ppf(0.975))) / width, n)
    assert run.interval[1] == pytest.approx(3.879407, abs=4 * error)
    assert run.interval[0] == pytest.approx(-3.879407, abs=4 * error)
    # computed: k = 1.96 gives ±3.92, which the first order cannot tell from the normal case.
    assert add(**inputs).expanded() == pytest.approx(3.92, abs=0.005)


def test_one_dominant_rectangular_input_makes_the_first_order_band_too_wide():
    n = 1_000_000
    inputs = four(lambda name: rectangular(0.0, math.sqrt(3.0) * (10.0 if name == "d" else 1.0), "1", name))
    first = add(**inputs)
    # first principles: u = sqrt(103) = 10.14889; first-order band ±19.89.
    assert first.standard_uncertainty == pytest.approx(10.14889, abs=5e-6)
    assert first.expanded() == pytest.approx(19.89, abs=0.005)
    run = propagate(add, inputs, n, seed=3)
    # computed: ±17.0 from 2 million draws; from memory: JCGM 101 table 4. The density at the end is that of the wide
    # input, 1/(20 sqrt 3), times the chance that the others leave room there (above 0.5 at 17.0 of 17.32).
    error = quantile_error(0.5 / (20.0 * math.sqrt(3.0)), n)
    assert run.interval[1] == pytest.approx(17.0, abs=0.05 + 4 * error)
    assert run.interval[0] == pytest.approx(-17.0, abs=0.05 + 4 * error)


# F. JCGM 101 9.3, mass calibration


def conventional_mass(m, dm, air, weight, reference):
    return (m + dm) * (1.0 + (air - 1.2) * (1.0 / weight - 1.0 / reference)) - 100_000.0


def mass_inputs():
    # from memory: JCGM 101 table 5. mg and kg/m³, written as plain numbers.
    return {
        "m": normal(100_000.0, 0.050, "1", "reference mass"),
        "dm": normal(1.234, 0.020, "1", "difference"),
        "air": rectangular(1.2, 0.1, "1", "air density"),
        "weight": rectangular(8000.0, 1000.0, "1", "density of the weight"),
        "reference": rectangular(8000.0, 50.0, "1", "density of the reference"),
    }


def test_mass_calibration_first_and_second_order():
    first, second = second_order_variance(conventional_mass, mass_inputs())
    # computed: NumPy; from memory: JCGM 101 table 6 prints 0.0539 and 0.0750 mg.
    assert math.sqrt(first) == pytest.approx(0.053852, abs=5e-7)
    assert math.sqrt(second) == pytest.approx(0.074963, abs=2e-6)
    # computed: the intervals that follow with k = 1.96.
    assert 1.2340 - 1.959964 * math.sqrt(first) == pytest.approx(1.1285, abs=1e-4)
    assert 1.2340 + 1.959964 * math.sqrt(second) == pytest.approx(1.3809, abs=1e-4)


def shortest_error(values, parts=10):
    """Standard error of the ends of a shortest interval, from parts of the run (cube-root convergence)."""
    ends = np.array([shortest_interval(part) for part in np.split(values, parts)])
    return np.std(ends, axis=0, ddof=1) / parts ** (1.0 / 3.0)


def test_mass_calibration_by_monte_carlo():
    run = propagate(conventional_mass, mass_inputs(), 1_000_000, seed=4)
    # computed: NumPy, 2 million draws: 1.23397, 0.07547, shortest [1.0833, 1.3823]; from memory: JCGM 101 table 6
    # prints 0.0754, [1.0834, 1.3825]. Both runs have an error: ours times sqrt(1 + 1/2).
    assert run.value == pytest.approx(1.23397, abs=5 * run.mean_error)
    assert run.standard_uncertainty == pytest.approx(0.07547, abs=5 * run.uncertainty_error)
    low_error, high_error = shortest_error(run.values)
    assert run.shortest[0] == pytest.approx(1.0833, abs=1e-4 + 5 * low_error)
    assert run.shortest[1] == pytest.approx(1.3823, abs=1e-4 + 5 * high_error)


# G. JCGM 101 9.4, sum of squares


def squares(a, b):
    return a**2 + b**2


@pytest.mark.parametrize(
    ("x1", "mean", "u"),
    # first principles: mean x1² + 2u², variance 4 x1² u² + 4 u⁴ with u = 0.005.
    [(0.0, 50e-6, 50e-6), (0.010, 150e-6, 111.803e-6), (0.050, 2550e-6, 502.494e-6)],
)
def test_sum_of_squares(x1, mean, u):
    inputs = {"a": normal(x1, 0.005, "1", "a"), "b": normal(0.0, 0.005, "1", "b")}
    first = squares(**inputs)
    # first principles: first order gives x1² and 2 x1 u; at 0 it gives no uncertainty at all.
    assert first.value == pytest.approx(x1**2)
    assert first.standard_uncertainty == pytest.approx(2.0 * x1 * 0.005)
    _, second = second_order_variance(squares, inputs)
    assert math.sqrt(second) == pytest.approx(u, rel=1e-5)
    run = propagate(squares, inputs, 1_000_000, seed=5)
    assert run.value == pytest.approx(mean, abs=4 * run.mean_error)
    assert run.standard_uncertainty == pytest.approx(u, abs=5e-10 + 4 * run.uncertainty_error)


@pytest.mark.parametrize(
    ("x1", "low", "high"),
    # first principles: at 0 Y/u² is chi-square with 2 degrees of freedom, end -2 u² ln 0.05 = 149.787e-6.
    # computed: NumPy for the others.
    [(0.0, 0.0, 149.787e-6), (0.010, 0.0, 366e-6), (0.050, 1592e-6, 3545e-6)],
)
def test_sum_of_squares_shortest_interval(x1, low, high):
    inputs = {"a": normal(x1, 0.005, "1", "a"), "b": normal(0.0, 0.005, "1", "b")}
    run = propagate(squares, inputs, 1_000_000, seed=6)
    low_error, high_error = shortest_error(run.values)
    assert run.shortest[0] == pytest.approx(low, abs=1e-6 + 4 * low_error)
    assert run.shortest[1] == pytest.approx(high, abs=1e-6 + 4 * high_error)


# H. EA-4/02 S2, 10 kg weight


def test_ten_kilogram_weight():
    # published: worked file of EA-4/02 example S2. g. from memory: the values 10 000.005 and 0.020.
    mass = total(
        [
            certificate(10_000.005, 0.045, 2.0, "kg", "reference"),
            rectangular(0.0, 0.015, "kg", "drift"),
            type_a_pooled([0.020] * 3, 0.025, math.inf, "kg", "comparison"),
            rectangular(0.0, 0.010, "kg", "eccentricity"),
            rectangular(0.0, 0.010, "kg", "air buoyancy"),
        ]
    )
    # computed: u = 0.02926 g. published: m = 10 000.025 g, u = 0.0291 g with a type A of 0.0142 for our 0.0144 g.
    assert mass.value == pytest.approx(10_000.025, abs=5e-4)
    assert mass.standard_uncertainty == pytest.approx(0.02926, abs=5e-6)
    assert mass.standard_uncertainty == pytest.approx(0.0291, abs=2e-4)


# I. Five readings of one hose with a tape


def test_five_readings_of_a_hose():
    tape = Instrument("T1", "tape", accuracy_class="II")
    ids = ["H1", "H2", "H3", "H4", "H5"]
    readings = [reading(tape, x * MM, i) for x, i in zip((731, 728, 733, 730, 729), ids, strict=True)]
    taken = repeats(readings, ids, "hose length")
    # first principles: a steel tape grows by 11.5e-6/K; ±5 K rectangular on 730 mm is u = 0.02427 mm.
    length = taken.quantity + rectangular(0.0, 730 * MM * 11.5e-6 * 5.0, "m", "temperature of the tape")
    # computed: mean 730.2, s 1.92354, u = 0.99361 mm, 7.12 degrees of freedom, k = 2.36462, U = 2.3495 mm.
    assert taken.scatter_si / MM == pytest.approx(1.92354, abs=5e-6)
    assert length.value / MM == pytest.approx(730.2, abs=1e-9)
    terms = {source.name: u / MM for source, u in length.terms}
    assert terms["slot hose length/scatter"] == pytest.approx(0.86023, abs=5e-6)
    assert terms["instrument T1/calibration"] == pytest.approx(0.40415, abs=5e-6)
    assert terms["slot hose length/resolution"] == pytest.approx(0.28868, abs=5e-6)
    assert terms["temperature of the tape"] == pytest.approx(0.02427, abs=5e-5)
    assert length.standard_uncertainty / MM == pytest.approx(0.99361, abs=5e-6)
    assert length.dof == pytest.approx(7.12, abs=0.005)
    assert length.coverage_factor() == pytest.approx(2.36462, abs=5e-6)
    assert length.expanded() / MM == pytest.approx(2.3495, abs=5e-5)
    assert text(length.value / MM, length.expanded() / MM, "mm", plain=True) == "730.2 +/- 2.4 mm"
    assert not taken.contradicted


# J. Four corner pads


def test_four_corner_pads_with_a_common_error():
    common = Source("pads/calibration")
    pads = [
        Quantity(kg, "kg", ((common, 0.3), (Source(f"pad {k}"), 0.5)))
        for k, kg in enumerate((452, 448, 520, 530))
    ]
    wheelbase = normal(2.900, 1.5 * MM, "m", "wheelbase")
    mass = total(pads)
    rear = pads[2] + pads[3]
    x = wheelbase * rear / mass
    # computed: NumPy from the balance of moments; 1.000 kg if the common part is forgotten.
    assert mass.value == 1950.0
    assert mass.standard_uncertainty == pytest.approx(1.56205, abs=5e-6)
    assert ((pads[0] + pads[1]) / mass).value == pytest.approx(0.461538, abs=5e-7)
    assert x.value == pytest.approx(1.561538, abs=5e-7)
    assert x.unit == "m"
    assert x.standard_uncertainty / MM == pytest.approx(1.101, abs=5e-4)
    terms = {source.name: c / MM for source, c in x.terms}
    assert terms["pad 0"] / 0.5 == pytest.approx(-0.80079, abs=5e-6)
    assert terms["pad 3"] / 0.5 == pytest.approx(0.68639, abs=5e-6)
    assert abs(terms["wheelbase"]) == pytest.approx(0.808, abs=5e-4)
    assert math.sqrt(x.standard_uncertainty**2 / MM**2 - terms["wheelbase"] ** 2) == pytest.approx(
        0.749, abs=5e-4
    )


# K. Height of the centre of gravity


def test_height_of_the_centre_of_gravity():
    wheelbase = normal(2.900, 1.5 * MM, "m", "L")
    front = normal(900.0, 0.7, "kg", "front, level")
    raised = normal(938.0, 0.7, "kg", "front, raised")
    mass = normal(1950.0, 1.2, "kg", "mass")
    angle = normal(math.radians(12.0), math.radians(0.1), "rad", "angle")
    radius = normal(0.335, 2 * MM, "m", "radius")
    tan = math.tan(angle.value)
    tangent = combine(tan, [(angle, 1.0 + tan * tan)], "1")
    # from memory: ISO 10392, h = r + L (F' − F)/(m tan theta).
    height = radius + wheelbase * (raised - front) / (mass * tangent)
    # computed: NumPy, h = 0.600872 m, u = 7.565 mm and the contributions.
    assert height.value == pytest.approx(0.600872, abs=5e-7)
    assert height.standard_uncertainty / MM == pytest.approx(7.565, abs=5e-4)
    terms = {source.name: abs(c) / MM for source, c in height.terms}
    expected = {
        "L": 0.138,
        "front, level": 4.898,
        "front, raised": 4.898,
        "mass": 0.164,
        "angle": 2.282,
        "radius": 2.0,
    }
    for name, size in expected.items():
        assert terms[name] == pytest.approx(size, abs=5e-4), name


# L. Closure of a roll-up


def test_a_shared_scale_error_does_not_average_out():
    n, u = 2400, 0.577e-3
    apart = total([normal(0.8, u, "kg", f"part {k}") for k in range(n)])
    shared = Source("instrument B2/calibration")
    together = total([Quantity(0.8, "kg", ((shared, u),)) for _ in range(n)])
    # computed: 28.3 g when independent, 1.385 kg when fully common.
    assert apart.standard_uncertainty * 1e3 == pytest.approx(28.3, abs=0.05)
    assert together.standard_uncertainty == pytest.approx(1.385, abs=5e-4)


def test_a_roll_up_that_does_not_close():
    k = coverage_factor(math.inf)
    parts = normal(1941.5, 6.0 / k, "kg", "roll-up")
    whole = normal(1950.0, 3.2 / k, "kg", "pads")
    # computed: |1950.0 − 1941.5|/sqrt(3.2² + 6.0²) = 1.250 (from memory: E_n of ISO 13528): does not close.
    assert normalised_error(parts, whole) == pytest.approx(1.250, abs=5e-4)
    assert normalised_error(whole, parts) == pytest.approx(1.250, abs=5e-4)


# M. Is one hose longer than the other?


@pytest.mark.parametrize(
    ("r", "expected"),
    # computed: SciPy, normal distribution of the difference; 730 against 725 mm, u = 4 mm each.
    [(0.0, 0.81162), (0.8, 0.97595)],
)
def test_probability_that_one_hose_is_longer(r, expected):
    shared = Source("instrument T1/calibration")
    a, b = (
        Quantity(x * MM, "m", ((shared, 4 * MM * math.sqrt(r)), (Source(name), 4 * MM * math.sqrt(1.0 - r))))
        for x, name in ((730, "hose A"), (725, "hose B"))
    )
    assert correlation(a, b) == pytest.approx(r)
    assert probability_greater(a, b) == pytest.approx(expected, abs=5e-6)
    assert probability_greater(b, a) == pytest.approx(1.0 - expected, abs=5e-6)
