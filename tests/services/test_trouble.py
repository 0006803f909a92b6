"""What can go wrong around a store is said with place and remedy, and nothing is written by halves."""

import json
import os
import resource
import shutil
import signal
import sqlite3
import subprocess
import sys
from contextlib import closing
from pathlib import Path

import pytest
from django.db import connection

from capture.books import saved, sound, with_row
from hoistbook.services import vehicles as vehicles_of_services
from hoistbook.services.record import load_workbook, open_record, teardown
from hoistbook.store.files import left_behind, sweep
from hoistbook.store.place import CARD, DATABASE, close_store, open_store
from hoistbook.store.problems import StoreRefused
from hoistbook.store.soundness import soundness
from store.conftest import place, postgresql_template, server, sqlite_template  # noqa: F401
from store_picture import alike, exact

SOURCE = Path(__file__).parents[2] / "src"


@pytest.fixture
def filled(place, tmp_path):  # noqa: F811
    load_workbook(place, saved(tmp_path, sound()), "Ines")
    return place


def corrected(tmp_path):
    (tmp_path / "new").mkdir(exist_ok=True)
    return saved(tmp_path / "new", with_row("measurements", value=2.75))


def only_sqlite(place):  # noqa: F811
    if place.database != "sqlite":
        pytest.skip("about the file of SQLite")


def only_postgresql(place):  # noqa: F811
    if place.database != "postgresql":
        pytest.skip("about the server")


def command(*words, env=None, before=None):
    """Run `hoistbook` in a process of its own."""
    return subprocess.run(
        [sys.executable, "-c", "from hoistbook.cli.main import app; app()", *map(str, words)],
        capture_output=True,
        text=True,
        check=False,
        env={**os.environ, "PYTHONPATH": str(SOURCE), **(env or {})},
        preexec_fn=before,
        timeout=120,
    )


def test_a_disk_that_fills_up_is_said_and_nothing_is_written(filled, tmp_path):
    only_sqlite(filled)
    before = alike(filled)
    with connection.cursor() as cursor:
        cursor.execute("PRAGMA page_count")
        cursor.execute(f"PRAGMA max_page_count = {cursor.fetchone()[0]}")  # SQLite then says the disk is full
    many = sound()
    many["parts"] += [
        {"tag": f"X{i}", "parent": "VAN", "name": "a long name " * 20, "kind": "part"} for i in range(400)
    ]
    with pytest.raises(StoreRefused, match=r"store: the disk is full .*make room, then do the same again"):
        load_workbook(filled, saved(tmp_path, many), "Ines")
    assert alike(filled) == before
    close_store()
    again = open_record(filled.folder)
    assert soundness(again).faults == ()
    assert load_workbook(again, tmp_path / "van.xlsx", "Ines").counts.added == 400


def test_a_copy_that_does_not_fit_is_said_and_nothing_is_written(filled, tmp_path):
    before = exact(filled)
    close_store()

    def small_files():  # of this process: as on a disk with 4 kB left
        signal.signal(signal.SIGXFSZ, signal.SIG_IGN)
        resource.setrlimit(resource.RLIMIT_FSIZE, (4096, 4096))

    said = command("load", corrected(tmp_path), "--store", filled.folder, "--json", before=small_files)
    assert said.returncode == 2, said.stderr
    assert "store" in json.loads(said.stdout)["faults"][0]["message"]
    again = open_record(filled.folder)
    assert exact(again) == before
    assert left_behind(again.folder, again.files) == []
    assert load_workbook(again, corrected(tmp_path), "Ines").counts.superseded == 1


@pytest.mark.skipif(os.geteuid() != 0, reason="only the superuser may become somebody else")
def test_a_folder_of_somebody_else_is_said_and_nothing_is_written(filled, tmp_path):
    only_sqlite(filled)
    path = corrected(tmp_path)
    before = exact(filled)
    close_store()
    found = subprocess.run(
        [sys.executable, "-c", OTHER_PERSON, filled.folder, path],
        capture_output=True,
        text=True,
        check=True,
        env={**os.environ, "PYTHONPATH": str(SOURCE)},
    ).stdout
    assert "store: the store cannot be written (" in found
    assert "give it to your user, or copy it to another folder" in found
    assert exact(open_record(filled.folder)) == before


OTHER_PERSON = """
import os, sys
from contextlib import closing
from pathlib import Path
from hoistbook.services.record import load_workbook, open_record
from hoistbook.store.problems import StoreRefused
folder, path = map(Path, sys.argv[1:])
for one in path.parents[:-1]:
    if one.name.startswith(("pytest", "popen", "test")):  # the way to the folder, which pytest keeps to itself
        one.chmod(one.stat().st_mode | 0o055)
os.setuid(65534)
try:
    load_workbook(open_record(folder), path, "nobody")
except StoreRefused as refused:
    print(refused)
"""


def test_a_store_that_cannot_be_written_still_answers(filled):
    from hoistbook.services.keeping import keep, kept_or_worked_out

    with connection.cursor() as cursor:
        if filled.database == "sqlite":
            cursor.execute("PRAGMA page_count")
            cursor.execute(f"PRAGMA max_page_count = {cursor.fetchone()[0]}")
            said = "the disk is full"
        else:
            name = connection.settings_dict["NAME"]
            cursor.execute(f"ALTER DATABASE {name} SET default_transaction_read_only = on")
            said = "read-only transaction"
    here = filled if filled.database == "sqlite" else open_record(filled.folder)
    answer = {"text": "x" * 100_000}
    assert kept_or_worked_out(here, "mass", {"subject": "WHI"}, lambda: answer) == answer
    with pytest.raises(StoreRefused, match=said):
        keep(here, "mass", {"subject": "WHI"}, answer, 0.1)
    assert soundness(here).faults == ()


def test_a_server_that_takes_no_writing_is_said(filled, tmp_path):
    only_postgresql(filled)
    before = alike(filled)
    name = connection.settings_dict["NAME"]
    with connection.cursor() as cursor:
        cursor.execute(f"ALTER DATABASE {name} SET default_transaction_read_only = on")
    again = open_record(filled.folder)
    with pytest.raises(
        StoreRefused, match=rf"database '{name}' on .* cannot be used: .*read-only transaction"
    ):
        load_workbook(again, corrected(tmp_path), "Ines")
    assert alike(again) == before


def test_a_server_that_goes_away_in_the_middle_is_said_and_nothing_is_written(
    filled, tmp_path, monkeypatch, request
):
    only_postgresql(filled)
    from hoistbook.services import record as module

    on_server = request.getfixturevalue("server")
    before = alike(filled)
    plain = module.state

    def cut_off(model, *given, **more):
        if model is module.models.Measurement:
            with connection.cursor() as cursor:
                cursor.execute("SELECT pg_backend_pid()")
                on_server.run(f"SELECT pg_terminate_backend({cursor.fetchone()[0]})")
        return plain(model, *given, **more)

    with monkeypatch.context() as cut:
        cut.setattr(module, "state", cut_off)
        with pytest.raises(StoreRefused, match="cannot be used"):
            load_workbook(filled, corrected(tmp_path), "Ines")
    # The same process goes on, on a new connection.
    assert alike(filled) == before
    assert load_workbook(filled, corrected(tmp_path), "Ines").counts.superseded == 1


def test_a_damaged_page_is_said_by_every_command(filled):
    only_sqlite(filled)
    with connection.cursor() as cursor:
        cursor.execute(
            "SELECT rootpage FROM sqlite_master WHERE name IN ('vehicles_measurement', 'vehicles_node')"
        )
        pages = [row[0] for row in cursor.fetchall()]
    close_store()
    path = filled.folder / DATABASE
    data = bytearray(path.read_bytes())
    size = int.from_bytes(data[16:18], "big")  # published: SQLite file format, page size at offset 16
    for page in pages:
        data[size * (page - 1) : size * page] = b"\xa5" * size
    path.write_bytes(data)
    for words in (("history", "WHI"), ("mass", "WHI"), ("load", filled.folder.parent / "van.xlsx")):
        said = command(*words, "--store", filled.folder)
        assert said.returncode == 2, (words, said.stderr)
        assert "hoistbook.sqlite3 is damaged" in " ".join(said.stderr.split())
    (fault,) = soundness(open_record(filled.folder)).faults
    assert "hoistbook.sqlite3 is damaged" in fault


def test_a_file_that_is_gone_or_damaged_is_found_and_made_good(filled, tmp_path):
    kept = next(path for path in filled.files.glob("*/*"))
    whole = kept.read_bytes()
    assert soundness(filled).faults == ()
    for spoil, word in (
        (kept.unlink, "gone"),
        (lambda: kept.write_bytes(whole[:-1]), "damaged"),
        (lambda: kept.write_bytes(b""), "damaged"),
    ):
        spoil()
        (fault,) = soundness(filled).faults
        assert f"{kept}: the file is {word}; load it again" in fault
        assert len(teardown(filled, "WHI").measurements) == 3  # figures do not hang on it
        assert load_workbook(filled, tmp_path / "van.xlsx", "Ines").change is None
        assert kept.read_bytes() == whole
        assert soundness(filled).faults == ()


def test_rows_that_name_nothing_are_found(filled):
    only_sqlite(filled)
    with connection.cursor() as cursor:
        cursor.execute("PRAGMA foreign_keys = OFF")
        cursor.execute(
            "INSERT INTO vehicles_configuration (slot, statement, retired, wheels, options, note, change_id, owner_id) "
            "VALUES ('x', 'workbook', 0, '', '', '', 1, 'nobody')"
        )
    (fault,) = soundness(filled).faults
    assert "of vehicles_configuration names a row of vehicles_vehicle that is not there" in fault


def test_what_a_killed_program_left_half_written_goes_after_a_day(filled):
    folders = (filled.folder, filled.files / "ab")
    folders[1].mkdir(exist_ok=True)
    names = [f"{DATABASE}.making-1", f".{CARD}.making-2", f"{DATABASE}.making-1-wal"]
    left = [filled.folder / name for name in names] + [folders[1] / f"{'ab' * 32}.making-3"]
    for path in left:
        path.write_bytes(b"half")
    assert soundness(filled).left_behind == tuple(
        sorted(str(path.relative_to(filled.folder)) for path in left)
    )
    sweep(filled.folder, filled.files)
    assert all(path.exists() for path in left)  # somebody may be writing it
    for path in left:
        os.utime(path, (0, 0))
    before = exact(filled)
    again = open_store(filled.folder, create=True)
    assert left_behind(again.folder, again.files) == []
    assert exact(again) == before


def test_another_copy_of_the_store_is_as_good(filled, tmp_path):
    only_sqlite(filled)
    close_store()
    shutil.copytree(filled.folder, tmp_path / "copy")
    copy = open_record(tmp_path / "copy")
    assert soundness(copy).faults == ()
    assert load_workbook(copy, tmp_path / "van.xlsx", "Ines").change is None


@pytest.mark.parametrize(
    ("column", "value"), [("terms", "'['"), ("value", "'x'"), ("value", "9e999"), ("terms", "'[[1]]'")]
)
def test_rows_that_something_else_wrote_are_said_and_not_the_programs_fault(filled, column, value):
    only_sqlite(filled)
    close_store()
    with closing(sqlite3.connect(filled.folder / DATABASE)) as other:
        for (name,) in other.execute(
            "SELECT name FROM sqlite_master WHERE type = 'trigger' AND tbl_name = 'vehicles_measurement'"
        ).fetchall():
            other.execute(f'DROP TRIGGER "{name}"')
        other.execute(f"UPDATE vehicles_measurement SET {column} = {value}")
        other.commit()
    again = open_record(filled.folder)
    vehicles_of_services._HELD.forget()
    with pytest.raises(StoreRefused, match=r"rows of vehicle 'WHI' cannot be read back .* from a copy"):
        teardown(again, "WHI")
