"""What a reader of files is pointed at may be a pipe, a device, a ring of links or endless: it is refused at once."""

import os
from pathlib import Path

import pytest

from hoistbook.capture.log_table import read_log_table
from hoistbook.capture.pads import read_pads
from hoistbook.capture.public_rows import read_public_rows
from hoistbook.reference.cost import read_scenario
from hoistbook.reference.cycles import read_cycle
from hoistbook.reference.energy import read_energy_defaults
from hoistbook.reference.files import MOST_SETTINGS_BYTES, bytes_of
from hoistbook.reference.published import read_published_settings
from hoistbook.reference.witness import read_witness
from hoistbook.services.cost_scenario import stated_scenario
from hoistbook.services.logs import channel_map

SETTINGS = {
    "defaults": read_energy_defaults,
    "published": read_published_settings,
    "scenario": read_scenario,
    "witness": read_witness,
    "stated scenario": stated_scenario,
    "channel map": lambda path: channel_map(str(path)),
}
READERS = {
    **{name: (read, ".toml") for name, read in SETTINGS.items()},
    "cycle": (read_cycle, ".csv"),
    "log": (read_log_table, ".csv"),
    "log in a workbook": (read_log_table, ".xlsx"),
    "published figures": (read_public_rows, ".csv"),
    "published figures in a workbook": (read_public_rows, ".xlsx"),
    "pads": (read_pads, ".csv"),
}
PLACES = {
    "pipe": lambda path: os.mkfifo(path),
    "device": lambda path: path.symlink_to("/dev/zero"),
    "folder": lambda path: path.mkdir(),
    "ring": lambda path: path.symlink_to(path.name),
}


@pytest.mark.parametrize("place", PLACES)
@pytest.mark.parametrize("reader", READERS)
def test_what_is_no_file_is_never_opened(tmp_path, reader, place):
    read, suffix = READERS[reader]
    path = tmp_path / f"given{suffix}"
    PLACES[place](path)
    with pytest.raises((ValueError, OSError)) as refused:
        read(path)
    assert "not a file" in str(refused.value) or "is not a file" in str(refused.value) or place == "ring"


@pytest.mark.parametrize("reader", SETTINGS)
def test_settings_without_end_are_refused_by_their_size(tmp_path, reader):
    path = tmp_path / "given.toml"
    path.write_text("# x\n" * (MOST_SETTINGS_BYTES // 4 + 1))
    with pytest.raises(ValueError, match=r"given\.toml: more than [0-9]+ bytes; "):
        SETTINGS[reader](path)


@pytest.mark.parametrize(
    "reader", [name for name in SETTINGS if name != "stated scenario"]
)  # that keeps the text
@pytest.mark.parametrize(
    ("text", "words"),
    [
        (b"a = " + b"[" * 50_000, "nested too deep"),
        (b"a = " + b"9" * 10_000, "not a TOML file"),
        (b"a = [", "not a TOML file"),
        (b'a = "\xe9"', "UTF-8"),
    ],
    ids=["nested", "digits", "cut off", "other encoding"],
)
def test_settings_that_cannot_be_read_say_so(tmp_path, reader, text, words):
    path = tmp_path / "given.toml"
    path.write_bytes(text)
    with pytest.raises(ValueError, match=words):
        SETTINGS[reader](path)


def test_no_more_is_read_than_asked_for(tmp_path):
    path = tmp_path / "log.csv"
    path.write_bytes(b"x" * 11)
    assert bytes_of(path, 11, "split it.") == b"x" * 11
    with pytest.raises(ValueError, match=r"log\.csv: more than 10 bytes; split it\."):
        bytes_of(path, 10, "split it.")
    with pytest.raises(FileNotFoundError):
        bytes_of(Path(tmp_path / "none"), 10, "")
