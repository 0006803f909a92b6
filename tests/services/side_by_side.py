"""Programs that work on one store at the same time, each in a process of its own."""

from __future__ import annotations

import multiprocessing
import sqlite3
import traceback
from contextlib import contextmanager
from functools import partial

from hoistbook.core.quantities.quantity import Origin, Quantity, Source
from hoistbook.core.vehicle.records import Fact

# A server that has everything imported once and then forks for each program.
_context = multiprocessing.get_context("forkserver")
_context.set_forkserver_preload(
    ["services.side_by_side", "hoistbook.services.load", "hoistbook.services.trials"]
)


def area(value):
    return Fact(
        "delivered", "drag_area", Quantity(value, "m2", ((Source(f"test {value}"), 0.01),), Origin.MEASURED)
    )


def load(record, path):
    from hoistbook.services.load import load

    return load(record, path, f"who has {path.stem}").counts.as_json()


def retire(record, code):
    from hoistbook.services.record import retire_vanished

    return len(retire_vanished(record, code, None, "who retires"))


def enter(record, code, names):
    from hoistbook.services.record import enter_facts

    return [enter_facts(record, code, [area(float(n))], f"test {n}", "who tests").added for n in names]


def read_on(record, code, stop, turn):
    """Read a vehicle over and over, saying so each time; return the states of its readings, each once."""
    from hoistbook.services import vehicles

    seen = []
    while not stop.is_set():
        vehicles._HELD.forget()
        found = [(m.id, m.value.value) for m in vehicles.teardown(record, code).measurements]
        if found not in seen:
            seen.append(found)
        turn.release()
    return seen


def _program(act, folder, url, ready, go, trying, wait_s, answer):
    from hoistbook.services import record as module
    from hoistbook.store.place import close_store, open_store

    try:
        if go is not None:
            plain = module.writing

            def when_told(*given, **more):
                ready.release()
                go.wait(60)
                trying.release()
                return plain(*given, **more, wait_s=wait_s)

            module.writing = when_told
        said = act(open_store(folder, create=True, url=url))
        close_store()
        answer.send(("done", said))
    except ValueError as error:
        answer.send((type(error).__name__, str(error)))
    except BaseException:
        answer.send(("failed", traceback.format_exc()))


class Programs:
    """Start programs, let those that write begin at the same moment, gather what they say."""

    def __init__(self, folder, url, *, together=True, wait_s=30.0):
        self.folder, self.url, self.wait_s = folder, url, wait_s
        self.ready = _context.Semaphore(0)
        self.go = _context.Event() if together else None
        self.trying = _context.Semaphore(0)
        self.ends, self.running = [], []

    def start(self, act, *given):
        here, there = _context.Pipe(duplex=False)
        program = _context.Process(
            target=_program,
            args=(
                partial(act_on, act, given),
                self.folder,
                self.url,
                self.ready,
                self.go,
                self.trying,
                self.wait_s,
                there,
            ),
        )
        program.start()
        there.close()
        self.ends.append(here)
        self.running.append(program)
        return self

    def all_ready(self, count):
        for _ in range(count):
            assert self.ready.acquire(timeout=60)

    def all_trying(self, count):
        """Wait until so many have nothing left to do before they write."""
        for _ in range(count):
            assert self.trying.acquire(timeout=60)

    def answers(self):
        found = [end.recv() if end.poll(120) else ("silent", "") for end in self.ends]
        for program in self.running:
            program.join(60)
        return found


def act_on(act, given, record):
    return act(record, *given)


def event():
    return _context.Event()


def semaphore():
    return _context.Semaphore(0)


@contextmanager
def written_into(folder, url):
    """Somebody else is in the middle of writing."""
    if not url:
        other = sqlite3.connect(folder / "hoistbook.sqlite3", isolation_level=None)
        other.execute("BEGIN IMMEDIATE")
    else:
        import psycopg

        from hoistbook.store.place import LOCK

        other = psycopg.connect(url)
        other.execute("SELECT pg_advisory_xact_lock(%s)", [LOCK])
    try:
        yield
    finally:
        if url:
            other.rollback()
        else:
            other.execute("ROLLBACK")
        other.close()
