"""Figures by name: band of a lopsided triangle, replacements, money on one basis."""

import numpy as np
import pytest

from hoistbook.core.cost.drawn import SharedDraws
from hoistbook.core.cost.figure import Figure
from hoistbook.core.cost.figure_set import FigureSet, figure_assumption, figure_quantity, si_unit
from hoistbook.core.cost.money import MoneyBasis, same_basis
from hoistbook.core.quantities.evaluation import exact
from hoistbook.core.quantities.quantity import Origin


def figure(name="wage_money_per_s", unit="money/s", value=0.01, low=0.005, high=0.02, **more):
    money = {"currency": "EUR", "year": 2024} if unit.startswith("money") else {}
    return Figure(name, "wage", unit, value, low, high, "common practice", "none", **{**money, **more})


def test_band_is_that_of_the_draws():
    found = figure_quantity(figure())
    # first principles: one standard uncertainty for what is drawn and for what is propagated.
    drawn = SharedDraws(200_000, 1).figure("wage", figure())[0, 1:]
    assert found.standard_uncertainty == pytest.approx(float(drawn.std()), rel=0.01)
    even = figure_quantity(figure(low=0.005, high=0.015))
    # computed: 200,000 draws of the usual triangle know a spread to 0.2 %, so 1 %.
    triangle = np.random.default_rng(1).triangular(0.005, 0.01, 0.015, 200_000)
    assert even.standard_uncertainty == pytest.approx(float(triangle.std()), rel=0.01)
    assert found.unit == "1/s"
    assert found.origin is Origin.ASSUMED


def test_an_exact_figure_has_no_band():
    found = figure_quantity(figure(low=0.01, high=0.01))
    assert found.terms == ()


def test_units_of_money_are_numbers():
    assert [si_unit(text) for text in ("money", "money/kg", "kg", "1", "m/s")] == [
        "1",
        "1/kg",
        "kg",
        "1",
        "m/s",
    ]


def test_what_is_stated_is_no_longer_assumed():
    figures = FigureSet({"a_s": figure("a_s", "s", 2.0, 1.0, 3.0), "b_s": figure("b_s", "s", 2.0, 1.0, 3.0)})
    stated = figures.stating(a_s=exact(5.0, "s"))
    assert stated["a_s"].value == 5.0
    assert figures["a_s"].value == 2.0
    assert [a.field for a in stated.assumed()] == ["b_s"]
    assert stated.asked == {"a_s"}
    assert list(stated) == ["a_s", "b_s"]
    assert len(stated) == 2


def test_an_assumption_prints_limits_mark_and_money():
    text = figure_assumption(figure()).text
    assert text == "wage = 0.01 (0.005 to 0.02) EUR/s of 2024 (common practice: none)"


def test_money_stands_on_one_basis():
    mixed = {"a": figure("a"), "b": figure("b", year=2020)}
    with pytest.raises(ValueError, match="EUR of 2020 and EUR of 2024"):
        FigureSet(mixed)
    assert FigureSet({"a": figure("a")}).basis == MoneyBasis("EUR", 2024)
    with pytest.raises(ValueError, match="no amount of money"):
        _ = FigureSet({"a_s": figure("a_s", "s")}).basis
    assert same_basis(MoneyBasis("EUR", 2024), MoneyBasis("EUR", 2024), "sums") == MoneyBasis("EUR", 2024)
    with pytest.raises(ValueError, match="convert one of them first"):
        same_basis(MoneyBasis("EUR", 2024), MoneyBasis("EUR", 2020), "sums")
    with pytest.raises(ValueError, match="three capital letters"):
        MoneyBasis("euro", 2024)
    with pytest.raises(ValueError, match="price year = 24"):
        MoneyBasis("EUR", 24)


def test_unknown_names_and_units_are_refused():
    figures = FigureSet({"a_s": figure("a_s", "s")})
    with pytest.raises(KeyError, match="known: a_s"):
        _ = figures["b"]
    with pytest.raises(ValueError, match="give it in s"):
        figures.stating(a_s=exact(1.0, "kg"))
