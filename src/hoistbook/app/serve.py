"""Serve the pages of one store to browsers on this machine."""

from __future__ import annotations

import logging
import socket
import sys
from collections.abc import Callable
from pathlib import Path
from typing import Any

from hoistbook.app.settings import configure_pages

HOST = "127.0.0.1"
THREADS = 8
"""project rule: more than a browser opens connections; each holds a connection to the database while it answers."""
LARGEST_BODY = 65536
"""Bytes of a form. project rule: ours are far smaller, and what is larger is refused before it is kept anywhere."""


def application(folder: Path) -> Any:
    """Open a store and return the WSGI application of its pages.

    Raises
    ------
    StoreRefused
        There is no store, or it cannot be used.
    """
    configure_pages()
    from django.core.handlers.wsgi import WSGIHandler

    from hoistbook.app import opened
    from hoistbook.services.vehicles import open_record

    opened.set_record(open_record(folder))
    made_ready()
    return WSGIHandler()


def made_ready() -> None:
    """Bring in what all pages share before the first is asked for; else its reader waits more than a second."""
    from django.urls import get_resolver

    from hoistbook.services.cost_scenario import Stated
    from hoistbook.services.keeping import model_version

    _ = get_resolver().url_patterns
    model_version()
    Stated().scenario()


def serve(folder: Path, port: int, told: Callable[[str], None] | None = None) -> None:
    """Serve until the process is ended.

    Parameters
    ----------
    folder : Path
        Of the store.
    port : int
        0 takes any free one.
    told : callable, optional
        Called with the address once connections are taken.

    Raises
    ------
    StoreRefused
        There is no store, or it cannot be used.
    ValueError
        The port is taken.
    """
    import waitress

    from hoistbook.app.work import LINE

    _log_to_terminal()
    answer = application(folder)
    listening = _socket(port)
    server = waitress.create_server(
        answer,
        sockets=[listening],
        threads=THREADS,
        max_request_body_size=LARGEST_BODY,
        ident=None,
        expose_tracebacks=False,
        clear_untrusted_proxy_headers=True,
    )
    if told is not None:
        told(f"http://{HOST}:{listening.getsockname()[1]}/")
    try:
        server.run()
    finally:
        server.close()
        LINE.stop(timeout_s=0.5)


def _socket(port: int) -> socket.socket:
    """A socket on the loopback interface: no other machine can reach it."""
    listening = socket.socket(socket.AF_INET, socket.SOCK_STREAM)
    listening.setsockopt(socket.SOL_SOCKET, socket.SO_REUSEADDR, 1)
    try:
        listening.bind((HOST, port))
    except OSError as error:
        listening.close()
        msg = f"port {port} of this machine is taken ({error.strerror}); give another one with --port."
        raise ValueError(msg) from error
    return listening


def _log_to_terminal() -> None:
    handler = logging.StreamHandler(sys.stderr)
    handler.setFormatter(logging.Formatter("%(asctime)s %(levelname)s %(message)s"))
    for name in ("hoistbook.app", "django.request", "waitress"):
        logging.getLogger(name).addHandler(handler)
    logging.getLogger("django.request").setLevel(logging.ERROR)
