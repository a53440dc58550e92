"""Tables and halves: broken between rows, the head again on every page."""

from __future__ import annotations

import pytest

from riskapi.report.look import CELL
from riskapi.report.rows import Abreast, Rows
from riskapi.report.typeset import Plain


def rows(count: int) -> list[list[list[Plain]]]:
    return [[[Plain(f"row {k} " * (1 + 20 * (k % 3 == 0)), CELL)], [Plain("x", CELL)]] for k in range(count)]


HEAD = [[Plain("Name", CELL)], [Plain("Amount", CELL)]]


@pytest.mark.parametrize("height", [90.0, 200.0, 333.0])
def test_parts_fit_and_hold_every_row_once(height: float) -> None:
    table, parts = Rows([150, 50], rows(40), HEAD), []
    left = table
    while left.wrap(200, height)[1] > height:
        first, left = left.split(200, height)
        parts.append(first)
    parts.append(left)
    assert all(part.wrap(200, height)[1] <= height for part in parts)
    assert [row for part in parts for row in part.body] == table.body
    assert all(part.head is HEAD for part in parts)
    assert all(len(part.body) >= 2 for part in parts)


def test_a_table_without_room_goes_whole_to_the_next_page() -> None:
    assert Rows([150, 50], rows(4), HEAD).split(200, 30.0) == []


@pytest.mark.parametrize("count", [1, 2, 7, 30])
def test_halves_are_as_even_as_rows_allow(count: int) -> None:
    halves = Abreast([100, 50], rows(count), HEAD)
    height = halves.wrap(400, 1000)[1]
    whole = Rows([100, 50], rows(count), HEAD)
    tallest = max(whole.heights(), default=0.0)
    assert height <= whole.head_height + sum(whole.heights()) / 2 + tallest


def test_halves_break_over_pages_with_every_row_once() -> None:
    halves = Abreast([100, 50], rows(40), HEAD)
    first, second = halves.split(400, 250.0)
    assert first.wrap(400, 250.0)[1] <= 250.0
    assert first.rows.body + second.rows.body == halves.rows.body
