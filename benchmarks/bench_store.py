"""Time to load a 10,000-part workbook into a store, to load a corrected one, and to read the vehicle back.

    python benchmarks/bench_store.py [parts]

On SQLite; with HOISTBOOK_TEST_POSTGRESQL=postgresql://user@host:port also on that server.
"""

from __future__ import annotations

import os
import secrets
import sys
import tempfile
import time
from collections.abc import Callable
from pathlib import Path

from bench_load import rows

from hoistbook.capture.read import read_teardown
from hoistbook.capture.write import write_workbook
from hoistbook.services.history import history
from hoistbook.services.record import Record, load_workbook, open_record, state_of
from hoistbook.store.place import close_store, open_store
from hoistbook.store.vehicles.reading import read_vehicle


def timed(words: str, action: Callable[[], object]) -> None:
    start = time.perf_counter()
    action()
    print(f"{words + ':':44}{time.perf_counter() - start:7.3f} s")


def run(record: Record, first: Path, corrected: Path) -> None:
    timed("first load, reading included", lambda: load_workbook(record, first, "A. B."))
    timed("same again: nothing written", lambda: load_workbook(record, first, "A. B."))
    timed("one reading corrected", lambda: load_workbook(record, corrected, "A. B."))
    timed("read the vehicle back", lambda: read_vehicle("WHI"))
    timed("read it as it stood before", lambda: read_vehicle("WHI", state_of(record, "WHI") - 1))
    timed("its state", lambda: state_of(record, "WHI"))
    timed("history of one part", lambda: history(record, "WHI", "W00007"))
    timed("history of the vehicle", lambda: history(record, "WHI"))
    timed("open the store", lambda: open_record(record.folder))


def main() -> None:
    part_count = int(sys.argv[1]) if len(sys.argv) > 1 else 10_000
    server = os.environ.get("HOISTBOOK_TEST_POSTGRESQL", "").rstrip("/")
    with tempfile.TemporaryDirectory() as name:
        folder = Path(name)
        first, corrected = folder / "van.xlsx", folder / "corrected.xlsx"
        found = rows(part_count)
        write_workbook(first, found)
        found["measurements"][5]["value"] = 4711
        write_workbook(corrected, found)
        print(f"{part_count} parts")
        timed("read the workbook alone", lambda: read_teardown(first))
        os.environ.pop("DATABASE_URL", None)
        print("SQLite")
        run(open_store(folder / "sqlite", create=True), first, corrected)
        if server:
            import psycopg

            database = f"hoistbook_bench_{secrets.token_hex(4)}"
            with psycopg.connect(f"{server}/postgres", autocommit=True) as admin:
                admin.execute(f"CREATE DATABASE {database}")
                os.environ["DATABASE_URL"] = f"{server}/{database}"
                print("PostgreSQL")
                run(open_store(folder / "postgresql", create=True), first, corrected)
                close_store()
                admin.execute(f"DROP DATABASE {database} WITH (FORCE)")


if __name__ == "__main__":
    main()
