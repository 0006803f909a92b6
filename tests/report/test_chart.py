"""The drawn walk: everything is on it, nothing lies on anything else, nothing leaves the sheet."""

import re
from dataclasses import replace
from itertools import combinations, pairwise
from xml.etree import ElementTree

import pytest
from hypothesis import given
from hypothesis import strategies as st

from hoistbook.core.compare.bars import Interval
from hoistbook.report.chart import decisions_spec, gaining, walk_spec
from hoistbook.report.lettering import text_width
from hoistbook.report.render import check_chart_path, inside_page, svg, write_chart
from hoistbook.report.sheet import Captions
from hoistbook.report.theme import DARK, LIGHT, OUTLINES, SHEET
from report.walks import AS_FOUND_ROWS, mass_walk, normalised_walk, range_walk, walk

NAMES = ("Whimbrel", "Turnstone")
SVG = "{http://www.w3.org/2000/svg}"


def captions(**changes):
    return replace(
        Captions(
            "Turnstone goes 19.4 ± 4.5 km less far than Whimbrel, although its battery holds 6.0 % more.",
            NAMES,
            "Seven causes explain −17.0 km; −2.4 ± 5.4 km is not explained yet.",
            details={"mass": "1 742 against 1 638 kg, corner scales"},
            notes=("Duty WLTC class 3b. 4 000 draws, seed 1.",),
        ),
        **changes,
    )


def lettering(text):
    """Every text of an SVG: left, top, right, bottom, words; set in the widest face it may fall to."""
    found = []

    def walk_tree(element, x, y):
        shift = re.match(r"translate\(([-\d.]+),\s*([-\d.]+)\)", element.get("transform", ""))
        if shift:
            x, y = x + float(shift[1]), y + float(shift[2])
        if element.tag == f"{SVG}text":
            size = float(element.get("font-size").removesuffix("px"))
            words = "".join(element.itertext())
            width = text_width(words, size, bold=element.get("font-weight") == "600")
            left = x - {"start": 0.0, "middle": 0.5, "end": 1.0}[element.get("text-anchor")] * width
            # common practice: capitals reach about 0.73 em above the base line, a g about 0.21 em below it.
            found.append((left, y - 0.73 * size, left + width, y + 0.21 * size, words))
        for child in element:
            walk_tree(child, x, y)

    walk_tree(ElementTree.fromstring(text), 0.0, 0.0)
    return found


def size_of(text):
    root = ElementTree.fromstring(text)
    return float(root.get("width")), float(root.get("height"))


def assert_readable(text):
    width, height = size_of(text)
    boxes = lettering(text)
    for left, top, right, bottom, words in boxes:
        inside = left >= 0.0 and top >= 0.0 and right <= width and bottom <= height
        assert inside, f"{words!r} leaves the sheet"
    for one, two in combinations(boxes, 2):
        apart = one[2] <= two[0] or two[2] <= one[0] or one[3] <= two[1] or two[3] <= one[1]
        assert apart, f"{one[4]!r} lies on {two[4]!r}"


def drawn(spec):
    return svg(spec)


@pytest.mark.parametrize("width_px", [900.0, 1024.0, 1280.0, 1440.0])
def test_no_text_touches_another_or_leaves_the_sheet(width_px):
    found, alike = range_walk(), normalised_walk()
    assert_readable(drawn(walk_spec(found, captions(), other=alike, first=found, width_px=width_px)))
    assert_readable(drawn(walk_spec(mass_walk(), captions(), width_px=width_px)))
    mass = next(bar for bar in found.bars if bar.name == "mass")
    assert_readable(drawn(decisions_spec(found, mass, captions(), width_px=width_px)))


def test_long_names_and_words_are_wrapped():
    name = "Long wheelbase delivery van with high roof"
    rows = tuple(
        (row[0], f"{row[1]} with a good many further words beside it", *row[2:]) for row in AS_FOUND_ROWS
    )
    spec = walk_spec(range_walk(rows), captions(names=(name, f"{name} II")), width_px=1024.0)
    assert_readable(drawn(spec))


@given(
    values=st.lists(st.floats(-40e3, 40e3), min_size=1, max_size=6),
    band=st.floats(10.0, 30e3),
    limit=st.floats(10.0, 30e3),
    skew=st.floats(0.1, 1.0),
)
def test_any_walk_can_be_drawn_without_collisions(values, band, limit, skew):
    rows = [
        (
            f"cause{i}",
            f"cause number {i}",
            value,
            band,
            "measured",
            {"amount": Interval(value, value - band, value + skew * band)},
        )
        for i, value in enumerate(values)
    ]
    rows.append(("not_explained", "not explained yet", 0.0, band, "not explained"))
    found = walk(rows, quantity="range", unit="m", start=250e3, limit=limit)
    boxes = []
    for row in dataset(walk_spec(found, captions(), width_px=1024.0), "texts"):
        width = text_width(row["text"], row["size"], bold=row["weight"] == 600)
        left = row["x"] - {"left": 0.0, "center": 0.5, "right": 1.0}[row["align"]] * width
        boxes.append(
            (left, row["y"] - 0.73 * row["size"], left + width, row["y"] + 0.21 * row["size"], row["text"])
        )
    for one, two in combinations(boxes, 2):
        apart = one[2] <= two[0] or two[2] <= one[0] or one[3] <= two[1] or two[3] <= one[1]
        assert apart, f"{one[4]!r} lies on {two[4]!r}"
    assert all(box[0] >= 0.0 and box[2] <= 1024.0 for box in boxes)


def dataset(spec, name):
    return next(data["values"] for data in spec["data"] if data["name"] == name)


def test_every_cause_origin_and_name_is_written():
    found = range_walk()
    written = " ".join(words for *_, words in lettering(drawn(walk_spec(found, captions(), width_px=1440.0))))
    for bar in found.bars:
        assert bar.words[1:] in written
        assert bar.origin in written
    for wanted in (
        *NAMES,
        "detection limit",
        "gap −19.4\u00a0±",
        "Whimbrel gains",
        "Turnstone gains",
        "95 % band",
    ):
        assert wanted in written


def test_values_reach_the_drawing_in_the_unit_of_display():
    found = range_walk()
    bars = dataset(walk_spec(found, captions()), "bars")
    # first principles: 1 km = 1000 m.
    assert [row["value"] * 1000.0 for row in bars] == pytest.approx([bar.amount.value for bar in found.bars])
    steps = dataset(walk_spec(found, captions()), "steps")
    assert steps[0]["start"] * 1000.0 == pytest.approx(found.value_x.value)
    assert all(one["end"] == two["start"] for one, two in pairwise(steps))


def test_outline_says_where_a_figure_comes_from():
    kinds = {(outline.width, outline.dash, outline.hatched) for outline in OUTLINES.values()}
    assert len(kinds) == len(OUTLINES)
    bars = {row["name"]: row for row in dataset(walk_spec(range_walk(), captions()), "bars")}
    assert bars["mass"]["dash"] == []
    assert bars["recuperation"]["dash"] != []
    assert bars["not_explained"]["fill"] == LIGHT.paper  # hatched, no wash


def test_wash_is_the_colour_of_the_vehicle_that_gains():
    bars = {row["name"]: row for row in dataset(walk_spec(range_walk(), captions(places=(2, 0))), "bars")}
    assert bars["usable_energy"]["fill"] == LIGHT.vehicle(0).colour  # more range: Y gains
    assert bars["mass"]["fill"] == LIGHT.vehicle(2).colour
    more = Interval(1.0, 1.0, 1.0)
    assert [gaining(quantity, more) for quantity in ("range", "energy", "mass")] == [1, 0, 0]


def test_other_comparison_is_marked_only_where_it_differs():
    found, alike = range_walk(), normalised_walk()

    def ghosts(spec):
        return [row for row in dataset(spec, "symbols") if row["shape"] == "diamond"]

    assert len(ghosts(walk_spec(found, captions(), other=alike))) == 3  # tyres, mass, and the legend
    assert ghosts(walk_spec(found, captions())) == []
    order = [row["name"] for row in dataset(walk_spec(alike, captions(), other=found, first=found), "bars")]
    assert order == [bar.name for bar in found.bars]


def test_dark_sheet_has_its_own_ink():
    light, dark = (walk_spec(range_walk(), captions(), theme=theme) for theme in (LIGHT, DARK))
    assert (light["background"], dark["background"]) == (LIGHT.paper, DARK.paper)
    assert {row["fill"] for row in dataset(light, "texts")}.isdisjoint(
        row["fill"] for row in dataset(dark, "texts")
    )


def luminance(colour):
    channels = [int(colour[i : i + 2], 16) / 255.0 for i in (1, 3, 5)]
    linear = [c / 12.92 if c <= 0.04045 else ((c + 0.055) / 1.055) ** 2.4 for c in channels]
    return 0.2126 * linear[0] + 0.7152 * linear[1] + 0.0722 * linear[2]


@pytest.mark.parametrize("theme", [LIGHT, DARK], ids=lambda theme: theme.name)
def test_contrast(theme):
    # from memory: WCAG 2 asks 4.5 for text and 3 for lines; relative luminance and ratio as defined there.
    paper = luminance(theme.paper)

    def ratio(colour):
        high, low = sorted((luminance(colour), paper), reverse=True)
        return (high + 0.05) / (low + 0.05)

    assert min(ratio(colour) for colour in (theme.ink, theme.ink_2, theme.ink_3)) >= 4.5
    assert min(ratio(colour) for colour in (theme.line, theme.rule)) >= 3.0


def test_same_walk_gives_the_same_svg():
    assert drawn(walk_spec(range_walk(), captions())) == drawn(walk_spec(range_walk(), captions()))


def test_description_holds_the_figures_for_a_screen_reader():
    spec = walk_spec(range_walk(), captions())
    assert "Mass: −5.60" in spec["description"]
    assert spec["description"] in "".join(
        ElementTree.fromstring(drawn(spec)).itertext()
    ) or "aria-label" in drawn(spec)


def test_cause_without_decisions_is_refused():
    found = range_walk()
    with pytest.raises(ValueError, match="no decision is recorded"):
        decisions_spec(found, found.bars[0], captions())


def test_too_narrow_sheet_is_refused():
    with pytest.raises(ValueError, match="at least 900 px"):
        walk_spec(range_walk(), captions(), width_px=600.0)


def test_chart_is_written_as_its_ending_says(tmp_path):
    spec = walk_spec(range_walk(), captions())
    write_chart(tmp_path / "gap.svg", spec)
    write_chart(tmp_path / "gap.png", spec)
    assert (tmp_path / "gap.svg").read_text().startswith("<svg")
    # from memory: the eight bytes every PNG begins with (PNG specification).
    assert (tmp_path / "gap.png").read_bytes().startswith(b"\x89PNG\r\n\x1a\n")


@pytest.mark.parametrize("name", ["gap.pdf", "gap", "nowhere/gap.svg"])
def test_chart_that_cannot_be_written_is_refused_before_work_is_done(tmp_path, name):
    with pytest.raises(ValueError, match=r"\.svg|folder"):
        check_chart_path(tmp_path / name)


def test_inside_a_page_there_is_no_head_and_no_paper_but_one_label():
    spec = walk_spec(range_walk(), captions(headed=False), theme=SHEET, width_px=966.0)
    drawn_in = inside_page(spec, 'A "goes" 5 km & more')
    assert drawn_in.startswith('<svg class="marks" viewBox="36 0 894 ')
    assert 'aria-label="A &quot;goes&quot; 5 km &amp; more"' in drawn_in
    assert drawn_in.count("aria-label") == drawn_in.count("role=") == 1
    assert ElementTree.fromstring(drawn_in).tag == "svg"
    written = " ".join(ElementTree.fromstring(drawn_in).itertext())
    assert "less far than" not in written
    assert "wash: the vehicle that gains" in written
    assert "<rect" not in drawn_in


def test_a_name_too_long_for_its_side_is_its_code():
    written = [
        words for *_, words in lettering(drawn(walk_spec(range_walk(), captions(names=("W" * 90, "T")))))
    ]
    assert any(words.endswith(" gains") and "W" * 20 not in words for words in written)
