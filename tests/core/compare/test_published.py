"""Contradictions in published figures: found on the public rows without their flags, and when planted."""

import random
from functools import cache
from pathlib import Path
from tempfile import TemporaryDirectory

import pytest

from capture.certification_table import raw_rows, written
from certification_rows import cycles as us_cycles
from certification_rows import generic_consumption
from hoistbook.capture.public_rows import read_public_rows
from hoistbook.core.compare.published import contradictions
from hoistbook.core.compare.published_rows import Strength
from hoistbook.reference.published import published_settings

# published: the annual test car list shows another configuration's coefficients in this row (project reference 6);
# nothing in the table itself gives it away.
ONLY_ELSEWHERE = {"Porsche Taycan Turbo S"}


def judged(rows):
    with TemporaryDirectory() as folder:
        found = read_public_rows(written(Path(folder) / "rows.csv", rows)).rows
    model = {}
    for row in found:
        mass, a, b, c = (
            row.span(key).value for key in ("test_mass", "road_load_a", "road_load_b", "road_load_c")
        )
        city, highway = generic_consumption(us_cycles(), 1.03 * mass, a, b, c)
        model[row.name] = (float(city), float(highway))
    return contradictions(found, model, published_settings().limits)


@cache
def untouched():
    return judged(raw_rows())


def suspects(found):
    return {name for one in found for name in one.vehicles}


def test_flagged_rows_are_found_without_their_flags():
    flagged = {row["vehicle"] for row in raw_rows() if row["flag"]}
    # published: 15 rows carry a remark in the table's flag column, which the reader is not given.
    assert len(flagged) == 15
    assert flagged - suspects(untouched()) == ONLY_ELSEWHERE


def test_no_sound_row_is_blamed():
    flagged = {row["vehicle"] for row in raw_rows() if row["flag"]}
    assert suspects(untouched()) - flagged == set()


@pytest.mark.parametrize(
    ("vehicle", "kind"),
    [
        # published: flag column of the table, one row each.
        ("Audi e-tron S Sportback (21/22 inch wheels)", "copied coefficients"),
        ("Lucid Air G Touring AWD w/21 inch wheels", "copied coefficients"),
        ("Audi e-tron quattro", "copied coefficients"),
        ("Audi Q4 e-tron quattro", "label carried across"),
        ("Chevrolet Bolt EV", "test weight"),
        ("Polestar 2 Dual Motor", "pack of sisters"),
        ("Porsche Taycan 4 Cross Turismo", "pack of sisters"),
        ("Porsche Taycan Turbo", "rounded label"),
    ],
)
def test_a_flagged_row_is_found_for_its_own_reason(vehicle, kind):
    assert kind in {one.kind for one in untouched() if vehicle in one.vehicles}


def test_evidence_names_figures_and_source():
    (one,) = (c for c in untouched() if c.kind == "test weight")
    # published: the row prints 3876.7 lb, record 43955.
    assert "3876.7 lb" in one.evidence[0]
    assert "record 43955" in one.evidence[0]
    assert one.strength is Strength.CERTAIN


def _copy(rows, row, rng):
    """The coefficients of another row of the maker whose consumption is more than 8 % off."""
    others = [
        other
        for other in rows
        if other["maker"] == row["maker"]
        and abs(float(other["unadjusted_city_mpge"]) / float(row["unadjusted_city_mpge"]) - 1.0) > 0.08
    ]
    if not others:
        return False
    other = rng.choice(others)
    for name in ("a_lbf", "b_lbf_per_mph", "c_lbf_per_mph2", "etw_lb"):
        row[name] = other[name]
    return True


def _times(name, factor, digits):
    def plant(rows, row, rng):
        if not row[name]:
            return False
        row[name] = f"{float(row[name]) * factor:.{digits}f}"
        return True

    return plant


def _other_pack(rows, row, rng):
    row["gross_kwh"] = f"{float(row['gross_kwh']) * rng.choice((0.80, 1.20)):.1f}"
    return True


# Planted faults, with the share of them that must be found. first principles (units: 1.609344, 0.45359237, 4.4482216…);
# packs 20 % and ranges 10 % off: the project's own choice of what has to be seen.
PLANTED = {
    "copied coefficients": (_copy, 0.95),
    "C per (km/h)²": (_times("c_lbf_per_mph2", 1.0 / 2.589988, 6), 0.95),
    "A in newtons": (_times("a_lbf", 4.4482216152605, 3), 0.95),
    "mass in kilograms": (_times("etw_lb", 0.45359237, 1), 0.95),
    "consumption per km": (_times("unadjusted_city_mpge", 1.609344, 4), 0.95),
    "highway range in km": (_times("range_highway_mi", 1.609344, 1), 0.95),
    "highway range 10 % high": (_times("range_highway_mi", 1.10, 1), 0.95),
    "combined range 10 % high": (_times("range_mi", 1.10, 0), 0.85),
    "another pack": (_other_pack, 0.75),
}


@cache
def found_share(kind, times, seed):
    """Share of planted faults after which the touched row, sound before, is named."""
    plant, _ = PLANTED[kind]
    rng = random.Random(seed)
    sound = [i for i, row in enumerate(raw_rows()) if not row["flag"]]
    hits = tried = 0
    while tried < times:
        rows = raw_rows()
        row = rows[rng.choice(sound)]
        if not plant(rows, row, rng):
            continue
        tried += 1
        found = judged(rows)
        if kind == "copied coefficients":
            # Which of two equal rows is the copy the table often cannot say: the pair has to be named.
            found = [one for one in found if one.kind == kind]
            hits += row["vehicle"] in {name for one in found for name in (*one.vehicles, *one.beside)}
        else:
            hits += row["vehicle"] in suspects(found)
    return hits / tried


@pytest.mark.parametrize(
    "kind", ["copied coefficients", "C per (km/h)²", "highway range 10 % high", "another pack"]
)
def test_planted_contradictions_are_found(kind):
    assert (
        found_share(kind, 6, 20261125) >= PLANTED[kind][1] - 0.2
    )  # six cases only; the slow test holds the rate


@pytest.mark.slow
@pytest.mark.parametrize("kind", list(PLANTED))
def test_planted_contradictions_are_found_at_the_stated_rate(kind):
    assert found_share(kind, 60, 20261126) >= PLANTED[kind][1]
