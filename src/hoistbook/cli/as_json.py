"""One JSON object on standard output."""

from __future__ import annotations

import json
from collections.abc import Mapping
from typing import Any

import typer

from hoistbook import __version__


def print_json(found: Mapping[str, Any]) -> None:
    """Print an object with the version that made it. A figure that is not finite is an error, never written."""
    typer.echo(json.dumps({**found, "hoistbook": __version__}, ensure_ascii=False, indent=2, allow_nan=False))
