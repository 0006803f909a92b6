import itertools
from dataclasses import replace

import pytest
from hypothesis import given
from hypothesis import strategies as st

from hoistbook.core.quantities.quantity import Origin, Quantity, Source
from hoistbook.core.vehicle.mass_state import Allowances, LoadRule, convert, stated_allowances
from hoistbook.core.vehicle.records import Fact, MassState

CURB, RUNNING, TEST = MassState.CURB, MassState.RUNNING_ORDER, MassState.TEST


def kg(value, u=0.0, name="weighing", origin=Origin.MEASURED):
    return Quantity(value, "kg", ((Source(name), u),) if u else (), origin)


FULL = Allowances(
    test_rule=LoadRule.WLTP_CATEGORY_2,
    vehicle_load=kg(900.0, 5.0, "load"),
    fluids=kg(21.0, 0.5, "fluids"),
    on_board=kg(85.0, 1.0, "on board"),
)


def test_electric_car_from_curb_to_running_order():
    # published: Regulation (EU) 1230/2012, Art. 2(4), driver 75 kg (second hand): 1800.0 + 75 = 1875.0 kg.
    converted = convert(kg(1800.0), CURB, RUNNING)
    assert converted.mass.value == 1875.0
    assert converted.state is RUNNING


def test_fuel_car_counts_its_tank_to_90_percent_only():
    # published: the same regulation, at least 90 % of fuel. computed: 1500 − 0.1·60 L·0.745 kg/L + 75 = 1570.53 kg.
    allowances = Allowances(fuel_above_90_percent=kg(0.1 * 60.0 * 0.745))
    assert convert(kg(1500.0), CURB, RUNNING, allowances).mass.value == pytest.approx(1570.53, abs=1e-9)


@pytest.mark.parametrize(
    ("rule", "share"), [(LoadRule.WLTP_CATEGORY_1, 0.15), (LoadRule.WLTP_CATEGORY_2, 0.28)]
)
def test_wltp_test_mass(rule, share):
    # from memory: UN GTR No. 15 annex 4, 4.2.1.3.1: running order + 25 kg + 15 % (28 %) of the maximum vehicle load.
    allowances = Allowances(test_rule=rule, vehicle_load=kg(900.0))
    assert convert(kg(1875.0), RUNNING, TEST, allowances).mass.value == pytest.approx(
        1875.0 + 25.0 + share * 900.0
    )


def test_us_loaded_weight():
    # from memory: 40 CFR 86.1803, loaded vehicle weight = curb + 300 lb; first principles: 300 · 0.45359237 kg.
    allowances = Allowances(test_rule=LoadRule.US_LOADED)
    assert convert(kg(1800.0), CURB, TEST, allowances).mass.value == pytest.approx(1936.077711, abs=1e-9)


def test_definitions_can_be_replaced():
    assert convert(kg(1800.0), CURB, RUNNING, Allowances(driver_kg=68.0)).mass.value == 1868.0


def test_the_sentence_names_every_allowance_and_both_ends():
    said = convert(kg(1800.0), CURB, TEST, FULL).assumed
    for words in (
        "test 2152 kg",
        "curb 1800 kg",
        "driver 75 kg",
        "28 % of the vehicle load 900 kg",
        "from memory",
    ):
        assert words in said
    assert (
        convert(kg(1800.0), MassState.DRY, CURB, FULL).assumed
        == "curb 1821 kg = dry 1800 kg + fluids 21 kg (stated)."
    )
    assert (
        convert(kg(1800.0), CURB, MassState.DRY, FULL).assumed
        == "dry 1779 kg = curb 1800 kg − fluids 21 kg (stated)."
    )


def test_nothing_is_said_when_nothing_is_assumed():
    assert convert(kg(1800.0, 1.0), CURB, CURB).assumed == ""
    # Between equal states no figure is needed.
    for state in MassState:
        assert convert(kg(1800.0), state, state).mass.value == 1800.0


@pytest.mark.parametrize(
    ("have", "want", "allowances", "missing"),
    [
        (CURB, TEST, Allowances(), "share of the vehicle load"),
        (CURB, TEST, Allowances(test_rule=LoadRule.WLTP_CATEGORY_1), "maximum vehicle load"),
        (MassState.AS_WEIGHED, CURB, Allowances(), "what stood in or on the vehicle"),
        (TEST, CURB, Allowances(), "give the mass at curb too, or what was on board"),
        (MassState.DRY, RUNNING, Allowances(), "fluids"),
    ],
)
def test_a_missing_figure_is_named_and_refused(have, want, allowances, missing):
    with pytest.raises(ValueError, match=missing):
        convert(kg(1800.0), have, want, allowances)


def test_another_unit_is_refused():
    with pytest.raises(ValueError, match="no mass"):
        convert(Quantity(1.0, "N"), CURB, RUNNING)


def test_a_definition_weakens_no_origin_and_a_stated_figure_does():
    assert convert(kg(1800.0), CURB, RUNNING).mass.origin is Origin.MEASURED
    stated = Allowances(fluids=kg(21.0, 2.0, "fluids", Origin.ASSUMED))
    assert convert(kg(1779.0), MassState.DRY, CURB, stated).mass.origin is Origin.ASSUMED


@given(
    value=st.floats(500.0, 4000.0),
    pair=st.sampled_from(list(itertools.permutations(MassState, 2))),
    rule=st.sampled_from(LoadRule),
)
def test_there_and_back_again(value, pair, rule):
    # first principles: every allowance is added and taken off once, error and all.
    allowances = replace(FULL, test_rule=rule)
    have, want = pair
    there = convert(kg(value, 1.5), have, want, allowances)
    back = convert(there.mass, want, have, allowances)
    assert back.mass.value == pytest.approx(value, abs=1e-9)
    assert back.mass.standard_uncertainty == pytest.approx(1.5, abs=1e-9)


@given(value=st.floats(500.0, 4000.0), rule=st.sampled_from(LoadRule))
def test_states_are_in_order(value, rule):
    allowances = replace(FULL, test_rule=rule)
    chain = [
        convert(kg(value), CURB, state, allowances).mass.value
        for state in (MassState.DRY, CURB, RUNNING, TEST)
    ]
    assert chain == sorted(chain)


def test_allowances_are_read_from_the_facts_of_a_configuration():
    facts = [
        Fact("c", "on_board_mass", kg(12.0)),
        Fact("c", "vehicle_load", kg(800.0)),
        Fact("c", "wltp_load_share", Quantity(0.28, "1")),
    ]
    # from memory: UN GTR No. 15 annex 4, 4.2.1.3.1, category 2: 1600 − 12 + 75 + 25 + 28 % of 800 = 1912 kg.
    found = convert(kg(1600.0), MassState.AS_WEIGHED, TEST, stated_allowances(facts))
    assert found.mass.value == pytest.approx(1912.0)
    assert stated_allowances([], LoadRule.US_LOADED).test_rule is LoadRule.US_LOADED
    with pytest.raises(ValueError, match="give 28 %"):
        stated_allowances([Fact("c", "wltp_load_share", Quantity(28.0, "1"))])
