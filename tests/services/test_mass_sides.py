"""One mass of a function and one difference of it, whichever service is asked."""

import math

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from core.mass.mass_bench import ASSEMBLY, Bench
from hoistbook.core.compare.claim_figures import Figures
from hoistbook.core.compare.claim_verdict import evaluate
from hoistbook.core.compare.claims import Claim, Relation
from hoistbook.core.compare.looked_at import Side, looked_at
from hoistbook.core.quantities.quantity import Quantity, total
from hoistbook.services.as_json.mass import mass_json
from hoistbook.services.claim_bench import Bench as Vehicles
from hoistbook.services.claim_bench import Settings
from hoistbook.services.claim_masses import mass_of
from hoistbook.services.demo import van_paths
from hoistbook.services.gap import gap_report
from hoistbook.services.loading import load_teardown
from hoistbook.services.mass import mass_figures
from hoistbook.services.mass_sides import function_masses, mass_side, masses_in

K95 = 1.959963984540054  # published: two-sided 95 % of a normal error
N_DRAWS = 100  # a mass needs none; so few would show at once where draws came in


def claim(function, vehicle="", other=""):
    return Claim("c", "s", "mass", vehicle, Relation.MORE_THAN, Quantity(0.0, "kg"), other, function)


def vehicles_of(*vans):
    return Vehicles(
        [van.vehicle.code for van in vans],
        {van.vehicle.code: van for van in vans},
        {},
        Settings("wltc3b", 0.95),
    )


def told_of_one(vehicles, code):
    """(value, half width) of every function of a vehicle, by each service that tells it."""
    van = vehicles.teardown(code)
    book = vehicles.book(code)
    side = mass_side(van, book.configuration, mass_figures(book))
    found = {}
    for line in mass_json(book)["functions"]["lines"]:
        if line["code"] and line["total"]["value"]:
            whole = line["total"]
            found[line["code"]] = {"mass": (whole["value"], (whole["high"] - whole["low"]) / 2.0)}
    for function, own in found.items():
        cells = [mass for (_, one), mass in side.decisions.items() if one == function]
        for name, mass in (
            ("gap and coverage", total(cells)),
            ("effects on range", masses_in(book)[function]),
            ("claim", claimed(vehicles, function, code)),
        ):
            if mass is not None:
                own[name] = (mass.value, mass.expanded())
    return found


def claimed(vehicles, code, van):
    try:
        return mass_of(vehicles, claim(code, van), van).quantity
    except LookupError:
        return None  # a part of it has no mass: the claim says what to weigh instead of a lower bound


def told_of_two(vehicles, *order):
    """(value, half width) of the difference of every function, by each service that tells it."""
    x, y = (vehicles.teardown(code) for code in order)
    walk = gap_report(x, y, quantity="mass", n_draws=N_DRAWS).as_found
    books = [vehicles.book(code) for code in order]
    sides = [
        Side(
            mass_side(one, book.configuration, mass_figures(book)),
            frozenset(a.function for a in one.approaches),
        )
        for one, book in zip((x, y), books, strict=True)
    ]
    coverage = looked_at(*sides, (), {}, n_draws=N_DRAWS, seed=1)
    of_walk = {line.name: line.amount for line in walk.decisions}
    found = {}
    for line in coverage.lines:
        if line.kind != "function" or line.code not in of_walk:
            continue
        told = {"coverage": line.difference, "gap": of_walk[line.code]}
        try:
            figures = [mass_of(vehicles, claim(line.code, code), code) for code in reversed(order)]
        except LookupError:
            figures = []
        if figures:
            told["claim"] = evaluate(claim(line.code, order[1], order[0]), Figures(*figures)).difference
        found[line.code] = {name: (one.value, one.half_width) for name, one in told.items()}
    return found, walk, coverage


def agree(told):
    first, *others = told.values()
    for other in others:
        assert other == pytest.approx(first, rel=1e-9, abs=1e-9), told


@pytest.fixture(scope="module")
def vans():
    return vehicles_of(*(load_teardown(path) for path in van_paths().values()))


def test_every_function_of_the_vans_has_one_mass(vans):
    # first principles: a thing has one mass, and one set of readings one band.
    for code in vans.order:
        found = told_of_one(vans, code)
        assert sum(len(told) == 4 for told in found.values()) >= 15
        for told in found.values():
            agree(told)


def test_every_difference_of_the_vans_is_one_figure(vans):
    # first principles: as above; the gap on the scale and its rest too, which coverage calls by the same words.
    for order in (("W", "T"), ("T", "D")):
        found, walk, coverage = told_of_two(vans, *order)
        assert sum(len(told) == 3 for told in found.values()) >= 12
        for told in found.values():
            agree(told)
        rest = next(line for line in coverage.lines if line.kind == "rest").difference
        agree({"gap": (walk.rest.amount.value, walk.rest.amount.half_width),
               "coverage": (rest.value, rest.half_width)})  # fmt: skip


SYSTEMS = ("BS01", "SU07", "IN06", "")
assemblies = st.lists(
    st.tuples(
        st.sampled_from(["axle", "floor"]),
        st.sampled_from(SYSTEMS),
        st.floats(5.0, 60.0),
        st.floats(-0.05, 0.05),
        st.floats(1.0, 1.2),
    ),
    min_size=1,
    max_size=6,
)


def planted(code, rows, factor=1.0):
    """Assemblies that were weighed as a whole and in two pieces, whose sum is off by a stated surplus."""
    bench = Bench(code)
    for function in ("axle", "floor"):
        bench.function(function, approach=f"{code} {function}")
    expected = {"axle": [], "floor": []}
    for number, (function, system, mass, surplus, more) in enumerate(rows):
        whole = mass * (more if factor != 1.0 else 1.0)
        tag, own, shared = f"A{number}", 0.010, 1e-4 * whole
        bench.part(tag, kind=ASSEMBLY, system=system, function=function)
        bench.whole(tag, whole, own, shared=(("scale", shared),))
        for piece, part in (("P", 0.6), ("Q", 0.4)):
            bench.part(f"{tag}{piece}", tag)
            bench.weigh(f"{tag}{piece}", part * (whole - surplus), own, shared=(("scale", shared * part),))
        expected[function].append((whole, own, shared))
    return bench.teardown(), expected


def by_hand(rows, minus=()):
    """Value and half width of a sum of weighed assemblies, less another one on the same scale."""
    value = sum(whole for whole, _, _ in rows) - sum(whole for whole, _, _ in minus)
    own = sum(u * u for _, u, _ in (*rows, *minus))
    common = sum(u for _, _, u in rows) - sum(u for _, _, u in minus)
    return value, K95 * math.sqrt(own + common**2)


@settings(max_examples=15)
@given(assemblies)
def test_a_function_weighs_what_its_assemblies_do(rows):
    # first principles: an assembly that was weighed is its own reading, whatever its pieces add up to; readings add,
    # own errors in squares, the error of the scale all were on in full.
    teardown, expected = planted("Whimbrel", rows)
    found = told_of_one(vehicles_of(teardown), "Whimbrel")
    assert set(found) == {function for function, *_ in rows}
    for function, told in found.items():
        assert len(told) == 4
        for name, one in told.items():
            assert one == pytest.approx(by_hand(expected[function]), rel=1e-6), name
        mass = function_masses(teardown, "as built")[function]
        assert (mass.value, mass.expanded()) == pytest.approx(by_hand(expected[function]), rel=1e-6)


@settings(max_examples=15)
@given(assemblies)
def test_a_difference_is_that_of_the_readings_on_one_scale(rows):
    # first principles: as above, and the error of a scale that both were on is in the difference once.
    x, of_x = planted("Whimbrel", rows)
    y, of_y = planted("Turnstone", rows, factor=2.0)
    found, walk, _ = told_of_two(vehicles_of(x, y), "Whimbrel", "Turnstone")
    assert set(found) == {function for function, *_ in rows}
    for function, told in found.items():
        assert len(told) == 3
        for name, one in told.items():
            assert one == pytest.approx(by_hand(of_y[function], of_x[function]), rel=1e-6, abs=1e-9), name
    everything = by_hand([*of_y["axle"], *of_y["floor"]], [*of_x["axle"], *of_x["floor"]])
    assert (walk.gap.value, walk.gap.half_width) == pytest.approx(everything, rel=1e-6, abs=1e-9)
    assert gap_report(x, y, quantity="mass", n_draws=300, seed=9).as_found.bars == walk.bars


def test_the_sign_of_a_mass_bar_is_that_of_its_band():
    # published: the standard normal distribution at 1.5 is 0.9332 (any table): 1.5 kg ± 1 kg standard uncertainty.
    x = Bench("Whimbrel").part("P", system="BS01").weigh("P", 100.0, math.sqrt(0.5)).teardown()
    y = Bench("Turnstone").part("P", system="BS01").weigh("P", 101.5, math.sqrt(0.5)).teardown()
    walk = gap_report(x, y, quantity="mass", n_draws=N_DRAWS).as_found
    assert walk.gap_sign == pytest.approx(0.9332, abs=5e-5)
    assert [bar.p_sign for bar in walk.bars if bar.name == "BS"] == pytest.approx([0.9332], abs=5e-5)
    assert np.isclose(walk.rest.amount.value, 0.0)
