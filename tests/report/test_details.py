"""The figures behind a cause."""

import pytest

from hoistbook.core.compare.bars import Interval
from hoistbook.core.compare.causes import CAUSES
from hoistbook.core.quantities.quantity import Origin, Quantity, Source
from hoistbook.core.vehicle.kinds import unit_text
from hoistbook.report.details import FIELD_OF_CAUSE, change
from hoistbook.report.figures import in_unit


def around(value, half):
    return Interval(value, value - half, value + half)


def plain(text):
    return text.replace("\u202f", " ")


def test_figures_are_shown_from_x_to_y_in_the_usual_unit():
    # first principles: 1 kWh = 3.6 MJ, 1 N/kN = 0.001.
    x = {"usable_energy_j": around(52.0 * 3.6e6, 0.5 * 3.6e6), "tyre_coefficient": around(0.0076, 0.0002)}
    y = {"usable_energy_j": around(55.1 * 3.6e6, 0.5 * 3.6e6), "tyre_coefficient": around(0.0089, 0.0002)}
    assert plain(change("usable_energy", x, y)) == "52.00 → 55.10 kWh"
    assert plain(change("tyres+usable_energy", x, y)) == "7.60 → 8.90 N/kN; 52.00 → 55.10 kWh"


def test_consumption_shows_what_a_battery_loses_not_what_it_holds():
    x, y = (
        {"usable_energy_j": around(1.9e8, 1e6), "pack_resistance_ohm": around(r, 0.004)} for r in (0.09, 0.08)
    )
    assert plain(change("usable_energy", x, y, quantity="energy")) == "90.0 → 80.0 mΩ"


def test_us_figures():
    # first principles: 1 lb = 0.45359237 kg, so 1000 kg = 2204.6 lb.
    x, y = ({"test_mass_kg": around(mass, 3.0)} for mass in (1000.0, 1100.0))
    assert plain(change("mass", x, y, units="us")) == "2 204.6 → 2 425.1 lb"


def test_equal_figures_are_said_once():
    same = {"label_factor_frac": Interval(1.0, 1.0, 1.0)}
    assert change("label", same, same) == "1 both"


def test_cause_of_several_figures_or_none_says_nothing():
    assert change("drive_unit", {}, {}) == ""
    assert change("mass", {}, {"test_mass_kg": around(1700.0, 3.0)}) == ""


def test_figures_belong_to_their_causes():
    fields = {cause.name: cause.fields for cause in CAUSES}
    assert all(shown.field in fields[cause] for cause, shown in FIELD_OF_CAUSE.items())


@pytest.mark.parametrize(
    ("unit", "text"),
    [
        ("m2", "m²"),
        ("N.s2/m2", "N·s²/m²"),
        ("W/(N·m)2", "W/(N·m)²"),
        ("mohm", "mΩ"),
        ("1", ""),
        ("kWh/100 km", "kWh/100 km"),
    ],
)
def test_units_are_set_as_in_print(unit, text):
    assert unit_text(unit) == text


def test_quantity_is_printed_with_its_unit_set():
    area = Quantity(1.279, "m2", ((Source("drag report"), 0.0165),), Origin.PUBLISHED)
    # published: GUM 7.2.6; first principles: 1.96 × 0.0165 = 0.032.
    assert plain(in_unit(area, "m2")) == "1.279 ± 0.033 m²"
    assert in_unit(Quantity(0.5, "1"), "1") == "0.5"
