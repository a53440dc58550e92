from __future__ import annotations

from riskapi.web.paging import page


def get(cursor: str | None, limit: int) -> tuple[list[str], str | None]:
    return page(["a", "b", "c"], {"cursor": cursor, "limit": limit}, str)


def test_pages() -> None:
    assert get(None, 2) == (["a", "b"], "b")
    assert get("b", 2) == (["c"], None)
    assert get(None, 3) == (["a", "b", "c"], None)
    assert get("c", 2) == ([], None)


def test_a_cursor_that_is_gone_ends_the_list() -> None:
    assert get("x", 2) == ([], None)
