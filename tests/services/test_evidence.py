"""What a figure rests on: shares of its errors, and the rows of the record with what they took the place of."""

from dataclasses import replace

import pytest
from hypothesis import given
from hypothesis import strategies as st

from capture.books import saved, sound, with_new, with_row
from hoistbook.core.quantities.quantity import Origin, Quantity, Source
from hoistbook.core.vehicle.records import Configuration, Fact, Measurement, Teardown, Vehicle
from hoistbook.services.evidence import readings_of_approaches, readings_of_parts, rows_behind
from hoistbook.services.grounds import LEAST_SHARE_FRAC, SHARED, Ground, Sources, named_grounds
from hoistbook.services.record import enter_facts, load_workbook, retire_vanished, teardown
from hoistbook.store.vehicles.mapping import fact_slot
from store.conftest import place, postgresql_template, server, sqlite_template  # noqa: F401

SCALE = Source("instrument S1/calibration", "rectangular")


def reading(name, value, own, shared):
    return Measurement(
        name, "A1", "mass", Quantity(value, "kg", ((SCALE, shared), (Source(f"reading {name}"), own)))
    )


def of(*measurements, facts=()):
    return Teardown(
        Vehicle("V", "Van"), (Configuration("c", "V"),), facts=tuple(facts), measurements=measurements
    )


def test_a_sum_rests_on_its_readings_and_on_the_scale_they_share():
    one, two = reading("R1", 2.0, 0.3, 0.1), reading("R2", 1.0, 0.4, 0.2)
    found = Sources(of(one, two)).behind(one.value + two.value)
    # first principles: the scale's errors add before they are squared: 0.3² of 0.09 + 0.09 + 0.16.
    assert {(one.sheet, one.name): one.share_frac for one in found.named} == {
        ("measurements", "R1"): pytest.approx(0.09 / 0.34),
        ("measurements", "R2"): pytest.approx(0.16 / 0.34),
        (SHARED, "instrument S1/calibration"): pytest.approx(0.09 / 0.34),
    }
    assert found.named[0].name == "R2"
    # In a difference the shared part all but cancels: (0.2 − 0.1)² of 0.01 + 0.09 + 0.16.
    apart = {one.name: one.share_frac for one in Sources(of(one, two)).behind(two.value - one.value).named}
    assert apart["instrument S1/calibration"] == pytest.approx(0.01 / 0.26)


@given(st.lists(st.floats(1e-4, 1e3), min_size=1, max_size=30))
def test_shares_are_the_whole_variance(coefficients):
    readings = [reading(f"R{n}", 1.0, c, 0.0) for n, c in enumerate(coefficients)]
    figure = sum((one.value for one in readings[1:]), readings[0].value)
    found = Sources(of(*readings)).behind(figure)
    # first principles: independent errors share out the variance.
    assert sum(one.share_frac for one in found.named) + found.more_frac == pytest.approx(1.0)
    assert len(found.named) + found.more == len(coefficients)
    assert all(one.share_frac >= LEAST_SHARE_FRAC for one in found.named)


def test_an_exact_fact_is_found_by_what_it_states():
    fact = Fact("c", "gear_ratio", Quantity(9.6, "1", origin=Origin.MEASURED))
    other = replace(fact, configuration="d")
    sources = Sources(of(facts=(fact, other)))
    assert sources.behind(fact.value).named == ()
    assert sources.behind(fact.value, ("gear_ratio",), "c").named == (Ground("facts", fact_slot(fact), 0.0),)


def test_small_errors_are_counted_and_exact_rows_named():
    found = named_grounds(
        [Ground("facts", "a", 0.0), Ground("facts", "b", 0.9995), Ground("facts", "c", 0.0005)]
    )
    assert [one.name for one in found.named] == ["b", "a"]
    assert (found.more, found.more_frac) == (1, 0.0005)


@pytest.fixture
def load(place, tmp_path):  # noqa: F811
    return lambda rows, person="Ines": load_workbook(place, saved(tmp_path, rows), person)


def test_a_reading_leads_to_what_it_superseded_and_to_who_did_it(place, load):  # noqa: F811
    load(sound())
    second = load(with_row("measurements", value=2.6, note="weighed again"), "Ruben").change
    rows = rows_behind(place, "WHI", [Ground("measurements", "R1", 0.5), Ground(SHARED, "x", 0.5)])
    # first principles: typed above; 2.5 kg in the sound workbook.
    now, then = rows
    assert (now.value.value, now.counts, now.entered_by, now.note, now.change) == (
        2.6, True, "Ruben", "weighed again", second,
    )  # fmt: skip
    assert (now.words, now.tag, now.instrument, now.how, now.share_frac) == (
        "arm",
        "A1",
        "S1",
        "weighed",
        0.5,
    )
    assert (then.value.value, then.counts, then.ended, then.share_frac) == (2.5, False, second, None)
    assert then.why == f"superseded in change {second} by Ruben"
    assert {row.root for row in rows} == {"R1"}


def test_a_correction_in_the_same_workbook_is_found_from_either_end(place, load):  # noqa: F811
    load(
        with_new(
            "measurements", reading="R9", value=2.4, supersedes="R1", person="Ada", note="digits swapped"
        )
    )
    for name in ("R1", "R9"):
        rows = rows_behind(place, "WHI", [Ground("measurements", name, 1.0)])
        assert [(row.name, row.value.value, row.counts) for row in rows] == [
            ("R9", 2.4, True),
            ("R1", 2.5, False),
        ]
        assert rows[1].why == "superseded by R9, Ada"


def test_of_two_statements_the_later_counts_and_a_retired_row_says_so(place, load):  # noqa: F811
    load(sound())
    [area] = [fact for fact in teardown(place, "WHI").facts if fact.quantity == "drag_area"]
    measured = replace(
        area, value=Quantity(1.25, "m2", origin=area.value.origin), evidence="test coast-down 1"
    )
    enter_facts(place, "WHI", [measured], "test coast-down 1", "Ada")
    ground = Ground("facts", fact_slot(area), 0.0)
    now, aside = rows_behind(place, "WHI", [ground])
    assert (now.statement, now.value.value, now.counts) == ("test coast-down 1", 1.25, True)
    assert (aside.value.value, aside.why) == (1.2, "set aside: test coast-down 1 was entered later")
    rows = sound()
    del rows["measurements"][2]
    load(rows)
    retire_vanished(place, "WHI", ["R3"], "Kim")
    [gone] = rows_behind(place, "WHI", [Ground("measurements", "R3", 0.0)])
    assert (gone.counts, gone.words) == (False, "cradle, length")
    assert gone.why == f"retired in change {gone.ended} by Kim"


def test_rows_of_every_sheet_are_told_in_words(place, load):  # noqa: F811
    load(sound())
    whole = teardown(place, "WHI")
    grounds = []
    sources = Sources(whole)
    for record in (*whole.facts, *whole.measurements, *whole.effects, *whole.content):
        grounds += sources.behind(record.value).named
    found = rows_behind(place, "WHI", grounds)
    # first principles: as typed in the sound workbook.
    assert {row.words for row in found} == {
        "mass, curb", "drag area (Cd·A)", "arm", "bolt, 4 pieces together", "cradle, length",
        "drag torque of all wheels together (brakes, bearings, gears)", "tow bar: mass, strip",
    }  # fmt: skip
    assert {row.sheet for row in found} == {"facts", "measurements", "effects", "content"}
    assert readings_of_parts(place, "WHI", {"A1", "C1"}) == ("R1", "R3")
    assert readings_of_parts(place, "WHI", {"A1", "C1"}, "mass") == ("R1",)
    assert readings_of_parts(place, "WHI", ()) == readings_of_approaches(place, "WHI", {"P1"}) == ()
