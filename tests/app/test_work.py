"""Jobs beside the pages: once per question, with a count, and with a sentence when they fail."""

import threading

import pytest
from django.db import OperationalError

from hoistbook.app.work import Line, State
from hoistbook.store.problems import Busy


@pytest.fixture
def line():
    made = Line()
    yield made
    made.stop()


def test_the_same_question_is_worked_out_once(line):
    begin, runs = threading.Event(), []

    def work(told):
        begin.wait(10)
        runs.append(1)

    first = line.ask("mass of W", "mass of W", work)
    assert line.ask("mass of W", "mass of W", work) is first
    other = line.ask("mass of T", "mass of T", work)
    assert other is not first
    begin.set()
    assert first.finished.wait(10)
    assert other.finished.wait(10)
    assert len(runs) == 2
    assert line.find(first.id) is first
    assert line.find("unknown") is None


def test_progress_is_a_count_and_words(line):
    seen, go = threading.Event(), threading.Event()

    def work(told):
        told(2, 5, "weighing")
        seen.set()
        go.wait(10)

    job = line.ask("k", "mass", work)
    assert seen.wait(10)
    assert (job.state, job.done, job.total, job.words) == (State.RUNNING, 2, 5, "weighing")
    go.set()
    assert job.finished.wait(10)
    assert (job.state, job.open) == (State.DONE, False)


def test_a_refusal_is_the_readers_and_a_slip_is_not(line):
    def refuse(told):
        msg = "part A1 hangs in a ring; correct it."
        raise ValueError(msg)

    def slip(told):
        raise TypeError("internal")

    refused, slipped = line.ask("a", "a", refuse), line.ask("b", "b", slip)
    assert refused.finished.wait(10)
    assert slipped.finished.wait(10)
    assert (refused.state, refused.why) == (State.FAILED, "part A1 hangs in a ring; correct it.")
    assert slipped.state is State.FAILED
    assert "internal" not in slipped.why
    assert line.ask("a", "a", refuse) is refused  # asking again does not help before something is mended


@pytest.mark.parametrize(
    "error", [Busy("somebody else is writing into this store."), OperationalError("gone")]
)
def test_what_failed_for_the_store_is_tried_again_when_it_is_asked_for_again(line, error):
    runs = []

    def work(told):
        runs.append(1)
        if len(runs) == 1:
            raise error

    first = line.ask("k", "mass", work)
    assert first.finished.wait(10)
    # first principles: another writer ends, a server comes back; neither changes what the result is worked out from.
    assert (first.state, "workbook" in first.advice) == (State.FAILED, False)
    second = line.ask("k", "mass", work)
    assert second.finished.wait(10)
    assert (second.state, second.why) == (State.DONE, "")


def test_a_result_that_is_not_kept_is_not_worked_out_for_ever(line):
    runs = []
    # A page that finds no result asks again whenever a job is done: first principles, nothing else would end it.
    for _ in range(10):
        job = line.ask("k", "mass", lambda told: runs.append(1))
        assert job.finished.wait(10)
        if job.why:
            break
    assert "did not keep it" in job.why
    assert len(runs) == 2
    once_more = line.ask("k", "mass", lambda told: runs.append(1))
    assert once_more.finished.wait(10)
    assert (once_more.state, len(runs)) == (State.DONE, 3)


def test_stopping_drops_what_waits_and_says_so():
    line = Line()
    begun, go = threading.Event(), threading.Event()

    def work(told):
        begun.set()
        go.wait(10)

    running = line.ask("a", "a", work)
    waiting = line.ask("b", "b", work)
    assert begun.wait(10)
    stopper = threading.Thread(target=line.stop)
    stopper.start()
    assert waiting.finished.wait(10)
    go.set()
    stopper.join(10)
    assert running.state is State.DONE
    assert (waiting.state, "ended" in waiting.why) == (State.FAILED, True)
    again = line.ask("c", "c", lambda told: None)
    assert again.finished.wait(10)
    line.stop()


def test_what_keeps_failing_for_the_store_rests_before_it_is_tried_again(line, monkeypatch):
    runs = []

    def work(told):
        runs.append(1)
        raise Busy("somebody else is writing into this store.")

    # A list of vehicles asks every two seconds as long as a job is open.
    for _ in range(10):
        job = line.ask("k", "mass", work)
        assert job.finished.wait(10)
    # first principles: each try takes the processors for seconds, and a full disk stays full for a while.
    assert len(runs) == 2
    monkeypatch.setattr("hoistbook.app.work.PAUSE_S", 0.0)
    assert line.ask("k", "mass", work).finished.wait(10)
    assert len(runs) == 3


def test_work_that_is_due_again_much_later_is_no_result_that_was_lost(line, monkeypatch):
    monkeypatch.setattr("hoistbook.app.work.PAUSE_S", 0.0)
    # A study that goes back to what it said before has its claims written down anew, under the same key.
    for _ in range(4):
        job = line.ask("k", "claims", lambda told: None)
        assert job.finished.wait(10)
        # first principles: what is asked an hour apart was each time kept in between.
        assert (job.state, job.why) == (State.DONE, "")
