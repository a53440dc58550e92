"""Looks, services and questions of an assessment as a calendar file: iCalendar, RFC 5545.

The same assessment gives the same bytes: DTSTAMP is the assessment date, and each UID follows from the assessment's id
and the entry alone, so that a calendar that reads the file twice keeps one entry. Lines are folded after 75 octets,
never within a character (section 3.1), texts escaped (section 3.3.11). A look recurs every so many days, not months,
since a monthly rule skips months that lack the day (section 3.3.10).
"""

from __future__ import annotations

import uuid
from collections.abc import Iterator
from dataclasses import dataclass
from datetime import date

from riskapi.domain.assessment import Assessment
from riskapi.domain.knowledge import Pack
from riskapi.domain.plan_records import RepairPlan, WatchItem
from riskapi.report import format as fmt
from riskapi.report.after_pages import why_words
from riskapi.report.language import DEFAULT, speaking
from riskapi.report.plan_pages import months_words, round_distance
from riskapi.report.texts import say
from riskapi.report.translate import in_words
from riskapi.report.workshop import questions

LINE_OCTETS = 75
DAYS_PER_MONTH = 30.4375
NAMESPACE = uuid.UUID("6f0f2b3c-5a0e-5d6b-9a53-0c1f5f1d8a11")  # of our entries


@dataclass(frozen=True, slots=True)
class Entry:
    """A whole-day entry; `every_days` and `until` where it recurs. `key` is stable within the assessment."""

    key: str
    on: date
    summary: str
    description: str
    every_days: int | None = None
    until: date | None = None


def calendar_file(assessment: Assessment, pack: Pack, assessment_id: str, *, language: str = DEFAULT) -> bytes:
    """The file as bytes; without a plan it holds the questions or nothing but its head."""
    with speaking(language):
        return _written(in_words(assessment, pack), assessment_id, language)


def _written(assessment: Assessment, assessment_id: str, language: str) -> bytes:
    stamp = f"{assessment.as_of:%Y%m%d}T000000Z"
    lines = [
        "BEGIN:VCALENDAR",
        "VERSION:2.0",
        f"PRODID:-//riskapi//looks and services//{language.upper()}",
        "CALSCALE:GREGORIAN",
        f"NAME:{escaped(say('cal_name'))}",
    ]
    for entry in entries(assessment):
        lines += _event(entry, assessment_id, stamp)
    return "".join(folded(line) for line in (*lines, "END:VCALENDAR")).encode()


def entries(assessment: Assessment) -> tuple[Entry, ...]:
    """All entries, the earliest first."""
    found = (*_looks(assessment.decision.repair_plan), *_services(assessment), *_questions(assessment))
    return tuple(sorted(found, key=lambda entry: (entry.on, entry.key)))


def _looks(plan: RepairPlan | None) -> Iterator[Entry]:
    for item in plan.watch if plan is not None else ():
        yield Entry(
            key=f"watch/{item.weak_point}",
            on=item.on,
            summary=say("cal_watch", check=item.check_name),
            description=f"{_why_look(item)} {say('cal_scope')}",
            every_days=max(1, int(item.every_months * DAYS_PER_MONTH)),
            until=plan.until if plan is not None else None,
        )


def _why_look(item: WatchItem) -> str:
    return say(
        "cal_watch_why",
        name=item.name,
        count=fmt.of_hundred(item.chance),
        distance=round_distance(item.odometer_km),
        months=months_words(item.every_months),
        every=round_distance(item.every_km),
    )


def _services(assessment: Assessment) -> Iterator[Entry]:
    after = assessment.after_purchase
    for item in after.first_service if after is not None else ():
        if item.on is not None and item.odometer_km is not None:
            why = say("cal_service_why", distance=round_distance(item.odometer_km), why=why_words(item))
            description = f"{why} {say('cal_scope')}"
            yield Entry(f"service/{item.id}", item.on, say("cal_service", name=item.name), description)


def _questions(assessment: Assessment) -> Iterator[Entry]:
    after = assessment.after_purchase
    for item in after.follow_ups if after is not None else ():
        summary = say("cal_follow_up", months=months_words(item.months))
        yield Entry(f"follow_up/{item.months}", item.on, summary, " ".join(questions()))


# ---- RFC 5545 --------------------------------------------------------------------------------------------------


def _event(entry: Entry, assessment_id: str, stamp: str) -> list[str]:
    lines = [
        "BEGIN:VEVENT",
        f"UID:{uuid.uuid5(NAMESPACE, f'{assessment_id}/{entry.key}')}",
        f"DTSTAMP:{stamp}",
        f"DTSTART;VALUE=DATE:{entry.on:%Y%m%d}",
        f"SUMMARY:{escaped(entry.summary)}",
        f"DESCRIPTION:{escaped(entry.description)}",
        "TRANSP:TRANSPARENT",
    ]
    if entry.every_days is not None and entry.until is not None and entry.until > entry.on:
        lines.insert(4, f"RRULE:FREQ=DAILY;INTERVAL={entry.every_days};UNTIL={entry.until:%Y%m%d}")
    return [*lines, "END:VEVENT"]


def escaped(text: str) -> str:
    """A text value (RFC 5545, section 3.3.11)."""
    for mark, written in (("\\", "\\\\"), (";", "\\;"), (",", "\\,"), ("\r\n", "\\n"), ("\n", "\\n"), ("\r", "\\n")):
        text = text.replace(mark, written)
    return text


def folded(line: str) -> str:
    """A content line with its end, folded so that no line is longer than 75 octets (RFC 5545, section 3.1)."""
    parts, current, size = [], "", 0
    for character in line:
        octets = len(character.encode())
        if size + octets > LINE_OCTETS:
            parts.append(current)
            current, size = " ", 1
        current += character
        size += octets
    return "\r\n".join([*parts, current]) + "\r\n"
