"""Figures of the record in words."""

import re

import pytest

from hoistbook.core.quantities.quantity import Quantity
from hoistbook.core.quantities.source import Source
from hoistbook.core.vehicle.kinds import QUANTITY_KINDS
from hoistbook.services.wording import figure_words

RAW = re.compile(r"[a-z)][23]|[A-Za-z]\.[A-Za-z]|ohm")
"""A power, a product or a resistance as it is typed, not as it is printed (ISO 80000-1: m², N·m, Ω; from memory)."""


@pytest.mark.parametrize("key", sorted(QUANTITY_KINDS))
@pytest.mark.parametrize("keyed", [True, False])
def test_units_of_figures_are_set_as_in_print(key, keyed):
    value = Quantity(0.5, QUANTITY_KINDS[key].unit, ((Source("scale"), 0.01),))
    words = figure_words(value, key if keyed else "")
    assert not RAW.search(words), words


def test_an_area_keeps_figure_and_band():
    # first principles: a normal error of standard uncertainty 0.01 m² has the 95 % band ±0.0196 m², printed ±0.020.
    value = Quantity(0.5, "m2", ((Source("tape"), 0.01),))
    assert re.sub(r"\s", " ", figure_words(value, "drag_area")) == "0.500 ± 0.020 m²"
