"""What moves the average cost, one thing at a time; and what each finding by itself did to a weak point."""

from __future__ import annotations

from riskapi.report import format as fmt
from riskapi.report.charts import Point, held, text_width
from riskapi.report.edition_texts import tell
from riskapi.report.look import BOLD, CELL, HUE, INK, QUIET, REGULAR, RULE, SHADE, TINT, register_fonts
from riskapi.report.sections import Move, Moves, Shift, Shifts
from riskapi.report.shapes import Box, Dot, Line, Picture, Shape, Word
from riskapi.report.typeset import lines_of

_ROW, _SHIFT_ROW = 20.0, 21.0
_NAMES = 0.40  # share of the width for what is on the left


def moves_picture(moves: Moves, width: float) -> Picture:
    """Bars around the average as it stands; each end has its words and its amount beside it."""
    register_fonts()
    height = 16 + _ROW * len(moves.items)
    low, high = min((m.low for m in moves.items), default=0.0), max((m.high for m in moves.items), default=1.0)
    low, high = min(low, moves.mean), max(high, moves.mean, low + 1e-9)
    left, right = width * _NAMES + 42, width - 42

    def x(amount: float) -> float:
        return left + (right - left) * (amount - low) / (high - low)

    middle = x(moves.mean)
    shapes: list[Shape] = [
        Line(middle, 0, middle, height - 11, INK, 0.9),
        Word(middle, height - 8, moves.mean_words, 8, BOLD, "middle"),
    ]
    for place, move in enumerate(moves.items):
        shapes += _move(move, height - 16 - _ROW * (place + 1), x(move.low), x(move.high), width * _NAMES)
    return Picture(width, height, shapes)


def _move(move: Move, bottom: float, start: float, end: float, room: float) -> list[Shape]:
    ends = tell("moves_ends", low=move.low_words, high=move.high_words)
    return [
        Line(0, bottom, room, bottom),
        Word(0, bottom + 12, cut(move.name, room, 8.2), 8.2),
        Word(0, bottom + 3.4, cut(ends, room, 7.4), 7.4, ink=QUIET),
        Box(start, bottom + 5.5, max(1.0, end - start), 10, SHADE),
        Line(start, bottom + 4, start, bottom + 17, HUE, 1.6),
        Line(end, bottom + 4, end, bottom + 17, HUE, 1.6),
        Word(start - 4, bottom + 7.8, fmt.number(fmt.rough(move.low)), 7.8, anchor="end"),
        Word(end + 4, bottom + 7.8, fmt.number(fmt.rough(move.high)), 7.8),
    ]


def shifts_picture(shifts: Shifts, width: float) -> Picture:
    """For each finding a ring at the chance without it and a dot at the chance with it alone, out of 100 cars."""
    register_fonts()
    height = 30 + _SHIFT_ROW * len(shifts.items)
    left, right = width * _NAMES + 8, width * 0.68
    top = height - 22
    shapes: list[Shape] = []
    for tick in (0, 25, 50, 75, 100):
        x = left + (right - left) * tick / 100
        shapes += [Line(x, 0, x, top, TINT), Word(x, top + 4, fmt.number(tick), 7.5, anchor="middle", ink=QUIET)]
    shapes += [
        Dot(left + 4, height - 5, 2.6, None, HUE, 1.1),
        Word(left + 10, height - 7.6, tell("shifts_before"), 7.5, ink=QUIET),
        Dot(left + 26 + text_width(tell("shifts_before"), 7.5), height - 5, 3.0, HUE),
        Word(left + 32 + text_width(tell("shifts_before"), 7.5), height - 7.6, tell("shifts_after"), 7.5, ink=QUIET),
    ]
    for place, shift in enumerate(shifts.items):
        middle = top - _SHIFT_ROW * (place + 0.5)
        shapes += _shift(shift, (left, right), middle, width)
    return Picture(width, height, shapes)


def _shift(shift: Shift, ends: Point, middle: float, width: float) -> list[Shape]:
    left, right = ends
    start, end = (left + (right - left) * held(share) for share in (shift.before, shift.after))
    shapes: list[Shape] = [Line(0, middle - _SHIFT_ROW / 2, width, middle - _SHIFT_ROW / 2, RULE, 0.5)]
    shapes += _two_lines(shift.finding, 0, middle, width * _NAMES)
    if abs(end - start) > 6:
        shapes.append(Line(start, middle, end, middle, HUE, 1.6))
    shapes += [Dot(start, middle, 2.6, None, HUE, 1.1), Dot(end, middle, 3.0, HUE)]
    room = width - right - 14
    shapes += [
        Word(right + 14, middle + 1.4, cut(shift.weak_point, room, 8, BOLD), 8, BOLD),
        Word(right + 14, middle - 7.6, cut(shift.words, room, 7.8), 7.8),
    ]
    return shapes


def _two_lines(text: str, x: float, middle: float, room: float) -> list[Shape]:
    lines = ["".join(part for _, part in line) for line in lines_of(text, CELL, room)]
    if len(lines) > 2:
        lines = [lines[0], cut(f"{lines[1]} {lines[2]}", room, CELL.fontSize)]
    first = middle - 2.6 if len(lines) == 1 else middle + 1.6
    return [Word(x, first - 9.2 * place, line, CELL.fontSize) for place, line in enumerate(lines)]


def cut(text: str, room: float, size: float, font: str = REGULAR) -> str:
    """The text, ended with three dots where it is too long for the room [points]."""
    if text_width(text, size, font) <= room:
        return text
    kept = text
    while kept and text_width(kept + "\u2026", size, font) > room:
        kept = kept[:-1]
    return kept.rstrip() + "\u2026"
