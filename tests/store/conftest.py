"""A store on each database; every test that takes `place` runs on both."""

from __future__ import annotations

import os
import secrets
import shutil
from collections.abc import Iterator
from pathlib import Path

import pytest

SERVER_VARIABLE = "HOISTBOOK_TEST_POSTGRESQL"


def _server() -> str:
    return os.environ.get(SERVER_VARIABLE, "").rstrip("/")


class Server:
    """A PostgreSQL server on which test databases may be made."""

    def __init__(self, url: str) -> None:
        self.url = url
        self.number = 0
        self.stem = f"hoistbook_test_{os.getpid()}_{secrets.token_hex(3)}"

    def run(self, statement: str) -> None:
        import psycopg

        with psycopg.connect(f"{self.url}/postgres", autocommit=True) as connection:
            connection.execute(statement)

    def made(self, template: str = "template1") -> str:
        """Make a database and return its name."""
        self.number += 1
        name = f"{self.stem}_{self.number}"
        self.run(f"CREATE DATABASE {name} TEMPLATE {template}")
        return name

    def dropped(self, name: str) -> None:
        self.run(f"DROP DATABASE IF EXISTS {name} WITH (FORCE)")


@pytest.fixture(scope="session")
def server() -> Server:
    url = _server()
    if not url:
        pytest.skip(f"no PostgreSQL: {SERVER_VARIABLE} is not set")
    return Server(url)


@pytest.fixture(scope="session")
def sqlite_template(tmp_path_factory: pytest.TempPathFactory) -> Path:
    from hoistbook.store.place import close_store, open_store

    folder = tmp_path_factory.mktemp("template") / "store"
    open_store(folder, create=True, url="")
    close_store()
    return folder


@pytest.fixture(scope="session")
def postgresql_template(
    server: Server, tmp_path_factory: pytest.TempPathFactory
) -> Iterator[tuple[Path, str]]:
    from hoistbook.store.place import close_store, open_store

    folder = tmp_path_factory.mktemp("template") / "store"
    name = server.made()
    open_store(folder, create=True, url=f"{server.url}/{name}")
    close_store()
    yield folder, name
    server.dropped(name)


@pytest.fixture(params=["sqlite", "postgresql"])
def place(
    request: pytest.FixtureRequest, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> Iterator[object]:
    """An open, empty store in a folder of its own; DATABASE_URL is set to match, so that commands find it too."""
    from hoistbook.store.place import close_store, open_store

    folder = tmp_path / "store"
    if request.param == "sqlite":
        shutil.copytree(request.getfixturevalue("sqlite_template"), folder)
        monkeypatch.delenv("DATABASE_URL", raising=False)
        yield open_store(folder)
        close_store()
        return
    template, name = request.getfixturevalue("postgresql_template")
    server = request.getfixturevalue("server")
    shutil.copytree(template, folder)
    database = server.made(name)
    monkeypatch.setenv("DATABASE_URL", f"{server.url}/{database}")
    yield open_store(folder)
    close_store()
    server.dropped(database)
