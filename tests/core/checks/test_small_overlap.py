"""Structural band of a small overlap against the remembered cut-offs and the published sums of demerits."""

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from core.checks.worked import Worked, hold, result_of
from hoistbook.core.checks.run import Stated, run_check, with_band
from hoistbook.core.checks.small_overlap.data import DEMERITS, OTHERS_MOST
from hoistbook.core.checks.small_overlap.model import CHECK, band_of, compartment, overall_of

GOOD = {"lower_m": [0.10] * 5, "rocker_m": 0.02, "upper_m": [0.05] * 3, "column_m": 0.02}
LOWER = {"lower": ("hinge pillar", "footrest", "toepan", "brake pedal", "parking brake")}
WORKED = (
    Worked(
        "small_overlap",
        "from memory, verify: cut-offs of the protocol: lower hinge pillar of 22.5 cm acceptable",
        GOOD | {"lower_m": [0.225, 0.1, 0.1, 0.1, 0.1]},
        {"lower_band[hinge pillar]": (1.0, 0.0), "structure": (0.0, 0.0)},
        names=LOWER,
    ),
    Worked(
        "small_overlap",
        "from memory, verify: 22.6 cm marginal; the compartment at most one better",
        GOOD | {"lower_m": [0.226, 0.1, 0.1, 0.1, 0.1]},
        {"lower_band[hinge pillar]": (2.0, 0.0), "lower_compartment": (1.0, 0.0), "structure": (1.0, 0.0)},
        names=LOWER,
    ),
    Worked(
        "small_overlap",
        "published: a recalculation of the first results, 2012 (second hand): acceptable structure alone gives 2 "
        "demerits",
        GOOD | {"lower_m": [0.2] * 5},
        {"structure": (1.0, 0.0), "demerits": (2.0, 0.0), "overall": (0.0, 0.0)},
    ),
    Worked(
        "small_overlap",
        "published: the same: at most 74 demerits, all six categories poor",
        GOOD | {"lower_m": [0.5] * 5, "other_demerits": 64.0},
        {"structure": (3.0, 0.0), "total_demerits": (74.0, 0.0), "overall": (3.0, 0.0)},
    ),
)


@pytest.mark.parametrize("worked", WORKED, ids=lambda one: one.source[:70])
def test_worked_examples(worked):
    hold(worked)


@pytest.mark.parametrize(
    ("demerits", "band"), [(0, 0), (3, 0), (4, 1), (9, 1), (10, 2), (19, 2), (20, 3), (74, 3)]
)
def test_bands_of_the_sum(demerits, band):
    # published, second hand: 0 to 3 good, 4 to 9 acceptable, 10 to 19 marginal, from 20 poor (August 2012).
    assert overall_of(np.array([float(demerits)]))[0] == band
    if demerits <= 64:
        found = result_of("small_overlap", GOOD | {"other_demerits": float(demerits)})
        assert found.figure("overall").value == band


def test_demerits_add_up_to_the_published_most():
    # published, second hand: 74.
    assert sum(row[-1] for row in DEMERITS.values()) == 74
    assert OTHERS_MOST == 64


@pytest.mark.parametrize(
    ("bands", "found"),
    [
        # from memory, verify: most measures lead, at most one band better than the worst.
        ((0, 0, 0, 0), 0),
        ((0, 0, 0, 1), 0),
        ((0, 0, 0, 2), 1),
        ((0, 0, 0, 3), 2),
        ((0, 1, 1, 1), 1),
        ((3, 3, 3, 0), 3),
        ((0, 0, 1, 1), 1),  # equals: the worse leads, this program's own choice
    ],
)
def test_how_measures_combine(bands, found):
    assert compartment(np.array(bands, dtype=float)[:, None])[0] == found


@given(st.lists(st.floats(0.0, 0.5), min_size=5, max_size=5), st.floats(0.0, 0.3), st.integers(0, 4))
def test_more_intrusion_never_makes_a_measure_better(lower, more, place):
    # first principles: cut-offs rise; a compartment is at most one band better than its worst measure.
    pushed = [x + more * (i == place) for i, x in enumerate(lower)]
    before, after = (band_of(np.array(one)[:, None], "lower_m") for one in (lower, pushed))
    assert (after >= before).all()
    for bands in (before, after):
        assert bands.max() - 1 <= compartment(bands)[0] <= bands.max()


def test_what_tore_costs_a_band_and_a_leak_all():
    # from memory, verify: one band worse; poor.
    assert result_of("small_overlap", GOOD, {"findings": "opened"}).figure("structure").value == 1.0
    leak = result_of("small_overlap", GOOD, {"findings": "leak"})
    assert leak.figure("structure").value == leak.figure("overall").value == 3.0


def test_one_side_says_nothing_of_the_other():
    found = result_of("small_overlap", GOOD, {"side": "driver"})
    assert "nothing of the passenger's side" in found.verdict
    assert "verify them" in found.verdict
    assert "never a permission" in found.verdict
    few = result_of("small_overlap", GOOD | {"lower_m": [0.1, 0.1]})
    assert "2 and 3 are stated" in few.verdict


def test_a_point_at_a_cut_off_may_fall_either_way():
    # first principles: half of the band of ± 5 mm lies beyond the cut-off, for one of nine measures that is the lead.
    near = {"lower_m": [0.150] * 5, "rocker_m": 0.02, "upper_m": [0.05] * 3, "column_m": 0.02}
    stated = {
        name: [with_band(CHECK.reading(name), x, f"{name} {i}") for i, x in enumerate(value)]
        if isinstance(value, list)
        else with_band(CHECK.reading(name), value, name)
        for name, value in near.items()
    }
    found = run_check(CHECK, Stated(stated), 1000)
    assert "acceptable" in found.verdict
    held = found.held[0]
    # Three of five at least beyond: a half by symmetry; three against three leaves the worse in the lead.
    assert 0.4 < held.kept < 0.6


def test_refusals():
    with pytest.raises(ValueError, match="whole numbers"):
        result_of("small_overlap", GOOD | {"other_demerits": 2.5})
    with pytest.raises(ValueError, match="outside"):
        result_of("small_overlap", GOOD | {"column_m": 15.0})


@pytest.mark.parametrize(("intrusion", "rocker", "likelier"), [(0.15, 0.05, True), (0.10, 0.02, False)])
def test_a_band_at_its_very_edge_is_not_told_as_the_likeliest(intrusion, rocker, likelier):
    # first principles: of six measures at a cut-off, each beyond it in half the cases, three or more are beyond it in
    # 42 of 64 cases, and of equals the worse leads.
    values = {
        name: [with_band(CHECK.reading(name), one, f"{name} {i}") for i, one in enumerate(several)]
        if isinstance(several, list)
        else with_band(CHECK.reading(name), several, name)
        for name, several in (GOOD | {"lower_m": [intrusion] * 5, "rocker_m": rocker}).items()
    }
    verdict = run_check(CHECK, Stated(values), 2000).verdict
    assert "is good" in verdict
    assert ("acceptable is likelier" in verdict) is likelier
