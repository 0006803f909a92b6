"""What goes wrong with a store, said to the person who can mend it."""

from __future__ import annotations


class StoreRefused(ValueError):
    """A store that cannot be opened, or a statement it does not take. The message says what, where, how to mend it."""


class Busy(StoreRefused):
    """Somebody else is writing into the store, and did not finish in the time allowed."""
