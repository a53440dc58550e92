"""What is kept in a process for a while."""

from __future__ import annotations

from concurrent.futures import ThreadPoolExecutor
from itertools import count

import pytest

from riskapi.desk.recent import Recent


def test_a_value_is_computed_once() -> None:
    recent, calls = Recent[str, int](2), count()
    assert [recent.get("a", lambda: next(calls)) for _ in range(3)] == [0, 0, 0]


def test_the_one_asked_for_longest_ago_goes() -> None:
    recent = Recent[str, int](2)
    for key in ("a", "b", "a", "c"):
        recent.get(key, lambda: 1)
    assert len(recent) == 2
    assert (recent.get("a", lambda: 2), recent.get("c", lambda: 2), recent.get("b", lambda: 2)) == (1, 1, 2)


def test_a_value_put_there_takes_the_place_of_another() -> None:
    recent = Recent[str, int](2)
    assert recent.peek("a") is None
    for key, value in (("a", 1), ("b", 2), ("a", 3), ("c", 4)):
        recent.put(key, value)
    assert (recent.peek("a"), recent.peek("b"), recent.peek("c"), len(recent)) == (3, None, 4, 2)


def test_a_failure_is_not_kept() -> None:
    recent = Recent[str, float](2)
    with pytest.raises(ZeroDivisionError):
        recent.get("a", lambda: 1 / 0)
    assert recent.get("a", lambda: 1.0) == 1.0


def test_threads_agree_on_one_value() -> None:
    recent, calls = Recent[int, int](4), count()
    with ThreadPoolExecutor(8) as pool:
        found = list(pool.map(lambda i: recent.get(i % 3, lambda: next(calls)), range(300)))
    assert len(set(found)) == 3
    assert len(recent) == 3
