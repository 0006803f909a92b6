"""Jobs beside the pages: once per question, with a count, and with a sentence when they fail."""

import threading

import pytest

from hoistbook.app.work import Line, State


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
