"""A store on each database with a small vehicle in it, and a client that asks for its pages."""

import pytest

from capture.books import saved, sound
from hoistbook.app import opened
from hoistbook.app.settings import configure_pages
from hoistbook.app.work import LINE
from hoistbook.services.record import load_workbook
from store.conftest import place, postgresql_template, server, sqlite_template

__all__ = ["place", "postgresql_template", "server", "sqlite_template"]


@pytest.fixture
def record(place):
    configure_pages()
    opened.set_record(place)
    yield place
    LINE.stop()


@pytest.fixture
def load(record, tmp_path):
    return lambda rows, **more: load_workbook(record, saved(tmp_path, rows), "Ines", **more)


@pytest.fixture
def client(record):
    from django.test import Client

    return Client(HTTP_HOST="127.0.0.1", enforce_csrf_checks=True)


@pytest.fixture
def ask(client):
    """Ask for a page; what it lacks is worked out first, as a reader who waits would see it."""

    def get(address, **more):
        answer = client.get(address, **more)
        waiting = [job for job in LINE.jobs() if job.open]
        for job in waiting:
            assert job.finished.wait(60)
        return client.get(address, **more) if waiting else answer

    return get


@pytest.fixture
def van(load):
    """The sound workbook of the capture tests, loaded."""
    return load(sound(), note="first")
