"""Dates as people type them. The browser reads the same table (tests/browser/test_papers.py)."""

from __future__ import annotations

from datetime import date

import pytest

from riskapi.web.pages.dates import day_of

TODAY = date(2026, 4, 8)
TYPED = {
    "0519": "2019-05-15",
    "519": "2019-05-15",
    "5/2019": "2019-05-15",
    "05.2019": "2019-05-15",
    "5 19": "2019-05-15",
    "052019": "2019-05-15",
    "52019": "2019-05-15",
    "2019-05": "2019-05-15",
    "09062019": "2019-06-09",
    "090619": "2019-06-09",
    "9.6.2019": "2019-06-09",
    "9/6/19": "2019-06-09",
    "2019-06-09": "2019-06-09",
    "9. 6. 2019": "2019-06-09",
    "101998": "1998-10-15",
    "1098": "1998-10-15",
    "102012": "2012-10-15",
    "101220": "2020-12-10",
    "0426": "2026-04-08",  # this month: no day to come
    "0427": "1927-04-15",
    "2019": None,
    "13/2019": None,
    "32.1.2019": None,
    "31.2.2019": None,
    "5": None,
    "1234567": None,
    "1.2.3.4": None,
    "May 2019": None,
    "": None,
}


@pytest.mark.parametrize(("text", "day"), TYPED.items())
def test_what_is_typed_is_read(text: str, day: str | None) -> None:
    read = day_of(text, TODAY)
    assert (None if read is None else read.isoformat()) == day


def test_a_month_to_come_is_left_to_the_check_of_the_case() -> None:
    assert day_of("1126", TODAY) == date(2026, 11, 15)
