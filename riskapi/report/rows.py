"""Tables and things side by side, of cells that are set once and broken between rows only."""

from __future__ import annotations

from collections.abc import Sequence
from contextlib import nullcontext

from reportlab.lib.colors import Color
from reportlab.platypus import Flowable

from riskapi.report.look import PALE, RULE
from riskapi.report.tagging import grouped, left_out, marked, role_of
from riskapi.report.typeset import Plain

Cells = Sequence[Sequence[Flowable]]  # per column, what stands below each other
LEAST = 3  # rows of each half that stay together


class Rows(Flowable):
    """Rows of cells in columns of these widths [points]; `head` is repeated on every page that it goes over to."""

    def __init__(
        self,
        widths: Sequence[float],
        body: Sequence[Cells],
        head: Cells | None = None,
        *,
        pad: tuple[float, float] = (4.0, 1.7),
        rule: Color | None = RULE,
        keep: int = 2,
    ) -> None:
        """`pad`: between cell and column to the left and right, above and below; `keep`: rows that stay together at the
        start of a page and at its end."""
        super().__init__()
        self.widths, self.body, self.head = tuple(widths), list(body), head
        self.pad, self.rule, self.keep = pad, rule, keep
        self._heights: list[float] | None = None

    def _height(self, row: Cells) -> float:
        across, down = self.pad
        heights = [
            sum(item.wrap(width - 2 * across, 10_000.0)[1] + _around(item) for item in cell)
            for cell, width in zip(row, self.widths, strict=True)
        ]
        return max(heights, default=0.0) + 2 * down

    def heights(self) -> list[float]:
        """Height of every row [points]."""
        if self._heights is None:
            self._heights = [self._height(row) for row in self.body]
        return self._heights

    @property
    def head_height(self) -> float:
        """Height of the head [points]."""
        return 0.0 if self.head is None else self._height(self.head)

    def least(self) -> float:
        """What has to stay together at its beginning [points]."""
        return self.head_height + sum(self.heights()[: self.keep])

    def wrap(self, _width: float, _height: float) -> tuple[float, float]:
        self.width, self.height = sum(self.widths), self.head_height + sum(self.heights())
        return self.width, self.height

    def split(self, _width: float, height: float) -> list[Flowable]:
        room, fit = height - self.head_height, 0
        for row in self.heights():
            room -= row
            if room < 0.0:
                break
            fit += 1
        fit = min(fit, len(self.body) - min(self.keep, len(self.body)))
        if fit < min(self.keep, len(self.body)):
            return []
        return [self._part(slice(None, fit)), self._part(slice(fit, None))]

    def _part(self, rows: slice) -> Rows:
        part = Rows(self.widths, self.body[rows], self.head, pad=self.pad, rule=self.rule, keep=self.keep)
        part._heights = self.heights()[rows]
        return part

    def draw(self) -> None:
        y = self.height
        if self.head is None:
            for row, height in zip(self.body, self.heights(), strict=True):
                y = self._row(row, height, y)
            return
        with left_out(self.canv):
            self.canv.setFillColor(PALE)
            self.canv.rect(0, y - self.head_height, self.width, self.head_height, 0, 1)
        with grouped(self.canv, "Table"):
            y = self._row(self.head, self.head_height, y, "TH")
            for row, height in zip(self.body, self.heights(), strict=True):
                y = self._row(row, height, y, "TD")

    def _row(self, row: Cells, height: float, top: float, role: str = "") -> float:
        """A row below `top`, its cells marked with the role where the table has a head; returns where it ends."""
        x = 0.0
        with grouped(self.canv, "TR") if role else nullcontext():
            for cell, width in zip(row, self.widths, strict=True):
                with marked(self.canv, role) if role else nullcontext():
                    self._cell(cell, width, x, top, apart=not role)
                x += width
        if self.rule is not None:
            with left_out(self.canv):
                self.canv.setStrokeColor(self.rule)
                self.canv.setLineWidth(0.5)
                self.canv.line(0, top - height, self.width, top - height)
        return top - height

    def _cell(self, cell: Sequence[Flowable], width: float, x: float, top: float, *, apart: bool) -> None:
        """What stands in a cell; `apart`: each thing is marked by itself."""
        across, down = self.pad
        y = top - down
        for item in cell:
            y -= item.wrap(width - 2 * across, 10_000.0)[1] + item.getSpaceBefore()
            if isinstance(item, Plain):
                with marked(self.canv, role_of(item.style.name)) if apart else nullcontext():
                    item.paint(self.canv, x + across, y)
            else:
                item.drawOn(self.canv, x + across, y)
            y -= item.getSpaceAfter()


class Abreast(Flowable):
    """Rows that run down the left half of the width, then down the right one; each half repeats the head."""

    def __init__(
        self,
        widths: Sequence[float],
        body: Sequence[Cells],
        head: Cells | None = None,
        *,
        gap: float = 14.0,
        pad: tuple[float, float] = (4.0, 2.0),
        rule: Color | None = RULE,
    ) -> None:
        """`widths` are those of one half [points]."""
        super().__init__()
        self.rows, self.gap = Rows(widths, body, head, pad=pad, rule=rule, keep=1), gap

    def _half(self) -> int:
        """How many rows go to the left, so that the taller half is as short as can be."""
        heights = self.rows.heights()
        return min(range(len(heights) + 1), key=lambda n: (max(sum(heights[:n]), sum(heights[n:])), -n))

    def least(self) -> float:
        """What has to stay together at its beginning [points]."""
        heights = self.rows.heights()
        return self.rows.head_height + max(sum(heights[:LEAST]), sum(heights[LEAST : 2 * LEAST]))

    def wrap(self, _width: float, _height: float) -> tuple[float, float]:
        one = sum(self.rows.widths)
        self.width = 2 * one + self.gap
        half, heights = self._half(), self.rows.heights()
        self.height = self.rows.head_height + max(sum(heights[:half]), sum(heights[half:]))
        return self.width, self.height

    def split(self, _width: float, height: float) -> list[Flowable]:
        heights, room = self.rows.heights(), height - self.rows.head_height
        fit = 0
        while (
            fit < len(heights) // 2 and sum(heights[: fit + 1]) <= room and sum(heights[fit + 1 : 2 * fit + 2]) <= room
        ):
            fit += 1
        return [] if fit < LEAST else [self._part(slice(None, 2 * fit)), self._part(slice(2 * fit, None))]

    def _part(self, rows: slice) -> Abreast:
        whole = self.rows
        return Abreast(whole.widths, whole.body[rows], whole.head, gap=self.gap, pad=whole.pad, rule=whole.rule)

    def draw(self) -> None:
        half, whole = self._half(), self.rows
        for x, rows in ((0.0, slice(None, half)), (sum(whole.widths) + self.gap, slice(half, None))):
            if whole.body[rows]:
                part = Rows(whole.widths, whole.body[rows], whole.head, pad=whole.pad, rule=whole.rule)
                part.drawOn(self.canv, x, self.height - part.wrap(0, 0)[1])


def _around(item: Flowable) -> float:
    return float(item.getSpaceBefore()) + float(item.getSpaceAfter())
