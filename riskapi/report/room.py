"""How much room things take below each other [points], so that no heading stands alone at the foot of a page."""

from __future__ import annotations

from collections.abc import Sequence

from reportlab.platypus import CondPageBreak, Flowable, KeepTogether

from riskapi.report.rows import Abreast, Rows
from riskapi.report.typeset import Plain

WHOLE = 190.0  # what is no taller is not torn apart
BEGINNING = 110.0  # of what is taller so much at least stands below its heading


class Together(KeepTogether):
    """Things that stand on one page where they can."""

    def __init__(self, items: Sequence[Flowable]) -> None:
        super().__init__(list(items))
        self.items = tuple(items)


def height_of(item: Flowable, width: float) -> float:
    """Height of a flowable set in this width, with the space around it."""
    if isinstance(item, CondPageBreak):
        return 0.0
    if isinstance(item, Together):
        return sum(height_of(part, width) for part in item.items)
    return float(item.wrap(width, 10_000.0)[1]) + float(item.getSpaceBefore()) + float(item.getSpaceAfter())


def room_for(items: Sequence[Flowable], width: float) -> float:
    """What these want at the foot of a page: all of it where it is little, else a beginning that tears no picture."""
    heights = [height_of(item, width) for item in items]
    if sum(heights) <= WHOLE:
        return sum(heights)
    room = 0.0
    for item, height in zip(items, heights, strict=True):
        if room >= BEGINNING:
            break
        room += _least(item, height)
    return room


def _least(item: Flowable, height: float) -> float:
    """What of it has to stand on one page."""
    if isinstance(item, Rows | Abreast):
        return min(height, max(item.least(), BEGINNING))
    return min(height, BEGINNING) if isinstance(item, Plain) else height
