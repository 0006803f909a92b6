"""A store on each database with a small vehicle in it, a client that asks for its pages, and a browser for the demo."""

import os
import re
import subprocess

import pytest

from app.looking import CHROMIUM, FILL, FLAGS, ODD, SERVE, Reader, corrected, odd, odd_study, python
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
        before = LINE.jobs()
        answer = client.get(address, **more)
        # Also what was asked for and has ended since: the page that is shown still waits for it.
        waiting = [job for job in LINE.jobs() if job.open or not any(job is one for one in before)]
        for job in waiting:
            assert job.finished.wait(60)
        return client.get(address, **more) if waiting else answer

    return get


@pytest.fixture
def van(load):
    """The sound workbook of the capture tests, loaded."""
    return load(sound(), note="first")


@pytest.fixture(scope="session")
def address(tmp_path_factory):
    """Address at which the demo is served, with one van corrected since, an odd vehicle and an odd study."""
    folder = tmp_path_factory.mktemp("pages")
    store = folder / "store"
    loads = [corrected(folder), "L. Svensson", odd(folder), ODD[1], odd_study(folder), ODD[0]]
    subprocess.run(**python(FILL, store, *loads), check=True)
    serving = subprocess.Popen(
        **python(SERVE, "serve", "--store", store, "--port", "0"), stdout=subprocess.PIPE
    )
    try:
        yield re.match(r"http://127\.0\.0\.1:\d+", serving.stdout.readline())[0]
    finally:
        serving.terminate()
        serving.wait(20)
        serving.stdout.close()


@pytest.fixture(scope="session")
def browser():
    from playwright.sync_api import sync_playwright

    # The driver leaves a loop in this thread; the database layer would take every later test to be asynchronous.
    os.environ["DJANGO_ALLOW_ASYNC_UNSAFE"] = "1"
    with sync_playwright() as playwright:
        opened = playwright.chromium.launch(executable_path=CHROMIUM, args=FLAGS)
        yield opened
        opened.close()


@pytest.fixture
def reader(browser, address):
    made = []

    def make(*args, **more):
        made.append(Reader(browser, address, *args, **more))
        return made[-1]

    yield make
    for one in made:
        one.context.close()
        assert (one.elsewhere, one.wrong) == ([], [])
