"""The packaged vans are read once for all tests of the command; any other workbook is read each time."""

from functools import cache

import pytest

from hoistbook.services import loading
from hoistbook.services.demo import van_paths

_read = loading.load_teardown


@cache
def _van(path):
    return _read(path)


@pytest.fixture(autouse=True)
def vans_read_once(monkeypatch):
    packaged = set(van_paths().values())

    def load(path, progress=None):
        return _van(path) if path in packaged else _read(path, progress)

    monkeypatch.setattr(loading, "load_teardown", load)
