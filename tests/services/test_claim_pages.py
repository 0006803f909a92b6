"""What the page of claims is told: limits on one axis, and readings to be followed."""

import pytest

from hoistbook.core.compare.bars import Interval
from hoistbook.services.pages.claims import Ground, ground, held, state_asked

KG = {"unit": "kg"}


def claim(relation, threshold, *, other="B", is_="absolute", half_width=0.0, quantity="mass", figures=None):
    """A claim whose figures are 10 and 14, 4 apart ± 1, and that must be passed by 0.5."""
    rows = figures or [{"value": 10.0, "low": 9.0, "high": 11.0}, {"value": 14.0, "low": 13.8, "high": 14.2}]
    return {
        "quantity": quantity,
        "relation": relation,
        "other": other,
        "threshold": {"value": threshold, "half_width": half_width, "is": is_, **KG},
        "figures": rows,
        "difference": {"value": -4.0, "low": -5.0, "high": -3.0, **KG},
        "detection_limit": {"value": 0.5, **KG},
    }


@pytest.mark.parametrize(
    ("stated", "limits", "unsure"),
    [
        # first principles: v less than o by 3 is v − o < −3; with a share of a quarter of 14, by 3.5.
        (claim("less than", 3.0), (-3.0,), (-3.5, -3.0)),
        (claim("less than", 0.25, is_="share"), (-3.5,), (-4.0, -3.5)),
        (claim("more than", 3.0), (3.0,), (3.0, 3.5)),
        (claim("about", 2.0), (-2.0, 2.0), (-0.5, 0.5)),
        (claim("about", 0.1, is_="share"), (-1.4, 1.4), (-0.5, 0.5)),
        # An effect is a difference already: its threshold is the figure itself, signed.
        (claim("less than", -3.0, quantity="effect on range"), (-3.0,), (-3.5, -3.0)),
        (claim("more than", -0.5, quantity="effect on range", is_="share"), (-7.0,), (-7.0, -6.5)),
        (claim("about", -3.0, quantity="effect on range", half_width=1.0), (-4.0, -2.0), (-3.5, -2.5)),
    ],
)
def test_limits_of_a_comparison(stated, limits, unsure):
    found = held(stated)
    assert found.value == Interval(-4.0, -5.0, -3.0)
    assert found.limits == pytest.approx(limits)
    assert found.unsure == pytest.approx(unsure)


def test_a_figure_alone_is_drawn_itself():
    found = held(claim("less than", 12.0, other=""))
    # first principles: without another vehicle the threshold is the figure itself.
    assert (found.value, found.limits, found.unsure) == (Interval(10.0, 9.0, 11.0), (12.0,), (11.5, 12.0))
    found = held(claim("about", 12.0, other="", half_width=3.0))
    assert (found.limits, found.unsure) == ((9.0, 15.0), (11.5, 12.5))


def test_nothing_is_drawn_of_a_missing_figure():
    assert held({**claim("less than", 3.0), "difference": None}) is None


def test_readings_are_taken_out_of_their_words():
    assert ground("readings R1") == Ground("readings", ("R1",))
    assert ground("4 lines of the part tree") == Ground("4 lines of the part tree")


def test_a_state_nobody_knows_is_refused():
    assert state_asked("") == ""
    with pytest.raises(LookupError, match="refuted"):
        state_asked("refutd")
