"""The two comparisons side by side."""

from dataclasses import replace

from hoistbook.report.pairing import paired
from report.walks import AS_FOUND_ROWS, NORMALISED_ROWS, normalised_walk, range_walk


def test_bars_keep_the_order_as_found_and_the_rest_stays_last():
    found = range_walk()
    alike = range_walk((*reversed(NORMALISED_ROWS[:-1]), NORMALISED_ROWS[-1]), "normalised")
    pairs = paired(alike, found, found)
    assert [pair.bar.name for pair in pairs] == [bar.name for bar in found.bars]
    assert all(pair.other is not None and pair.other.name == pair.bar.name for pair in pairs)


def test_bar_that_the_other_comparison_tells_apart_has_no_partner():
    found = range_walk()
    split = [row for row in AS_FOUND_ROWS if row[0] != "tyres+drag_force"]
    split[1:1] = [
        ("tyres", "tyres", -8400.0, 900.0, "measured"),
        ("drag_force", "drag", -1000.0, 900.0, "assumed"),
    ]
    alike = range_walk(split, "normalised")
    pair = next(pair for pair in paired(found, alike, found) if pair.bar.name == "tyres+drag_force")
    assert pair.other is None
    assert [bar.name for bar in pair.apart] == ["tyres", "drag_force"]
    back = {pair.bar.name: pair for pair in paired(alike, found, found)}
    assert back["tyres"].other is None
    assert [bar.name for bar in back["tyres"].apart] == ["tyres+drag_force"]


def test_same_causes_pair_whatever_their_order():
    found = range_walk()
    bars = list(found.bars)
    at = next(i for i, bar in enumerate(bars) if bar.merged)
    bars[at] = replace(bars[at], name="drag_force+tyres", merged=("drag_force", "tyres"))
    alike = replace(normalised_walk(), bars=tuple(bars))
    pair = next(pair for pair in paired(found, alike, found) if pair.bar.merged)
    assert pair.other is bars[at]
