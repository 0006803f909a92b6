"""The three invented vans that ship with the package."""

from __future__ import annotations

from importlib import resources
from pathlib import Path

VANS = ("whimbrel", "turnstone", "dotterel")


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
