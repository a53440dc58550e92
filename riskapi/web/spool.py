"""A request body that is read while the answer is already on its way.

Many clients send everything before they read anything. A server that answers line by line and reads on only when its
answer is taken would then wait for the client, and the client for the server. So a thread of its own takes the body off
the wire into a file; memory stays the same however long the body is.
"""

from __future__ import annotations

import tempfile
import threading
from collections.abc import Iterator
from typing import IO, Protocol

PIECE = 65_536


class Source(Protocol):
    """Anything that bytes are read from."""

    def read(self, size: int, /) -> bytes: ...


class _Line:
    """One line as it comes in; of one that is too long nothing is kept."""

    def __init__(self, longest: int) -> None:
        self._longest, self._kept, self._too_long = longest, bytearray(), False

    @property
    def begun(self) -> bool:
        return self._too_long or bool(self._kept)

    def add(self, part: bytes) -> None:
        if not self._too_long:
            self._kept += part
            self._too_long = len(self._kept) > self._longest

    def take(self) -> bytes | None:
        taken = None if self._too_long else bytes(self._kept)
        self._kept, self._too_long = bytearray(), False
        return taken


class Spool:
    """What a source gives, in a file of its own, readable as far as it has come."""

    def __init__(self, source: Source, limit: int) -> None:
        self._source, self._limit = source, limit
        self._file: IO[bytes] = tempfile.TemporaryFile()  # noqa: SIM115 (closed by close)
        self._arrived, self._ended, self._failed = 0, False, False
        self._more = threading.Condition()
        self._reader = threading.Thread(target=self._fill, name="batch-body", daemon=True)
        self._reader.start()

    @property
    def cut(self) -> bool:
        """Whether the body ended early: broken off, or longer than the limit."""
        return self._failed

    def lines(self, longest: int) -> Iterator[bytes | None]:
        """The lines, without their ends; None for one longer than `longest` bytes, which is skipped."""
        line = _Line(longest)
        for piece in self._pieces():
            first, *rest = piece.split(b"\n")
            line.add(first)
            for part in rest:
                yield line.take()
                line.add(part)
        if line.begun:
            yield line.take()

    def close(self) -> None:
        """Forget the file; the thread ends with the source."""
        with self._more:
            self._ended = True
            self._file.close()

    def _fill(self) -> None:
        failed = False
        try:
            while piece := self._source.read(PIECE):
                if not self._take(piece):
                    failed = True
                    break
        except Exception:  # noqa: BLE001 (whatever a broken connection raises: the body ends here)
            failed = True
        with self._more:
            self._ended, self._failed = True, failed
            self._more.notify_all()

    def _take(self, piece: bytes) -> bool:
        with self._more:
            if self._file.closed or self._arrived + len(piece) > self._limit:
                return False
            self._file.seek(self._arrived)
            self._file.write(piece)
            self._arrived += len(piece)
            self._more.notify_all()
            return True

    def _pieces(self) -> Iterator[bytes]:
        at = 0
        while piece := self._piece(at):
            at += len(piece)
            yield piece

    def _piece(self, at: int) -> bytes:
        """What has come from `at` on, at least a byte of it; nothing at the end."""
        with self._more:
            self._more.wait_for(lambda: self._arrived > at or self._ended)
            if self._arrived == at:
                return b""
            self._file.seek(at)
            return self._file.read(min(PIECE, self._arrived - at))
