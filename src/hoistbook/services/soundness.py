"""Whether a store is whole: database, chains of versions, files."""

from __future__ import annotations

from hoistbook.services.vehicles import Record
from hoistbook.store import soundness as looked_over
from hoistbook.store.soundness import Soundness

__all__ = ["Soundness", "soundness"]


def soundness(record: Record) -> Soundness:
    """Look a whole store over: every page of the database, every chain of versions, every kept file."""
    return looked_over.soundness(record)
