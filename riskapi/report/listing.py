"""The engine families of a knowledge pack as plain text: all of them, or one with its revisions."""

from __future__ import annotations

import textwrap
from collections.abc import Iterator

from riskapi.domain.knowledge import Family, Pack, PlannedService, Revision, WeakPoint
from riskapi.report import format as fmt
from riskapi.report.browse_texts import tell
from riskapi.report.grid import Head, grid
from riskapi.report.screen import strong, text_width


def families_text(pack: Pack) -> str:
    """A table with a row for each engine family."""
    heads = (
        Head(tell("col_family"), hue=True),
        Head(tell("col_name")),
        Head(tell("col_generations"), right=True),
        Head(tell("col_revisions"), right=True),
    )
    rows = [
        (each.id, f"{each.maker} {each.name}", fmt.number(len(each.generations)), fmt.number(len(each.revisions)))
        for each in pack.families
    ]
    return as_text(grid(heads, rows))


def family_text(family: Family, pack: Pack) -> str:
    """Generations and their revisions with build dates and engine codes, and how many weak points each has; then the
    services."""
    return as_text(_family_lines(family, pack))


def _family_lines(family: Family, pack: Pack) -> Iterator[str]:
    yield from heading(f"{family.maker} {family.name}")
    yield from filled(family.note)
    for generation in family.generations:
        yield ""
        yield from heading(generation.name)
        yield from filled(generation.note)
        yield from _revisions([each for each in family.revisions if each.generation == generation.id], pack)
    if family.services:
        yield ""
        yield from heading(tell("services"))
        yield from _services(family, pack)


def _revisions(revisions: list[Revision], pack: Pack) -> Iterator[str]:
    heads = (
        Head(tell("col_revision"), hue=True),
        Head(tell("col_built")),
        Head(tell("col_codes")),
        Head(tell("col_serials")),
        Head(tell("col_weak_points"), right=True),
    )
    rows = [
        (each.id, _built(each), ", ".join(each.codes), _serials(each), fmt.number(len(_weak_points(each, pack))))
        for each in revisions
    ]
    return grid(heads, rows, indent=2, sparse=True)


def _services(family: Family, pack: Pack) -> Iterator[str]:
    heads = tuple(Head(tell(key)) for key in ("col_service", "col_every", "col_careful", "col_tools"))
    return grid(heads, [_service(service, pack) for service in family.services], indent=2, sparse=True)


def _service(service: PlannedService, pack: Pack) -> tuple[str, str, str, str]:
    """A planned service with its intervals and the special tools that it needs."""
    careful = service.careful
    tools = tuple(pack.special_tool(name).name for name in pack.operation(service.operation).special_tools)
    return (
        service.name,
        _due(service.distance_km, service.age_years),
        "" if careful is None else _due(careful.distance_km, careful.age_years),
        ", ".join(tools),
    )


def _due(distance_km: float | None, age_years: float | None) -> str:
    if distance_km is not None and age_years is not None:
        return tell("or", first=fmt.distance(distance_km), second=fmt.years(age_years))
    return fmt.years(age_years) if age_years is not None else fmt.distance(distance_km or 0.0)


def build_line(revision: Revision) -> str:
    """When it was built, its engine codes and its serial numbers."""
    parts = [tell("built", span=_built(revision))]
    if revision.codes:
        parts.append(tell("code", codes=fmt.listing(revision.codes)))
    if revision.serials:
        parts.append(tell("serials", span=_serials(revision)))
    return ", ".join(parts)


def _built(revision: Revision) -> str:
    first = f"{revision.since:%Y-%m}"
    if revision.until is None:
        return tell("span_open", first=first)
    return tell("span", first=first, last=f"{revision.until:%Y-%m}")


def _serials(revision: Revision) -> str:
    serials = revision.serials
    return "" if serials is None else tell("span", first=str(serials.first), last=str(serials.last))


def _weak_points(revision: Revision, pack: Pack) -> list[WeakPoint]:
    return [point for point in pack.weak_points if point.applies.holds(revision.traits) is not False]


def filled(text: str, indent: int = 2, hang: int = 0) -> Iterator[str]:
    """A text wrapped to the screen and indented, its further lines by `hang` more; nothing for an empty one."""
    blank = " " * indent
    if text:
        yield from textwrap.wrap(text, text_width(), initial_indent=blank, subsequent_indent=blank + " " * hang)


def heading(text: str) -> Iterator[str]:
    """A heading, wrapped to the screen."""
    return map(strong, filled(text, 0))


def as_text(lines: Iterator[str]) -> str:
    """Lines as one text."""
    return "\n".join(lines) + "\n"
