"""Kept results that pages ask for again and again, held in memory after they were read once."""

from __future__ import annotations

from collections import OrderedDict
from threading import Lock

from hoistbook.services.keeping import Json, input_hash, kept
from hoistbook.services.vehicles import Record


class Held:
    """The last results of one kind that were read from the store.

    Parameters
    ----------
    kind : str
        Under which they are kept.
    most : int
        How many are held; the one that was not asked for the longest makes room.
    """

    def __init__(self, kind: str, most: int) -> None:
        self.kind = kind
        self._most = most
        self._found: OrderedDict[str, Json] = OrderedDict()
        self._lock = Lock()

    def read(self, record: Record, inputs: Json) -> Json | None:
        """Return the result of these inputs; None when it was not worked out yet."""
        # A copy of a store may go another way, so that its folder is part of the name.
        key = f"{record.folder.resolve()} {input_hash(self.kind, inputs)}"
        with self._lock:
            if key in self._found:
                self._found.move_to_end(key)
                return self._found[key]
        found = kept(record, self.kind, inputs)
        if found is None:
            return None
        with self._lock:
            self._found[key] = found.value
            while len(self._found) > self._most:
                self._found.popitem(last=False)
        return found.value

    def forget(self) -> None:
        """Drop what is held; it is read from the store again."""
        with self._lock:
            self._found.clear()
