"""Tables as lines of text."""

from __future__ import annotations

from hypothesis import given
from hypothesis import strategies as st

from riskapi.report.grid import GAP, LONGEST_WORD, Head, grid
from riskapi.report.screen import Screen, on_screen

HEADS = (Head("Name"), Head("Cost [EUR]", right=True))
WORDS = st.lists(st.text("abcdefgh", min_size=1, max_size=12), min_size=1, max_size=12).map(" ".join)


def test_names_to_the_left_and_numbers_to_the_right_under_their_unit() -> None:
    assert list(grid(HEADS, [("pump", "1,250"), ("a longer name", "9")])) == [
        "Name           Cost [EUR]",
        "pump                1,250",
        "a longer name           9",
    ]


def test_no_rows_no_lines_and_no_head_without_titles() -> None:
    assert list(grid(HEADS, [])) == []
    assert list(grid((Head(""), Head("")), [("a", "b")], indent=2)) == ["  a  b"]


def test_columns_without_text_are_left_out_where_asked_for() -> None:
    heads, rows = (*HEADS, Head("Remark")), [("pump", "1", "")]
    assert list(grid(heads, rows, sparse=True)) == ["Name  Cost [EUR]", "pump           1"]
    assert next(grid(heads, rows)) == "Name  Cost [EUR]  Remark"


def test_into_a_pipe_a_row_is_a_line_however_long() -> None:
    assert len(list(grid(HEADS, [("word " * 60, "1")]))) == 2


@given(st.lists(st.tuples(WORDS, WORDS, st.integers(0, 99_999).map(str)), min_size=1, max_size=6), st.integers(60, 140))
def test_on_a_screen_every_line_fits_and_no_word_is_lost(rows: list[tuple[str, str, str]], width: int) -> None:
    heads = (Head("First"), Head("Second"), Head("Cost [EUR]", right=True))
    with on_screen(Screen(width)):
        lines = list(grid(heads, rows, indent=2))
    assert max(map(len, lines)) <= width
    assert sorted(" ".join(lines[1:]).split()) == sorted(" ".join(map(" ".join, rows)).split())


def test_numbers_are_never_wrapped_where_the_screen_is_too_narrow() -> None:
    with on_screen(Screen(40)):
        lines = list(grid((Head("id"), Head("n", right=True)), [("x" * (LONGEST_WORD + 9), "1" * 30)]))
    assert any("1" * 30 in line for line in lines)
    assert any(line.startswith("x" * LONGEST_WORD + " " * GAP) for line in lines)


def test_marks_change_no_column() -> None:
    heads = (Head("Check", hue=True), Head("Name"))
    with on_screen(Screen(80, marked=True)):
        marked = list(grid(heads, [("look", "Look at it")]))
    assert marked == ["\x1b[1mCheck  Name\x1b[22m", "\x1b[36mlook\x1b[39m   Look at it"]
