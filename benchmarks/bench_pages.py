"""Server time of every page of a store with 20 vehicles of 10,000 parts each (invented), beside named baselines.

    python benchmarks/bench_pages.py [vehicles] [parts]

On SQLite; with HOISTBOOK_TEST_POSTGRESQL=postgresql://user@host:port also on that server. Printed for each page: the
first answer, with nothing of it in memory but the open store, and the middle of seven further ones, each as time on the
clock, processor time of the thread that answers, and processor time of the PostgreSQL process that it asks (SQLite
works in the thread itself). On a machine that does other work besides, the clock tells how busy that machine is and the
other two what a page costs; the load of the machine is printed with them. The time of a server elsewhere, or where the
system does not count it, is left out.

Baselines in the same run: a page without contents (the frame around every page), and reading name, count and mass of
every part of one vehicle with the plain database driver, which is what a page that looked at all parts would at least
do. Whatever takes longer than a page may is worked out in the background; what a page takes that has to wait for it is
printed, too.
"""

from __future__ import annotations

import os
import secrets
import statistics
import sys
import tempfile
import time
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from dataclasses import dataclass
from pathlib import Path
from typing import Any

from pages_store import COSTED, SYSTEMS, drive, fill

REPEATS = 7
LIMIT_MS = 300.0
"""project rule: what a page may take."""


@dataclass(frozen=True, slots=True)
class Took:
    """Time of one answer on the clock, of the thread that answered, and of the database's process. [ms]"""

    clock: float
    thread: float
    database: float | None

    @property
    def work(self) -> float:
        """Processor time of all who worked on it."""
        return self.thread + (self.database or 0.0)


def took(action: Callable[[], object]) -> Took:
    before = _database_ns()
    start, used = time.perf_counter(), time.thread_time()
    action()
    clock, thread = time.perf_counter() - start, time.thread_time() - used
    after = _database_ns()
    database = None if before is None or after is None else 1e-6 * (after - before)
    return Took(1e3 * clock, 1e3 * thread, database)


def _database_ns() -> int | None:
    """Processor time so far of the PostgreSQL process of this connection, as Linux counts it. [ns]"""
    from django.db import connection

    if connection.vendor != "postgresql":
        return None
    connection.ensure_connection()
    process = Path("/proc") / str(connection.connection.info.backend_pid)
    try:
        local = (process / "comm").read_text().strip() == "postgres"
        return int((process / "schedstat").read_text().split()[0]) if local else None
    except OSError:
        return None


def middle(several: list[Took]) -> Took:
    def of(name: str) -> float:
        return statistics.median(getattr(one, name) for one in several)

    return Took(of("clock"), of("thread"), None if several[0].database is None else of("database"))


def line(words: str, *several: Took) -> str:
    cells = (
        f"{one.clock:10.1f}{one.thread:8.1f}{'' if one.database is None else f'{one.database:.1f}':>8}"
        for one in several
    )
    return f"{words:58}{'  '.join(cells)}"


def measure(record: Any, vehicles: int, parts: int) -> None:
    """Time every page of a filled store whose results are kept or are worked out on the way."""
    from django.db import connection
    from django.template.loader import render_to_string
    from django.test import Client
    from django.test.client import RequestFactory

    from hoistbook.app.work import LINE
    from hoistbook.services.cost_scenario import Stated
    from hoistbook.services.pages import assembly, checks, cost, cost_compare
    from hoistbook.services.pages.book import Asked, columns_of, forget
    from hoistbook.services.pages.gap import forget as forget_gaps
    from hoistbook.services.pages.heads import heads
    from hoistbook.services.pages.parts import PartsBook

    client = Client(HTTP_HOST="127.0.0.1")

    def get(address: str) -> None:
        answer = client.get(address)
        assert answer.status_code == 200, (address, answer.status_code)

    def finished() -> None:
        for job in LINE.jobs():
            job.finished.wait()
            assert not job.why, job.why

    costed, beside = COSTED
    print(
        f"{'':58}{'clock':>10}{'thread':>8}{'database':>9}  [ms], then what it waits for, worked out in the background"
    )
    for words, address in (
        (f"first page of all: mass books of {vehicles} vehicles", "/"),
        ("how much of the mass gaps was looked at", "/studies/all/"),
        ("the claims", "/studies/all/claims/"),
        ("a gap in mass", "/studies/all/gap/"),
        ("the cost of a vehicle, every part by its route", f"/vehicles/{costed}/cost/"),
        ("the cost of another one", f"/vehicles/{beside}/cost/"),
        ("the assembly of a vehicle", f"/vehicles/{costed}/assembly/"),
        ("two vehicles in the cost of a function", f"/cost/?a={costed}&b={beside}&function=FS00"),
        ("the checks of a vehicle", f"/vehicles/{costed}/checks/"),
    ):
        waited = took(lambda: get(address))  # noqa: B023
        start = time.perf_counter()
        finished()
        print(f"{line(words, waited)}  {time.perf_counter() - start:8.1f} s", flush=True)

    one = heads(record)[0]
    columns = columns_of(record, Asked(one.code, one.change, one.configurations[0].id))
    assert columns is not None
    book = PartsBook(columns)
    deep = max(columns["tag"][-3000:], key=lambda tag: len(book.path(tag)))
    wide = max(
        (tag for tag in columns["tag"] if book.is_assembly(tag)),
        key=lambda tag: book.assembly(tag, 0, 1).count,
    )
    seen = heads(record)[int(costed[1:])]
    costs = cost.parts_of(record, cost.AskedCost(costed, seen.change, "c", Stated()))
    assert costs is not None
    part = next(reversed(costs["at"]))
    corrected = heads(record)[0].change

    def plain() -> None:
        with connection.cursor() as cursor:
            cursor.execute(
                "SELECT n.slot, n.name, n.count, m.value FROM vehicles_node n LEFT JOIN vehicles_measurement m "
                "ON m.owner_id = n.owner_id AND m.slot = 'M-' || n.slot WHERE n.owner_id = 'V01'"
            )
            assert len(cursor.fetchall()) >= parts

    request = RequestFactory().get("/", headers={"host": "127.0.0.1"})
    frame = lambda: render_to_string("hoistbook/base.html", {"title": "empty"}, request)  # noqa: E731
    print(f"load of the machine over the last minute: {os.getloadavg()[0]:.1f}")
    print(f"{'':58}{'first':>10}{'thread':>8}{'database':>8}  {'then':>10}{'thread':>8}{'database':>8}")
    for words, action in (
        ("baseline: a page without contents", frame),
        (f"baseline: all {parts} parts of a vehicle, plain driver", plain),
    ):
        first = took(action)
        print(line(words, first, middle([took(action) for _ in range(REPEATS)])))
    slowest: list[tuple[float, float, str]] = []
    for words, address in (
        (f"vehicles and studies ({vehicles} vehicles)", "/"),
        ("vehicle, facts and instruments", "/vehicles/V00/"),
        (f"part tree of {parts}, first paint", "/vehicles/V00/parts/"),
        ("part tree opened to a deep part", f"/vehicles/V00/parts/?at={deep}"),
        ("branches of an assembly", "/vehicles/V00/parts/branches/?at=V"),
        ("lines of the widest assembly", f"/vehicles/V00/parts/lines/?at={wide}"),
        ("find by name", "/vehicles/V00/parts/find/?q=left"),
        ("mass, systems, what to weigh next", "/vehicles/V00/mass/"),
        ("tests, six with their pictures", "/vehicles/V01/tests/"),
        ("history of the vehicle", "/vehicles/V00/history/"),
        ("rows of one change (400 superseded)", f"/vehicles/V00/history/changes/{corrected}/"),
        ("history of one part", f"/vehicles/V00/history/?of={deep}"),
        ("checks", f"/vehicles/{costed}/checks/"),
        ("one check with its form", f"/vehicles/{costed}/checks/mount_modes/"),
        ("cost of the vehicle", f"/vehicles/{costed}/cost/"),
        ("cost, a system opened", f"/vehicles/{costed}/cost/?open={SYSTEMS[0]}"),
        ("cost of a part", f"/vehicles/{costed}/cost/part/?at={part}"),
        ("cost of a part as typed", f"/vehicles/{costed}/cost/part/worked/?at={part}&length=420"),
        ("two vehicles in the cost of a function", f"/cost/?a={costed}&b={beside}&function=FS00"),
        ("assembly", f"/vehicles/{costed}/assembly/"),
        ("assembly, a function opened", f"/vehicles/{costed}/assembly/?function=FS00"),
        ("service, before a part is chosen", f"/vehicles/{costed}/assembly/service/"),
        ("scenario of costs", f"/scenarios/{Stated().scenario().code}/"),
        (f"study of {vehicles} vehicles", "/studies/all/"),
        ("claims of the study", "/studies/all/claims/"),
        ("gap of two vehicles", "/studies/all/gap/"),
        ("a decision opened down to its readings", "/studies/all/gap/opened/?of=decision:FS00"),
        (
            "a system opened down to its readings",
            f"/studies/all/gap/?cause={SYSTEMS[0]}&of=figure:{SYSTEMS[0]}",
        ),
        (
            "all readings of that system",
            f"/studies/all/gap/opened/?cause={SYSTEMS[0]}&of=figure:{SYSTEMS[0]}&all=1",
        ),
    ):
        for drop in (
            forget, forget_gaps, cost.forget, assembly.forget, cost_compare.PAGE.forget, checks.OVERVIEWS.forget,
        ):  # fmt: skip
            drop()
        first = took(lambda: get(address))  # noqa: B023
        again = middle([took(lambda: get(address)) for _ in range(REPEATS)])  # noqa: B023
        slowest += [(one.work, one.clock, words) for one in (first, again)]
        print(line(words, first, again), flush=True)
    work, clock, words = max(slowest)
    print(f"most processor time: {work:.1f} ms, {clock:.1f} ms on the clock: {words}")
    over = sorted({words for work, _, words in slowest if work > LIMIT_MS})
    print(f"above {LIMIT_MS:.0f} ms of processor time: {', '.join(over) or 'none'}")
    print(f"load of the machine over the last minute: {os.getloadavg()[0]:.1f}")


def run(folder: Path, url: str, vehicles: int, parts: int) -> None:
    from hoistbook.app import opened
    from hoistbook.app.serve import made_ready
    from hoistbook.app.work import LINE
    from hoistbook.services.study import freeze
    from hoistbook.store.place import open_store

    record = open_store(folder, create=True, url=url)
    opened.set_record(record)
    made_ready()
    start = time.perf_counter()
    fill(vehicles, parts)
    drive("V01")
    freeze(record, "all", "A. B.")
    print(f"filling the store: {time.perf_counter() - start:.1f} s", flush=True)
    measure(record, vehicles, parts)
    LINE.stop()


@contextmanager
def database(server: str) -> Iterator[str]:
    import psycopg

    name = f"hoistbook_bench_{secrets.token_hex(4)}"
    with psycopg.connect(f"{server}/postgres", autocommit=True) as admin:
        admin.execute(f"CREATE DATABASE {name}")
        try:
            yield f"{server}/{name}"
        finally:
            admin.execute(f"DROP DATABASE {name} WITH (FORCE)")


def main() -> None:
    vehicles = int(sys.argv[1]) if len(sys.argv) > 1 else 20
    parts = int(sys.argv[2]) if len(sys.argv) > 2 else 10_000
    from hoistbook.app.settings import configure_pages

    configure_pages()
    server = os.environ.get("HOISTBOOK_TEST_POSTGRESQL", "").rstrip("/")
    with tempfile.TemporaryDirectory() as name:
        print(f"{vehicles} vehicles of {parts} parts")
        print("SQLite")
        run(Path(name) / "sqlite", "", vehicles, parts)
        if server:
            with database(server) as url:
                print("PostgreSQL")
                run(Path(name) / "postgresql", url, vehicles, parts)


if __name__ == "__main__":
    main()
