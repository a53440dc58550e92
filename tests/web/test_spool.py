from __future__ import annotations

import io
import threading

import pytest
from hypothesis import given
from hypothesis import strategies as st

from riskapi.web import spool as spool_module
from riskapi.web.spool import Spool


def lines(data: bytes, longest: int = 100, limit: int = 10_000) -> list[bytes | None]:
    spool = Spool(io.BytesIO(data), limit)
    try:
        return list(spool.lines(longest))
    finally:
        spool.close()


@given(st.lists(st.binary(max_size=30).map(lambda part: part.replace(b"\n", b"")), max_size=30), st.integers(1, 40))
def test_what_was_joined_by_line_ends_comes_apart_again(parts: list[bytes], piece: int) -> None:
    with pytest.MonkeyPatch.context() as patch:
        patch.setattr(spool_module, "PIECE", piece)
        assert lines(b"".join(part + b"\n" for part in parts)) == parts


def test_the_last_line_needs_no_end() -> None:
    assert lines(b"a\nb") == [b"a", b"b"]
    assert lines(b"") == []
    assert lines(b"\n") == [b""]


@given(st.integers(1, 8))
def test_a_line_that_is_too_long_is_skipped_whole(piece: int) -> None:
    with pytest.MonkeyPatch.context() as patch:
        patch.setattr(spool_module, "PIECE", piece)
        assert lines(b"abc\n" + b"x" * 11 + b"\ndef\n" + b"y" * 12, longest=10) == [b"abc", None, b"def", None]


def test_a_body_longer_than_the_limit_is_cut_and_says_so(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(spool_module, "PIECE", 4)
    spool = Spool(io.BytesIO(b"abc\ndef\nghi\n"), limit=8)
    assert list(spool.lines(10)) == [b"abc", b"def"]
    assert spool.cut
    spool.close()


class Pipe:
    """A source that gives what it is told, when it is told; None breaks the connection."""

    def __init__(self) -> None:
        self.ready, self.parts = threading.Semaphore(0), list[bytes | None]()

    def give(self, part: bytes | None) -> None:
        self.parts.append(part)
        self.ready.release()

    def read(self, _size: int, /) -> bytes:
        self.ready.acquire()
        part = self.parts.pop(0)
        if part is None:
            raise ConnectionResetError
        return part


def test_a_line_is_there_before_the_body_has_ended() -> None:
    pipe = Pipe()
    spool = Spool(pipe, 100)
    read = spool.lines(10)
    pipe.give(b"a\nb")
    assert next(read) == b"a"
    pipe.give(b"\n")
    assert next(read) == b"b"
    pipe.give(b"")
    assert list(read) == []
    assert not spool.cut
    spool.close()


def test_a_broken_connection_ends_the_body_and_says_so() -> None:
    pipe = Pipe()
    spool = Spool(pipe, 100)
    pipe.give(b"a\nb")
    pipe.give(None)
    assert list(spool.lines(10)) == [b"a", b"b"]
    assert spool.cut
    spool.close()


def test_the_body_is_read_even_while_nobody_takes_the_lines() -> None:
    """Else a client that sends everything before it reads would wait for ever."""
    pipe = Pipe()
    spool = Spool(pipe, 10_000)
    for _ in range(50):
        pipe.give(b"x" * 99 + b"\n")
    pipe.give(b"")
    spool._reader.join(10)
    assert not spool._reader.is_alive()
    assert len(list(spool.lines(100))) == 50
    spool.close()
