"""The packaged figures of cost, read with a critical eye."""

import pytest

from hoistbook.core.cost.processes import PROCESSES
from hoistbook.reference.cost import packaged_scenario

SCENARIO = packaged_scenario()
# published: USGS Mineral Commodity Summaries 2024: primary aluminium 130 cents/lb and copper 400 cents/lb in 2023
# (estimated), at 0.45359237 kg/lb.
ALUMINIUM, COPPER = 1.30 / 0.45359237, 4.00 / 0.45359237


def figures():
    for process in PROCESSES.values():
        yield from process.figures
    for group in (SCENARIO.materials, SCENARIO.regions, SCENARIO.suppliers):
        for one in group.values():
            yield from one.figures.values()
    for one in SCENARIO.machines.values():
        yield from (one.investment, one.power_w, one.area_m2, one.consumables)
    yield from SCENARIO.figures.values()


@pytest.mark.parametrize(
    ("start", "metal"), [("aluminium", ALUMINIUM), ("copper wire", COPPER)], ids=["aluminium", "copper"]
)
def test_offal_is_never_worth_more_than_the_metal(start, metal):
    found = 0
    for code, one in SCENARIO.materials.items():
        if code.startswith(start) and "powder" not in code:
            price = SCENARIO.money(one.figures["material_price_money_per_kg"]).value
            credit = one.figures["material_scrap_credit_frac"]
            found += 1
            # first principles: who melts it down gets metal for it, less what melting costs.
            assert 0.4 * metal < credit.value * price < metal, code
    assert found >= 1


def test_what_nobody_published_is_not_called_published():
    # first principles: a source that is "none" is no source.
    wrong = [one.name for one in figures() if one.mark == "published" and one.source.startswith("none")]
    assert wrong == []


def test_an_index_with_a_made_up_point_is_not_called_published():
    made_up = [one.code for one in SCENARIO.indices.values() if "set equal" in one.source]
    assert made_up
    assert all(SCENARIO.indices[code].mark == "common practice" for code in made_up)


def test_prices_in_general_are_those_of_consumers():
    # from memory: US BLS, CPI-U, yearly means 255.657 (2019) and 304.702 (2023).
    assert SCENARIO.indices["general"].factor(2019, 2023) == pytest.approx(304.702 / 255.657, rel=2e-3)
