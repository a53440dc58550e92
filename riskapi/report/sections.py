"""What a report consists of, before anyone draws it: sections of plain-text blocks and chart data.

All strings are plain text; whoever draws them escapes them. Shares and chances are 0..1.
"""

from __future__ import annotations

from dataclasses import dataclass

from riskapi.domain.assessment import YearCost


@dataclass(frozen=True, slots=True)
class Text:
    """A paragraph. style: 'headline' | 'alarm' | 'lead' | 'body' | 'small' | 'subheading'."""

    text: str
    style: str = "body"


@dataclass(frozen=True, slots=True)
class Bullets:
    items: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class Facts:
    """Pairs of a name and what is known."""

    rows: tuple[tuple[str, str], ...]


@dataclass(frozen=True, slots=True)
class Item:
    """A name with sentences about it, kept together on a page."""

    name: str
    sentences: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class Chance:
    """A chance to be drawn as a bar, with its words; `low` and `high` bound what parameter doubt allows."""

    share: float
    words: str
    low: float | None = None
    high: float | None = None


@dataclass(frozen=True, slots=True)
class ChanceBar:
    """A bar on a line of its own, 0 to 100 cars, with a caption."""

    caption: str
    chance: Chance


@dataclass(frozen=True, slots=True)
class Column:
    """A table column: `width` is its share of the table's width; align: 'left' | 'right'."""

    title: str
    width: float
    align: str = "left"


Cell = str | Chance


@dataclass(frozen=True, slots=True)
class Table:
    columns: tuple[Column, ...]
    rows: tuple[tuple[Cell, ...], ...]
    total_row: bool = False


@dataclass(frozen=True, slots=True)
class YearChart:
    """Cumulative cost by year; `summary` says the same in words."""

    points: tuple[YearCost, ...]
    currency: str
    summary: tuple[str, ...]


Block = Text | Bullets | Facts | Item | ChanceBar | Table | YearChart


@dataclass(frozen=True, slots=True)
class Section:
    id: str
    heading: str
    blocks: tuple[Block, ...]
    starts_page: bool = False


@dataclass(frozen=True, slots=True)
class Report:
    title: str
    subtitle: str
    subject: str  # which car, in one line
    language: str
    foot: str
    sections: tuple[Section, ...]
