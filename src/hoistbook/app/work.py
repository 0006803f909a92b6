"""Long work beside the pages: one line of jobs, progress as a count, results kept by the services.

A page that lacks a result asks for it here and answers at once; the browser asks how far it is every second. Jobs run
one after another, since they are arithmetic and share the processors with whoever turns pages meanwhile.
"""

from __future__ import annotations

import logging
import threading
import time
from collections import OrderedDict
from collections.abc import Callable
from dataclasses import dataclass, field
from enum import StrEnum
from hashlib import sha256
from queue import SimpleQueue

from django.db import DatabaseError, connections

from hoistbook.services.keeping import MovedOn
from hoistbook.store.problems import StoreRefused

Progress = Callable[[int, int, str], None]
Work = Callable[[Progress], object]
_log = logging.getLogger("hoistbook.app")
_REMEMBERED = 200
"""Finished jobs that are still known, so that a page left open hears how its job ended."""
PAUSE_S = 30.0
"""project rule: how long work rests that failed for the store twice in a row, and how long a job that is done counts as
done just now. A list that asks every two seconds would else have it worked out over and over while a disk is full."""
UNLOOKED_S = 180.0
"""project rule: how long a job waits in line though nobody asks how far it is. A page asks every second or two, one in
the background once a minute."""
MEND = "Correct the workbook and load it again."
REPORT = "That is a fault of the program; please report it with the address of this page."
AGAIN = "Open the page again in a moment; it is then tried once more."


class State(StrEnum):
    """Where a job is."""

    WAITING = "waiting"
    RUNNING = "running"
    DONE = "done"
    FAILED = "failed"
    DROPPED = "dropped"
    """Nobody waits for it any more: a later question took its place, or nobody looked. Whoever does may ask again."""


@dataclass(slots=True)
class Job:
    """One piece of work. `done` of `total` steps, `words` say which; `why` says why it failed, `advice` what to do.

    `subject` is what it answers, whatever the state of the record: of two jobs of one subject only the later matters.
    `again` tells the second try: at a result that was worked out and then not found in the store, or at work that
    failed for the store. `ended_s` is when it ended, `looked_s` when somebody last asked for it, by the clock of the
    process.
    """

    id: str
    title: str
    work: Work | None = field(default=None, repr=False)
    subject: str = ""
    state: State = State.WAITING
    done: int = 0
    total: int = 0
    words: str = ""
    why: str = ""
    advice: str = MEND
    again: bool = False
    ended_s: float = 0.0
    looked_s: float = field(default_factory=time.monotonic)
    finished: threading.Event = field(default_factory=threading.Event)

    @property
    def step(self) -> int:
        """The step that is being done, counted from 1; never beyond the last, though that may be reported as done."""
        return min(self.done + 1, self.total)

    @property
    def open(self) -> bool:
        """Whether there is something to wait for."""
        return self.state in (State.WAITING, State.RUNNING)

    @property
    def just_now(self) -> bool:
        """Whether it ended less than `PAUSE_S` ago."""
        return self.state in (State.DONE, State.FAILED) and time.monotonic() - self.ended_s < PAUSE_S


class _Dropped(BaseException):
    """Ends a job that nobody waits for; no reason to fail, so nothing that deals with failures may take it."""


class Line:
    """A line of jobs and the thread that does them. Asking twice for the same work does it once."""

    def __init__(self) -> None:
        self._jobs: OrderedDict[str, Job] = OrderedDict()
        self._queue: SimpleQueue[Job | None] = SimpleQueue()
        self._lock = threading.Lock()
        self._thread: threading.Thread | None = None

    def ask(self, key: str, title: str, work: Work, subject: str = "") -> Job:
        """Return the job of this key, put at the end of the line unless it is there already.

        Parameters
        ----------
        key : str
            What the work is, inputs included: other inputs are other work. A job that failed stays failed under its
            key, since whatever is mended changes the inputs; one that failed for the store is tried again, after a
            second failure not before `PAUSE_S` have passed.
        title : str
            What is being worked out, as a reader is told.
        work : callable
            Called with a function that takes steps done, steps in all and words. It keeps its result itself.
        subject : str
            What it answers, without the state of the record it is answered from. Open jobs of the same subject and
            another key are dropped: a load has overtaken them.
        """
        name = sha256(key.encode()).hexdigest()[:24]
        with self._lock:
            known = self._jobs.get(name)
            if known is not None:
                known.looked_s = time.monotonic()
            for other in self._jobs.values():
                if subject and other.subject == subject and other is not known and other.open:
                    _drop(other)
            # A job that is done is asked for again only when its result could not be kept. Once more may help; after
            # that the reader is told, or the page would be loaded and the work be done over and over.
            if known is not None and known.state is State.DONE and known.again and known.just_now:
                _fail(known, "it was worked out, but the store did not keep it", AGAIN)
                known.again = False
                return known
            if known is not None and known.state not in (State.DONE, State.DROPPED):
                for_good = known.advice is not AGAIN
                if known.open or for_good or (known.again and known.just_now):
                    return known
            job = Job(name, title, work, subject, again=known is not None and known.just_now)
            self._jobs[name] = job
            self._jobs.move_to_end(name)
            self._forget()
            self._queue.put(job)
            if self._thread is None or not self._thread.is_alive():
                # A daemon: leaving the program does not wait for it, and what it had not kept was never there.
                self._thread = threading.Thread(target=self._run, name="hoistbook-work", daemon=True)
                self._thread.start()
        return job

    def find(self, name: str) -> Job | None:
        """Return a job by its id; None when it is not known (any more)."""
        with self._lock:
            job = self._jobs.get(name)
            if job is not None:
                job.looked_s = time.monotonic()
            return job

    def jobs(self) -> tuple[Job, ...]:
        """Every job that is known, in the order they were asked for."""
        with self._lock:
            return tuple(self._jobs.values())

    def stop(self, timeout_s: float = 30.0) -> None:
        """Do what is running, drop what is waiting, and end the thread."""
        with self._lock:
            thread, self._thread = self._thread, None
            while not self._queue.empty():
                taken = self._queue.get()
                if taken is not None:
                    _fail(taken, "hoistbook serve was ended before this was worked out", AGAIN)
            self._queue.put(None)
        if thread is not None:
            thread.join(timeout_s)
        with self._lock:
            self._jobs.clear()
            self._queue = SimpleQueue()

    def _forget(self) -> None:
        for name in [name for name, job in self._jobs.items() if not job.open][:-_REMEMBERED]:
            del self._jobs[name]

    def _run(self) -> None:
        queue = self._queue
        while (job := queue.get()) is not None:
            with self._lock:
                if not queue.empty() and time.monotonic() - job.looked_s > UNLOOKED_S:
                    _drop(job)
                if job.open:
                    job.state = State.RUNNING
            _do(job)


def _do(job: Job) -> None:
    def progress(done: int, total: int, words: str) -> None:
        job.done, job.total, job.words = done, total, words
        if job.state is State.DROPPED:
            raise _Dropped

    work, job.work = job.work, None
    if not job.open or work is None:
        return
    try:
        work(progress)
    except _Dropped:
        _log.info("%s: dropped, a later state of the record is asked for", job.title)
    except MovedOn as error:
        _log.info("%s: %s", job.title, error)
        _drop(job)
    except MemoryError:
        _log.exception("%s: not enough memory", job.title)
        _fail(job, "there was not enough memory to work it out; close other programs", AGAIN)
    except StoreRefused as error:
        _log.warning("%s: %s", job.title, error)
        _fail(job, str(error), AGAIN)
    except DatabaseError:
        _log.exception("%s: the database failed", job.title)
        _fail(job, "the database of this store does not answer; the terminal says more", AGAIN)
    except (ValueError, LookupError) as error:
        # Our own refusals are sentences for the reader; others are faults, and the terminal says more.
        _log.warning("%s: %s", job.title, error, exc_info=not isinstance(error, ValueError))
        _fail(job, str(error.args[0]) if error.args else type(error).__name__, MEND)
    except Exception:
        _log.exception("%s failed", job.title)
        _fail(job, "hoistbook met something it did not expect; the terminal says more", REPORT)
    else:
        if job.open:
            job.ended_s = time.monotonic()
            job.state = State.DONE
            job.finished.set()
    finally:
        connections.close_all()  # a connection belongs to its thread


def _drop(job: Job) -> None:
    job.state = State.DROPPED
    job.finished.set()


def _fail(job: Job, why: str, advice: str) -> None:
    job.why, job.advice, job.ended_s = why, advice, time.monotonic()
    job.state = State.FAILED
    job.finished.set()


LINE = Line()
"""The line of this process."""
