"""A few things that are dear to compute and asked for again soon, kept in this process only."""

from __future__ import annotations

from collections import OrderedDict
from collections.abc import Callable, Hashable
from threading import Lock
from typing import Generic, TypeVar

Key = TypeVar("Key", bound=Hashable)
Value = TypeVar("Value")


class Recent(Generic[Key, Value]):
    """The `most` values asked for last. Any thread may ask; two that miss at once both compute, and one is kept."""

    def __init__(self, most: int) -> None:
        self.most = most
        self._values: OrderedDict[Key, Value] = OrderedDict()
        self._lock = Lock()

    def get(self, key: Key, compute: Callable[[], Value]) -> Value:
        """The value kept for this key, else the computed one, which is then kept. Raises what `compute` raises."""
        with self._lock:
            if key in self._values:
                self._values.move_to_end(key)
                return self._values[key]
        value = compute()
        with self._lock:
            kept = self._values.setdefault(key, value)
            self._use(key)
        return kept

    def peek(self, key: Key) -> Value | None:
        """The value kept for this key, if there is one."""
        with self._lock:
            if key in self._values:
                self._values.move_to_end(key)
            return self._values.get(key)

    def put(self, key: Key, value: Value) -> None:
        """Keep this value for the key, in place of what was kept."""
        with self._lock:
            self._values[key] = value
            self._use(key)

    def _use(self, key: Key) -> None:
        self._values.move_to_end(key)
        while len(self._values) > self.most:
            self._values.popitem(last=False)

    def __len__(self) -> int:
        return len(self._values)
