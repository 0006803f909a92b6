"""Assumed figures: complete, marked, and refused when they are not."""

import re
import tomllib
from importlib import resources

import numpy as np
import pytest

from hoistbook.core.energy.defaults import Default
from hoistbook.core.energy.parameters import FIELD_NAMES, EnergyParameters
from hoistbook.core.quantities.quantity import Origin
from hoistbook.core.quantities.sampling import draws
from hoistbook.core.vehicle.kinds import QUANTITY_KINDS
from hoistbook.reference.energy import energy_defaults, read_energy_defaults, tyre_class, tyre_classes

MARKS = {"published", "computed", "first principles", "common practice", "from memory"}


def every_default():
    d = energy_defaults()
    sets = [d.fields, *d.drivelines.values(), *d.surroundings.values()]
    return [default for rows in sets for default in rows.values()]


def test_every_field_has_a_default_or_a_reason():
    d = energy_defaults()
    for driveline in d.drivelines:
        for surroundings in d.surroundings:
            assert {*d.joined(driveline, surroundings), *d.required} == set(FIELD_NAMES)


def test_every_figure_is_marked_and_in_si():
    units = {kind.field: kind.unit for kind in QUANTITY_KINDS.values() if kind.field}
    # A fact replaces a default, so both must speak the same unit.
    units |= {"gravity_m_per_s2": "m/s2", "air_density_kg_per_m3": "kg/m3", "adhesion_frac": "1"}
    units |= {"driven_load_frac": "1", "load_transfer": "1", "drag_force_c_n_s2_per_m2": "N.s2/m2"}
    for default in every_default():
        assert default.mark in MARKS
        assert default.source
        assert default.unit == units[default.name], default.name


def test_defaults_make_a_vehicle():
    d = energy_defaults()
    for driveline in d.drivelines:
        values = {name: default.value for name, default in d.joined(driveline, "us").items()}
        EnergyParameters(**values, test_mass_kg=2000.0, usable_energy_j=2e8)


def test_reference_states():
    # published: WLTP 1.189 kg/m³ at 293 K, 100 kPa (GTR 15, second hand); computed: 98210/(287.05 · 293.15) = 1.16710.
    d = energy_defaults().surroundings
    assert d["eu"]["air_density_kg_per_m3"].value == 1.189
    assert d["us"]["air_density_kg_per_m3"].value == pytest.approx(98210.0 / (287.05 * 293.15), abs=5.1e-6)


@pytest.mark.parametrize(
    ("shape", "outside"),
    [("normal", 0.05), ("rectangular", 0.0), ("triangular", 0.0)],
)
def test_band_means_what_the_file_says(shape, outside):
    # first principles: 5 % of a normal error lie outside its 95 % interval, nothing outside bounded limits.
    quantity = Default("gear_ratio", 9.0, "1", 1.5, shape, "common practice", "test").quantity("car")
    assert quantity.origin is Origin.ASSUMED
    z = draws(quantity, 20000, 1) - 9.0
    assert np.mean(np.abs(z) > 1.5 + 1e-12) == pytest.approx(outside, abs=0.006)
    assert np.abs(z).max() > 1.45


def test_two_vehicles_do_not_share_what_is_not_known():
    d = energy_defaults().joined("generic", "us")
    one, other = (d["tyre_coefficient"].quantity(owner) for owner in ("a/base", "b/base"))
    assert {s.name for s, _ in one.terms}.isdisjoint({s.name for s, _ in other.terms})
    # One constant was fitted for driving and braking: within a vehicle both move together.
    ahead, back = (
        d[name].quantity("a/base") for name in ("gear_efficiency_frac", "gear_efficiency_back_frac")
    )
    assert ahead.terms == back.terms


def test_exact_has_no_band():
    assert (
        Default("gravity_m_per_s2", 9.8, "m/s2", 0.0, "exact", "from memory", "test").quantity("car").terms
        == ()
    )
    with pytest.raises(ValueError, match=r"half_width = 0\.1 does not go with shape 'exact'"):
        Default("gravity_m_per_s2", 9.8, "m/s2", 0.1, "exact", "from memory", "test")
    with pytest.raises(ValueError, match="no shape named 'flat'"):
        Default("gravity_m_per_s2", 9.8, "m/s2", 0.1, "flat", "from memory", "test")


def packaged_text():
    file = resources.files("hoistbook.reference") / "data" / "energy_defaults.toml"
    return file.read_text(encoding="utf-8")


@pytest.mark.parametrize(
    ("find", "put", "message"),
    [
        (
            "[field.gear_ratio]",
            "[field.gear_rato]",
            r"own.toml \[field\]: 'gear_rato' is not an energy parameter",
        ),
        ('mark = "published"', "", r"own.toml \[field\] rotating_frac: mark missing"),
        (
            "[field.wheel_radius_m]",
            "[driveline.generic.wheel_radius_m]",
            "leaves wheel_radius_m without a default",
        ),
        ("sd_ln", "sd", r"own.toml \[residual\]: sd_ln is missing"),
    ],
)
def test_a_users_own_file_is_checked(tmp_path, find, put, message):
    file = tmp_path / "own.toml"
    text = packaged_text()
    assert find in text
    file.write_text(text.replace(find, put, 1), encoding="utf-8")
    with pytest.raises(ValueError, match=message):
        read_energy_defaults(file)


def test_a_users_own_file_replaces_the_packaged_one(tmp_path):
    file = tmp_path / "own.toml"
    file.write_text(re.sub(r"value = 9\.5", "value = 11.2", packaged_text(), count=1), encoding="utf-8")
    assert tomllib.loads(file.read_text(encoding="utf-8"))["field"]["gear_ratio"]["value"] == 11.2
    assert read_energy_defaults(file).fields["gear_ratio"].value == 11.2


def test_unknown_sets_list_the_known_ones():
    with pytest.raises(LookupError, match="generic, constant_efficiency, loss_map_example"):
        energy_defaults().joined("special", "us")
    with pytest.raises(LookupError, match="known: us, eu"):
        energy_defaults().joined("generic", "moon")


def test_tyre_classes():
    # published: COM(2008)779 annex I part A: C1 grade B 6.6 to 7.7 kg/t; 18 grades on that label.
    grade = tyre_class("c1", "b", "2009")
    assert (grade.low, grade.high) == pytest.approx((0.0066, 0.0077))
    assert sum(row.label == "2009" for row in tyre_classes()) == 18
    coefficient = grade.coefficient("van/base")
    assert coefficient.value == pytest.approx(0.00715)
    # first principles: standard uncertainty of an even spread over ±0.00055.
    assert coefficient.standard_uncertainty == pytest.approx(0.00055 / 3**0.5)
    assert coefficient.origin is Origin.INFERRED


def test_open_and_unknown_tyre_grades():
    with pytest.raises(ValueError, match=r"C1 grade A is open below 0.0065"):
        tyre_class("C1", "A").coefficient("van")
    with pytest.raises(ValueError, match=r"C1 grade G is open above 0.0121"):
        tyre_class("C1", "G", "2009").coefficient("van")
    with pytest.raises(LookupError, match="no tyre grade '2021 C1 G'"):
        tyre_class("C1", "G")
