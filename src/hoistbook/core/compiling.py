"""Plain loops compiled by numba where it is installed (extra `fast`)."""

from __future__ import annotations

from collections.abc import Callable
from functools import cache
from typing import Any


@cache
def compiled(loops: Callable[..., Any]) -> Callable[..., Any] | None:
    """Return the loops compiled, or None when numba is not installed. Compiled loops let other threads run.

    Parameters
    ----------
    loops : callable
        A module-level function of arrays and numbers.
    """
    try:
        import numba
    except ImportError:
        return None
    settings: dict[str, Any] = {"nogil": True, "error_model": "numpy"}
    try:
        kept: Callable[..., Any] = numba.njit(cache=True, **settings)(loops)
    except RuntimeError:
        # Nowhere to keep the compiled code (read-only installation, no home): compile anew in each process.
        kept = numba.njit(**settings)(loops)
    return kept
