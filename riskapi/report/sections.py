"""What a report consists of, before anyone draws it: sections of plain-text blocks and chart data.

All strings are plain text; whoever draws them escapes them. Shares and chances are 0..1.
"""

from __future__ import annotations

from dataclasses import dataclass, field

from riskapi.domain.assessment import YearCost


@dataclass(frozen=True, slots=True)
class Text:
    """A paragraph. style: 'headline' | 'alarm' | 'lead' | 'body' | 'small' | 'subheading'."""

    text: str
    style: str = "body"


@dataclass(frozen=True, slots=True)
class Bullets:
    """A list; `small` ones in two columns where there are many."""

    items: tuple[str, ...]
    small: bool = False


@dataclass(frozen=True, slots=True)
class Facts:
    """Pairs of a name and what is known, in one or two columns of pairs."""

    rows: tuple[tuple[str, str], ...]
    abreast: int = 1


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
    """With `abreast` 2 the rows run down the left half of the page, then down the right one. `total_row`: the last row
    is a sum; `subtotal`: the place of another that is."""

    columns: tuple[Column, ...]
    rows: tuple[tuple[Cell, ...], ...]
    total_row: bool = False
    subtotal: int | None = None
    abreast: int = 1


@dataclass(frozen=True, slots=True)
class Photo:
    """A picture as it is kept (JPEG), with what it shows; without content it is no longer kept."""

    caption: str
    content: bytes | None = field(default=None, repr=False)


@dataclass(frozen=True, slots=True)
class Photos:
    """Pictures side by side."""

    items: tuple[Photo, ...]


@dataclass(frozen=True, slots=True)
class Amount:
    """An amount to be read from afar, with its name and with what else is to be known beside it."""

    name: str
    amount: str
    rows: tuple[tuple[str, str], ...]


@dataclass(frozen=True, slots=True)
class Reason:
    """A reason with the thing it is about, the chance that goes with it, and a picture where one was taken."""

    name: str
    text: str
    chance: Chance | None = None
    photo: Photo | None = None


@dataclass(frozen=True, slots=True)
class Reasons:
    """Below each other; `close`: with smaller pictures, where the page has little room."""

    items: tuple[Reason, ...]
    close: bool = False


@dataclass(frozen=True, slots=True)
class Share:
    share: float
    words: str


@dataclass(frozen=True, slots=True)
class Shares:
    """A hundred cars divided up; the shares sum to 1."""

    parts: tuple[Share, ...]


@dataclass(frozen=True, slots=True)
class PlanePoint:
    """A weak point by its chance of failing in the period and by what it costs if it does [money]."""

    name: str
    chance: float
    cost: float


@dataclass(frozen=True, slots=True)
class Plane:
    """Weak points by chance and cost, the first `named` of them by name; a table beside it has them all."""

    points: tuple[PlanePoint, ...]
    named: int
    currency: str
    across: str
    upward: str


@dataclass(frozen=True, slots=True)
class Move:
    """One thing varied: its name, the two ends in words, and the average cost at each (low <= high) [money]."""

    name: str
    low_words: str
    high_words: str
    low: float
    high: float


@dataclass(frozen=True, slots=True)
class Moves:
    """What moves the average cost, widest first, around the average as it stands [money]."""

    mean: float
    mean_words: str
    items: tuple[Move, ...]


@dataclass(frozen=True, slots=True)
class Shift:
    """What one finding by itself does to the chance that a weak point is worn or failed."""

    finding: str
    weak_point: str
    before: float
    after: float
    words: str


@dataclass(frozen=True, slots=True)
class Shifts:
    items: tuple[Shift, ...]


@dataclass(frozen=True, slots=True)
class Spot:
    """A place of the engine where a fluid may be seen: `place` of PLACES or None, `level` 0 (dry) up to `levels` - 1,
    None where nobody looked; `words` say the same."""

    name: str
    place: str | None
    fluid: str
    level: int | None
    levels: int
    words: str


@dataclass(frozen=True, slots=True)
class ZoneMap:
    """Places on a schematic engine, seen from its long side; `lie`: longitudinal | transverse; `cover_right`: the cam
    drive sits at the gearbox end."""

    spots: tuple[Spot, ...]
    lie: str
    caption: str
    cover_right: bool = False


@dataclass(frozen=True, slots=True)
class Finding:
    """A check as it was done: name, result, and what else is to be known of it, with its pictures."""

    name: str
    result: str
    rows: tuple[str, ...]
    photos: tuple[Photo, ...] = ()


@dataclass(frozen=True, slots=True)
class Signature:
    """Lines to sign on, under what the signature stands for."""

    text: str
    labels: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class YearChart:
    """Cumulative cost by year; `summary` says the same in words."""

    points: tuple[YearCost, ...]
    currency: str
    summary: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class Answer:
    """Something to write down by hand: words to ring, `blanks` short lines for values in `unit`, long `lines`."""

    name: str
    words: tuple[str, ...] = ()
    blanks: int = 0
    unit: str = ""
    lines: int = 0


@dataclass(frozen=True, slots=True)
class Entry:
    """A check to be filled in by hand: what stands beside its name, lines of explanation, then what to write down."""

    name: str
    beside: str
    lines: tuple[tuple[str, str], ...]  # a word in bold (or nothing), and a text
    answers: tuple[Answer, ...]


@dataclass(frozen=True, slots=True)
class Blanks:
    """Lines to write on, each with its name below, so many to a row."""

    names: tuple[str, ...]
    abreast: int = 4


@dataclass(frozen=True, slots=True)
class Code:
    """An address as a code for a phone, with words beside it."""

    address: str
    words: str


Block = (
    Text | Bullets | Facts | Item | ChanceBar | Table | YearChart | Photos | Amount | Reasons | Shares | Plane | Moves
    | Shifts | ZoneMap | Finding | Signature | Entry | Blanks | Code
)  # fmt: skip


@dataclass(frozen=True, slots=True)
class Section:
    id: str
    heading: str
    blocks: tuple[Block, ...]
    starts_page: bool = False


@dataclass(frozen=True, slots=True)
class Letterhead:
    """Whose paper it is: a name, lines below it, and a picture (JPEG or PNG)."""

    name: str
    lines: tuple[str, ...] = ()
    logo: bytes | None = field(default=None, repr=False)


@dataclass(frozen=True, slots=True)
class Report:
    title: str
    subtitle: str
    subject: str  # which car, in one line
    language: str
    foot: str
    sections: tuple[Section, ...]
    letterhead: Letterhead | None = None
