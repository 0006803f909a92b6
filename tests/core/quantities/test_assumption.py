"""Assumptions as records: whose they are, and the sentence that is printed."""

import pytest

from hoistbook.core.energy.defaults import Default
from hoistbook.core.quantities.assumption import AssumptionKind, aside, caution, definition, sentences


@pytest.mark.parametrize(
    ("owners", "sentence"), [((), "dry road"), (("W",), "W: dry road"), (("W", "T"), "W and T: dry road")]
)
def test_a_sentence_says_whose_it_is(owners, sentence):
    # common practice: the form in which pages have printed assumptions since the first release.
    assert definition("dry road", *owners).sentence == sentence
    assert definition("dry road").of(*owners).sentence == sentence


def test_kinds_are_told_apart_and_order_is_kept():
    found = (caution("few parts listed"), aside("kept aside"), definition("dry road"))
    assert [one.kind.value for one in found] == ["caution", "aside", "definition"]
    assert sentences(found) == ("few parts listed", "kept aside", "dry road")


def test_a_default_carries_value_band_and_source():
    default = Default("accessory_power_w", 250.0, "W", 100.0, "rectangular", "common practice", "150-350 W")
    found = default.assumption("W/one")
    assert (found.kind, found.field) == (AssumptionKind.DEFAULT, "accessory_power_w")
    # first principles: limits 150 and 350 W are 250 ± 100 W, whatever the shape between them.
    assert (found.value.value, found.value.unit, found.half_width) == (250.0, "W", 100.0)
    assert (found.mark, found.source) == ("common practice", "150-350 W")
    assert found.text == "accessory power = 250 ± 100 W (common practice: 150-350 W)"
