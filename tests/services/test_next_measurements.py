"""What to measure next for a gap: what an instrument shows, at which vehicle, and what it leaves open."""

from dataclasses import replace
from importlib.resources import files

import numpy as np
import pytest

from hoistbook.core.compare.bars import WeightedDraws
from hoistbook.core.compare.engine import Surroundings
from hoistbook.core.compare.gap import Side
from hoistbook.core.compare.inference import MeasurementKind, RepeatKind
from hoistbook.core.quantities.quantity import Origin, Quantity, Source
from hoistbook.core.vehicle.records import Basis, Fact
from hoistbook.reference.published import published_settings, read_published_settings
from hoistbook.services.gap import gap_report
from hoistbook.services.next_measurements import next_measurements
from hoistbook.services.repeat_tests import own_part

from .test_gap_service import vehicle

N_DRAWS = 4000
EARTH = Surroundings(9.80665, 1.189)
NOISE = np.random.default_rng(7).standard_normal((12, N_DRAWS))
CENTRE = {
    "test_mass_kg": 1700.0,
    "tyre_coefficient": 0.008,
    "drag_area_m2": 1.1,
    "drag_force_n": 20.0,
    "drag_force_b_n_s_per_m": 0.5,
    "drag_force_c_n_s2_per_m2": 0.02,
}
SPREAD = {"test_mass_kg": 0.01, "tyre_coefficient": 0.1, "drag_area_m2": 0.1, "drag_force_n": 0.2}


def side(code, first_row):
    fields = {
        name: value * (1.0 + SPREAD.get(name, 0.0) * NOISE[first_row + place])
        for place, (name, value) in enumerate(CENTRE.items())
    }
    return Side(code, "", fields, {})


X, Y = side("X", 0), side("Y", 6)
EQUAL = WeightedDraws.equal(N_DRAWS)


def kind(name, fields, sd, *, relative=False):
    return MeasurementKind(name, name, "by hand", fields, sd, relative, 30.0)


def by_place(found):
    return {(one.vehicle, one.narrowing.name.partition("/")[0]): one for one in found}


def test_a_measurement_takes_the_variance_it_shows():
    # first principles: of two independent parts of equal variance a perfect reading of one leaves √½ of the band; a
    # reading of the other vehicle, or of a figure with no part in it, leaves all of it.
    area, force = (X.fields[n] / (SPREAD[n] * CENTRE[n]) for n in ("drag_area_m2", "drag_force_n"))
    kinds = (kind("tunnel", ("drag_area_m2",), 0.0), kind("scales", ("test_mass_kg",), 0.0))
    found = next_measurements(area + force, EQUAL, (X, Y), kinds, EARTH)
    left = {place: 1.0 - one.narrowing.narrower_frac for place, one in by_place(found).items()}
    assert left["X", "tunnel"] == pytest.approx(np.sqrt(0.5), abs=0.02)
    for place in (("Y", "tunnel"), ("X", "scales"), ("Y", "scales")):
        assert left[place] == pytest.approx(1.0, abs=0.005)
    assert [one.is_worth_naming for one in found] == [True, False, False, False]
    assert (found[0].vehicle, found[0].narrowing.minutes) == ("X", 30.0)


def test_a_relative_error_is_of_the_figure_shown():
    # first principles: an error as wide as the figure's own spread, 10 % of it, leaves √(1 − ½).
    target = X.fields["drag_area_m2"]
    kinds = (kind("relative", ("drag_area_m2",), 0.1, relative=True), kind("same", ("drag_area_m2",), 0.11))
    found = by_place(next_measurements(target, EQUAL, (X,), kinds, EARTH))
    for name in ("relative", "same"):
        assert 1.0 - found["X", name].narrowing.narrower_frac == pytest.approx(np.sqrt(0.5), abs=0.02)


def test_a_coast_down_shows_the_road_load_at_three_speeds():
    # first principles: F(v) = m g c + F0 + F1 v + (ρ/2 · CdA + F2) v²; at 50 km/h it lies in the span of three speeds.
    v, f = 50.0 / 3.6, X.fields
    load = f["test_mass_kg"] * 9.80665 * f["tyre_coefficient"] + f["drag_force_n"]
    load = (
        load
        + f["drag_force_b_n_s_per_m"] * v
        + (0.5 * 1.189 * f["drag_area_m2"] + f["drag_force_c_n_s2_per_m2"]) * v**2
    )
    (found,) = next_measurements(load, EQUAL, (X,), (kind("coast_down", ("force",), 1e-6),), EARTH)
    assert found.narrowing.half_width_then < 1e-3 * found.narrowing.half_width_now


def test_what_is_no_parameter_is_refused():
    with pytest.raises(ValueError, match="'gauge' shows 'paint_thickness_m', which is no parameter"):
        next_measurements(NOISE[0], EQUAL, (X,), (kind("gauge", ("paint_thickness_m",), 1e-6),), EARTH)


BENCH = Source("dynamometer D1, roller load")


def on_bench(code, own_km, bench_km, *, origin=Origin.MEASURED, basis=Basis.SPECIMEN, also=()):
    """A vehicle whose range was measured with an error of its own and one of the bench."""
    made = vehicle(code)
    terms = ((Source(f"{code}/range"), own_km * 1e3 / 1.96), (BENCH, bench_km * 1e3 / 1.96), *also)
    measured_range = Quantity(250e3, "m", terms, origin)
    facts = [
        replace(f, value=measured_range, basis=basis) if f.quantity == "range" else f for f in made.facts
    ]
    return replace(made, facts=tuple(facts))


def named(found):
    return {f"{one.narrowing.name}" for one in found if one.narrowing.name.startswith("repeat/")}


def test_only_the_own_part_of_a_measured_range_is_repeated():
    twins = (Source("A/shared with the charge"), 500.0)
    x, y = on_bench("A", 3.0, 2.0, also=(twins,)), on_bench("B", 4.0, 2.0)
    charge = Fact("A-1", "charging_efficiency", Quantity(0.88, "1", ((twins[0], 0.01),), Origin.MEASURED))
    x = replace(x, facts=(*x.facts, charge))
    of_range = next(f for f in x.facts if f.quantity == "range")
    own = own_part(of_range, (x, y), "A")
    # As typed: 3 km are its own; the bench, and what the charge shares, would be the same in a repeat.
    assert [source.name for source, _ in own.terms] == ["A/range"]
    assert own.expanded() == pytest.approx(3e3, rel=1e-4)
    found = gap_report(x, y, quantity="range", n_draws=600)
    assert named(found.next_measurements) == named(found.next_measurements_alike) == {"repeat/A", "repeat/B"}
    told = {one.vehicle: one.narrowing for one in found.next_measurements if "repeat" in one.narrowing.name}
    # first principles: 4/√3 = 2.3; the bench's 2 km stay.
    assert (
        "its own part, ± 4.0 km and taken as its scatter, becomes ± 2.3 km; what it shares with other figures, "
        "± 2.0 km, stays"
    ) in told["B"].how.replace("\u202f", " ")
    assert told["B"].words == "range test repeated, 3 in all"
    assert told["B"].minutes == 2 * 1440.0  # as published.toml has it
    # The wider own part narrows more.
    assert told["B"].half_width_then < told["A"].half_width_then < told["A"].half_width_now


def test_more_tests_narrow_more_and_never_below_what_is_shared():
    left = []
    for tests in (2, 10, 1000):
        found = gap_report(
            on_bench("A", 6.0, 2.0), on_bench("B", 1.0, 2.0), quantity="range", n_draws=600,
            repeat=RepeatKind(tests), measurements=(),
        )  # fmt: skip
        one = next(n.narrowing for n in found.next_measurements if n.vehicle == "A")
        left.append(one.half_width_then)
        assert f", {tests} in all" in one.words
        assert one.minutes is None
    # first principles: the mean of more tests is never worse known, and its own part vanishes with 1/√n.
    assert left == sorted(left, reverse=True)
    assert left[-1] / left[-2] > 0.9


@pytest.mark.parametrize(
    "x",
    [
        on_bench("A", 3.0, 2.0, origin=Origin.PUBLISHED),
        on_bench("A", 3.0, 2.0, basis=Basis.LABEL),
        on_bench("A", 0.0, 2.0),
        replace(vehicle("A"), facts=tuple(f for f in vehicle("A").facts if f.quantity != "range")),
    ],
    ids=["published", "label", "nothing of its own", "nothing stated"],
)
def test_what_no_test_stands_behind_is_not_repeated(x):
    found = gap_report(x, on_bench("B", 3.0, 2.0), quantity="range", n_draws=300)
    assert "repeat/A" not in named(found.next_measurements)


def test_settings_say_how_a_test_is_repeated(tmp_path):
    packaged = (files("hoistbook.reference") / "data" / "published.toml").read_text(encoding="utf-8")
    assert published_settings().repeat == RepeatKind(3, 1440.0)

    def read(old, new):
        path = tmp_path / "own.toml"
        path.write_text(packaged.replace(old, new, 1), encoding="utf-8")
        return read_published_settings(path).repeat

    head = "[repeat.tests]\nvalue = 3"
    assert read(head, head[:-1] + "5") == RepeatKind(5, 1440.0)
    with pytest.raises(ValueError, match=r"\[repeat\] tests = 1: a repeated test is taken at least 2 times"):
        read(head, head[:-1] + "1")
    with pytest.raises(ValueError, match=r"tests = 2\.5: give a whole number"):
        read(head, head[:-1] + "2.5")
    without = (
        packaged.partition("[repeat.tests]")[0] + "[measurement." + packaged.partition("[measurement.")[2]
    )
    path = tmp_path / "none.toml"
    path.write_text(without, encoding="utf-8")
    assert read_published_settings(path).repeat is None
