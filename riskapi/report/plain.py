"""The report as plain text for a terminal."""

from __future__ import annotations

import textwrap
from collections.abc import Collection, Iterator

from riskapi.report import format as fmt
from riskapi.report.grid import Head, grid
from riskapi.report.language import speaking
from riskapi.report.screen import strong, text_width
from riskapi.report.sections import (
    Amount,
    Block,
    Bullets,
    Cell,
    Chance,
    ChanceBar,
    Facts,
    Item,
    Reasons,
    Report,
    Section,
    Shares,
    Table,
    Text,
    YearChart,
)
from riskapi.report.texts import say

FEW_ROWS = 8


def plain_text(report: Report, sections: Collection[str] | None = None, brief: bool = False) -> str:
    """Title, subject and the sections with these ids (all without ids).

    `brief` cuts tables after some rows and leaves out what is told item by item.
    """
    chosen = [section for section in report.sections if sections is None or section.id in sections]
    parts = [strong(_wrapped(report.title)), _wrapped(report.subject)]
    with speaking(report.language):
        for section in chosen:
            parts += ["", *_section(section, brief)]
    return "\n".join(parts) + "\n"


def _section(section: Section, brief: bool) -> Iterator[str]:
    yield strong(section.heading.upper())
    for block in section.blocks:
        if not (brief and _is_detail(block)):
            yield from _block(block, FEW_ROWS if brief else None)


def _is_detail(block: Block) -> bool:
    return isinstance(block, Item) or (isinstance(block, Text) and block.style == "subheading")


def _block(block: Block, most_rows: int | None) -> Iterator[str]:
    """What a terminal can show; pictures have their words in the tables and texts beside them."""
    match block:
        case Text():
            yield _wrapped(block.text)
        case Bullets():
            yield from (_wrapped(item, "- ") for item in block.items)
        case Item():
            yield _wrapped(f"{block.name}: {' '.join(block.sentences)}", "- ")
        case Table():
            yield from _table(block, most_rows)
        case YearChart():
            yield from (_wrapped(line) for line in block.summary)
        case _:
            yield from (_wrapped(f"{name}: {value}" if name else value) for name, value in _pairs(block))


def _pairs(block: Block) -> Iterator[tuple[str, str]]:
    """Names with what is said of them."""
    match block:
        case Facts():
            yield from block.rows
        case Amount():
            yield from ((block.name, block.amount), *block.rows)
        case Reasons():
            yield from ((item.name, item.text) for item in block.items)
        case ChanceBar():
            yield block.caption, block.chance.words
        case Shares():
            yield from (("", part.words) for part in block.parts)


def _table(table: Table, most_rows: int | None) -> Iterator[str]:
    heads = [Head(column.title, right=column.align == "right") for column in table.columns]
    yield from grid(heads, [tuple(_cell(cell) for cell in row) for row in table.rows[:most_rows]])
    if most_rows is not None and len(table.rows) > most_rows:
        yield say("rows_more", count=fmt.number(len(table.rows) - most_rows))


def _cell(cell: Cell) -> str:
    return cell.words if isinstance(cell, Chance) else cell


def _wrapped(text: str, mark: str = "") -> str:
    return textwrap.fill(text, text_width(), initial_indent=mark, subsequent_indent=" " * len(mark))
