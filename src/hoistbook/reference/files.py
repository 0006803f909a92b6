"""Read a file that somebody named: a file proper, of bounded size, never a pipe or a device that need not end."""

from __future__ import annotations

import stat
import tomllib
from pathlib import Path
from typing import Any

MOST_SETTINGS_BYTES = 5_000_000
"""project rule: scenarios, defaults and settings have some kilobytes."""


def no_file(path: Path) -> str | None:
    """Say what stands in the place of a file; None when it is one, and where nothing is there at all."""
    try:
        mode = path.stat().st_mode
    except FileNotFoundError:
        return "a link that leads nowhere" if path.is_symlink() else None
    except (OSError, ValueError):  # a ring of links, a name that is too long, a folder nobody may look into
        return "a link that leads nowhere" if path.is_symlink() else "out of reach"
    if stat.S_ISREG(mode):
        return None
    if stat.S_ISDIR(mode):
        return "a folder"
    return "a pipe" if stat.S_ISFIFO(mode) else "a device"


def bytes_of(path: Path, most_bytes: int, advice: str) -> bytes:
    """Read a whole file.

    Parameters
    ----------
    path : Path
    most_bytes : int
        Of a larger file no more is read than this.
    advice : str
        What to do about one that is larger.

    Raises
    ------
    ValueError
        A folder, a pipe or a device, or larger than `most_bytes`.
    FileNotFoundError
        There is no such file.
    """
    if (what := no_file(path)) is not None:
        msg = f"{path.name} is {what}, not a file; give the file itself."
        raise ValueError(msg)
    with path.open("rb") as file:
        data = file.read(most_bytes + 1)
    if len(data) > most_bytes:
        msg = f"{path.name}: more than {most_bytes} bytes; {advice}"
        raise ValueError(msg)
    return data


def settings_text(path: Path, like: str) -> str:
    """Read the text of a small TOML file; `like` says which packaged file shows its layout.

    Raises
    ------
    ValueError
        No file proper, larger than `MOST_SETTINGS_BYTES`, or not UTF-8.
    FileNotFoundError
        There is no such file.
    """
    data = bytes_of(path, MOST_SETTINGS_BYTES, f"{like}.")
    try:
        return data.decode("utf-8-sig")
    except UnicodeDecodeError as error:
        msg = f"{path.name} is not a TOML file in UTF-8 ({error.reason} at byte {error.start}); {like}."
        raise ValueError(msg) from error


def toml_of(text: str, place: str, like: str) -> dict[str, Any]:
    """Read TOML; `place` is what messages call the file, `like` what they advise.

    Raises
    ------
    ValueError
        Not TOML, nested too deep, or a number of thousands of digits.
    """
    try:
        return tomllib.loads(text)
    except RecursionError as error:
        msg = f"{place} is nested too deep for a TOML file of this kind; {like}."
        raise ValueError(msg) from error
    except ValueError as error:  # its own error is one, and so is that of a whole number without end
        msg = f"{place} is not a TOML file in UTF-8 ({error}); {like}."
        raise ValueError(msg) from error
