"""What moves the cost, and what findings do: bars and dots at their values, words within their room."""

from __future__ import annotations

from itertools import pairwise

import pytest

from riskapi.report.chart_moves import cut, moves_picture, shifts_picture
from riskapi.report.charts import text_width
from riskapi.report.look import SHADE
from riskapi.report.sections import Move, Moves, Shift, Shifts
from riskapi.report.shapes import Box, Dot, Word
from tests.report.pictures import labels, outside, overlapping

LONG = "Ein sehr langer Name einer Schwachstelle mit allem, was dazugehört, " * 2
MOVES = Moves(
    1000.0,
    "as it stands: 1,000 EUR",
    (Move("Ownership", "2 years", "4 years", 700.0, 1400.0), Move(LONG, LONG, LONG, 1000.0, 1000.0)),
)


def test_bars_run_from_one_end_to_the_other_with_their_amounts() -> None:
    bars = [shape for shape in moves_picture(MOVES, 499.0).contents if isinstance(shape, Box) and shape.fill == SHADE]
    scale = bars[0].width / 700.0
    assert bars[1].x == pytest.approx(bars[0].x + 300.0 * scale)
    assert {"700", "1,400", "2 years \u2192 4 years", "as it stands: 1,000 EUR"} <= set(
        labels(moves_picture(MOVES, 499.0))
    )


def test_long_names_stay_within_their_room() -> None:
    assert outside(moves_picture(MOVES, 499.0)) == []
    assert overlapping(moves_picture(MOVES, 499.0)) == []
    shifts = Shifts(tuple(Shift(LONG, LONG, 0.1 * k, 0.9 - 0.1 * k, LONG) for k in range(9)))
    assert outside(shifts_picture(shifts, 499.0)) == []
    assert overlapping(shifts_picture(shifts, 499.0)) == []


def test_a_ring_is_before_and_a_dot_after() -> None:
    picture = shifts_picture(Shifts((Shift("Look: wet", "Pump", 0.25, 0.75, "25 \u2192 75"),)), 499.0)
    ring, dot = [shape for shape in picture.contents if isinstance(shape, Dot)][-2:]
    ticks = [
        shape.x for shape in picture.contents if isinstance(shape, Word) and shape.text in {"0", "25", "75", "100"}
    ]
    assert (ring.fill, ring.x, dot.x) == (None, pytest.approx(ticks[1]), pytest.approx(ticks[2]))


def test_what_is_cut_says_so_and_fits() -> None:
    assert cut("Pump", 200.0, 8.0) == "Pump"
    for room in (20.0, 60.0, 150.0):
        told = cut(LONG, room, 8.0)
        assert told.endswith("\u2026")
        assert text_width(told, 8.0) <= room
    assert all(len(a) <= len(b) for a, b in pairwise([cut(LONG, room, 8.0) for room in (30.0, 50.0, 90.0)]))
