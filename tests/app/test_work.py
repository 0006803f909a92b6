"""Jobs beside the pages: once per question, with a count, and with a sentence when they fail."""

import threading

import pytest
from django.db import OperationalError

from hoistbook.app.work import Job, Line, State
from hoistbook.services.keeping import MovedOn
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


@pytest.mark.parametrize(("done", "total", "step"), [(0, 4, 1), (3, 4, 4), (4, 4, 4), (0, 0, 0)])
def test_a_step_is_never_beyond_the_last(done, total, step):
    # first principles: of four steps none is the fifth, also in the moment between the last one and the end.
    assert Job("1", "a sum", done=done, total=total).step == step


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


def started(line, name="first", **more):
    """A job that runs until it is told to go on, and then takes two more steps."""
    begun, go, steps = threading.Event(), threading.Event(), []

    def work(told):
        for step in range(3):
            told(step, 3, "a step")
            steps.append(step)
            begun.set()
            assert go.wait(10)

    job = line.ask(name, name, work, **more)
    assert begun.wait(10)
    return job, go, steps


def test_a_later_question_of_the_same_subject_takes_the_place_of_those_before(line):
    running, go, steps = started(line, "mass of W at 1", subject="mass of W")
    waiting = line.ask("mass of W at 2", "mass", lambda told: steps.append("older"), "mass of W")
    other = line.ask("mass of T at 1", "mass", lambda told: None, "mass of T")
    last = line.ask("mass of W at 3", "mass", lambda told: None, "mass of W")
    assert (running.state, waiting.state) == (State.DROPPED, State.DROPPED)
    go.set()
    for job in (other, last):
        assert job.finished.wait(10)
        assert job.state is State.DONE
    # first principles: the running one ends at its next step, the waiting one never began.
    assert steps == [0]
    # Whoever still asks for the older state, since the record went back to it, has it worked out.
    again = line.ask("mass of W at 2", "mass", lambda told: steps.append("again"), "mass of W")
    assert again.finished.wait(10)
    assert (again.state, steps) == (State.DONE, [0, "again"])


def test_asking_again_drops_nothing(line):
    running, go, steps = started(line, "k", subject="s")
    assert line.ask("k", "k", lambda told: None, "s") is running
    go.set()
    assert running.finished.wait(10)
    assert (running.state, steps) == (State.DONE, [0, 1, 2])


def test_what_nobody_looks_for_gives_way_to_what_somebody_does(line):
    running, go, _ = started(line)
    made = {name: line.ask(name, name, lambda told: None) for name in ("left", "watched", "last")}
    made["left"].looked_s -= 10_000.0  # of a page that was closed long ago
    line.find(made["watched"].id)
    go.set()
    for job in made.values():
        assert job.finished.wait(10)
    assert [job.state for job in made.values()] == [State.DROPPED, State.DONE, State.DONE]
    assert running.state is State.DONE


def test_the_only_thing_to_do_is_done_though_nobody_looks(line):
    _, go, _ = started(line)
    only = line.ask("only", "only", lambda told: None)
    only.looked_s -= 10_000.0
    go.set()
    assert only.finished.wait(10)
    assert only.state is State.DONE


def test_a_record_that_moved_on_is_nobodys_fault(line):
    def overtaken(told):
        msg = "the study was frozen meanwhile"
        raise MovedOn(msg)

    job = line.ask("k", "gap", overtaken)
    assert job.finished.wait(10)
    # first principles: nothing is there to correct, and the page of today asks another question.
    assert (job.state, job.why) == (State.DROPPED, "")


def test_memory_that_ran_out_may_be_there_the_next_time(line):
    runs = []

    def hungry(told):
        runs.append(1)
        if len(runs) == 1:
            raise MemoryError

    job = line.ask("k", "gap", hungry)
    assert job.finished.wait(10)
    assert "not enough memory" in job.why
    assert "workbook" not in job.advice
    again = line.ask("k", "gap", hungry)
    assert again.finished.wait(10)
    assert again.state is State.DONE


def test_a_dropped_job_sends_its_page_to_ask_anew_and_an_unknown_one_is_not_there(client):
    from hoistbook.app.work import LINE

    running, go, _ = started(LINE, "a", subject="s")
    LINE.ask("b", "b", lambda told: None, "s")
    for name in (running.id, "forgotten"):
        answer = client.get(f"/jobs/{name}/", headers={"HX-Request": "true"})
        assert (answer.status_code, answer.headers["HX-Refresh"]) == (200, "true")
    assert client.get("/jobs/forgotten/").status_code == 404
    go.set()
