"""Pictures of tests: what a picture keeps of a long log, and where a plot puts it."""

import re

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from hypothesis.extra.numpy import arrays

from hoistbook.report.plots import DOTS, LINE, STRIP, Axis, Trace, plot
from hoistbook.services.as_json.trials import thinned
from hoistbook.services.pages.trial_plots import drawn

X, Y = Axis("speed", "km/h"), Axis("force", "N")
FINITE = st.floats(-1e6, 1e6, allow_nan=False)


@given(arrays(np.float64, st.integers(1, 400), elements=FINITE), st.integers(1, 30))
def test_a_thinned_curve_hides_no_peak(values, half):
    most = 2 * half
    kept = thinned(values, most)
    # first principles: highest and lowest of the whole are the highest and lowest of their stretch.
    assert values[kept].max() == values.max()
    assert values[kept].min() == values.min()
    assert len(kept) <= max(most, 2)
    assert (np.diff(kept) > 0).all()
    if len(values) <= most:
        assert len(kept) == len(values)


def test_a_single_spike_in_a_long_log_is_kept():
    values = np.zeros(100_000)
    values[54_321] = 3.0
    # first principles: planted there; thinning evenly to 2,000 would show every 50th reading.
    assert 54_321 in thinned(values)


@given(st.lists(st.tuples(FINITE, FINITE), min_size=1, max_size=30))
def test_everything_is_drawn_inside_the_axes(points):
    x, y = [a for a, _ in points], [b for _, b in points]
    found = plot([Trace(DOTS, x, y), Trace(LINE, x, y)], X, Y, words="w")
    pens = re.findall(r"[ML](-?[\d.]+) (-?[\d.]+)", "".join(stroke.path for stroke in found.strokes))
    assert len(pens) == 2 * len(points)
    for across, down in pens:
        # first principles: an axis reaches from its least to its largest value; places are written to a tenth.
        assert found.left - 0.05 <= float(across) <= found.right + 0.05
        assert found.top - 0.05 <= float(down) <= found.bottom + 0.05


def test_nothing_is_drawn_of_nothing():
    assert plot([], X, Y, words="w") is None
    assert plot([Trace(LINE, [None, 1.0], [2.0, None])], X, Y, words="w") is None


def test_a_gap_parts_a_line_and_a_band_has_two_edges():
    line = Trace(LINE, [0.0, 1.0, 2.0, 3.0], [1.0, None, 1.0, 2.0])
    band = Trace(STRIP, [0.0, 3.0], [-1.0, -1.0], [3.0, 3.0])
    found = plot([line, band], X, Y, words="w")
    # first principles: two stretches are two moves of the pen; a closed band of two points has four corners.
    assert found.strokes[0].path.count("M") == 2
    assert (found.strokes[1].path.count("L"), found.strokes[1].path[-1]) == (3, "Z")
    assert found.zero is not None
    assert "Force [N]" in found.title


def curve(name, x, y, fitted=None, **more):
    told = {"name": name, "x": x, "y": y, "fitted": fitted, "half": None, "points_in_all": len(x)}
    return {**told, "x_words": "time", "x_unit": "s", "y_words": "speed", "y_unit": "m/s", **more}


def test_axes_are_in_the_units_people_read():
    [picture] = drawn(
        {
            "kind": "cycle",
            "figures": [],
            "curves": [curve("speed, run", [0.0, 1800.0], [0.0, 30.0], [1.0, 29.0])],
        }
    ).pictures
    speed, left = picture.plots
    # first principles: 1,800 s are 30 min, 30 m/s are 108 km/h, and the driver is 1 m/s off, 3.6 km/h, either way.
    assert left.x_title == "Time [min]"
    assert left.x_ticks[-1].words == "30"
    assert "[km/h]" in speed.title
    assert [tick.words for tick in speed.y_ticks][-1] in ("100", "108")
    assert left.title == "Speed, driven less asked for [km/h]"
    assert left.zero == pytest.approx(0.5 * (left.top + left.bottom))
    assert left.strokes[0].path.count("L") == 1


def test_resistances_of_steps_stand_beside_their_mean():
    outcome = {
        "kind": "discharge",
        "figures": [{"key": "pack_resistance", "value": 0.07, "low": 0.069, "high": 0.071}],
        "curves": [
            curve(
                "resistance of steps",
                [0.0, 600.0],
                [0.0695, 0.0705],
                y_words="resistance",
                y_unit="ohm",
            )
        ],
    }
    [picture] = drawn(outcome).pictures
    [found] = picture.plots
    assert [stroke.kind for stroke in found.strokes] == ["strip", "broad", "dots"]
    assert found.title == "Resistance [mΩ]"
    # first principles: the band reaches from 69 to 71 mΩ, further than the steps; ticks lie inside it or beside it.
    assert "70" in {tick.words.split(".")[0] for tick in found.y_ticks}


def test_a_table_of_pads_needs_no_picture():
    assert (
        drawn({"kind": "corners", "figures": [], "curves": []}).why_none == "a table of readings has no curve"
    )
