"""What to measure next for a gap: what an instrument shows, at which vehicle, and what it leaves open."""

import numpy as np
import pytest

from hoistbook.core.compare.bars import WeightedDraws
from hoistbook.core.compare.engine import Surroundings
from hoistbook.core.compare.gap import Side
from hoistbook.core.compare.inference import MeasurementKind
from hoistbook.services.next_measurements import next_measurements

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
