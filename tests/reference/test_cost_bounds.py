"""A scenario whose figures cannot be is refused where it is read, whatever is wrong and wherever."""

import copy
import json
import math
import tomllib
from functools import cache

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from core.cost.any_part import any_part
from hoistbook.core.cost.engine import cost_parts
from hoistbook.core.cost.processes import PROCESSES
from hoistbook.reference.cost import packaged_scenario, packaged_scenario_text, scenario_from

PARTS = [any_part(name) for name in ("sheet_stamping", "high_pressure_die_casting", "injection_moulding")]
_FIGURE = ("value", "low", "high")
OWN = {
    "value": 3.0, "low": 2.5, "high": 4.0, "unit": "s", "mark": "common practice", "source": "timed on our own line",
}  # fmt: skip


@cache
def packaged():
    tables = tomllib.loads(packaged_scenario_text(whole=True))
    return tables | {"process": {"spot_welding/spot_s": OWN}}


def inline(value):
    if isinstance(value, dict):
        return "{ " + ", ".join(f"{json.dumps(name)} = {inline(one)}" for name, one in value.items()) + " }"
    if isinstance(value, list):
        return f"[{', '.join(map(inline, value))}]"
    if isinstance(value, float) and not math.isfinite(value):
        return str(value)
    return json.dumps(value)


def written(tables):
    return "\n".join(f"{name} = {inline(table)}" for name, table in tables.items())


def numbers(table, above=()):
    for name, one in table.items():
        if isinstance(one, dict):
            yield from numbers(one, (*above, name))
        elif isinstance(one, int | float):
            yield (*above, name)


def figures(table, above=()):
    for name, one in table.items():
        if isinstance(one, dict):
            if "mark" in one and "unit" in one:
                yield (*above, name)
            else:
                yield from figures(one, (*above, name))


def changed(path, value):
    """The packaged scenario with another number in one place; limits of a figure go with its value."""
    tables = copy.deepcopy(packaged())
    table = tables
    for name in path[:-1]:
        table = table[name]
    for name in _FIGURE if path[-1] == "value" else (path[-1],):
        table[name] = value
    return written(tables)


def test_the_packaged_scenario_is_within_its_bounds():
    # first principles: what is written down whole is what is packaged.
    assert scenario_from(written(packaged()), "mine.toml").materials == packaged_scenario().materials


HOSTILE = (0, -1, -0.5, 2.0, 1e9, 1e308, 1e-308, math.nan, math.inf, -math.inf, 10**400, True, "3", [], {})
PLACES = sorted(numbers(packaged()))


@settings(max_examples=60, deadline=None)
@given(st.sampled_from(PLACES), st.sampled_from(HOSTILE))
def test_a_hostile_number_anywhere_is_refused_or_costs_a_number(path, value):
    why, scenario = "", None
    try:
        scenario = scenario_from(changed(path, value), "mine.toml")
    except ValueError as error:
        why = str(error.args[0])
    if scenario is None:
        # first principles: who is refused has to know in which file.
        assert "mine.toml" in why or "scenario 'north-america-60k'" in why
        return
    assert value not in (10**400, "3", [], {})
    costed = cost_parts(PARTS, scenario, PROCESSES, 20)
    # first principles: a piece costs a finite number, not below 0, and its lines add up to it; else it says why not.
    assert set(costed.parts) | set(costed.refused) == {part.tag for part in PARTS}
    for cost in costed.parts.values():
        assert 0.0 <= cost.piece.value < math.inf
        assert all(map(math.isfinite, (cost.piece.low, cost.piece.high, cost.tooling.value, *cost.draws)))
        assert sum(line.value_money for line in cost.lines) == pytest.approx(cost.piece.value, rel=1e-9)


@pytest.mark.parametrize("table", ["figure", "region", "supplier", "material", "machine", "process"])
def test_a_figure_in_another_unit_than_its_name_says_is_refused(table):
    # first principles: a wage per kilogram, a shift of 8 h taken for 8 s, seconds of a spot taken for minutes: a figure
    # is taken by its name, so none of them may pass. Newtons are no unit of any of these.
    places = list(figures({table: packaged()[table]}))
    assert places
    # Entries of one kind are read alike: the last of each name stands for the others.
    for path in {one[-1]: one for one in places}.values():
        with pytest.raises(ValueError, match=rf"mine\.toml.*{path[-1].split('/')[-1]}.*give it in"):
            scenario_from(changed((*path, "unit"), "N"), "mine.toml")


@pytest.mark.parametrize(
    ("path", "value", "reason"),
    [
        (("figure", "shift_s", "value"), 43_200.0, "3 shifts of 12 h are more than a day has"),
        (("figure", "days_per_year", "value"), 400.0, "at most 366"),
        (("region", "romania", "wage_money_per_s", "unit"), "EUR", "it is in EUR; give it in EUR/s"),
        (("region", "romania", "wage_money_per_s", "unit"), "EUR/week", "money is given per one of"),
        (("region", "romania", "wage_money_per_s", "year"), 2024.5, "must be a year from 1900 to 2200"),
        (("material", "epdm", "aliases"), "rubber", "must be a list of texts"),
        (("material", "epdm", "density"), OWN, "no property named 'density'"),
        (("machine", "saw", "smallest"), 2.0, "smallest = 2 is above largest = 1"),
        (("exchange", "EUR", "at"), "", "a rate has a date"),
        (("scenario", "currency"), "dollars", "three capital letters"),
        (("scenario", "year"), 20_240, "must be a year from 1900 to 2200"),
        (("scenario", "learning_frac"), 0, "1 means that nothing is learned"),
        (("process", "spot_welding/spot_s", "value"), -3.0, "must be between 0 and"),
    ],
)
def test_what_cannot_be_is_named_with_its_place(path, value, reason):
    with pytest.raises(ValueError, match=r"mine\.toml") as refused:
        scenario_from(changed(path, value), "mine.toml")
    assert reason in str(refused.value)


def test_a_step_that_loses_every_piece_makes_none():
    losing = OWN | {"value": 1.0, "low": 1.0, "high": 1.0, "unit": "1"}
    tables = packaged() | {"process": {"spot_welding/reject_frac": losing}}
    # first principles: N/(1 - q) starts for N good pieces; at q = 1 there is no such number.
    with pytest.raises(ValueError, match=r"spot_welding/reject_frac.*out of reach"):
        scenario_from(written(tables), "mine.toml")


def test_a_material_without_a_price_is_not_free():
    tables = copy.deepcopy(packaged())
    del tables["material"]["steel sheet, mild"]["price"]
    with pytest.raises(ValueError, match=r"steel sheet, mild.*price missing"):
        scenario_from(written({**tables}), "mine.toml")
