"""The screen that text is made for."""

from __future__ import annotations

import pytest

from riskapi.report.screen import WIDTH, Screen, hued, on_screen, strong, table_width, text_width


def test_without_a_screen_text_is_plain_and_tables_are_not_wrapped() -> None:
    assert (strong("a"), hued("b"), text_width(), table_width()) == ("a", "b", WIDTH, None)


@pytest.mark.parametrize(("width", "text", "table"), [(10, 40, 40), (80, 80, 80), (200, 120, 200)])
def test_widths(width: int, text: int, table: int) -> None:
    with on_screen(Screen(width)):
        assert (text_width(), table_width()) == (text, table)
        assert strong("a") == "a"


def test_marks_begin_and_end_and_nothing_is_marked_as_nothing() -> None:
    with on_screen(Screen(80, marked=True)):
        assert (strong("a"), hued("b"), strong("")) == ("\x1b[1ma\x1b[22m", "\x1b[36mb\x1b[39m", "")
    assert strong("a") == "a"
