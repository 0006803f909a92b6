"""Results that a page shows again and again: kept in the store under one kind, the last of them held in memory."""

from __future__ import annotations

from hoistbook.services.held import Held
from hoistbook.services.keeping import Json, input_hash, keep_or_hold, kept_value
from hoistbook.services.vehicles import Record


class KeptPages:
    """The results of one kind.

    Parameters
    ----------
    kind : str
        Under which they are kept.
    most : int
        How many are held in memory.
    """

    def __init__(self, kind: str, most: int) -> None:
        self.kind = kind
        self._held: Held[Json] = Held(most)

    def read(self, record: Record, inputs: Json) -> Json | None:
        """Return the result of these inputs; None when it was not worked out yet."""
        # A copy of a store may go another way, so that its folder is part of the name.
        key = f"{record.folder.resolve()} {input_hash(self.kind, inputs)}"
        return self._held.get(key, lambda: kept_value(record, self.kind, inputs))

    def keep(self, record: Record, inputs: Json, value: Json, seconds: float) -> None:
        """Keep a result, in memory where the store cannot be written."""
        keep_or_hold(record, self.kind, inputs, value, seconds)

    def forget(self) -> None:
        """Drop what is held in memory; it is read from the store again."""
        self._held.forget()
