"""hoistbook gap: what is asked of the services, and what is printed of their answer."""

import re
from dataclasses import replace
from itertools import takewhile
from pathlib import Path

import jsonschema
import pytest

from cli.running import NEXT, assert_fits, gap_report, run, vehicle
from cli.schemas import GAP
from hoistbook.cli.assumed import sorted_out, together
from hoistbook.cli.gap_page import said_once
from hoistbook.core.compare.bars import Interval, Remark
from hoistbook.core.energy.defaults import Default
from hoistbook.core.quantities.assumption import Assumption, AssumptionKind, aside, caution, definition
from hoistbook.core.quantities.quantity import Origin, Quantity, Source
from hoistbook.core.vehicle.records import Fact, Replaced
from hoistbook.report.render import svg
from hoistbook.report.sentences import end_word
from hoistbook.services.gap_drawing import walk_drawing
from hoistbook.services.gap_view import GapView, surprise
from hoistbook.services.parameter_rows import ParameterRow
from hoistbook.services.replaced import ReplacedFigure
from report.walks import (
    AS_FOUND_ROWS,
    MASS_DECISIONS,
    NORMALISED_ROWS,
    mass_walk,
    normalised_walk,
    range_walk,
)


@pytest.fixture
def asked(monkeypatch):
    """Services that answer with a hand-made walk; returns what they were asked for."""
    calls = {}
    vans = {"w.xlsx": vehicle("W1", "Whimbrel"), "t.xlsx": vehicle("T1", "Turnstone")}

    def load(path, progress=None):
        return vans[Path(path).name]

    def gap(x, y, **options):
        calls.update(options, x=x.vehicle.code, y=y.vehicle.code)
        return calls.get("report") or gap_report()

    monkeypatch.setattr("hoistbook.services.loading.load_teardown", load)
    monkeypatch.setattr("hoistbook.services.gap.gap_report", gap)
    return calls


def gap(*words, **environment):
    return run("gap", "w.xlsx", "t.xlsx", *words, **environment)


def test_options_reach_the_service(asked):
    ran = gap(
        "--quantity", "energy", "--duty", "us", "--draws", 500, "--seed", 7, "--no-merge",
        "--configuration-a", "a", "--configuration-b", "b",
    )  # fmt: skip
    assert ran.code == 0
    assert asked == {
        "x": "W1", "y": "T1", "quantity": "energy", "duty": "us", "n_draws": 500, "seed": 7, "merge": False,
        "configuration_x": "a", "configuration_y": "b", "defaults": None,
    }  # fmt: skip


def test_defaults(asked):
    gap()
    assert (asked["quantity"], asked["duty"], asked["merge"]) == ("range", "wltc3b", True)


def test_page_fits_80_columns_without_colour(asked):
    for words in ((), ("--as-found",), ("--by-cause",)):
        ran = gap(*words)
        assert ran.code == 0
        assert_fits(ran.out)


@pytest.mark.parametrize("width", [72, 100, 200])
def test_page_fits_other_windows(asked, width):
    assert_fits(gap(COLUMNS=str(width)).out, width)


def test_colour_only_where_it_is_asked_for(asked):
    plain = gap().out
    styled = gap(NO_COLOR=None, FORCE_COLOR="1", TERM="xterm").out
    assert "\x1b[" in styled
    bare = re.sub(r"\x1b\[[0-9;]*m", "", styled)
    assert [line.rstrip() for line in bare.splitlines()] == [line.rstrip() for line in plain.splitlines()]


def test_answer_comes_first_and_speaks_of_the_normalised_gap(asked):
    ran = gap()
    assert ran.plain.startswith(
        "With unlike content set equal, Turnstone goes 14.8 ± 4.5 km less far than Whimbrel."
    )
    assert gap("--as-found").plain.startswith("Turnstone goes 19.4 ± 4.5 km less far than Whimbrel.")


def rows_of(text):
    """Lines of the walk table, words that were wrapped left out."""
    lines = text.split("\n\n")
    return next(block for block in lines if block.startswith("cause")).splitlines()


def test_both_comparisons_stand_side_by_side(asked):
    head, *lines = rows_of(gap(COLUMNS="110").out)
    assert head.split() == ["cause", "normalised", "as", "found", "sign", "range", "test", "origin"]
    mass = next(line for line in lines if line.startswith("Mass"))
    figures = mass.replace("\u202f", " ").split()[1:]
    assert figures == ["−4.30", "±", "0.60", "−5.60", "±", "0.60", ">0.99", "not", "resolved", "measured"]
    # On a narrow page there is no column for it: the limit stands under the origin.
    head, *lines = rows_of(gap().out)
    assert head.split() == ["cause", "normalised", "as", "found", "sign", "origin"]
    place = next(place for place, line in enumerate(lines) if line.startswith("Auxiliaries"))
    assert [lines[place].split()[-1], lines[place + 1].split()] == ["measured", ["below", "limit"]]
    head, *lines = rows_of(gap("--as-found").out)
    assert head.split()[1:5] == ["as", "found", "normalised", "sign"]


def test_every_cause_its_origin_and_standing_are_printed(asked):
    ran = gap("--as-found", COLUMNS="110").plain
    for bar in range_walk().bars:
        assert all(word in ran for word in bar.words[1:].split())
        assert bar.origin in ran
    for wanted in ("not resolved", "no difference", "0.98", ">0.99", "−9.7 to +1.9"):
        assert wanted in ran
    assert "detection limit of this gap, ± 4.5 km" in ran


def test_merged_causes_say_what_would_separate_them(asked):
    assert "What would separate them: wheel spin-down." in gap().plain


def test_content_assumptions_and_next_steps_are_listed(asked):
    ran = gap().plain
    assert "towing preparation strip mass 24.10 ± 0.098 kg" in ran.replace("24.100", "24.10")
    assert "× 0.955" in ran
    assert "driver of 75 kg added to the curb mass of W1" in ran
    assert "What to measure next" in ran
    assert "Band of what is not explained now: ± 5.4 km." in ran
    assert "Coast-down both ways, Turnstone: ± 3.9 km (coast-down from motorway speed both ways)" in ran
    assert "spin-down on the hoist" not in ran  # 5.40 to 5.39 km is nothing one would see
    assert "local law, the maker's dismantling sheet and licensed people" in ran


def numbers(line, count):
    """The first values of the columns of a line, bands left out."""
    found = re.findall(r"([+−]?\d+\.\d+|\b0)(?: ± [\d.]+)?", line.replace("\u202f", " "))
    return [float(word.replace("−", "-")) for word in found[:count]]


def inside(lines, cause):
    """Lines of a table that stand inside a cause."""
    start = next(place for place, line in enumerate(lines) if line.startswith(cause)) + 1
    return list(takewhile(lambda line: line.startswith("  "), lines[start:]))


def test_decisions_stand_inside_their_cause_and_add_up_to_it(asked):
    lines = rows_of(gap("--as-found", COLUMNS="110").out)
    mass = inside(lines, "Mass")
    words = [re.split(r"\s{2,}", line.strip())[0] for line in mass]
    # The three largest by size, the two smaller ones as a sum, and the rest of the cause.
    assert words == [
        "Battery modules",
        "Towing preparation",
        "Cooling circuits",
        "2 smaller decisions",
        "Rest of the cause",
    ]
    # first principles: a cause is its decisions and what no decision accounts for; five lines of two decimals each.
    total = numbers(next(line for line in lines if line.startswith("Mass")), 1)[0]
    assert sum(numbers(line, 1)[0] for line in mass) == pytest.approx(total, abs=0.03)


def test_every_decision_inside_a_cause_is_printed_on_request(asked):
    words = [line.strip() for line in inside(rows_of(gap("--by-cause", COLUMNS="110").out), "Mass")]
    assert len(words) == len(MASS_DECISIONS) + 1
    assert any(line.startswith("Load floor") for line in words)
    assert not any("smaller decisions" in line for line in words)


def test_list_of_decisions_adds_up_to_the_gap(asked):
    text = gap("--as-found", COLUMNS="110").out
    block = text.partition("What each decision is worth")[2].partition("\n\n")[0]
    # A lopsided band stands on a line of its own without words.
    lines = [line for line in block.splitlines()[3:] if line.strip() and line[0] not in " ─"]
    assert [line.split("  ")[0] for line in lines[-3:]] == [
        "No decision found yet",
        "Not explained yet",
        "Gap",
    ]
    # first principles: decisions, causes without a decision and the rest are the whole gap.
    values = [numbers(line, 1)[0] for line in lines]
    assert sum(values[:-1]) == pytest.approx(values[-1], abs=0.1)


def test_ends_of_the_walk_say_what_they_are(asked):
    assert "from Whimbrel 268.4 ± 3.3 km (measured) to Turnstone" in gap("--as-found").plain
    one_stated = ("measured", "model")
    asked["report"] = gap_report(
        range_walk(end_words=one_stated), range_walk(NORMALISED_ROWS, "normalised", end_words=one_stated)
    )
    ran = gap()
    assert "km (model, nothing stated)" in ran.plain
    assert (
        "Turnstone: no stated figure in this duty (wltc3b): the strip around zero is the model's own error"
        in (ran.plain)
    )
    assert "smaller than the model's own error in this gap" in ran.plain
    assert "Band of the gap now" in ran.plain
    assert "only a stated range in this duty takes away: Turnstone." in ran.plain
    assert "a range test of both vehicles would not show it" not in ran.plain
    assert "range test" not in rows_of(ran.out)[0]
    assert_fits(ran.out)


def test_an_end_that_was_set_equal_was_not_measured_as_it_stands(asked):
    # first principles: a figure less what was stripped on paper is no reading; an end nothing was done to still is one.
    found, equal = range_walk(), range_walk(NORMALISED_ROWS, "normalised")
    moved = replace(equal, value_y=replace(found.value_y, value=found.value_y.value + 3000.0))
    kept = replace(moved, value_x=found.value_x)
    assert [end_word(kept, place, found) for place in (0, 1)] == ["measured", "measured, normalised"]
    assert [end_word(found, place, kept) for place in (0, 1)] == ["measured", "measured"]


def test_label_is_called_a_label():
    labels = replace(range_walk(end_words=("published", "published")), basis="label")
    assert [end_word(labels, place) for place in (0, 1)] == ["label", "label"]


def test_us_units_reach_page_and_chart_but_not_json(asked, tmp_path):
    ran = gap("--units", "us", "--as-found", "--chart", tmp_path / "gap.svg")
    # first principles: 19.4 km = 12.05 mi and 4.5 km = 2.80 mi.
    assert ran.plain.startswith("Turnstone goes 12.1 ± 2.8 mi less far than Whimbrel.")
    assert " km" not in ran.plain.partition("Unlike content")[0]
    assert "12.1" in (tmp_path / "gap.svg").read_text()
    assert gap("--units", "us", "--json").json == gap("--json").json


def test_mass_gap_lists_only_content_that_weighs_something(asked):
    asked["report"] = gap_report(mass_walk(), mass_walk())
    ran = gap("--quantity", "mass").plain
    assert "towing preparation" in ran
    assert "wheel size" not in ran


def test_measurements_that_separate_are_named_once():
    said = set()
    first = said_once(Remark("a and b are one bar: 40% of it.", ("x", "y")), said)
    assert first == "a and b are one bar: 40\u202f% of it. What would separate them: x; or y."
    second = said_once(Remark("c is hard to tell.", ("x", "z")), said)
    assert second.endswith("What would separate them: z, and as above.")
    assert said_once(Remark("d too.", ("y",)), said).endswith("What would separate them: as above.")
    assert said_once(Remark("e has no measurement."), said) == "e has no measurement."


def test_normalised_drawing_shows_normalised_figures():
    def area(value):
        row = ParameterRow("drag_area_m2", "drag area", "m2", value, value - 0.01, value + 0.01, "published")
        return {row.field: row}

    report = replace(
        gap_report(),
        figures_x=area(1.2),
        figures_y=area(1.3),
        figures_alike_x=area(1.21),
        figures_alike_y=area(1.29),
    )
    found = svg(walk_drawing(GapView(report, ("Whimbrel", "Turnstone"), as_found=True)))
    alike = svg(walk_drawing(GapView(report, ("Whimbrel", "Turnstone"))))
    assert "1.200 → 1.300" in found
    assert "Figures under a cause: as found" in found
    assert "1.210 → 1.290" in alike
    assert "Figures under a cause: normalised" in alike


def test_names_from_a_workbook_cannot_steer_the_terminal(asked, monkeypatch):
    rows = tuple(
        (row[0], "[bold red]mass[/]\x1b[2J\u202e" if row[0] == "mass" else row[1], *row[2:])
        for row in AS_FOUND_ROWS
    )
    asked["report"] = gap_report(range_walk(rows), range_walk(rows, "normalised"))
    ran = gap(COLUMNS="110")
    assert ran.code == 0
    assert "\x1b" not in ran.out
    assert "\u202e" not in ran.out
    assert "[bold red]mass[/]□[2J□" in ran.out


def test_bars_grouped_otherwise_are_named(asked):
    split = [row for row in AS_FOUND_ROWS if row[0] != "tyres+drag_force"]
    split[1:1] = [
        ("tyres", "tyre coefficient", -8400.0, 900.0, "measured"),
        ("drag_force", "drag", -1000.0, 900.0, "assumed"),
    ]
    asked["report"] = gap_report(alike=range_walk(split, "normalised"))
    ran = gap("--as-found").plain
    assert "see below" in ran
    assert "normalised it is tyre coefficient −8.40 ± 0.90; drag −1.00 ± 0.90 km." in ran


def test_what_is_assumed_of_both_is_said_once():
    told = (definition("dry road", "W"), definition("one axle", "W"), definition("dry road", "T"))
    said = together((*told, definition("x", "T"), definition("charging left out")), ("W", "T"))
    assert [one.sentence for one in said] == ["W and T: dry road", "W: one axle", "T: x", "charging left out"]


def taken(owner, field, value, unit, half_width=0.0, mark="common practice", source="somebody"):
    shape = "normal" if half_width else "exact"
    return Default(field, value, unit, half_width, shape, mark, source).assumption(owner).of(owner)


def test_assumptions_are_sorted_by_kind_and_folded():
    standard = ("from memory", "standard acceleration (CGPM 1901)")
    lacking = (("seats", "test_mass_kg"), ("axle", "drag_area_m2"), ("axle", "gravity_m_per_s2"))
    found = sorted_out(
        (
            taken("W", "gravity_m_per_s2", 9.80665, "m/s2", 0.0, *standard),
            taken("T", "gravity_m_per_s2", 9.80665, "m/s2", 0.0, *standard),
            taken("W", "accessory_power_w", 250.0, "W", 100.0),
            taken("W", "pack_resistance_ohm", 0.075, "ohm", 0.025),
            taken("W", "loss_k1", 0.1, "W/(N.m)2", 0.05),
            taken("W", "gear_efficiency_frac", 0.896, "1", 0.03),
            taken("W", "loss_c0_w", 0.0, "W"),
            taken("T", "gear_efficiency_frac", 0.975, "1", 0.03),
            definition("drag force = drag torque/wheel radius, the same at every speed", "T"),
            aside("accessory power of duty 'us' is kept aside: the duty here is 'wltc3b'", "T"),
            Assumption(AssumptionKind.ASIDE, "nothing stated, so no decision yet", ("W",), about=lacking),
            caution("only 60% of its mass is listed among the parts", "W"),
        ),
        ("W", "T"),
        ("Little van", "Turnstone"),
    )
    assert [(one.whose, one.words, one.value) for one in found.figures] == [
        ("W and T", "gravity", "9.80665 m/s²"),
        ("W", "accessory power", "250 ± 100 W"),
        # first principles: 0.075 ohm = 75 mΩ, 0.896 = 89.6 %.
        ("W", "internal resistance of the pack", "75 ± 25 mΩ"),
        ("W", "drive-unit loss per torque squared", "0.1 ± 0.05 W/(N·m)²"),
        ("W", "efficiency of the drive unit, driving", "89.6 ± 3 %"),
        ("W", "drive-unit loss, constant part", "0 W"),
        ("T", "efficiency of the reduction, driving", "97.5 ± 3 %"),
    ]
    assert found.figures[0].source == "from memory: standard acceleration (CGPM 1901)"
    assert found.definitions == ("T: drag force = drag torque/wheel radius, the same at every speed",)
    assert found.aside == (
        "T: accessory power of duty 'us' is kept aside: the duty here is 'wltc3b'",
        "Little van states nothing for 2 functions: seats; axle (drag area (Cd·A), gravity)",
    )
    assert found.cautions == ("W: only 60\u202f% of its mass is listed among the parts",)


def test_next_measurements_are_in_both_comparisons_of_the_json(asked):
    found = gap("--json").json
    for walk in (found, found["other"]):
        first, second = walk["next_measurements"]
        assert (first["vehicle"], first["half_width_now"], first["half_width_then"]) == ("T1", 5.4, 3.9)
        assert (second["name"], second["minutes"]) == ("wheel spin-down", 60.0)


def test_nothing_worth_measuring_is_said(asked):
    asked["report"] = replace(gap_report(), next_measurements_alike=NEXT[1:])
    assert "No measurement on the list would narrow what is not explained" in gap().plain


def test_doubts_stand_before_the_answer(asked):
    doubt = "T1: stated and modelled range differ by 3.4 times the model's error: look for a wrong figure"
    asked["report"] = gap_report(
        replace(range_walk(), doubts=(doubt,)), replace(normalised_walk(), doubts=(doubt,))
    )
    ran = gap()
    assert ran.plain.index(doubt) < ran.plain.index("Turnstone goes")
    assert gap("--json").json["doubts"] == [doubt]
    drawn = svg(walk_drawing(GapView(asked["report"], ("Whimbrel", "Turnstone"))))
    assert "Does not fit together: T1: stated and modelled range" in drawn


def test_replaced_figures_are_a_list_of_their_own(asked):
    old, new = (
        Fact(
            "W1-1",
            "usable_energy",
            Quantity(value * 3.6e6, "J", ((Source(name), 0.1 * 3.6e6),), Origin.MEASURED),
        )
        for value, name in ((52.0, "old"), (52.1, "new"))
    )
    pair = Replaced(old, "workbook", new, "test discharge", "2026-05-13 07:30", "2026-05-20")
    assert "replaced by a later one" not in gap().plain
    asked["report"] = replace(gap_report(), replaced=(ReplacedFigure("W1", pair, 0.0),))
    ran = gap()
    # As typed: 52.0 and 52.1 kWh, ± 1.96 × 0.1 kWh; the day of the test, not the one it was entered on.
    assert "Figures replaced by a later one (1)" in ran.plain
    for words in ("52.00 ± 0.20 kWh", "52.10 ± 0.20 kWh", "discharge", "2026-05-13"):
        assert words in ran.plain
    assert "do not fit together" not in ran.plain
    assert_fits(ran.out)
    [told] = gap("--json").json["replaced"]
    assert (told["was"]["value"], told["now"]["value"], told["apart"]) == (52.0 * 3.6e6, 52.1 * 3.6e6, 0.0)
    asked["report"] = replace(gap_report(), replaced=(ReplacedFigure("W1", replace(pair, at=""), 0.0),))
    # Nobody wrote down when it was taken: the day it was entered stands there, and is called that.
    printed = gap().plain
    assert "2026-05-13" not in printed
    row = printed.split("Figures replaced")[1].split("What to measure next")[0]
    assert "2026-05-20" in row
    assert "entered" in row


def test_json_follows_the_schema_and_adds_up(asked):
    for words in ((), ("--as-found",)):
        found = gap("--json", *words).json
        jsonschema.validate(found, GAP)
        for walk in (found, found["other"]):
            causes = walk["causes"]
            assert sum(cause["value"] for cause in causes) == pytest.approx(walk["gap"]["value"], abs=1e-9)
            for cause in causes:
                parts = (
                    sum(decision["value"] for decision in cause["decisions"]) + cause["unexplained"]["value"]
                )
                assert parts == pytest.approx(cause["value"], abs=1e-9)
        assert causes[-1]["name"] == "not_explained"
        assert causes[-1]["origin"] == "not explained"


def test_json_speaks_of_the_comparison_asked_for(asked):
    found = gap("--json").json
    assert (found["comparison"], found["other"]["comparison"]) == ("normalised", "as found")
    found = gap("--json", "--as-found").json
    assert (found["comparison"], found["other"]["comparison"]) == ("as found", "normalised")
    assert (found["from"], found["to"], found["unit"]) == ("W1", "T1", "km")


@pytest.mark.parametrize(("quantity", "unit"), [("range", "km"), ("energy", "Wh/km"), ("mass", "kg")])
def test_json_has_the_unit_of_its_quantity(asked, quantity, unit):
    walk = replace(mass_walk(), quantity=quantity)
    asked["report"] = gap_report(walk, replace(walk, comparison="normalised"))
    found = gap("--json", "--quantity", quantity).json
    assert (found["quantity"], found["unit"]) == (quantity, unit)
    # first principles: 1 Wh/km = 3.6 J/m, 1 km = 1000 m.
    factor = {"km": 1000.0, "Wh/km": 3.6, "kg": 1.0}[unit]
    assert found["gap"]["value"] * factor == pytest.approx(walk.gap.value)


@pytest.mark.parametrize("ending", ["svg", "png"])
def test_chart_is_drawn(asked, tmp_path, ending):
    path = tmp_path / f"gap.{ending}"
    ran = gap("--chart", path)
    assert ran.code == 0
    assert path.stat().st_size > 1000
    assert "Drawn:" in ran.out


def test_chart_on_a_dark_sheet_differs(asked, tmp_path):
    gap("--chart", tmp_path / "light.svg")
    gap("--chart", tmp_path / "dark.svg", "--dark")
    assert (tmp_path / "light.svg").read_text() != (tmp_path / "dark.svg").read_text()


def test_chart_file_of_unknown_kind_is_refused_before_anything_is_read(asked, tmp_path):
    ran = gap("--chart", tmp_path / "gap.jpg")
    assert ran.code == 2
    assert "gap.jpg" in ran.err.replace("\n", "")
    assert ".svg or .png" in " ".join(ran.err.split())
    assert "x" not in asked


@pytest.mark.parametrize(
    ("battery", "gap_", "expected"),
    [
        (Interval(15e3, 13e3, 17e3), Interval(-20e3, -24e3, -16e3), "its battery holds 6 % more"),
        (Interval(15e3, -1e3, 31e3), Interval(-20e3, -24e3, -16e3), ""),  # its sign is not sure
        (Interval(15e3, 13e3, 17e3), Interval(20e3, 16e3, 24e3), ""),  # it pulls the same way
    ],
)
def test_battery_is_called_a_surprise_only_where_it_surely_pulls_the_other_way(battery, gap_, expected):
    walk = range_walk()
    bars = tuple(replace(bar, amount=battery) if bar.name == "usable_energy" else bar for bar in walk.bars)
    # first principles: 55.12/52.00 − 1 = 6.0 %.
    report = replace(
        gap_report(), as_found=replace(walk, bars=bars, gap=gap_), battery_more_frac=55.12 / 52.0 - 1.0
    )
    found = surprise(report, as_found=True)
    assert found.startswith(expected)
    assert bool(found) == bool(expected)
