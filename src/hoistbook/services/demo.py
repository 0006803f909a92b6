"""The three invented vans that ship with the package, and the store the demo makes of them."""

from __future__ import annotations

from importlib import resources
from pathlib import Path
from tempfile import TemporaryDirectory

VANS = ("whimbrel", "turnstone", "dotterel")
STUDY_FILE, STUDY = "study.xlsx", "light-vans"
DEMO_PERSON = "the demo"


def van_paths() -> dict[str, Path]:
    """Workbooks of the vans by name.

    Raises
    ------
    FileNotFoundError
        The package was installed without its data.
    """
    folder = resources.files("hoistbook.reference") / "data" / "vans"
    found = {name: Path(str(folder / f"{name}.xlsx")) for name in VANS}
    lost = [str(path) for path in found.values() if not path.is_file()]
    if lost:
        msg = f"{lost[0]} is missing: the package was installed without its example workbooks; install it again."
        raise FileNotFoundError(msg)
    return found


def demo_store(folder: Path) -> bool:
    """Make a store of the vans, their study, frozen, and their tests; leave one that is there as it is.

    Parameters
    ----------
    folder : Path
        Of the store; always on SQLite, whatever DATABASE_URL says, since nobody wants invented vans among real ones.

    Returns
    -------
    bool
        Whether it was made now.
    """
    # Only a store needs the web framework's database layer, so it is not imported before one is wanted.
    from hoistbook.services.demo_tests import enter_tests
    from hoistbook.services.load import load
    from hoistbook.services.pages.book import Asked, work_out
    from hoistbook.services.pages.heads import heads
    from hoistbook.services.study import freeze
    from hoistbook.store.place import close_store, open_store

    if folder.exists():
        return False
    paths = van_paths()
    # Built beside and put in place when whole, so that a demo that was stopped does not leave half a store behind.
    folder.parent.mkdir(parents=True, exist_ok=True)
    with TemporaryDirectory(dir=folder.parent, prefix=f".{folder.name}-") as beside:
        record = open_store(Path(beside) / folder.name, create=True, url="")
        for path in (*paths.values(), next(iter(paths.values())).with_name(STUDY_FILE)):
            load(record, path, DEMO_PERSON, "packaged with the program")
        freeze(record, STUDY, DEMO_PERSON)
        enter_tests(record, next(iter(paths.values())).with_name("logs"), DEMO_PERSON)
        for one in heads(record):
            # Half a second that the first reader of the pages does not wait.
            work_out(record, Asked(one.code, one.change, one.configuration().id))
        close_store()
        record.folder.rename(folder)
    return True


def keep_answer(folder: Path) -> None:
    """Work out the gap the demo's study asks for, so that its pages answer before anybody waits for them.

    Parameters
    ----------
    folder : Path
        Of a store that `demo_store` made.
    """
    from hoistbook.services.pages.gap import asked_gap, work_out
    from hoistbook.services.study import state_of_study
    from hoistbook.store.place import close_store, open_store

    record = open_store(folder, url="")
    last = state_of_study(record, STUDY).last
    if last is not None:
        work_out(record, asked_gap(record, STUDY, last))
    close_store()
