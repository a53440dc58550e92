"""The engine families of a knowledge pack as plain text: all of them, or one with its revisions."""

from __future__ import annotations

import textwrap
from collections.abc import Iterator

from riskapi.domain.knowledge import Family, Pack, PlannedService, Revision, WeakPoint
from riskapi.report.format import distance, years
from riskapi.report.format import listing as in_words

WIDTH = 96


def families_text(pack: Pack) -> str:
    """One line per engine family."""
    lines = (f"{family.id}: {family.maker} {family.name}, {_extent(family)}" for family in pack.families)
    return as_text(lines)


def family_text(family: Family, pack: Pack) -> str:
    """Generations and their revisions with build dates and engine codes, and how many weak points each has."""
    return as_text(_family_lines(family, pack))


def _extent(family: Family) -> str:
    return f"{len(family.generations)} generations, {len(family.revisions)} revisions"


def _family_lines(family: Family, pack: Pack) -> Iterator[str]:
    yield f"{family.maker} {family.name} ({_extent(family)})"
    yield from note_lines(family.note)
    for generation in family.generations:
        yield ""
        yield generation.name
        yield from note_lines(generation.note)
        for revision in family.revisions:
            if revision.generation == generation.id:
                count = sum(1 for _ in _weak_points(revision, pack))
                yield f"  {revision.id}: {build_line(revision)}, {count} weak points"
    if family.services:
        yield ""
        yield "Service, by the maker and in careful practice"
        for service in family.services:
            yield from note_lines(_service(service, pack))


def _service(service: PlannedService, pack: Pack) -> str:
    """A planned service with its intervals and the special tools that it needs."""
    due = _due(service.distance_km, service.age_years)
    careful = service.careful
    if careful is not None:
        due += f"; careful practice {_due(careful.distance_km, careful.age_years)}"
    tools = tuple(pack.special_tool(name).name for name in pack.operation(service.operation).special_tools)
    return f"{service.name}: every {due}{f' (special tools: {in_words(tools)})' if tools else ''}"


def _due(distance_km: float | None, age_years: float | None) -> str:
    far = () if distance_km is None else (distance(distance_km),)
    long = () if age_years is None else (years(age_years),)
    return " or ".join((*far, *long))


def build_line(revision: Revision) -> str:
    """When it was built, its engine codes and its serial numbers."""
    until = f"to {revision.until:%Y-%m}" if revision.until else "still built"
    codes = f", engine code {in_words(revision.codes)}" if revision.codes else ""
    serials = f", serial numbers {revision.serials.first} to {revision.serials.last}" if revision.serials else ""
    return f"built from {revision.since:%Y-%m} {until}{codes}{serials}"


def _weak_points(revision: Revision, pack: Pack) -> Iterator[WeakPoint]:
    return (point for point in pack.weak_points if point.applies.holds(revision.traits) is not False)


def note_lines(note: str) -> Iterator[str]:
    """A note, wrapped and indented; nothing for an empty one."""
    if note:
        yield textwrap.fill(note, WIDTH, initial_indent="  ", subsequent_indent="  ")


def as_text(lines: Iterator[str]) -> str:
    """Lines as one text."""
    return "\n".join(lines) + "\n"
