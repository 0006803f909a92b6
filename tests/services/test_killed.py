"""A program that is killed while it writes leaves the store as it was or as it was to be; a few kills of each kind.

The full number is killed by `scripts/kill_loads.py`; its figures stand in docs/engines/store.md.
"""

import json
import os
import subprocess
import sys
from pathlib import Path

import pytest

from store.conftest import server  # noqa: F401

ROOT = Path(__file__).parents[2]


def killed(*words):
    found = subprocess.run(
        [sys.executable, ROOT / "scripts/kill_loads.py", "--json", "--parts", "60", *words],
        check=False,
        capture_output=True,
        text=True,
        timeout=1200,
        env={**os.environ, "PYTHONPATH": f"{ROOT / 'src'}{os.pathsep}{ROOT / 'scripts'}"},
    )
    assert found.returncode in (0, 1), found.stderr
    return json.loads(found.stdout)


def check(told, count):
    # first principles: all or nothing; there is no third state, whatever the moment.
    assert told["wrong"] == []
    assert told["kills"] == told["before"] + told["after"] == count


def test_a_killed_program_leaves_all_or_nothing():
    check(killed("--count", "6"), 6)


def test_a_killed_program_leaves_all_or_nothing_on_a_server(server):  # noqa: F811
    # Making the tables takes its time there, so only loads into a store that is there.
    check(killed("--count", "6", "--url", server.url, "--only", "corrected workbook"), 6)


@pytest.mark.slow
def test_two_hundred_kills():
    check(killed("--count", "200", "--seed", "2"), 200)


@pytest.mark.slow
def test_two_hundred_kills_on_a_server(server):  # noqa: F811
    check(killed("--count", "200", "--seed", "2", "--url", server.url), 200)
