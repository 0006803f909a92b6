"""Server time of every page of a store with 20 vehicles of 10,000 parts each (invented), beside named baselines.

    python benchmarks/bench_pages.py [vehicles] [parts]

On SQLite; with HOISTBOOK_TEST_POSTGRESQL=postgresql://user@host:port also on that server. Printed for each page: the
first answer, with nothing of it in memory but the open store, and the middle of seven further ones. Baselines in the
same run: a page without contents (the frame around every page), and reading name, count and mass of every part of one
vehicle with the plain database driver, which is what a page that looked at all parts would at least do.
"""

from __future__ import annotations

import json
import os
import secrets
import statistics
import sys
import tempfile
import time
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from dataclasses import replace
from pathlib import Path

from bench_rollup import vehicle

from hoistbook.capture.logs import LogRead
from hoistbook.core.compare.claims import Claim, Relation
from hoistbook.core.compare.strip_plan import StripStep
from hoistbook.core.compare.study import (
    EqualityRow,
    Finding,
    FindingKind,
    Study,
    StudyAssumption,
    StudyVehicle,
)
from hoistbook.core.quantities.quantity import Quantity
from hoistbook.core.vehicle.records import Approach, Function, Joint, Node, Teardown
from hoistbook.reference.taxonomy import taxonomy
from hoistbook.services.as_json.trials import outcome_json
from hoistbook.services.demo import van_paths
from hoistbook.services.energy_trials import Asked, evaluate
from hoistbook.services.logs import log_series
from hoistbook.services.trials_hoist import SpinDownAsked, evaluate_spin_down
from hoistbook.services.trials_road import CoastDownAsked, evaluate_coast_down

REPEATS = 7
SYSTEMS = tuple(system.code for system in taxonomy().systems if len(system.code) == 2)
FUNCTIONS = tuple(Function(f"FS{number:02d}", f"function {number}") for number in range(15))


def named(made: Teardown, code: str) -> Teardown:
    """The made-up vehicle under a code, with names, materials and joints, so that pages have something to print."""
    nodes = tuple(
        node
        if node.parent is None
        else replace(
            node,
            system=SYSTEMS[number % len(SYSTEMS)] if node.parent == "V" else "",
            function=f"F{node.tag}" if node.parent == "V" else "",
            name=f"part {node.tag}, {'left' if number % 2 else 'right'}",
            material="steel 0.75",
        )
        for number, node in enumerate(made.nodes)
    )
    joints = tuple(
        Joint(f"J{number}", (node.tag,), "screwing", "M8", 4, "T40")
        for number, node in enumerate(nodes)
        if number % 3 == 0 and isinstance(node, Node)
    )
    return replace(
        made,
        vehicle=replace(made.vehicle, code=code, name=f"Van {code}"),
        configurations=(replace(made.configurations[0], vehicle=code),),
        functions=FUNCTIONS,
        approaches=tuple(Approach(f"P{f.code}", "c", f.code) for f in FUNCTIONS),
        nodes=nodes,
        joints=joints,
    )


def study_of(codes: tuple[str, ...], tags: tuple[str, ...]) -> Study:
    """A study of all vehicles: each function is a claim, every other one a finding; 60 parts come off the first."""
    first = codes[0]
    others = [codes[1 + number % (len(codes) - 1)] for number in range(len(FUNCTIONS))]
    return Study(
        "all",
        "All vans",
        "Which of them is the lightest?",
        vehicles=tuple(StudyVehicle(code, "c") for code in codes),
        equality=tuple(
            EqualityRow(name, code, "1", equal=True) for name in ("payload", "seats") for code in codes
        ),
        assumptions=(StudyAssumption("quantity", "mass"),),
        findings=tuple(
            Finding(f.code, FindingKind.SAME, (first, other), compared="marks")
            for f, other in list(zip(FUNCTIONS, others, strict=True))[::2]
        ),
        strip_plan=tuple(
            StripStep(float(step), first, f"{tag} cover", "A. B.", record_before=("photo",))
            for step, tag in enumerate(tags, start=1)
        ),
        claims=tuple(
            Claim(
                f.code,
                f"{f.code} is lighter",
                "mass",
                first,
                Relation.LESS_THAN,
                Quantity(0.0, "kg"),
                other,
                f.code,
            )
            for f, other in zip(FUNCTIONS, others, strict=True)
        ),
    )


def fill(vehicles: int, parts: int) -> None:
    """Put the vehicles into the open store, past the workbook reader, and correct some readings of the first."""
    from hoistbook.store.studies.reading import state_study
    from hoistbook.store.vehicles import models
    from hoistbook.store.vehicles.mapping import statement
    from hoistbook.store.vehicles.reading import WORKBOOK
    from hoistbook.store.writing import state, writing

    made = vehicle(parts, assemblies=True)
    for number in range(vehicles):
        stated = named(made, f"V{number:02d}")
        code = stated.vehicle.code
        with writing("A. B.", "load", f"vehicle {code}", file_name="made up") as change:
            models.Vehicle.objects.create(code=code, change=change)
            for model, rows in statement(stated).items():
                state(model, code, rows.rows, change, WORKBOOK, order=rows.order)
    with writing("A. B.", "load", "study all", file_name="made up") as change:
        codes = tuple(f"V{number:02d}" for number in range(vehicles))
        state_study(study_of(codes, tuple(node.tag for node in made.nodes[-60:])), change)
    corrected = named(made, "V00")
    readings = [
        replace(one, value=one.value * 1.01) if n < 400 else one
        for n, one in enumerate(corrected.measurements)
    ]
    with writing("C. D.", "load", "vehicle V00", "scale was off") as change:
        for model, rows in statement(replace(corrected, measurements=tuple(readings))).items():
            state(model, "V00", rows.rows, change, WORKBOOK, order=rows.order)


def drive(code: str) -> None:
    """Record the six tests of one of the demo's vans as tests of a vehicle."""
    logs = next(iter(van_paths().values())).with_name("logs")

    def read(name: str) -> LogRead:
        return log_series(logs / f"turnstone-{name}.csv", guess=True)

    spins = {f"front {side}": [read(f"spindown-{side}").series] for side in ("left", "right")}
    outcomes = {
        "coast-down": evaluate_coast_down(
            [read("coastdown").series], CoastDownAsked(mass_kg=1775.5), name=f"{code} coast-down"
        )[1],
        "spin-down": evaluate_spin_down(spins, SpinDownAsked(1.12, 0.01), name=f"{code} spin-down")[1],
        **{
            kind: evaluate(kind, read(kind), Asked(cycle="wltc3b" if kind == "cycle" else ""), label=kind)
            for kind in ("cycle", "charge", "discharge", "standby")
        },
    }
    from hoistbook.services.trials import facts_of
    from hoistbook.store.trials.models import TrialRun
    from hoistbook.store.vehicles import models
    from hoistbook.store.vehicles.mapping import KIND_OF, rows_of
    from hoistbook.store.writing import state, writing

    empty = dict.fromkeys(("at", "file_name", "file_sha256", "channels", "note"), "")
    for name, outcome in outcomes.items():
        row = {
            **empty,
            "configuration": "c",
            "kind": outcome.kind,
            "outcome": json.dumps(outcome_json(outcome)),
        }
        facts, _ = facts_of(outcome, "c", f"test {name}")
        # Past the checks of a record: the made-up vehicle does not hold together in every row.
        with writing("A. B.", "record test", f"vehicle {code}") as change:
            state(TrialRun, code, {name: row}, change, "tests", whole=False)
            state(models.Fact, code, rows_of(KIND_OF[models.Fact], facts), change, f"test {name}")


def ms(action: Callable[[], object]) -> float:
    start = time.perf_counter()
    action()
    return 1e3 * (time.perf_counter() - start)


def told(words: str, first: float, again: list[float]) -> None:
    print(f"{words:58}{first:9.1f} ms{statistics.median(again):9.1f} ms")


def run(folder: Path, url: str, vehicles: int, parts: int) -> None:
    from django.db import connection
    from django.template.loader import render_to_string
    from django.test import Client
    from django.test.client import RequestFactory

    from hoistbook.app import opened
    from hoistbook.app.work import LINE
    from hoistbook.services.pages.book import Asked, columns_of, forget
    from hoistbook.services.pages.gap import forget as forget_gaps
    from hoistbook.services.pages.heads import heads
    from hoistbook.services.pages.parts import PartsBook
    from hoistbook.services.study import freeze
    from hoistbook.store.place import open_store

    record = open_store(folder, create=True, url=url)
    opened.set_record(record)
    client = Client(HTTP_HOST="127.0.0.1")
    print(f"filling the store: {ms(lambda: fill(vehicles, parts)) / 1e3:.1f} s")
    drive("V01")
    print(f"first page of all, nothing worked out yet: {ms(lambda: client.get('/')):.1f} ms")
    start = time.perf_counter()
    for job in LINE.jobs():
        job.finished.wait()
        assert not job.why, job.why
    print(f"mass books of {vehicles} vehicles in the background: {time.perf_counter() - start:.1f} s")

    freeze(record, "all", "A. B.")
    for words, address in (
        ("how much of the mass gaps was looked at", "/studies/all/"),
        ("the claims", "/studies/all/claims/"),
        ("a gap in mass", "/studies/all/gap/"),
    ):
        print(f"a page that waits for {words}: {ms(lambda: client.get(address)):.1f} ms")  # noqa: B023
        start = time.perf_counter()
        for job in LINE.jobs():
            job.finished.wait()
            assert not job.why, job.why
        print(f"{words}, worked out in the background: {time.perf_counter() - start:.1f} s")

    one = heads(record)[0]
    columns = columns_of(record, Asked(one.code, one.change, one.configurations[0].id))
    assert columns is not None
    book = PartsBook(columns)
    deep = max(columns["tag"][-3000:], key=lambda tag: len(book.path(tag)))
    wide = max(
        (tag for tag in columns["tag"] if book.is_assembly(tag)),
        key=lambda tag: book.assembly(tag, 0, 1).count,
    )

    def plain() -> None:
        with connection.cursor() as cursor:
            cursor.execute(
                "SELECT n.slot, n.name, n.count, m.value FROM vehicles_node n LEFT JOIN vehicles_measurement m "
                "ON m.owner_id = n.owner_id AND m.slot = 'M-' || n.slot WHERE n.owner_id = 'V01'"
            )
            assert len(cursor.fetchall()) >= parts

    request = RequestFactory().get("/", headers={"host": "127.0.0.1"})
    frame = lambda: render_to_string("hoistbook/base.html", {"title": "empty"}, request)  # noqa: E731
    print(f"{'':58}{'first':>12}{'then':>12}")
    told("baseline: a page without contents", ms(frame), [ms(frame) for _ in range(REPEATS)])
    told(
        f"baseline: all {parts} parts of a vehicle, plain driver",
        ms(plain),
        [ms(plain) for _ in range(REPEATS)],
    )
    slowest = 0.0
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
        ("rows of one change (400 superseded)", f"/vehicles/V00/history/changes/{one.change}/"),
        ("history of one part", f"/vehicles/V00/history/?of={deep}"),
        (f"study of {vehicles} vehicles", "/studies/all/"),
        ("claims of the study", "/studies/all/claims/"),
        ("gap of two vehicles", "/studies/all/gap/"),
        ("a decision opened down to its readings", "/studies/all/gap/opened/?of=decision:FS00"),
        (
            "a system opened down to its readings",
            f"/studies/all/gap/?cause={SYSTEMS[0]}&of=figure:{SYSTEMS[0]}",
        ),
    ):

        def page(address: str = address) -> None:
            answer = client.get(address)
            assert answer.status_code == 200, (address, answer.status_code)

        forget()
        forget_gaps()
        first = ms(page)
        again = [ms(page) for _ in range(REPEATS)]
        slowest = max(slowest, first)
        told(words, first, again)
    print(f"slowest first answer: {slowest:.1f} ms")
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
