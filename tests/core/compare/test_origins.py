"""Where a bar comes from: what carries it decides, also where causes were merged."""

import numpy as np
from hypothesis import given, settings
from hypothesis import strategies as st

from hoistbook.core.compare.bars import WeightedDraws
from hoistbook.core.compare.causes import CAUSE_OF_FIELD, CAUSES
from hoistbook.core.compare.gap import Side
from hoistbook.core.compare.origins import BarOrigins
from hoistbook.core.energy.resolve import resolve
from hoistbook.core.quantities.quantity import Origin, Quantity, Source
from hoistbook.core.vehicle.records import Fact, MassState
from hoistbook.reference.energy import energy_defaults

from . import vans

N = 300
KWH = 3.6e6
WALL, ROAD = ("usable_energy", "charging"), ("tyres", "drag_force")
DUTY = vans.us_duty()


def side(code, *, wall=60.0 * KWH, a=150.0, mass=1700.0, c=0.4, how=Origin.PUBLISHED, **more):
    """A vehicle known by test mass, coefficients and the wall energy of a charge, each to 0.5 %; the rest assumed."""
    stated = {"road_load_a": (a, "N"), "road_load_b": (1.0, "N.s/m"), "road_load_c": (c, "N.s2/m2"), **more}
    facts = [
        Fact("c", key, Quantity(value, unit, ((Source(f"{code}/{key}"), 0.005 * value),), how))
        for key, (value, unit) in stated.items()
    ]
    for key, value, unit, state in (("mass", mass, "kg", MassState.TEST), ("wall_energy", wall, "J", None)):
        error = ((Source(f"{code}/{key}"), 0.005 * value),)
        facts.append(Fact("c", key, Quantity(value, unit, error, how), mass_state=state))
    found = resolve(facts, energy_defaults(), DUTY, owner=code, surroundings="us")
    fields = {name: values for name, values in found.draws(N, 1).items() if name in CAUSE_OF_FIELD}
    origins = {name: found.values[name].origin for name in fields}
    return Side(code, "", fields, origins, worked_out=found.worked_out)


def origins(x, y, quantity="range"):
    return BarOrigins(vans.question(DUTY, quantity), x, y, WeightedDraws.equal(N))


def test_the_wall_energy_of_a_charge_is_what_published_figures_imply():
    # first principles: usable energy = wall · efficiency. 40 against 60 kWh at the wall is published; an assumed
    # efficiency of a few per cent moves range by a few per cent against fifty, under 5 % of the squares.
    apart = origins(side("X", wall=40.0 * KWH), side("Y"))
    assert apart.of(WALL) == "inferred"
    # With the same charge nothing but the assumed efficiency moves the bar.
    assert origins(side("X"), side("Y")).of(WALL) == "assumed"
    # On consumption a charge has no part: per kilometre at the wall only the assumed efficiency counts.
    assert origins(side("X", wall=40.0 * KWH), side("Y"), "energy").of(WALL) == "assumed"


def test_an_assumed_split_is_no_assumption_of_the_sum():
    # first principles: m g c + F_0 = A whatever c is assumed to be; 150 against 180 N are published.
    found = origins(side("X"), side("Y", a=180.0))
    assert found.of(ROAD) == "inferred"
    # Each part by itself rests on the assumed c.
    assert [found.of((name,)) for name in ROAD] == ["assumed", "assumed"]


def test_a_sum_of_measured_figures_is_measured():
    # first principles: A, B and mass measured on both; c assumed, but it only splits what was measured.
    found = origins(side("X", how=Origin.MEASURED), side("Y", a=180.0, mass=1850.0, how=Origin.MEASURED))
    assert found.of(ROAD) == "measured"
    assert found.of(("mass",)) == "measured"
    one_published = origins(side("X", how=Origin.MEASURED), side("Y", a=180.0))
    assert one_published.of(ROAD) == "inferred"


def test_what_a_stated_drag_splits_is_worked_out_in_turn():
    # first principles: c = (A − T/r)/(m g): with T measured, c is worked out of four measured figures; the assumed
    # radius turns 3 N·m into force and is a few per cent of 9 N out of 150 N.
    both = [
        side(code, a=a, how=Origin.MEASURED, drag_torque=(3.0, "N.m"))
        for code, a in (("X", 150.0), ("Y", 180.0))
    ]
    assert origins(*both).of(("tyres",)) == "measured"


def test_a_figure_that_cannot_move_alone_still_has_its_origin():
    # first principles: X fades recuperation in from 1 to 3 m/s, Y from 4 to 6; Y's lower speed lies above X's upper
    # one, so it cannot be set alone, yet both vehicles are sound. All that differs was measured.
    drawn = [vans.parameter_draws(60, 1) for _ in "XY"]
    for fields, low, full in zip(drawn, (1.0, 4.0), (3.0, 6.0), strict=True):
        fields |= {"cut_in_low_m_per_s": np.full(60, low), "cut_in_full_m_per_s": np.full(60, full)}
    x, y = (vans.side(c, fields) for c, fields in zip("XY", drawn, strict=True))
    found = BarOrigins(vans.question(DUTY), x, y, WeightedDraws.equal(60))
    assert found.of(("recuperation",)) == "measured"


names = st.lists(st.sampled_from([cause.name for cause in CAUSES]), min_size=1, max_size=4, unique=True)


@settings(max_examples=20)
@given(names, st.sampled_from(list(Origin)), st.integers(0, 99))
def test_figures_known_alike_make_bars_known_alike(causes, origin, seed):
    # first principles: the weakest of equal origins is that origin, however many causes are merged.
    x, y = (
        vans.side(c, vans.parameter_draws(60, seed + i, 0.02 * i), origin=origin) for i, c in enumerate("XY")
    )
    found = BarOrigins(vans.question(DUTY), x, y, WeightedDraws.equal(60))
    assert found.of(causes) == origin.value


@settings(max_examples=20)
@given(names, st.data())
def test_a_merged_bar_is_neither_weaker_nor_stronger_than_its_figures(causes, data):
    # first principles: it is one of its figures' origins, whatever the order they are named in.
    fields = {name for cause in CAUSES if cause.name in causes for name in cause.fields}
    known = {name: data.draw(st.sampled_from(list(Origin))) for name in sorted(fields)}
    x, y = (
        Side(c, "", drawn, dict.fromkeys(drawn, Origin.ASSUMED) | known)
        for c, drawn in (("X", vans.parameter_draws(60, 1)), ("Y", vans.parameter_draws(60, 2, 0.02)))
    )
    found = BarOrigins(vans.question(DUTY), x, y, WeightedDraws.equal(60))
    assert Origin(found.of(causes)) in set(known.values())
    assert found.of(causes) == found.of(causes[::-1])


def test_weights_of_the_draws_count():
    # first principles: drag area assumed and wide before, but the draws that are left agree on one value for each
    # vehicle; what then differs is the tyre coefficient alone, which was measured.
    drawn = [vans.parameter_draws(N, seed) for seed in (1, 2)]
    for fields, tyres in zip(drawn, (0.008, 0.010), strict=True):
        for name in fields:
            fields[name] = np.full(N, float(np.mean(fields[name])))
        fields["drag_area_m2"] = np.where(np.arange(N) < N // 2, 0.75, np.linspace(0.5, 1.0, N))
        fields["tyre_coefficient"] = np.full(N, tyres)
    for one in (drawn[1],):
        one.update({name: values for name, values in drawn[0].items() if name != "tyre_coefficient"})
    known = dict.fromkeys(drawn[0], Origin.MEASURED) | {"drag_area_m2": Origin.ASSUMED}
    x, y = (Side(c, "", fields, known) for c, fields in zip("XY", drawn, strict=True))
    weight = np.where(np.arange(N) < N // 2, 2.0 / N, 0.0)
    asked = vans.question(DUTY)
    causes = ("tyres", "drag_area")
    assert BarOrigins(asked, x, y, WeightedDraws.equal(N)).of(causes) == "assumed"
    assert BarOrigins(asked, x, y, WeightedDraws(weight)).of(causes) == "measured"


def test_nothing_that_moves_is_as_weak_as_all_it_could_rest_on():
    # first principles: no effect, no ground to prefer one figure over another.
    still = {
        name: np.full(50, float(np.mean(values))) for name, values in vans.parameter_draws(50, 1).items()
    }
    known = dict.fromkeys(still, Origin.MEASURED) | {"rotating_frac": Origin.PUBLISHED}
    x, y = (Side(c, "", still, known) for c in "XY")
    found = BarOrigins(vans.question(DUTY), x, y, WeightedDraws.equal(50))
    assert found.of(("mass",)) == "published"
    assert found.of(("label",)) == "measured"
