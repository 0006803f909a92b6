"""The page of a scenario: every figure with its limits and source, what nobody has looked at, the hour of a machine."""

import re
from dataclasses import replace
from types import MappingProxyType

import pytest

from hoistbook.core.cost.drawn import SharedDraws
from hoistbook.core.cost.figure import MARKS
from hoistbook.core.cost.machine_rate import RATE_PARTS, machine_rate
from hoistbook.reference.cost import packaged_scenario
from hoistbook.services.pages import scenario as pages

CODE = packaged_scenario().code
ADDRESS = f"/scenarios/{CODE}/"
PRESS = "mechanical press"


def text_of(answer):
    """The words of a page without its marks."""
    return re.sub(r"\s+", " ", re.sub(r"<[^>]+>", " ", answer.content.decode()))


@pytest.fixture
def reviewed(monkeypatch):
    """The packaged scenario with one wage reviewed by somebody."""
    whole = packaged_scenario()
    region = whole.regions[whole.region]
    wage = replace(region.figures["wage_money_per_s"], reviewed="Ines, 2026-11-20")
    figures = MappingProxyType({**region.figures, wage.name: wage})
    regions = MappingProxyType({**whole.regions, whole.region: replace(region, figures=figures)})
    monkeypatch.setattr(pages, "packaged_scenario", lambda: replace(whole, regions=regions))
    for kept in (pages.scenario_page, pages.never_of_all):
        kept.cache_clear()
    yield wage
    for kept in (pages.scenario_page, pages.never_of_all):
        kept.cache_clear()


def test_every_figure_is_counted_once():
    page = pages.scenario_page(CODE)
    rows = [one for entry in page.entries for one in entry.figures]
    # first principles: each figure has one mark and is reviewed or not.
    assert page.figures == len(rows) == sum(sum(one.marks[mark] for mark in MARKS) for one in page.counts)
    assert page.never == sum(not one.reviewed for one in rows)
    assert pages.never_of_all(CODE) == (page.never, page.figures)
    # first principles: four figures per region and per class of machines.
    counts = {one.group: one for one in page.counts}
    assert counts["region"].figures == 4 * len(page.scenario.regions)
    assert counts["machine"].figures == 4 * len(page.scenario.machines)


def test_what_was_never_reviewed_stands_out(client, reviewed):
    whole = text_of(client.get(ADDRESS))
    page = pages.scenario_page(CODE)
    assert page.never == page.figures - 1
    left = f"{page.never:,}".replace(",", " ")
    of_all = f"{page.figures:,}".replace(",", " ")
    assert f"{left} of {of_all} figures were never reviewed." in whole
    assert "Ines, 2026-11-20" in whole
    only = text_of(client.get(f"{ADDRESS}?show=reviewed"))
    assert "Ines, 2026-11-20" in only
    assert " never " not in only.partition("Regions")[2].partition("Suppliers")[0].replace(
        "never reviewed", ""
    )
    never = text_of(client.get(f"{ADDRESS}?show=never"))
    assert "Ines" not in never
    assert f"{left} of {of_all} figures never reviewed" in text_of(client.get("/"))


def test_figures_are_read_in_the_units_of_the_trade():
    wage = next(
        one
        for entry in pages.scenario_page(CODE).of("region")
        for one in entry.figures
        if one.figure.name == "wage_money_per_s"
    )
    # first principles: 3,600 s make an hour.
    assert wage.value == pytest.approx(3600.0 * wage.figure.value)
    assert wage.unit == f"{wage.figure.currency}/h"


def test_the_hour_of_a_machine_is_what_it_is_built_from(client):
    scenario = packaged_scenario()
    machine, region = scenario.machines[PRESS], scenario.regions[scenario.region]

    def of(name):
        return scenario.money(scenario.figures[name]).value

    rate = machine_rate(scenario, PRESS, SharedDraws(100, 1))
    hours = of("days_per_year") * of("shift_count") * of("shift_s") / 3600.0
    hours *= of("availability_frac") * of("performance_frac")
    price = scenario.money(machine.investment).value
    # published: capital recovery i (1+i)^n/((1+i)^n - 1), sinking fund i/((1+i)^n - 1) (Blank & Tarquin, second hand).
    i, n = scenario.interest_frac, scenario.machine_years
    grown = (1.0 + i) ** n
    capital = price * (1.0 + of("install_frac")) * i * grown / (grown - 1.0)
    capital -= price * of("residual_frac") * i / (grown - 1.0)
    floor = scenario.money(machine.area_m2).value * scenario.money(region.figures["floor_money_per_m2"]).value
    expected = {
        "capital": capital / hours,
        "maintenance": of("maintenance_frac") * price / hours,
        "insurance": of("insurance_frac") * price / hours,
        "floor": floor / hours,
        "energy": machine.power_w.value * 3600.0 * scenario.money(region.figures["energy_money_per_j"]).value,
        "other": 3600.0 * scenario.money(machine.consumables).value,
    }
    assert {name: one.value for name, one in rate.parts.items()} == pytest.approx(expected)
    # first principles: the parts are the whole.
    assert sum(one.value for one in rate.parts.values()) == pytest.approx(rate.whole.value)
    assert rate.whole.low < rate.whole.value < rate.whole.high
    shown = text_of(client.get(ADDRESS))
    assert all(f" {name} " in shown for name in RATE_PARTS)
    assert f"{rate.parts['capital'].value:.1f}" in shown


def test_a_larger_machine_costs_more_and_a_cheaper_floor_less():
    scenario, shared = packaged_scenario(), SharedDraws(10, 1)
    machine = scenario.machines[PRESS]
    large = machine_rate(scenario, PRESS, shared, size=2.0 * machine.reference_size)
    small = machine_rate(scenario, PRESS, shared)
    # published: cost grows with size to a power (0.6 rule and its kin, second hand); the exponent is the scenario's.
    assert large.parts["capital"].value == pytest.approx(
        small.parts["capital"].value * 2.0**machine.investment_exponent
    )
    for wrong in ({"code": "loom"}, {"code": PRESS, "region": "nowhere"}):
        with pytest.raises(LookupError, match=wrong.get("region", wrong["code"])):
            machine_rate(scenario, **wrong, shared=shared)


def test_one_process_is_opened_by_its_name(client):
    answer = client.get(f"{ADDRESS}?process=sheet_stamping")
    assert answer.status_code == 200
    assert "Figures of the process" in text_of(answer)
    for asked, said in (
        ("process=loom", "loom"),
        ("show=%3Cscript%3E", "never or reviewed"),
        ("process=%3Cscript%3E", "no process"),
    ):
        answer = client.get(f"{ADDRESS}?{asked}")
        assert answer.status_code == 404
        assert said in text_of(answer)
        assert "<script>" not in answer.content.decode()
    assert client.get("/scenarios/none/").status_code == 404
