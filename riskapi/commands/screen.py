"""What the command line knows of the terminal: the screen it writes to, and a word on what takes longer than a second.

Marks only on a terminal, and not where NO_COLOR is set or TERM is 'dumb'. What takes long is told on standard error,
only on a terminal, and wiped away again when it is done.
"""

from __future__ import annotations

import shutil
import sys
import threading
import time
from collections.abc import Collection, Iterator, Mapping
from contextlib import contextmanager
from typing import TextIO, TypeVar

from riskapi.report.format import number
from riskapi.report.screen import WIDTH, Screen
from riskapi.report.terminal_texts import tell

_T = TypeVar("_T")
PATIENCE = 1.0  # seconds that pass in silence
_BEAT = 0.5  # seconds from one word to the next


def screen_of(stream: TextIO, environment: Mapping[str, str]) -> Screen:
    """The screen behind a stream; none behind a file or a pipe."""
    if not stream.isatty():
        return Screen()
    marked = not environment.get("NO_COLOR") and environment.get("TERM") != "dumb"
    return Screen(shutil.get_terminal_size((WIDTH, 24)).columns, marked)


@contextmanager
def waiting(key: str, *, stream: TextIO | None = None) -> Iterator[None]:
    """While the block runs longer than a second: what is being done (a key of terminal_texts), and for how long."""
    with _told(key, 0, stream):
        yield


def counted(items: Collection[_T], key: str, *, stream: TextIO | None = None) -> Iterator[_T]:
    """The items one by one, and after a second what is being done, how many are through, and for how long.

    Nothing may be written while an item is in work: gather it and write it afterwards.
    """
    with _told(key, len(items), stream) as teller:
        for item in items:
            yield item
            teller.done += 1


@contextmanager
def _told(key: str, total: int, stream: TextIO | None) -> Iterator[_Teller]:
    stream = stream or sys.stderr
    teller = _Teller(tell(key), total, stream)
    if stream.isatty():
        teller.start()
    try:
        yield teller
    finally:
        teller.end()


class _Teller(threading.Thread):
    """Writes one line over and over. The words are made beforehand: a thread does not know the language spoken."""

    def __init__(self, what: str, total: int, stream: TextIO) -> None:
        super().__init__(daemon=True)
        self.done = 0
        self._total, self._stream, self._ended = total, stream, threading.Event()
        self._words = tell("progress_count", what=what, total=number(total)) if total else what

    def run(self) -> None:
        began, written = time.monotonic(), 0
        pause = PATIENCE
        while not self._ended.wait(pause):
            line = f"{self._words.replace('#', str(self.done))} {time.monotonic() - began:.0f} s"
            self._stream.write("\r" + line.ljust(written))
            self._stream.flush()
            written, pause = max(written, len(line)), _BEAT
        if written:
            self._stream.write("\r" + " " * written + "\r")
            self._stream.flush()

    def end(self) -> None:
        """Wipe the line away; nothing is written from here on."""
        self._ended.set()
        if self.is_alive():
            self.join()
