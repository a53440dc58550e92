"""Dates as people type them with a thumb: '0519', '5/2019', '9.6.2019'. assets/dates.js reads them alike."""

from __future__ import annotations

import re
from datetime import date

MIDDLE = 15  # day of the month where none is stated
_EARLIEST = 1900


def day_of(text: str, today: date) -> date | None:
    """The date, the middle of the month where no day is stated, but no day of this month that is to come; None for what
    is no date. The day stands before the month, the year last or, with four digits, first."""
    groups = [group for group in re.split(r"\D+", text) if group]
    parts = _unbroken(groups[0]) if len(groups) == 1 else _broken(groups)
    if parts is None:
        return None
    day, month, year = parts
    full = _full_year(year, today.year)
    if day == "":
        day = str(min(MIDDLE, today.day) if (full, int(month)) == (today.year, today.month) else MIDDLE)
    try:
        return date(full, int(month), int(day)) if _EARLIEST <= full <= today.year else None
    except ValueError:
        return None


def _broken(groups: list[str]) -> tuple[str, str, str] | None:
    if not 2 <= len(groups) <= 3:
        return None
    ordered = groups[::-1] if len(groups[0]) == 4 else groups
    day, month, year = ["", *ordered][-3:]
    return day, month, year


def _unbroken(digits: str) -> tuple[str, str, str] | None:
    """By the number of digits. A year's first half, 19 or 20, is no month: month and year are not taken for a day."""
    cuts = {3: (0, 1), 4: (0, 2), 5: (0, 1), 6: (0, 2) if digits[2:4] in ("19", "20") else (2, 4), 8: (2, 4)}
    if len(digits) not in cuts:
        return None
    first, second = cuts[len(digits)]
    return digits[:first], digits[first:second], digits[second:]


def _full_year(text: str, now: int) -> int:
    """2019 for '19', 1998 for '98': no car was registered in a year to come."""
    year = int(text)
    if len(text) != 2:
        return year
    return year + (1900 if 2000 + year > now else 2000)
