"""A store that cannot be written: pages work out what they lack, show it, and say that it is not kept."""

import pytest

from app.gap_store import fill
from hoistbook.services import claim_states, keeping
from hoistbook.services.pages import book, gap
from hoistbook.store.problems import Busy, StoreRefused

PAGES = (
    "/",
    "/vehicles/A/mass/",
    "/vehicles/A/parts/",
    "/studies/two/",
    "/studies/two/gap/",
    "/studies/two/claims/",
)


def closed(*_given, **_more):
    msg = "store: the store cannot be written (attempt to write a readonly database)"
    raise StoreRefused(msg)


@pytest.fixture
def filled(record, tmp_path):
    fill(record, tmp_path)
    forget()
    yield record
    forget()


def forget():
    """As after a start of the program."""
    book.forget()
    gap.forget()
    keeping._unkept.clear()
    keeping._refused.clear()


@pytest.fixture
def read_only(filled, monkeypatch):
    monkeypatch.setattr(keeping.keeping, "keep", closed)
    monkeypatch.setattr(claim_states, "writing", closed)
    return filled


@pytest.mark.parametrize("page", PAGES)
def test_every_page_is_worked_out_and_says_that_it_is_not_kept(read_only, ask, page):
    answer = ask(page)
    words = answer.content.decode()
    assert answer.status_code == 200
    assert "could not be worked out" not in words
    assert "is being worked out" not in words
    assert "What is worked out is not kept." in words
    assert "attempt to write a readonly database" in words


def test_the_figures_are_those_of_a_store_that_can_be_written(filled, ask, monkeypatch):
    with monkeypatch.context() as closing:
        closing.setattr(keeping.keeping, "keep", closed)
        shown = ask("/vehicles/A/mass/").content.decode()
    forget()
    kept = ask("/vehicles/A/mass/").content.decode()
    # first principles: keeping changes no figure; the note is all that parts the two, and the token of the form.
    start = shown.index('<div class="waiting"')
    note = shown[start : shown.index("</div>", start) + len("</div>")]
    assert "not kept" in note
    assert without_token(shown.replace(note, "")) == without_token(kept)


def without_token(words):
    start = words.index('name="csrfmiddlewaretoken"')
    return words[:start] + words[words.index(">", start) :]


@pytest.mark.parametrize("error", [StoreRefused("full."), Busy("somebody else is writing.")])
def test_what_could_not_be_kept_is_kept_once_the_store_can_be_written(filled, monkeypatch, error):
    inputs = [{"subject": "x", "number": number} for number in range(3)]

    def refuse(*_given):
        raise error

    with monkeypatch.context() as closing:
        closing.setattr(keeping.keeping, "keep", refuse)
        for one in inputs[:2]:
            assert keeping.kept_or_worked_out(filled, "note", one, lambda one=one: {"is": one}) == {"is": one}
        assert keeping.not_kept(filled) == str(error)
        # It is not worked out again.
        found = keeping.kept_or_worked_out(filled, "note", inputs[0], lambda: pytest.fail("worked out twice"))
        assert found == {"is": inputs[0]}
    keeping.kept_or_worked_out(filled, "note", inputs[2], lambda: {"is": inputs[2]})
    assert keeping.not_kept(filled) == ""
    forget()
    for one in inputs:
        assert keeping.kept_value(filled, "note", one) == {"is": one}


def test_no_more_is_held_than_was_said(filled, monkeypatch):
    monkeypatch.setattr(keeping.keeping, "keep", closed)
    monkeypatch.setattr(keeping, "_MOST_UNKEPT", 3)
    for number in range(5):
        keeping.keep_or_hold(filled, "note", {"number": number}, {}, 0.0)
    assert [keeping.kept_value(filled, "note", {"number": n}) for n in range(5)] == [None, None, {}, {}, {}]
