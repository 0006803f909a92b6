"""Values held in memory: the ones asked for last stay, and nothing is held that is not there."""

from collections import OrderedDict

from hypothesis import given
from hypothesis import strategies as st

from hoistbook.services.held import Held


@given(most=st.integers(1, 4), asked=st.lists(st.integers(0, 6), max_size=40))
def test_the_last_ones_asked_for_stay(most, asked):
    held, made = Held(most), []
    # first principles: the keys asked for last, in order, written down beside.
    expected, wanted = OrderedDict(), []
    for key in asked:
        assert held.get(key, lambda key=key: made.append(key) or f"value {key}") == f"value {key}"
        if key not in expected:
            wanted.append(key)
        expected[key] = None
        expected.move_to_end(key)
        while len(expected) > most:
            expected.popitem(last=False)
    assert made == wanted


def test_what_is_not_there_is_asked_for_again():
    held, answers = Held(2), iter([None, "there"])
    assert held.get("k", lambda: next(answers)) is None
    assert held.get("k", lambda: next(answers)) == "there"
    assert held.get("k", lambda: next(answers)) == "there"
    held.forget()
    assert held.get("k", lambda: "new") == "new"
