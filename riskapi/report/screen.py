"""The screen that text is made for: how wide it is, and whether it shows marks. A setting of the context, as the
language is.

    with on_screen(Screen(width=80, marked=True)):
        strong("Traits")  # bold

Marks only repeat what the words say: bold for headings, one hue for ids and bars. Into a file or a pipe goes plain
text. Codes: ECMA-48 (5th edition, 1991), 8.3.117, Select Graphic Rendition.
"""

from __future__ import annotations

from collections.abc import Iterator
from contextlib import contextmanager
from contextvars import ContextVar
from dataclasses import dataclass

WIDTH = 96  # columns of text in a file or a pipe
NARROWEST, WIDEST = 40, 120  # columns that text is wrapped to, whatever a terminal says of itself


@dataclass(frozen=True, slots=True)
class Screen:
    """`width` in columns, None where there is no screen; `marked`: whether it shows bold and hue."""

    width: int | None = None
    marked: bool = False


_SCREEN: ContextVar[Screen] = ContextVar("screen", default=Screen())  # noqa: B039 (frozen)


@contextmanager
def on_screen(screen: Screen) -> Iterator[None]:
    """Within the block text is made for this screen."""
    token = _SCREEN.set(screen)
    try:
        yield
    finally:
        _SCREEN.reset(token)


def table_width() -> int | None:
    """Columns that a table may take; None where nothing is wrapped, so that a row stays a line."""
    width = _SCREEN.get().width
    return None if width is None else max(width, NARROWEST)


def text_width() -> int:
    """Columns that a line of text may take."""
    width = table_width()
    return WIDTH if width is None else min(width, WIDEST)


def strong(text: str) -> str:
    """The text in bold, where the screen shows it."""
    return _marked(text, 1, 22)


def hued(text: str) -> str:
    """The text in the one hue, where the screen shows it."""
    return _marked(text, 36, 39)


def _marked(text: str, begin: int, end: int) -> str:
    return f"\x1b[{begin}m{text}\x1b[{end}m" if text and _SCREEN.get().marked else text
