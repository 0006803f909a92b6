"""Two programs at one store: one waits or is refused, and the end is that of one after the other."""

import os
import shutil

import pytest

from capture.books import saved, sound, with_new, with_row
from hoistbook.services.record import load_workbook, teardown, vehicles, waiting_rows
from hoistbook.store.changes.models import Change
from hoistbook.store.place import close_store, open_store
from hoistbook.store.soundness import soundness
from services import side_by_side as programs
from services.side_by_side import Programs, written_into
from store.conftest import place, postgresql_template, server, sqlite_template  # noqa: F401
from store_picture import alike

# first principles: rows of the sound workbook, counted by hand where the loads of one program are tested.
ROWS = 26


def book(folder, name, rows):
    (folder / name).mkdir(exist_ok=True)
    return saved(folder / name, rows).rename(folder / f"{name}.xlsx")


def without(sheet, **cells):
    rows = sound()
    rows[sheet] = [row for row in rows[sheet] if not cells.items() <= row.items()]
    return rows


class Twice:
    """A store with a vehicle of which one reading vanished, and copies of it on the same kind of database."""

    def __init__(self, place, folder, server_of):  # noqa: F811
        self.place, self.folder, self.server_of = place, folder, server_of
        self.url = os.environ.get("DATABASE_URL", "")
        self.dropped = []
        load_workbook(place, book(folder, "first", sound()), "Ines")
        load_workbook(place, book(folder, "second", without("measurements", reading="R3")), "Ines")
        close_store()

    def copy(self, name):
        folder = self.folder / name
        shutil.copytree(self.place.folder, folder)
        if not self.url:
            return folder, ""
        server = self.server_of()  # noqa: F811
        database = server.made(self.url.rpartition("/")[2])
        self.dropped.append((server, database))
        return folder, f"{server.url}/{database}"


@pytest.fixture
def twice(place, tmp_path, request):  # noqa: F811
    made = Twice(place, tmp_path, lambda: request.getfixturevalue("server"))
    yield made
    close_store()
    for where, database in made.dropped:
        where.dropped(database)


def in_turn(twice, name, *acts):
    folder, url = twice.copy(name)
    there = open_store(folder, url=url)
    said = [act(there, *given) for act, *given in acts]
    found = alike(there)
    close_store()
    return said, found


CASES = {
    "two corrections": (
        ("load", lambda: with_row("measurements", value=2.75)),
        ("load", lambda: with_row("measurements", 1, value=130)),
    ),
    "one adds, one takes away": (
        ("load", lambda: with_new("measurements", reading="R9", value=2.4, replicate=2)),
        ("load", lambda: without("measurements", reading="R2")),
    ),
    "a load against a retiring": (("load", sound), ("retire", "WHI")),
    "a load against a test": (("load", lambda: with_row("facts", 1, value=1.3)), ("enter", "WHI", [1])),
    "the same twice": (("load", sound), ("load", sound)),
}


@pytest.mark.parametrize("case", CASES)
def test_two_at_once_end_as_one_after_the_other(twice, tmp_path, case):
    acts = []
    for i, (name, *given) in enumerate(CASES[case]):
        if name == "load":
            given = [book(tmp_path, f"{case.split()[0]}{i}", given[0]())]
        acts.append((getattr(programs, name), *given))
    # first principles: the two orders, done one after the other in this process.
    in_order = in_turn(twice, "one-two", *acts)
    turned = in_turn(twice, "two-one", *acts[::-1])
    both = Programs(twice.place.folder, twice.url)
    for act in acts:
        both.start(*act)
    both.all_ready(2)
    with written_into(twice.place.folder, twice.url):  # so that both wait, whoever comes first
        both.go.set()
        both.all_trying(2)
    answers = both.answers()
    assert [word for word, _ in answers] == ["done", "done"], answers
    said = [what for _, what in answers]
    there = open_store(twice.place.folder, url=twice.url)
    found = (said, alike(there))
    assert found in (in_order, (turned[0][::-1], turned[1]))
    assert soundness(there).faults == ()


def test_who_cannot_wait_is_refused_and_has_written_nothing(twice, tmp_path):
    there = open_store(twice.place.folder, url=twice.url)
    before = alike(there)
    close_store()
    one = Programs(twice.place.folder, twice.url, wait_s=0.2)
    one.start(programs.load, book(tmp_path, "third", with_row("measurements", value=2.75)))
    one.all_ready(1)
    with written_into(twice.place.folder, twice.url):
        one.go.set()
        ((word, said),) = one.answers()
    assert word == "Busy"
    assert (
        "somebody else is writing into this store and did not finish within 0.2 s; nothing was written"
        in said
    )
    assert alike(open_store(twice.place.folder, url=twice.url)) == before


def test_readers_see_a_vehicle_before_or_after_a_load_and_never_wait(twice, tmp_path):
    there = open_store(twice.place.folder, url=twice.url)
    values = [2.5, 2.6, 2.7, 2.8]
    paths = [
        book(tmp_path, f"v{i}", with_row("measurements", value=value)) for i, value in enumerate(values[1:])
    ]
    before = [(m.id, m.value.value) for m in teardown(there, "WHI").measurements]
    stop, turn = programs.event(), programs.semaphore()
    readers = Programs(there.folder, twice.url, together=False)
    for _ in range(2):
        readers.start(programs.read_on, "WHI", stop, turn)
    for path in paths:
        assert turn.acquire(timeout=60)
        load_workbook(there, path, "Ines")
    with written_into(there.folder, twice.url):  # a writer that takes its time does not hold them up
        while turn.acquire(block=False):
            pass
        for _ in range(6):
            assert turn.acquire(timeout=60)
        stop.set()
        answers = readers.answers()
    for word, found in answers:
        assert word == "done", found
        # Whole states only, in the order in which they were written.
        whole = [[("R1", value), *before[1:]] for value in values]
        places = [whole.index(one) for one in found]
        assert places == sorted(places)


def test_nothing_is_lost_among_many_writers(twice):
    many = Programs(twice.place.folder, twice.url, together=False)
    for i in range(3):
        many.start(programs.enter, "WHI", [10 * i + j for j in range(1, 5)])
    assert many.answers() == [("done", [1, 1, 1, 1])] * 3
    there = open_store(twice.place.folder, url=twice.url)
    kept = list(Change.objects.filter(kind="enter facts").order_by("id").values_list("at", flat=True))
    assert len(kept) == 12
    assert kept == sorted(kept)
    assert soundness(there).faults == ()


@pytest.mark.parametrize("codes", [("WHI", "WHI"), ("WHI", "DOT")])
@pytest.mark.parametrize("database", ["sqlite", "postgresql"])
def test_two_first_loads_make_one_store(tmp_path, request, monkeypatch, codes, database):
    monkeypatch.delenv("DATABASE_URL", raising=False)
    url = ""
    if database == "postgresql":
        server = request.getfixturevalue("server")
        name = server.made()
        url = f"{server.url}/{name}"
    paths = [book(tmp_path, f"{code}{i}", with_row("vehicle", code=code)) for i, code in enumerate(codes)]
    both = Programs(tmp_path / "store", url, together=False)
    for path in paths:
        both.start(programs.load, path)
    answers = both.answers()
    assert [word for word, _ in answers] == ["done", "done"], answers
    record = open_store(tmp_path / "store", url=url)
    assert [line.code for line in vehicles(record)] == sorted(set(codes))
    # first principles: the same vehicle twice is added once, another one beside it.
    added = sorted(what["added"] for _, what in answers)
    assert added == ([0, ROWS] if len(set(codes)) == 1 else [ROWS, ROWS])
    assert soundness(record).faults == ()
    assert waiting_rows(record, "WHI") == ()
    close_store()
    if url:
        server.dropped(name)
