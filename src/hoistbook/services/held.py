"""The values asked for last, held in memory: what a page needs again and again is read and unpacked once."""

from __future__ import annotations

from collections import OrderedDict
from collections.abc import Callable, Hashable
from threading import Lock
from typing import Generic, TypeVar

Value = TypeVar("Value")


class Held(Generic[Value]):
    """At most `most` values; the one that was not asked for longest makes room. Threads may share it.

    Parameters
    ----------
    most : int
    """

    def __init__(self, most: int) -> None:
        self._most = most
        self._values: OrderedDict[Hashable, Value] = OrderedDict()
        self._lock = Lock()

    def get(self, key: Hashable, make: Callable[[], Value | None]) -> Value | None:
        """Return the value of a key, made where it is not held; None is handed on and not held.

        Two who ask at once may both make it, since making takes long and others must not wait for it.
        """
        with self._lock:
            if key in self._values:
                self._values.move_to_end(key)
                return self._values[key]
        made = make()
        if made is not None:
            with self._lock:
                self._values[key] = made
                self._values.move_to_end(key)
                while len(self._values) > self._most:
                    self._values.popitem(last=False)
        return made

    def forget(self) -> None:
        """Drop all of them."""
        with self._lock:
            self._values.clear()
