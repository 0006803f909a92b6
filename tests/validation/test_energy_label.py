"""Label arithmetic on 51 public rows."""

import pytest

import validation_energy as v
from hoistbook.core.energy.us_label import combined_mpge, combined_range_mi, full_recharge_wall_kwh, label

ROWS = v.raw_rows()
# published: public label data set and fleet file named in the header of tests/data/certification_2022.csv.


def number(row, name):
    return float(row[name])


def with_both_ranges():
    return [row for row in ROWS if row["range_city_mi"] and row["range_highway_mi"]]


def test_worked_label():
    # published: row of the Chevrolet Bolt EV 2022 (record 43955): two-cycle 186.6 and 155.7 MPGe, ranges 279.8 and
    # 233.4 mi, label range 259. computed: ×0.7 130.62 and 108.99; 25.8039 and 30.9249 kWh/100 mi; combined 119.91117
    # MPGe = 28.10831 kWh/100 mi; range 258.92; charge 72.199 and 72.179 kWh.
    found = label(33705.0 / 186.6, 33705.0 / 155.7, 279.8 / 0.7, 233.4 / 0.7)
    assert (found.city_mpge, found.highway_mpge) == pytest.approx((130.62, 108.99), abs=5.1e-3)
    assert (found.city_kwh_per_100mi, found.highway_kwh_per_100mi) == pytest.approx(
        (25.8039, 30.9249), abs=5.1e-5
    )
    assert (found.combined_mpge, found.combined_kwh_per_100mi) == pytest.approx(
        (119.91117, 28.10831), abs=5.1e-6
    )
    assert found.range_mi == pytest.approx(258.92, abs=5.1e-3)
    assert found.printed_range_mi == 259
    charges = (
        full_recharge_wall_kwh(found.city_kwh_per_100mi, found.city_range_mi),
        full_recharge_wall_kwh(found.highway_kwh_per_100mi, found.highway_range_mi),
    )
    assert charges == pytest.approx((72.199, 72.179), abs=5.1e-4)


def test_gallon_equivalent_of_the_rows():
    # computed: kWh/100 mi × MPGe/100 = 33.705 in 43 of 51 rows (to what four decimals allow, 0.005); the other 8 are
    # rounded or lowered by the maker, or differ by rounding of their own.
    def products(row):
        return [
            number(row, f"{c}_mpge") * number(row, f"{c}_kwh_per_100mi") / 100.0
            for c in ("city", "highway", "combined")
        ]

    assert sum(all(abs(p - 33.705) < 0.005 for p in products(row)) for row in ROWS) == 43


def test_combined_range_is_arithmetic():
    # published: whole-mile label range of the rows with a city and a highway range. The harmonic mean misses it by
    # up to 2 mi, so the test can tell the two rules apart.
    rows = with_both_ranges()
    assert len(rows) == 27
    for row in rows:
        mixed = combined_range_mi(number(row, "range_city_mi"), number(row, "range_highway_mi"))
        assert mixed == pytest.approx(number(row, "range_mi"), abs=0.5 + 1e-9), row["vehicle"]
    harmonic = [combined_mpge(number(r, "range_city_mi"), number(r, "range_highway_mi")) for r in rows]
    assert max(abs(h - number(r, "range_mi")) for h, r in zip(harmonic, rows, strict=True)) > 2.0


def test_combined_economy_is_harmonic():
    # published: combined MPGe of the rows; four are whole numbers set by the maker (their remarks say so).
    off = [
        row["flag"]
        for row in ROWS
        if abs(
            combined_mpge(number(row, "city_mpge"), number(row, "highway_mpge"))
            - number(row, "combined_mpge")
        )
        > 0.002
    ]
    assert len(off) == 4
    assert all("whole numbers" in flag for flag in off)


def test_adjustment_of_the_rows():
    # computed: label/unadjusted city economy: 0.7000 in 18 of 51 rows, 0.674 to 0.750 over all.
    factors = [number(row, "city_mpge") / number(row, "unadjusted_city_mpge") for row in ROWS]
    assert sum(abs(f - 0.70) < 5e-5 for f in factors) == 18
    assert (min(factors), max(factors)) == pytest.approx((0.674, 0.750), abs=5.1e-4)


def test_charge_read_off_the_label():
    # first principles: city and highway are driven on one charge, so both give the same wall energy; rows whose label
    # consumption is a whole number (their remarks say so) cannot.
    for row in with_both_ranges():
        city, highway = (
            full_recharge_wall_kwh(number(row, f"{c}_kwh_per_100mi"), number(row, f"range_{c}_mi"))
            for c in ("city", "highway")
        )
        limit = 0.02 if "whole numbers" in row["flag"] else 0.0015
        assert city / highway == pytest.approx(1.0, abs=limit), row["vehicle"]
