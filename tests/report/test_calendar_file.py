"""The calendar file, read back by a general library for iCalendar."""

from __future__ import annotations

import itertools
from dataclasses import replace
from datetime import date, datetime, timedelta

import icalendar
import pytest
from dateutil.rrule import rrulestr
from hypothesis import given
from hypothesis import strategies as st

from riskapi.report.calendar_file import LINE_OCTETS, calendar_file, entries, escaped, folded
from tests.report import builders, plan_builders
from tests.report.test_samples import SAMPLES, assessed

BOUGHT = plan_builders.bought()
PACK = builders.pack()


def read(content: bytes) -> list[icalendar.Event]:
    return icalendar.Calendar.from_ical(content).walk("VEVENT")


def test_a_reader_finds_every_entry_with_its_day_and_words() -> None:
    events = read(calendar_file(BOUGHT, PACK, builders.IDENTIFIER))
    told = [(event.decoded("DTSTART"), str(event["SUMMARY"])) for event in events]
    assert told == [
        (date(2026, 11, 3), "Look: Look at the coolant level"),
        (date(2027, 5, 3), "How did it go after 6 months?"),
        (date(2027, 8, 21), "Due: Air filter"),
        (date(2027, 8, 31), "Look: Ask for the oil use; watch it, too"),
        (date(2027, 11, 3), "How did it go after 12 months?"),
        (date(2028, 4, 20), "Due: Coolant"),
    ]
    rings = events[3]
    assert "on this day or at 150,300\u00a0km, whichever comes first" in str(rings["DESCRIPTION"])
    assert all(event.errors == [] for event in events)


def test_looks_come_back_until_the_end_of_the_term() -> None:
    """RFC 5545, section 3.3.10: a monthly rule from the 31st would skip months; days do not."""
    rings = read(calendar_file(BOUGHT, PACK, builders.IDENTIFIER))[3]
    start = datetime(2027, 8, 31)  # noqa: DTZ001
    days = [moment.date() for moment in rrulestr(rings["RRULE"].to_ical().decode(), dtstart=start)]
    assert days == [date(2027, 8, 31), date(2028, 8, 30), date(2029, 8, 30)]
    assert all(later - earlier <= timedelta(days=366) for earlier, later in itertools.pairwise(days))


def test_the_same_assessment_gives_the_same_bytes_and_identifiers() -> None:
    once, again = (calendar_file(BOUGHT, PACK, builders.IDENTIFIER) for _ in range(2))
    assert once == again
    other = calendar_file(BOUGHT, PACK, "another")
    first, second = ({str(event["UID"]) for event in read(content)} for content in (once, other))
    assert len(first) == len(entries(BOUGHT))
    assert not first & second
    assert {event.decoded("DTSTAMP").isoformat() for event in read(once)} == {"2026-11-03T00:00:00+00:00"}


def test_an_entry_that_moves_keeps_its_identifier() -> None:
    """So that a calendar that reads the file again moves it and does not double it."""
    moved = replace(plan_builders.WATCH[0], on=date(2027, 1, 1))
    changed = plan_builders.bought(replace(plan_builders.PLAN, watch=(moved,)))
    by_name = [
        {str(event["SUMMARY"]): str(event["UID"]) for event in read(calendar_file(given, PACK, builders.IDENTIFIER))}
        for given in (BOUGHT, changed)
    ]
    assert by_name[0]["Look: Look at the coolant level"] == by_name[1]["Look: Look at the coolant level"]


def test_without_a_plan_the_file_is_empty_but_whole() -> None:
    content = calendar_file(builders.assessment(), PACK, builders.IDENTIFIER)
    assert content.startswith(b"BEGIN:VCALENDAR\r\nVERSION:2.0\r\nPRODID:")
    assert content.endswith(b"END:VCALENDAR\r\n")
    assert read(content) == []


@given(st.text(st.characters(codec="utf-8", exclude_categories=["Cc", "Cs"]), max_size=300))
def test_folded_lines_are_short_and_unfold_to_themselves(text: str) -> None:
    """RFC 5545, section 3.1."""
    line = folded(f"SUMMARY:{text}")
    parts = line.encode().removesuffix(b"\r\n").split(b"\r\n")
    assert all(len(part) <= LINE_OCTETS for part in parts)
    assert all(part.decode() for part in parts)  # no character is cut
    assert line.removesuffix("\r\n").replace("\r\n ", "") == f"SUMMARY:{text}"


@given(st.text(st.characters(codec="utf-8", exclude_categories=["Cc", "Cs", "Zl", "Zp"]), max_size=80))
def test_escaped_text_is_read_back_as_it_was(text: str) -> None:
    """RFC 5545, section 3.3.11, by the general library."""
    content = f"BEGIN:VEVENT\r\n{folded('SUMMARY:' + escaped(text))}END:VEVENT\r\n"
    assert str(icalendar.Event.from_ical(content)["SUMMARY"]) == text


def test_line_ends_are_escaped() -> None:
    assert escaped("a\r\nb\nc\rd") == "a\\nb\\nc\\nd"


@pytest.mark.parametrize("path", SAMPLES, ids=lambda path: path.stem)
def test_every_sample_can_be_read(path: object) -> None:
    assessment, _, _ = assessed(path)  # type: ignore[arg-type]
    content = calendar_file(assessment, PACK, builders.IDENTIFIER)
    events = read(content)
    assert len(events) == len(entries(assessment)) >= 2
    assert len({str(event["UID"]) for event in events}) == len(events)
    assert all(len(line) <= LINE_OCTETS for line in content.split(b"\r\n"))
    assert min(event.decoded("DTSTART") for event in events) >= assessment.as_of
