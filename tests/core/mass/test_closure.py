"""Parts against the vehicle scale: what is said, and what is not claimed."""

import math

import pytest

from hoistbook.core.mass import Verdict, closure
from hoistbook.core.quantities.quantity import Origin, Quantity, Source
from hoistbook.core.vehicle.mass_state import Allowances, LoadRule
from hoistbook.core.vehicle.records import Basis, MassState, Measurement, NodeKind, SubjectKind

from .mass_bench import FLUID, Bench, kg


def parts(value, u=1.0):
    return kg(value, u, "parts")


def scale(value, u=1.0):
    return kg(value, u, "pads")


def test_agreement_states_the_difference_and_its_band():
    result = closure(parts(1949.0), scale(1950.0))
    assert result.verdict is Verdict.AGREE
    assert result.statement.startswith("parts and scale agree: ")
    # first principles: U(d) = 1.96 √2 = 2.77 kg, 0.142 % of 1950 kg; p = 2 Φ(−1/√2) = erfc(1/2) = 0.4795.
    assert result.band_frac == pytest.approx(2.7718 / 1950.0, rel=1e-4)
    assert "0.14 % of the vehicle" in result.statement
    assert result.probability == pytest.approx(math.erfc(0.5))
    assert result.probability_scale_heavier == pytest.approx(1.0 - 0.5 * math.erfc(0.5))


def test_more_on_the_scale_than_in_the_parts():
    result = closure(parts(1941.5), scale(1950.0))
    assert result.verdict is Verdict.DISAGREE
    assert "8.5 ± 2.8" in result.statement.replace("\u202f", " ")
    assert "more on the scale than in the parts" in result.statement
    assert "look for parts, fluids, adhesive and coatings that were not listed" in result.statement


def test_more_in_the_parts_than_on_the_scale():
    result = closure(parts(1970.0), scale(1950.0))
    assert "more in the parts than on the scale" in result.statement
    assert "counted twice" in result.statement
    assert "usual allowance" not in result.statement


def test_a_gap_below_the_usual_allowance_is_still_a_gap():
    # first principles: 0.5 % of 1950 kg is 9.75 kg.
    assert "it is within 9.75 kg, the usual allowance" in closure(parts(1941.5), scale(1950.0)).statement
    assert "usual allowance" not in closure(parts(1939.0), scale(1950.0)).statement


def test_a_wide_band_is_no_agreement():
    result = closure(parts(1949.0, 20.0), scale(1950.0))
    assert result.verdict is Verdict.SAYS_LITTLE
    assert "this says little" in result.statement
    assert "2.0 % of the vehicle, wider than 0.50 %" in result.statement
    assert "agree:" not in result.statement


def test_the_threshold_is_the_users():
    assert closure(parts(1949.0, 20.0), scale(1950.0), threshold_frac=0.03).verdict is Verdict.AGREE
    assert closure(parts(1949.0), scale(1950.0), threshold_frac=0.001).verdict is Verdict.SAYS_LITTLE


@pytest.mark.parametrize(("count", "words"), [(1, "1 part has no mass yet"), (3, "3 parts have no mass yet")])
def test_parts_without_a_mass_forbid_the_claim(count, words):
    agreeing = closure(parts(1949.0), scale(1950.0), missing_count=count)
    assert agreeing.verdict is Verdict.SAYS_LITTLE
    assert words in agreeing.statement
    assert (
        f"{words}, look there first" in closure(parts(1900.0), scale(1950.0), missing_count=count).statement
    )


def test_a_shared_error_cannot_explain_a_difference():
    shared = Source("same scale")
    a, b = (Quantity(v, "kg", ((shared, 5.0), (Source(str(v)), 0.1))) for v in (100.0, 101.0))
    # first principles: the difference has u = 0.1 √2 only.
    assert closure(a, b).normalised_error == pytest.approx(1.0 / (1.959964 * 0.1 * math.sqrt(2.0)), rel=1e-6)


def test_a_vehicle_without_mass_is_refused():
    with pytest.raises(ValueError, match="vehicle mass on the scale = 0"):
        closure(parts(1.0), Quantity(0.0, "kg"))


# --- which mass is compared -----------------------------------------------------------------------------------------


def bench():
    return Bench().part("P").part("O", kind=FLUID).weigh("P", 990.0, 0.5).weigh("O", 10.0, 0.1)


def corner_facts(one, *, state=MassState.CURB, each=250.0):
    for end in ("front", "rear"):
        for side in ("left", "right"):
            mass = kg(each, 0.3, f"pad {end} {side}", (("pads/calibration", 0.2),))
            one.fact(f"corner_mass_{end}_{side}", mass, mass_state=state)
    return one


def test_corner_masses_come_before_a_stated_mass():
    one = corner_facts(bench()).fact("mass", kg(1200.0, 1.0, "label", ()), mass_state=MassState.CURB)
    book = one.book()
    assert book.closure.scale.value == pytest.approx(1000.0)
    # first principles: √(4 · 0.3² + (4 · 0.2)²) = 1.
    assert book.closure.scale.standard_uncertainty == pytest.approx(1.0)
    assert book.closure.verdict is Verdict.AGREE
    assert book.closure.fluids.value == pytest.approx(10.0)
    assert "compared with: sum of the four corner masses" in book.assumptions


def test_what_stood_in_the_vehicle_is_taken_off_when_it_is_stated():
    allowances = Allowances(on_board=Quantity(75.0, "kg"))
    corners = corner_facts(bench(), state=MassState.AS_WEIGHED, each=268.75)
    book = corners.book(allowances=allowances)
    assert book.closure.scale.value == pytest.approx(1000.0)
    assert any("on board when weighed 75 kg" in text for text in book.assumptions)
    # first principles: the same figure stated as a fact of the configuration.
    stated = corner_facts(bench(), state=MassState.AS_WEIGHED, each=268.75).fact(
        "on_board_mass", Quantity(75.0, "kg")
    )
    assert stated.book().closure.scale.value == pytest.approx(1000.0)


def test_a_mass_as_weighed_is_not_compared_unless_it_is_said_what_stood_in_it():
    book = corner_facts(bench(), state=MassState.AS_WEIGHED).book()
    assert book.closure is None
    assert any("what stood in or on the vehicle when it was weighed" in text for text in book.assumptions)


def test_the_mass_state_of_a_fact_is_converted_and_said():
    book = bench().fact("mass", kg(1075.0, 1.0, "m"), mass_state=MassState.RUNNING_ORDER).book()
    # published: the running order includes the driver (EU 1230/2012 Art. 2(4)), 75 kg.
    assert book.closure.scale.value == pytest.approx(1000.0)
    assert any("driver 75 kg" in text for text in book.assumptions)


def test_a_mass_that_cannot_be_converted_is_left_out_with_its_reason():
    one = bench().fact("mass", kg(1200.0, 1.0, "m"), mass_state=MassState.TEST)
    book = one.book()
    assert book.closure is None
    assert any("give the mass at curb too, or what was on board" in text for text in book.assumptions)
    allowances = Allowances(test_rule=LoadRule.US_LOADED)
    # published: 40 CFR 86.1803: curb + 300 lb = 136.077711 kg.
    assert one.book(allowances=allowances).closure.scale.value == pytest.approx(1200.0 - 136.077711)


def test_without_fluids_in_the_tree_the_dry_mass_is_compared():
    one = (
        Bench().part("P").weigh("P", 990.0, 0.5).fact("mass", kg(1000.0, 1.0, "m"), mass_state=MassState.CURB)
    )
    stated = one.book(allowances=Allowances(fluids=Quantity(10.0, "kg")))
    assert stated.closure.difference.value == pytest.approx(0.0)
    silent = one.book()
    assert silent.closure.difference.value == pytest.approx(10.0)
    assert "what the fluids weigh is not stated: the difference contains them" in silent.assumptions


def test_the_mass_of_the_specimen_comes_before_that_of_the_type():
    one = bench().fact("mass", kg(1100.0, 1.0, "type"), mass_state=MassState.CURB, basis=Basis.LABEL)
    assert "the mass compared with is that of the type, not of this specimen" in one.book().assumptions
    inferred = Quantity(1000.0, "kg", ((Source("s"), 1.0),), Origin.INFERRED)
    one.fact("mass", inferred, mass_state=MassState.CURB)
    assert one.book().closure.scale.value == pytest.approx(1000.0)


def test_a_measurement_of_the_configuration_serves_as_a_corner_mass():
    one = corner_facts(bench())
    one.facts.pop()
    one.readings.append(
        Measurement(
            "C4", "as built", "corner_mass_rear_right", kg(250.0, 0.3, "x"), SubjectKind.CONFIGURATION
        )
    )
    assert one.book().closure.scale.value == pytest.approx(1000.0)


def test_without_any_mass_of_the_vehicle_nothing_is_claimed():
    book = Bench().part("P").weigh("P", 3.0).book()
    assert book.closure is None
    assert any("the sum of the parts is not checked" in text for text in book.assumptions)


def test_coverage_says_what_share_of_the_vehicle_was_weighed():
    book = corner_facts(bench().part("Q", kind=NodeKind.PART)).book()
    assert book.coverage.of_scale_frac == pytest.approx(1.0)
    assert {line.cover.value: line.node_count for line in book.coverage.lines if line.node_count} == {
        "weighed": 2,
        "missing": 1,
    }
    assert book.coverage.line("missing").mass is None
    assert book.coverage.line("weighed").mass_share_frac == pytest.approx(1.0)


# --- centre of gravity ----------------------------------------------------------------------------------------------


def test_the_centre_of_gravity_is_built_from_the_facts():
    one = corner_facts(bench())
    assert one.book().centre_of_gravity.behind_front_axle is None
    for name, value, unit in (
        ("wheelbase", 3.0, "m"),
        ("track", 1.6, "m"),
        ("wheel_radius", 0.33, "m"),
        ("lift_angle", math.radians(12.0), "rad"),
        ("lifted_front_mass", 520.0, "kg"),
    ):
        one.fact(name, Quantity(value, unit))
    cg = one.book().centre_of_gravity
    assert cg.behind_front_axle.value == pytest.approx(1.5)
    assert cg.left_of_centre.value == pytest.approx(0.0)
    # first principles: r + L (F′ − F)/(m tan θ) = 0.33 + 3 · 20/(1000 tan 12°).
    assert cg.height.value == pytest.approx(0.33 + 0.06 / math.tan(math.radians(12.0)))
    assert "the height of the axles is taken as the rolling radius of the driven wheels" in cg.assumptions


def test_the_heavier_side_is_positive_to_the_left():
    one = corner_facts(bench()).fact("track", Quantity(1.6, "m"))
    one.facts[0] = one.facts[0].__class__(
        "as built", "corner_mass_front_left", kg(350.0, 0.3, "pad front left")
    )
    # first principles: (1.6/2) · 100/1100.
    assert one.book().centre_of_gravity.left_of_centre.value == pytest.approx(0.8 / 11.0)


def test_a_lift_angle_of_nothing_is_refused():
    one = corner_facts(bench())
    for name, unit in (
        ("wheelbase", "m"),
        ("wheel_radius", "m"),
        ("lift_angle", "rad"),
        ("lifted_front_mass", "kg"),
    ):
        one.fact(name, Quantity(0.0 if name == "lift_angle" else 3.0, unit))
    with pytest.raises(ValueError, match="lift_angle = 0"):
        one.book()
