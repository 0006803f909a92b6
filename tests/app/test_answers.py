"""The answer of a study on its page and on the first page: from what was kept, and nothing is worked out for it."""

import re

import pytest

from app.gap_store import fill, load_vehicle
from app.study_store import load
from app.test_gap_page import asked, plain
from hoistbook.services.pages.answers import NOT_FROZEN, NOT_YET, study_answers
from hoistbook.services.pages.gap import page_of, work_out

ADDRESSES = ("/", "/studies/two/")


@pytest.fixture
def filled(record, tmp_path):
    fill(record, tmp_path)
    return record


def test_it_is_the_sentence_of_the_gap_page(filled, client):
    for address in ADDRESSES:
        told = plain(client.get(address).content.decode())
        assert NOT_YET in told.lower()
        assert "/studies/two/gap/" in client.get(address).content.decode()
    work_out(filled, asked(filled))
    sentence = plain(page_of(filled, asked(filled))["sides"]["normalised"]["answer"])
    # first principles: the ranges typed in are 350 ± 4 and 335 ± 4 km, 15 km less far ± 4 √2 km; the tow bar's 21 kg
    # give back a little of it.
    found = re.fullmatch(
        r"With unlike content set equal, Beta goes (\d+\.\d) ± (\d+\.\d) km less far than Alpha.*", sentence
    )
    assert 11.0 < float(found[1]) < 15.5
    assert 4.5 < float(found[2]) < 7.5
    for address in ADDRESSES:
        told = plain(client.get(address).content.decode())
        assert sentence in told
        assert NOT_YET not in told.lower()


def test_nothing_is_worked_out_for_it(filled, client):
    for address in ADDRESSES:
        client.get(address)
    assert page_of(filled, asked(filled)) is None


def test_an_answer_of_another_state_is_not_shown(filled, client, tmp_path):
    work_out(filled, asked(filled))
    load_vehicle(filled, tmp_path, "B", "Beta", 1, 3.0, "Ruben", range=300.0)
    # first principles: the range typed in is another one, so the sentence worked out before is of another vehicle.
    assert [(one.to, one.words, one.why) for one in study_answers(filled, "two")] == [("B", "", NOT_YET)]


def test_a_draft_says_why_there_is_none(record, tmp_path, client):
    for place, code in enumerate("AB"):
        load_vehicle(record, tmp_path, code, code, place, 2.5)
    load(record, tmp_path)
    assert [one.why for one in study_answers(record, "two")] == [NOT_FROZEN]
    for address in ADDRESSES:
        assert NOT_FROZEN in plain(client.get(address).content.decode()).lower()
