"""hoistbook serve: the pages of a store, for browsers on this machine."""

from __future__ import annotations

from typing import Annotated

import typer

from hoistbook.cli.options import NeededStore

PORT = 8765
"""project rule: a port that no common service takes."""


def serve(
    store: NeededStore,
    port: Annotated[
        int, typer.Option(min=0, max=65535, help="Port on this machine; 0 takes any that is free.")
    ] = PORT,
) -> None:
    """Show the pages of a store in a browser.

    To browsers on this machine and to no other; Ctrl-C ends it.
    """
    from hoistbook.app.serve import serve as serve_pages

    serve_pages(store, port, lambda address: typer.echo(f"{address} shows {store}; Ctrl-C ends it."))
