"""Two small made-up vehicles through the gap service: the right figures meet; not the engines' numbers again."""

from dataclasses import replace

import pytest

from hoistbook.core.energy.spin import as_wheel_force, spin_into_road_load
from hoistbook.core.quantities.quantity import Origin, Quantity, Source
from hoistbook.core.vehicle.records import (
    Approach,
    Basis,
    Configuration,
    ContentItem,
    Effect,
    Fact,
    Function,
    MassState,
    Measurement,
    Node,
    NodeKind,
    Rule,
    Scope,
    Teardown,
    Vehicle,
)
from hoistbook.reference.energy import energy_defaults
from hoistbook.services import sides
from hoistbook.services.duties import named_duty
from hoistbook.services.gap import gap_report
from hoistbook.services.gap_view import GapView
from hoistbook.services.mass import mass_report
from hoistbook.services.rates import rates_report

N_DRAWS = 300


def measured(value, unit, name, band, origin=Origin.MEASURED):
    return Quantity(value, unit, ((Source(name), band / 1.96),), origin)


def vehicle(code, *, mass=1700.0, floor_kg=20.0, range_km=250.0, facts=(), content=(), effects=(), tow=True):
    c = f"{code}-1"

    def fact(quantity, value, unit, band, **more):
        return Fact(c, quantity, measured(value, unit, f"{code}/{quantity}", band), **more)

    def weighed(tag, kilograms):
        return Measurement(
            f"r-{tag}", tag, "mass", measured(kilograms, "kg", f"{code}/r-{tag}", 0.02), scope=Scope.SUBTREE
        )

    nodes = (
        Node(f"{code}-0", None, "van", NodeKind.ASSEMBLY),
        Node(f"{code}-1", f"{code}-0", "load floor", system="IN06", function="floor"),
        Node(f"{code}-2", f"{code}-0", "everything else", system="BS01"),
    )
    return Teardown(
        vehicle=Vehicle(code, code, family="made-up"),
        configurations=(Configuration(c, code),),
        facts=(
            fact("mass", mass, "kg", 2.0, mass_state=MassState.TEST),
            Fact(c, "mass", measured(mass - 100.0, "kg", f"{code}/curb", 2.0), MassState.CURB),
            fact("tyre_coefficient", 0.008, "1", 0.0004),
            fact("drag_area", 1.1, "m2", 0.03),
            fact("drag_torque", 8.0, "N.m", 0.8),
            fact("usable_energy", 52 * 3.6e6, "J", 1.5e6),
            fact("range", range_km * 1e3, "m", 3e3, duty="wltc3b"),
            *(f(c) for f in facts),
        ),
        nodes=nodes,
        measurements=(weighed(f"{code}-1", floor_kg), weighed(f"{code}-2", mass - 101.0 - floor_kg)),
        functions=(
            Function("floor", "load floor"),
            Function("tow", "towing"),
            Function("pump", "coolant pump"),
        ),
        approaches=(
            Approach(f"{code}-a", c, "floor"),
            Approach(f"{code}-b", c, "tow", present=tow),
            Approach(f"{code}-c", c, "pump"),
        ),
        content=content,
        effects=effects,
    )


def pump(code, watts):
    return Effect("pump", "accessory_power", measured(watts, "W", f"{code}/pump", 2.0))


def report(x, y, quantity="range", **more):
    return gap_report(x, y, quantity=quantity, n_draws=N_DRAWS, **more)


def bar(walk, name):
    return next(b for b in walk.bars if name in (b.name, *b.merged))


def test_gap_is_the_stated_one_and_its_bars_add_up():
    # first principles: the stated ranges are 250 and 235 km, so the gap is −15 km whatever the model says.
    found = report(vehicle("A"), vehicle("B", mass=1800.0, range_km=235.0)).as_found
    assert found.gap.value == pytest.approx(-15e3, abs=300.0)
    assert sum(b.amount.value for b in found.bars) == pytest.approx(found.gap.value, abs=1e-6)
    assert bar(found, "mass").amount.value < 0.0


def test_floor_is_a_decision_in_range_and_in_mass():
    # first principles: the floors weigh 20 and 45 kg on the bench.
    x, y = vehicle("A"), vehicle("B", floor_kg=45.0, mass=1725.0)
    masses = report(x, y, "mass").as_found
    line = next(d for d in masses.decisions if d.name == "floor")
    assert line.amount.value == pytest.approx(25.0, abs=0.01)
    assert bar(masses, "IN").amount.value == pytest.approx(25.0, abs=0.01)
    ranges = report(x, y).as_found
    assert next(d for d in bar(ranges, "mass").decisions if d.name == "floor").amount.value < 0.0


def test_effect_stated_at_one_vehicle_only_is_named_and_not_used():
    found = report(vehicle("A", effects=(pump("A", 40.0),)), vehicle("B")).as_found
    assert not [d for d in found.decisions if d.name == "pump"]
    wanted = "B: nothing stated, so no decision yet, for coolant pump (accessory power)"
    assert wanted in found.assumptions


def test_doing_without_a_function_counts_as_nothing():
    # first principles: a vehicle recorded to do without towing contributes exactly 0 W to it.
    tow = Effect("tow", "accessory_power", measured(15.0, "W", "B/tow", 1.0))
    found = report(vehicle("A", tow=False), vehicle("B", effects=(tow,))).as_found
    assert next(d for d in found.decisions if d.name == "tow").amount.value < 0.0


def test_stripped_content_leaves_the_gap_and_its_decision():
    # first principles: 50 W of towing electronics taken off B leave B with A's power, so nothing of it is left.
    item = ContentItem(
        "tow bar",
        "towing preparation",
        Rule.STRIP,
        "accessory_power",
        measured(50.0, "W", "B/tow", 0.1),
        "tow",
    )
    tow = Effect("tow", "accessory_power", measured(50.0, "W", "B/tow", 0.1))
    power = [
        lambda c: Fact(c, "accessory_power", measured(300.0, "W", "A/p", 1.0), duty="wltc3b"),
        lambda c: Fact(c, "accessory_power", measured(350.0, "W", "B/p", 1.0), duty="wltc3b"),
    ]
    x = vehicle("A", tow=False, facts=power[:1])
    y = vehicle("B", range_km=245.0, facts=power[1:], content=(item,), effects=(tow,))
    both = report(x, y)
    as_found, alike = bar(both.as_found, "auxiliaries"), bar(both.normalised, "auxiliaries")
    assert as_found.amount.value < -500.0
    assert alike.amount.value == pytest.approx(0.0, abs=20.0)
    assert next(d for d in alike.decisions if d.name == "tow").amount.value == pytest.approx(0.0, abs=20.0)
    assert 0.0 < both.removed_frac < 1.0
    assert both.normalised.gap.value > both.as_found.gap.value
    assert both.content[0].rule == "strip"


def test_labels_and_specimens_are_never_mixed():
    # first principles: B has no range of the specimen; A has both. Only labels can be compared.
    x, y = vehicle("A"), vehicle("B")
    label = measured(280e3, "m", "A/label", 100.0, Origin.PUBLISHED)
    x = replace(x, facts=(*x.facts, Fact("A-1", "range", label, duty="wltc3b", basis=Basis.LABEL)))
    y = replace(
        y,
        facts=tuple(replace(f, basis=Basis.LABEL) if f.quantity == "range" else f for f in y.facts),
    )
    found = report(x, y).as_found
    assert found.value_x.value == pytest.approx(280e3, rel=1e-3)
    assert any("of the labels" in text for text in found.assumptions)


def test_a_range_stated_twice_is_refused():
    x = vehicle("A", facts=[lambda c: Fact(c, "range", measured(251e3, "m", "A/again", 3e3), duty="wltc3b")])
    with pytest.raises(ValueError, match="A states range on wltc3b 2 times"):
        report(x, vehicle("B"))


def test_same_vehicle_twice_is_refused():
    with pytest.raises(ValueError, match="a gap needs two vehicles"):
        report(vehicle("A"), vehicle("A"))
    with pytest.raises(ValueError, match="no gap in 'noise'"):
        report(vehicle("A"), vehicle("B"), "noise")
    with pytest.raises(LookupError, match="did you mean wltc3b"):
        report(vehicle("A"), vehicle("B"), duty="wltc3")


def with_coefficients(code):
    """A vehicle whose road load is known by A, B, C alone."""
    made = vehicle(code)
    kept = tuple(f for f in made.facts if f.quantity not in ("drag_area", "drag_torque"))
    c = f"{code}-1"
    more = (
        Fact(c, "road_load_a", measured(165.0, "N", f"{code}/a", 3.0)),
        Fact(c, "road_load_b", measured(0.8, "N.s/m", f"{code}/b", 0.05)),
        Fact(c, "road_load_c", measured(0.65, "N.s2/m2", f"{code}/c", 0.02)),
    )
    return replace(made, facts=kept + more)


def with_loss_map(code):
    c = f"{code}-1"
    rows = {"loss_k2": (2.0, "W.s/rad"), "loss_k3": (6e-7, "W.s3/rad3"), "gear_efficiency": (0.97, "1")}
    facts = [
        (lambda c, k=key, v=value, u=unit: Fact(c, k, measured(v, u, f"{code}/{k}", 0.01 * v)))
        for key, (value, unit) in rows.items()
    ]
    assert c
    return vehicle(code, facts=facts)


def test_spin_loss_is_kept_in_one_place_for_both_vehicles():
    # first principles: F_0 = k2 G/(r η), F_2 = k3 (G/r)³/η; with the other vehicle known by coefficients the loss map
    # keeps no spin loss, so the drive-unit bar cannot hold it.
    asked = named_duty("wltc3b")
    one = sides.subject(with_loss_map("A"), asked, N_DRAWS, 1)
    other = sides.subject(with_coefficients("B"), asked, N_DRAWS, 1)
    moved, same = sides.alike(one, other)
    assert same is other
    v = one.resolved.values
    lever = v["gear_ratio"].value / v["wheel_radius_m"].value
    expected = v["drag_force_n"].value + 2.0 * lever / 0.97
    assert moved.resolved.values["drag_force_n"].value == pytest.approx(expected, rel=1e-12)
    squared = 6e-7 * lever**3 / 0.97
    assert moved.resolved.values["drag_force_c_n_s2_per_m2"].value == pytest.approx(squared, rel=1e-12)
    assert moved.fields["loss_k2"].max() == 0.0
    assert any("counted with the drag force" in text for text in moved.resolved.assumptions)
    again = sides.alike(one, one)
    assert again == (one, one)


def test_spin_loss_refuses_other_losses():
    resolved = sides.subject(with_loss_map("A"), named_duty("wltc3b"), N_DRAWS, 1).resolved
    with pytest.raises(ValueError, match="'loss_k1' is no spin loss"):
        as_wheel_force(resolved, "loss_k1", Quantity(0.1, "W/(N.m)2"))
    once = spin_into_road_load(resolved)
    assert spin_into_road_load(once) is once


def test_rates_have_the_signs_of_the_trade():
    # first principles: more of anything here costs range and energy; 1 + Γ times the mass with secondary mass.
    found = rates_report(vehicle("A"), n_draws=N_DRAWS)
    for rate in found.as_built:
        assert rate.range.value < 0.0 < rate.energy.value, rate.effect.name
    built, followed = found.as_built[0], found.with_secondary[0]
    assert followed.range.value == pytest.approx(1.95 * built.range.value, rel=1e-9)
    assert found.with_secondary[1].range.value == found.as_built[1].range.value


def test_other_defaults_replace_the_packaged_ones():
    # first principles: a wider prior of the model's error leaves more to the rest when no range is stated.
    x, y = (
        replace(v, facts=tuple(f for f in v.facts if f.quantity != "range"))
        for v in (vehicle("A"), vehicle("B", mass=1800.0))
    )
    known = energy_defaults()
    wide = replace(known, residual=replace(known.residual, sd_ln=2.0 * known.residual.sd_ln))
    usual, wider = (bar(report(x, y, defaults=d).as_found, "not_explained") for d in (None, wide))
    assert wider.amount.half_width == pytest.approx(2.0 * usual.amount.half_width, rel=0.05)


def test_a_test_mass_belongs_to_the_duty_it_names():
    # from memory: 40 CFR 86.1803, loaded vehicle weight = curb + 300 lb = 1600 + 136.08 kg; not the WLTP test mass.
    made = vehicle("A")
    facts = tuple(
        replace(f, duty="wltc3b") if f.mass_state is MassState.TEST else f
        for f in made.facts
        if f.quantity != "range"
    )
    one = sides.subject(replace(made, facts=facts), named_duty("us"), N_DRAWS, 1)
    assert one.resolved.values["test_mass_kg"].value == pytest.approx(1600.0 + 300 * 0.45359237)
    assert any("stated for duty 'wltc3b', is kept aside" in text for text in one.resolved.assumptions)
    same = sides.subject(replace(made, facts=facts), named_duty("wltc3b"), N_DRAWS, 1)
    assert same.resolved.values["test_mass_kg"].value == 1700.0


def test_ends_say_how_they_are_known():
    x, y = vehicle("A"), vehicle("B")
    y = replace(y, facts=tuple(f for f in y.facts if f.quantity != "range"))
    found = report(x, y).as_found
    assert found.end_words == ("measured", "model")
    assert not found.is_stated
    assert report(vehicle("A"), vehicle("B")).as_found.is_stated


def test_decided_and_undecided_and_the_rest_make_the_gap():
    # first principles: causes = decisions + what no decision claims; gap = causes + rest.
    found = report(vehicle("A"), vehicle("B", floor_kg=45.0, mass=1725.0, range_km=240.0)).as_found
    parts = found.decided.value + found.undecided.value + found.rest.amount.value
    assert parts == pytest.approx(found.gap.value, abs=1e-6)


def test_normalised_figures_stand_beside_those_as_found():
    item = ContentItem("ladder", "ladder rack", Rule.STRIP, "mass", measured(25.0, "kg", "B/ladder", 0.1))
    found = report(vehicle("A"), vehicle("B", mass=1725.0, content=(item,)))
    assert found.figures_y["test_mass_kg"].value == pytest.approx(1725.0)
    assert found.figures_alike_y["test_mass_kg"].value == pytest.approx(1700.0, abs=0.3)
    assert found.figures_alike_x["test_mass_kg"] == found.figures_x["test_mass_kg"]


def test_a_figure_is_no_better_known_than_the_content_that_moved_it():
    # first principles: a measured mass less a guessed one is a guess.
    guess = Quantity(25.0, "kg", origin=Origin.ASSUMED)
    item = ContentItem("ladder", "ladder rack", Rule.STRIP, "mass", guess)
    found = report(vehicle("A"), vehicle("B", mass=1725.0, content=(item,)))
    origins = [f["test_mass_kg"].origin for f in (found.figures_y, found.figures_alike_y)]
    assert origins == ["measured", "assumed"]


@pytest.mark.parametrize(("factor", "expected"), [(0.5, -22.5), (1.0, 0.0)])
def test_scaled_mass_content_acts_on_its_function(factor, expected):
    # first principles: half of a 45 kg floor is 22.5 kg less, in the vehicle and in its system.
    item = ContentItem("floor size", "longer floor", Rule.SCALE, "mass", Quantity(factor, "1"), "floor")
    found = report(vehicle("A"), vehicle("B", floor_kg=45.0, mass=1725.0, content=(item,)), "mass")
    moved = found.normalised.gap.value - found.as_found.gap.value
    assert moved == pytest.approx(expected, abs=0.01)  # the noise of 300 draws of ± 0.02 kg
    interior = bar(found.normalised, "IN").amount.value - bar(found.as_found, "IN").amount.value
    assert interior == pytest.approx(expected, abs=0.01)


def test_scaling_what_a_vehicle_does_without_leaves_nothing():
    # first principles: 0.9 times nothing is nothing, not 0.9 W.
    tow = Effect("tow", "accessory_power", measured(50.0, "W", "B/tow", 0.1))
    item = ContentItem("tow", "towing", Rule.SCALE, "accessory_power", Quantity(0.9, "1"), "tow")
    found = report(vehicle("A", tow=False, content=(item,)), vehicle("B", effects=(tow,)))
    as_found, alike = (
        next(d for d in w.decisions if d.name == "tow").amount.value
        for w in (found.as_found, found.normalised)
    )
    assert alike == pytest.approx(as_found, rel=0.05)


def test_decisions_say_how_they_are_known():
    # first principles: both floors are weighed; one of the two pumps is a guess.
    guess = Effect("pump", "accessory_power", measured(60.0, "W", "B/pump", 2.0, Origin.ASSUMED))
    found = report(vehicle("A", effects=(pump("A", 40.0),)), vehicle("B", floor_kg=45.0, effects=(guess,)))
    for walk in (found.as_found, found.normalised):
        origins = {line.name: line.origin for line in walk.decisions}
        assert (origins["floor"], origins["pump"]) == ("measured", "assumed")


def test_a_measurement_narrows_the_rest_or_without_stated_figures_the_gap():
    # first principles: a rest that is the model's own error holds no parameter; the gap of two models does.
    x, y = vehicle("A"), vehicle("B")
    stated = report(x, y)
    assert stated.next_measurements[0].narrowing.half_width_now == pytest.approx(
        stated.as_found.rest.amount.half_width
    )
    silent = report(*(replace(v, facts=tuple(f for f in v.facts if f.quantity != "range")) for v in (x, y)))
    for walk, found in (
        (silent.as_found, silent.next_measurements),
        (silent.normalised, silent.next_measurements_alike),
    ):
        assert found[0].narrowing.half_width_now == pytest.approx(walk.gap.half_width)
        widths = [one.narrowing.half_width_then for one in found]
        assert widths == sorted(widths)
        assert {one.vehicle for one in found} == {"A", "B"}


def test_vehicles_known_by_facts_alone_have_a_range_gap():
    x, y = (replace(v, nodes=(), measurements=()) for v in (vehicle("A"), vehicle("B", range_km=240.0)))
    found = report(x, y).as_found
    assert found.gap.value == pytest.approx(-10e3, abs=300.0)
    assert not [d for d in found.decisions if d.name == "floor"]


def test_one_of_several_configurations_must_be_named():
    made = vehicle("A")
    several = replace(made, configurations=(*made.configurations, Configuration("A-2", "A")))
    for ask in (lambda: mass_report(several), lambda: report(several, vehicle("B"), "mass")):
        with pytest.raises(LookupError, match="configurations A-1, A-2: say which one"):
            ask()


def test_a_drive_without_motion_is_refused(tmp_path):
    path = tmp_path / "parked.csv"
    path.write_text("time [s],speed [km/h]\n0,0\n1,0\n2,0\n")
    with pytest.raises(ValueError, match="the vehicle never moves"):
        named_duty(str(path))


def test_scaling_the_mass_of_a_function_means_the_same_in_range_and_in_mass():
    # first principles: half of a 45 kg floor is 22.5 kg less of the vehicle, not half of the vehicle.
    item = ContentItem("floor size", "longer floor", Rule.SCALE, "mass", Quantity(0.5, "1"), "floor")
    found = report(vehicle("A"), vehicle("B", floor_kg=45.0, mass=1725.0, content=(item,)))
    as_found, alike = (f["test_mass_kg"].value for f in (found.figures_y, found.figures_alike_y))
    assert alike - as_found == pytest.approx(-22.5, abs=0.2)  # the noise of 300 draws of ± 2 kg


def test_ends_with_another_band_than_their_fact_say_why():
    # first principles: weights that favour what the model meets can only be said where there is a model and a fact.
    x, y = vehicle("A"), vehicle("B", range_km=240.0)
    silent = replace(y, facts=tuple(f for f in y.facts if f.quantity != "range"))
    said = [
        GapView(report(x, other, quantity), ("A", "B")).ends_note
        for other, quantity in ((y, "range"), (y, "mass"), (silent, "range"))
    ]
    assert "may differ a little from those of the facts" in said[0]
    assert said[1:] == ["", ""]
    heavy = report(x, y, "mass").as_found
    assert heavy.value_x.half_width == pytest.approx(
        2.0, rel=1e-4
    )  # ± 2 kg as typed, 1.96 standard uncertainties
