"""Kill programs that write into a store, at random moments, and look at what is left.

    python scripts/kill_loads.py [--count 200] [--seed 1] [--parts 300] [--only load]
        [--url postgresql://user@host:port] [--json]

On SQLite, or with --url on that PostgreSQL server. Four kinds of writing are killed with SIGKILL: a corrected workbook
into a store that holds the vehicle, a first load that also makes the store, a corrected study, a test of the intact
vehicle with its log. Each is started as a fork of a process that has everything imported, so that the moments fall into
the work. Two of three moments are drawn evenly over the time the whole takes, the third from the time of writing and
committing alone.

Afterwards the store must hold exactly what it held before, or exactly what it holds after an undisturbed run: every
column of every table, and the files. It must be sound (`hoistbook.store.soundness`), the same writing must then succeed
with the counts that belong to that state, and what it leads to must be what an undisturbed run leads to.
"""

from __future__ import annotations

import argparse
import json
import mmap
import os
import pickle
import random
import secrets
import shutil
import signal
import statistics
import sys
import tempfile
import time
import traceback
from collections import Counter
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from dataclasses import dataclass, field
from pathlib import Path
from typing import Any

import numpy as np
import openpyxl

from hoistbook.capture.write import write_workbook
from hoistbook.core.quantities.quantity import Origin, Quantity, Source
from hoistbook.core.trials.outcome import Curve, Figure, Outcome
from hoistbook.services import record, study, trials
from hoistbook.services.demo import STUDY_FILE, van_paths
from hoistbook.services.load import load
from hoistbook.store.changes.models import Change
from hoistbook.store.place import CARD, close_store, open_store
from hoistbook.store.problems import StoreRefused
from hoistbook.store.soundness import soundness
from store_picture import Picture, alike, apart, exact

Rows = dict[str, list[dict[str, Any]]]
PHASES = ("start, opening", "reading", "keeping the file", "comparing and writing", "committing", "answered")
START, READ, KEEP, WRITE, COMMIT, DONE = range(6)
PERSON = "A. B."
AIMED_SHARE = 1 / 3
"""Of the kills: those whose moment is drawn from the time of writing and committing alone."""


# What is written ----------------------------------------------------------------------------------------------------


def rows(part_count: int, *, corrected: bool = False) -> Rows:
    """Rows of an invented van. Corrected: one reading in ten another, rows gone, rows new, the parts sorted anew."""
    parts: list[dict[str, Any]] = [{"tag": "V", "name": "van", "kind": "assembly"}]
    readings: list[dict[str, Any]] = []
    last = part_count + (5 if corrected else 0)
    for number in range(6 if corrected else 1, last + 1):
        tag = f"W{number:05d}"
        parts.append(
            {"tag": tag, "parent": "V", "name": f"bracket {number}", "kind": "part", "count": 1 + number % 3}
        )
        grams = 20 + number * 37 % 5000 + (1 if corrected and number % 10 == 0 else 0)
        readings.append(
            {
                "reading": f"R{number:05d}",
                "of": tag,
                "quantity": "mass",
                "value": grams,
                "unit": "g",
                "instrument": "S1",
            }
        )
    if corrected:
        parts[1:] = reversed(parts[1:])
    scale = {
        "instrument": "S1",
        "kind": "bench scale",
        "class": "III",
        "step": 1,
        "capacity": 6000,
        "unit": "g",
    }
    area = {"quantity": "drag area", "value": 1.2, "unit": "m2", "plus or minus": 0.04, "origin": "inferred"}
    return {
        "vehicle": [{"code": "WHI", "name": "Whimbrel"}],
        "configurations": [{"configuration": "delivered"}],
        "facts": [{"configuration": "delivered", **area}],
        "parts": parts,
        "measurements": readings,
        "instruments": [scale],
    }


def corrected_study(source: Path, target: Path) -> None:
    """A study with another question and without its last claim."""
    book = openpyxl.load_workbook(source)
    heads = {cell.value: cell.column for cell in book["study"][1]}
    book["study"].cell(row=2, column=heads["question"]).value = "Why does one van go further than the other?"
    claims = book["claims"]
    last = max(row for row in range(2, claims.max_row + 1) if claims.cell(row=row, column=1).value)
    claims.delete_rows(last)
    book.save(target)


def trial_outcome() -> Outcome:
    """What a test said, with a curve of 2,000 points."""
    area = Quantity(0.71, "m2", ((Source("coast-down 1/drag area"), 0.01),), Origin.MEASURED)
    x = np.linspace(0.0, 1.0, 2000)
    return Outcome(
        "coastdown",
        (Figure("drag_area", "drag area", area, fact="drag_area"),),
        (),
        (),
        (),
        (Curve("speed", "time", "s", "speed", "m/s", x, 30.0 * np.exp(-x)),),
    )


@dataclass
class Kind:
    """One kind of writing that is killed. `before` fills the store it works on, `act` is the writing."""

    name: str
    weight: int
    before: Callable[[Any], None] | None
    act: Callable[[Any], dict[str, Any]]
    base: Place | None = None
    held_before: Picture = field(default_factory=dict)
    held_after: Picture = field(default_factory=dict)
    first: dict[str, Any] = field(default_factory=dict)
    again: dict[str, Any] = field(default_factory=dict)
    whole_s: float = 0.0
    write_s: float = 0.0


def kinds(folder: Path, part_count: int) -> list[Kind]:
    """The four kinds, with their workbooks made."""
    first, corrected, log = folder / "van.xlsx", folder / "corrected.xlsx", folder / "log.csv"
    write_workbook(first, rows(part_count))
    write_workbook(corrected, rows(part_count, corrected=True))
    log.write_text("".join(f"{0.1 * i:.1f};{100 - 0.004 * i:.3f}\n" for i in range(20_000)))
    study_path = next(iter(van_paths().values())).with_name(STUDY_FILE)
    corrected_study(study_path, folder / STUDY_FILE)

    def counts(place: Any, path: Path) -> dict[str, Any]:
        outcome = load(place, path, PERSON)
        return {**outcome.counts.as_json(), "wrote": outcome.change is not None}

    def test(place: Any) -> dict[str, Any]:
        found = trials.record_trial(
            place, "WHI", trial_outcome(), name="coast-down 1", person=PERSON, file=log
        )
        return {"test": found.trial.as_json(), "facts": found.facts.as_json(), "wrote": found.trial.wrote}

    return [
        Kind("corrected workbook", 5, lambda p: void(counts(p, first)), lambda p: counts(p, corrected)),
        Kind("first load", 2, None, lambda p: counts(p, first)),
        Kind(
            "corrected study",
            2,
            lambda p: void(counts(p, study_path)),
            lambda p: counts(p, folder / STUDY_FILE),
        ),
        Kind("test with its log", 1, lambda p: void(counts(p, first)), test),
    ]


def void(_: Any) -> None:
    """Drop an answer."""


# Where it is written ------------------------------------------------------------------------------------------------


@dataclass(frozen=True)
class Place:
    """Folder and database of a store that need not be there yet."""

    folder: Path
    url: str = ""


class Ground:
    """Makes, copies and drops stores, on SQLite or on a PostgreSQL server."""

    def __init__(self, folder: Path, server: str) -> None:
        self.folder, self.server = folder, server.rstrip("/")
        self.number = 0
        self.stem = f"hoistbook_kill_{os.getpid()}_{secrets.token_hex(3)}"
        self.names: set[str] = set()

    def run(self, statement: str, *given: Any) -> list[Any]:
        """Run a statement on the server."""
        import psycopg

        with psycopg.connect(f"{self.server}/postgres", autocommit=True) as connection:
            cursor = connection.execute(statement, given or None)
            return cursor.fetchall() if cursor.description else []

    def copy(self, base: Place | None = None) -> Place:
        """Copy a store, or make room for a new one."""
        self.number += 1
        folder, url = self.folder / f"store-{self.number}", ""
        if base is not None:
            shutil.copytree(base.folder, folder)
        if self.server:
            name = f"{self.stem}_{self.number}"
            template = base.url.rpartition("/")[2] if base is not None else "template1"
            self.run(f"CREATE DATABASE {name} TEMPLATE {template}")
            self.names.add(name)
            url = f"{self.server}/{name}"
        return Place(folder, url)

    def quiet(self, place: Place) -> None:
        """Wait until the server has noticed that the killed program is gone."""
        if place.url:
            name, end = place.url.rpartition("/")[2], time.monotonic() + 60.0
            while self.run("SELECT 1 FROM pg_stat_activity WHERE datname = %s", name):
                if time.monotonic() > end:
                    msg = f"a session of {name} did not end within a minute."
                    raise TimeoutError(msg)
                time.sleep(0.01)

    def drop(self, place: Place) -> None:
        """Take a store away."""
        shutil.rmtree(place.folder, ignore_errors=True)
        if place.url:
            self.quiet(place)
            name = place.url.rpartition("/")[2]
            self.run(f"DROP DATABASE {name} WITH (FORCE)")
            self.names.discard(name)

    def close(self) -> None:
        """Drop what is left."""
        for name in sorted(self.names):
            self.run(f"DROP DATABASE IF EXISTS {name} WITH (FORCE)")


# Processes ----------------------------------------------------------------------------------------------------------


def forked(work: Callable[[], Any]) -> int:
    """Start a fork that does something and ends; return its number."""
    number = os.fork()
    if number:
        return number
    code = 1
    try:
        work()
        code = 0
    except BaseException:
        traceback.print_exc()
    finally:
        os._exit(code)


def answered(work: Callable[[], Any]) -> Any:
    """Do something in a fork, so that no connection stays in this process; return what it says."""
    read_end, write_end = os.pipe()

    def told() -> None:
        with os.fdopen(write_end, "wb") as out:
            pickle.dump(work(), out)

    number = forked(told)
    os.close(write_end)
    with os.fdopen(read_end, "rb") as answer:
        data = answer.read()
    _, status = os.waitpid(number, 0)
    if status:
        msg = "a step that was not to be killed failed; see above."
        raise RuntimeError(msg)
    return pickle.loads(data)  # noqa: S301 - of our own fork


class Board:
    """A byte that a fork sets and this process reads: how far it is. Beside it the time at which it got there."""

    def __init__(self) -> None:
        self.bytes = mmap.mmap(-1, 8 * (1 + len(PHASES)))

    def clear(self) -> None:
        """Begin anew."""
        self.bytes[:] = bytes(len(self.bytes))

    def set(self, phase: int) -> None:
        """Say that a phase has begun."""
        self.bytes[8 * (1 + phase) : 8 * (2 + phase)] = time.monotonic_ns().to_bytes(8, "little")
        self.bytes[0] = phase

    def phase(self) -> int:
        """Return the phase that began last."""
        return self.bytes[0]

    def at_s(self, phase: int) -> float:
        """Return when a phase began. [s]"""
        return int.from_bytes(self.bytes[8 * (1 + phase) : 8 * (2 + phase)], "little") / 1e9


def write(kind: Kind, place: Place, board: Board) -> dict[str, Any]:
    """Open the store and do the writing, telling the board how far it is."""
    from django.db.backends.base.base import BaseDatabaseWrapper

    def at(module: Any, name: str, phase: int) -> None:
        plain = getattr(module, name)

        def told(*args: Any, **more: Any) -> Any:
            board.set(phase)
            return plain(*args, **more)

        setattr(module, name, told)

    for module in (record, study, trials):
        for name, phase in (("sources_of", READ), ("keep", KEEP), ("writing", WRITE)):
            at(module, name, phase)
    commit = BaseDatabaseWrapper.commit

    def told(self: Any) -> None:
        if board.phase() == WRITE:
            board.set(COMMIT)
        commit(self)

    BaseDatabaseWrapper.commit = told
    board.set(START)
    place_open = open_store(place.folder, create=True, url=place.url)
    found = kind.act(place_open)
    board.set(DONE)
    return found


def prepare(kind: Kind, ground: Ground, board: Board, empty: Place, times_run: int) -> None:
    """Make the store that a kind of writing starts from, and see what an undisturbed run does and how long it takes."""
    if kind.before is not None:
        fill = kind.before
        kind.base = ground.copy(empty)
        base = kind.base

        def filled() -> Picture:
            place = open_store(base.folder, url=base.url)
            fill(place)
            held = exact(place)
            close_store()
            return held

        kind.held_before = answered(filled)
        ground.quiet(base)
    whole, writing = [], []
    for _ in range(times_run):
        place = ground.copy(kind.base)

        def undisturbed(place: Place = place) -> tuple[Any, ...]:
            first = write(kind, place, board)
            times = board.at_s(DONE) - board.at_s(START), board.at_s(DONE) - board.at_s(WRITE)
            there = open_store(place.folder, url=place.url)
            held = alike(there)
            return first, times, held, kind.act(there), apart(held, alike(there))

        board.clear()
        kind.first, times, kind.held_after, kind.again, moved = answered(undisturbed)
        if moved or kind.again["wrote"]:
            msg = f"{kind.name}: the same again was written once more ({moved})."
            raise RuntimeError(msg)
        whole.append(times[0])
        writing.append(times[1])
        ground.drop(place)
    kind.whole_s, kind.write_s = statistics.median(whole), statistics.median(writing)


# Killing ------------------------------------------------------------------------------------------------------------


@dataclass(frozen=True)
class Killed:
    """One kill: when, how far the writing was, and what was found afterwards."""

    kind: str
    aimed: bool
    after_s: float
    phase: int
    state: str
    wrong: tuple[str, ...]
    spare_files: int
    left_behind: int


def kill(kind: Kind, ground: Ground, board: Board, draw: random.Random) -> Killed:
    """Start a writing, kill it, look, and do it again."""
    place = ground.copy(kind.base)
    aimed = draw.random() < AIMED_SHARE
    wait_s = draw.uniform(0.0, 1.1 * (kind.write_s if aimed else kind.whole_s))
    board.clear()
    start = time.monotonic()
    number = forked(lambda: void(write(kind, place, board)))
    while aimed and board.phase() < WRITE and time.monotonic() - start < 60.0:
        time.sleep(0.0002)
    time.sleep(wait_s)
    os.kill(number, signal.SIGKILL)
    after_s = time.monotonic() - start
    _, status = os.waitpid(number, 0)
    phase = board.phase()
    ground.quiet(place)
    found = answered(lambda: looked_at(kind, place))
    wrong = list(found["wrong"])
    if os.WIFEXITED(status) and os.WEXITSTATUS(status):
        wrong.append("the writing failed by itself")
    if phase == DONE and found["state"] != "after":
        wrong.append("it was answered as done and is not there")
    ground.drop(place)
    return Killed(
        kind.name, aimed, after_s, phase, found["state"], tuple(wrong), found["spare"], found["left"]
    )


def looked_at(kind: Kind, place: Place) -> dict[str, Any]:
    """See whether a store is as before or as after, is sound, and takes the same writing again."""
    wrong: list[str] = []
    state, spare, left = "before", 0, 0
    if kind.base is None and not (place.folder / CARD).exists():
        try:
            open_store(place.folder, url=place.url)
            wrong.append("a store without its card was opened")
        except StoreRefused:
            pass
    else:
        there = open_store(place.folder, url=place.url)
        if kind.base is None and not Change.objects.exists():
            now = exact(there)
            full = [name for name, held in now.items() if held and name not in ("changes.Store", "files")]
            wrong += [f"a store without a change has rows in {name}" for name in full]
        else:
            state = "after"
            moved = apart(alike(there), kind.held_after)
            if moved:
                state = "before"
                now = exact(there)
                named = {row[0] for row in now["changes.File"]}
                now["files"] = [one for one in now["files"] if one[0] in named]
                both = apart(now, kind.held_before)
                if both:
                    state = "between"
                    wrong.append(f"neither before ({', '.join(both)}) nor after ({', '.join(moved)})")
        seen = soundness(there)
        wrong += seen.faults
        spare, left = len(seen.spare_files), len(seen.left_behind)
    there = open_store(place.folder, create=True, url=place.url)
    counts = kind.act(there)
    if counts != (kind.first if state == "before" else kind.again):
        wrong.append(f"the same again gave {counts}")
    wrong += [f"the same again led elsewhere in {name}" for name in apart(alike(there), kind.held_after)]
    wrong += [f"then: {fault}" for fault in soundness(there).faults]
    close_store()
    return {"state": state, "wrong": wrong, "spare": spare, "left": left}


# Report -------------------------------------------------------------------------------------------------------------


@contextmanager
def ground_of(server: str) -> Iterator[Ground]:
    """Room for stores, gone afterwards."""
    with tempfile.TemporaryDirectory(prefix="hoistbook-kill-") as name:
        ground = Ground(Path(name), server)
        try:
            yield ground
        finally:
            ground.close()


def run(count: int, seed: int, part_count: int, server: str, only: str) -> tuple[list[Kind], list[Killed]]:
    """Kill `count` writings."""
    if server:
        import psycopg  # noqa: F401 - before the forks, so that none of them spends its time on it
    os.environ.pop("DATABASE_URL", None)
    draw, board = random.Random(seed), Board()
    with ground_of(server) as ground:
        every = [kind for kind in kinds(ground.folder, part_count) if only in kind.name]
        empty = ground.copy()
        answered(lambda: void((open_store(empty.folder, create=True, url=empty.url), close_store())))
        ground.quiet(empty)
        for kind in every:
            prepare(kind, ground, board, empty, 1 if count < 50 else 3)
        # Every kind in turn as often as its weight says, whatever the count.
        turns = [kind for kind in every for _ in range(kind.weight)]
        draw.shuffle(turns)
        return every, [kill(turns[i % len(turns)], ground, board, draw) for i in range(count)]


def main() -> int:
    """Run the script; the exit code says whether anything was wrong."""
    parser = argparse.ArgumentParser(description=(__doc__ or "").partition("\n")[0])
    parser.add_argument("--count", type=int, default=200)
    parser.add_argument("--seed", type=int, default=1)
    parser.add_argument("--parts", type=int, default=300)
    parser.add_argument(
        "--url", default="", help="postgresql://user@host:port of a server for databases of the test"
    )
    parser.add_argument("--only", default="", help="only kinds of writing with this in their name")
    parser.add_argument("--json", action="store_true")
    given = parser.parse_args()
    every, killed = run(given.count, given.seed, given.parts, given.url, given.only)
    wrong = [(one.kind, PHASES[one.phase], line) for one in killed for line in one.wrong]
    phases = Counter(PHASES[one.phase] for one in killed)
    evenly = Counter(PHASES[one.phase] for one in killed if not one.aimed)
    told = {
        "kills": len(killed),
        "before": sum(one.state == "before" for one in killed),
        "after": sum(one.state == "after" for one in killed),
        "wrong": wrong,
        "by_phase": {phase: phases[phase] for phase in PHASES},
        "by_phase_evenly_drawn": {phase: evenly[phase] for phase in PHASES},
        "by_kind": dict(Counter(one.kind for one in killed)),
        "with_spare_file": sum(one.spare_files > 0 for one in killed),
        "with_half_written_file": sum(one.left_behind > 0 for one in killed),
        "undisturbed_s": {kind.name: round(kind.whole_s, 3) for kind in every},
        "writing_s": {kind.name: round(kind.write_s, 3) for kind in every},
    }
    if given.json:
        print(json.dumps(told, indent=1))
    else:
        for name, value in told.items():
            print(f"{name.replace('_', ' ')}: {value}")
    return 1 if wrong or not killed else 0


if __name__ == "__main__":
    sys.exit(main())
