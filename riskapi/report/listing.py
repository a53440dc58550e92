"""The engines of a knowledge pack as plain text: all families, one family, one revision."""

from __future__ import annotations

import textwrap
from collections.abc import Iterator

from riskapi.domain.knowledge import Family, Pack, Revision, Traits, WeakPoint
from riskapi.report.format import listing as in_words

WIDTH = 96


def families_text(pack: Pack) -> str:
    """One line per engine family."""
    lines = (f"{family.id}: {family.maker} {family.name}, {_extent(family)}" for family in pack.families)
    return _text(lines)


def family_text(family: Family, pack: Pack) -> str:
    """Generations and their revisions with build dates and engine codes, and how many weak points each has."""
    return _text(_family_lines(family, pack))


def revision_text(family: Family, revision: Revision, pack: Pack) -> str:
    """Build dates, traits, and every weak point of the revision with the part revision that left the works."""
    return _text(_revision_lines(family, revision, pack))


def _extent(family: Family) -> str:
    return f"{len(family.generations)} generations, {len(family.revisions)} revisions"


def _family_lines(family: Family, pack: Pack) -> Iterator[str]:
    yield f"{family.maker} {family.name} ({_extent(family)})"
    yield from _note(family.note)
    for generation in family.generations:
        yield ""
        yield generation.name
        yield from _note(generation.note)
        for revision in family.revisions:
            if revision.generation == generation.id:
                count = sum(1 for _ in _weak_points(revision, pack))
                yield f"  {revision.id}: {_line(revision)}, {count} weak points"


def _revision_lines(family: Family, revision: Revision, pack: Pack) -> Iterator[str]:
    yield f"{family.maker} {family.name}, {revision.name} ({revision.id})"
    yield f"  {_line(revision)}"
    yield from _note(revision.note)
    yield ""
    yield "Traits"
    yield textwrap.fill(_traits(revision.traits), WIDTH, initial_indent="  ", subsequent_indent="  ")
    yield ""
    yield "Weak points"
    for point in _weak_points(revision, pack):
        yield f"  {point.id}: {point.name} ({point.system}){_part(family, revision, point)}"


def _line(revision: Revision) -> str:
    until = f"to {revision.until:%Y-%m}" if revision.until else "still built"
    codes = f", engine code {in_words(revision.codes)}" if revision.codes else ""
    return f"built from {revision.since:%Y-%m} {until}{codes}"


def _weak_points(revision: Revision, pack: Pack) -> Iterator[WeakPoint]:
    return (point for point in pack.weak_points if point.applies.holds(revision.traits) is not False)


def _part(family: Family, revision: Revision, point: WeakPoint) -> str:
    fit = family.fit(point.id, revision.id)
    return f", fitted at the works: {point.part(fit.works).name}" if fit else ""


def _traits(traits: Traits) -> str:
    return ", ".join(f"{name} {value}" for name, value in traits.items) or "none stated"


def _note(note: str) -> Iterator[str]:
    if note:
        yield textwrap.fill(note, WIDTH, initial_indent="  ", subsequent_indent="  ")


def _text(lines: Iterator[str]) -> str:
    return "\n".join(lines) + "\n"
