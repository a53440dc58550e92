"""Tables as lines of text: columns aligned, numbers to the right, wrapped to the screen."""

from __future__ import annotations

import textwrap
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from itertools import zip_longest

from riskapi.report.screen import hued, strong, table_width

GAP = 2  # blanks between columns
LONGEST_WORD = 26  # characters below which a word is kept whole


@dataclass(frozen=True, slots=True)
class Head:
    """The head of a column. `right`: numbers, aligned to the right and never wrapped; `hue`: ids, set apart."""

    title: str
    right: bool = False
    hue: bool = False


Row = Sequence[str]


def grid(heads: Sequence[Head], rows: Sequence[Row], indent: int = 0, *, sparse: bool = False) -> Iterator[str]:
    """The lines of a table; none where it has no rows. `sparse` leaves out columns without any text."""
    kept = [k for k in range(len(heads)) if rows and (not sparse or any(row[k] for row in rows))]
    shown, cells = [heads[k] for k in kept], [[row[k] for k in kept] for row in rows]
    if not shown:
        return
    titles = [head.title for head in shown]
    widths = _fitted(shown, [titles, *cells], indent)
    if any(titles):
        yield from (strong(line) for line in _lines(shown, titles, widths, indent, plain=True))
    for row in cells:
        yield from _lines(shown, row, widths, indent)


def _fitted(heads: Sequence[Head], rows: Sequence[Row], indent: int) -> list[int]:
    """Widths of the columns [characters]: as wide as their text, then the widest narrowed until the screen holds all,
    but none below its longest word or number."""
    columns = list(zip(*rows, strict=True))
    widths = [max(len(cell) for cell in column) for column in columns]
    room = table_width()
    if room is None:
        return widths
    floors = [_narrowest(head, column) for head, column in zip(heads, columns, strict=True)]
    room -= indent + GAP * (len(heads) - 1)
    while sum(widths) > room:
        loose = [k for k, width in enumerate(widths) if width > floors[k]]
        if not loose:
            break
        widths[max(loose, key=lambda k: widths[k])] -= 1
    return widths


def _narrowest(head: Head, column: Sequence[str]) -> int:
    title, *cells = column
    words = [*title.split(), *(cells if head.right else (word for cell in cells for word in cell.split()))]
    longest = max(map(len, words), default=1)
    return longest if head.right else min(longest, LONGEST_WORD)


def _lines(
    heads: Sequence[Head], row: Row, widths: Sequence[int], indent: int, *, plain: bool = False
) -> Iterator[str]:
    wrapped = [
        textwrap.wrap(cell, width, break_on_hyphens=False) if len(cell) > width else [cell]
        for cell, width in zip(row, widths, strict=True)
    ]
    for parts in zip_longest(*wrapped, fillvalue=""):
        last = max((k for k, part in enumerate(parts) if part), default=0)
        placed = [_placed(heads[k], parts[k], widths[k], ends=k == last, plain=plain) for k in range(last + 1)]
        yield " " * indent + (" " * GAP).join(placed)


def _placed(head: Head, text: str, width: int, *, ends: bool, plain: bool) -> str:
    blank = " " * (width - len(text))
    told = hued(text) if head.hue and not plain else text
    if head.right:
        return blank + told
    return told if ends else told + blank
