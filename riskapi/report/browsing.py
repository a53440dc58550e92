"""A revision at an odometer and an age as plain text, and two of them side by side."""

from __future__ import annotations

import textwrap
from collections.abc import Iterator

from riskapi.domain.browse import Changes, Row, SideBySide, View, WeakPointView
from riskapi.domain.knowledge import Pack
from riskapi.domain.repairs import Repair
from riskapi.report.format import day, distance, listing, minutes, percent, years
from riskapi.report.listing import WIDTH, as_text, build_line, note_lines

MOST_LOOKS = 12
MOST_SHOWINGS = 3
_NEAREST = "the day nearest to today on which this revision can be of that age"
SMALLEST_GAP = 0.005  # difference in the chance of failure below which two revisions are told as alike


def revision_text(view: View, pack: Pack) -> str:
    """Everything about a revision at this odometer and age, weak points likeliest to fail first."""
    return as_text(_revision_lines(view, pack))


def against_text(pair: SideBySide, pack: Pack) -> str:
    """What differs between two revisions, and their weak points next to each other."""
    return as_text(_against_lines(pair, pack))


# ---- one revision ----------------------------------------------------------------------------------------


def _revision_lines(view: View, pack: Pack) -> Iterator[str]:
    yield _title(view)
    if view.revision is not None:
        yield f"  {build_line(view.revision)}"
        yield from note_lines(view.revision.note)
    yield from _filled(f"{_standing(view)} Nothing has been looked at; care and tune are averaged.")
    yield ""
    yield "Traits"
    yield from _filled(", ".join(f"{name} {value}" for name, value in view.traits.items) or "none stated")
    if view.changes is not None:
        yield ""
        yield f"Changed from the revision before ({view.changes.before})"
        yield from _change_lines(view.changes, pack)
    yield ""
    yield from _look_lines(view, pack)
    yield ""
    yield "Weak points: chances of sound / degraded / faulty today; chance of failing,"
    yield f"faults of today included, within {_term(view)}; repairs with their special tools"
    for point in view.weak_points:
        yield from _point_lines(point)


def _title(view: View) -> str:
    if view.family is None or view.revision is None:
        return "An engine described by its traits"
    return f"{view.family.maker} {view.family.name}, {view.revision.name} ({view.revision.id})"


def _standing(view: View) -> str:
    words = f"At {distance(view.odometer_km)} and {years(view.age_years)} on {day(view.as_of)}, built {day(view.built)}"
    return f"{words}." if view.revision is None else f"{words}, {_NEAREST}."


def _term(view: View) -> str:
    return f"{distance(view.distance_km)} or {years(view.years)}"


def _point_lines(point: WeakPointView) -> Iterator[str]:
    state = point.state
    chances = " / ".join(percent(x) for x in (state.sound, state.degraded, state.faulty))
    yield f"  {point.id}: {point.name} ({point.system}): {chances}; {percent(point.failure)}"
    fitted = point.fitted
    if fitted is not None:
        words = "fitted at the works" if fitted.by_family else "usual with these traits"
        yield from _filled(f"{words}: {fitted.name}", 4)
        later = [item for item in fitted.on_sale if item.part != fitted.part]
        yield from (f"    on sale from {day(item.since)}: {item.name}" for item in later)
        yield from _filled(fitted.note, 4)
    if point.unseen:
        yield "    gives no warning: no look can see it coming"
    if point.showings:
        checks = listing(tuple(showing.check for showing in point.showings[:MOST_SHOWINGS]))
        yield from _filled(f"shown by: {checks}", 4)
    yield from _filled(f"repairs: {'; '.join(_repair(repair) for repair in point.repairs)}", 4)


def _repair(repair: Repair) -> str:
    tools = listing(tuple(tool.name for tool in repair.special_tools))
    return f"{repair.name} ({tools})" if tools else repair.name


def _look_lines(view: View, pack: Pack) -> Iterator[str]:
    yield "What to look at, most to be found first"
    for look in view.looks[:MOST_LOOKS]:
        names = listing(tuple(pack.weak_point(identifier).name for identifier in look.shows[:MOST_SHOWINGS]))
        more = len(look.shows) - MOST_SHOWINGS
        others = f", and {more} more" if more > 0 else ""
        yield from _filled(f"{look.check}: {look.name} ({minutes(look.minutes)}): {names}{others}")
    yield ""
    yield "What no look can see"
    unseen = tuple(point.name for point in view.weak_points if point.unseen)
    yield from _filled(listing(unseen) or "nothing: every weak point gives some warning")


def _change_lines(changes: Changes, pack: Pack) -> Iterator[str]:
    lines = [f"{part.weak_point}: {part.before} -> {part.after}" for part in changes.parts]
    lines += [f"trait {t.trait}: {_stated(t.before)} -> {_stated(t.after)}" for t in changes.traits]
    lines += [f"new weak point: {pack.weak_point(identifier).name}" for identifier in changes.gained]
    lines += [f"no longer there: {pack.weak_point(identifier).name}" for identifier in changes.lost]
    for line in lines or ["nothing that the pack knows of"]:
        yield from _filled(line)


def _stated(value: object) -> str:
    return "not stated" if value is None else str(value)


def _filled(text: str, indent: int = 2) -> Iterator[str]:
    blank = " " * indent
    if text:
        yield textwrap.fill(text, WIDTH, initial_indent=blank, subsequent_indent=f"{blank}  ")


# ---- two revisions ---------------------------------------------------------------------------------------


def _against_lines(pair: SideBySide, pack: Pack) -> Iterator[str]:
    first, second = pair.first, pair.second
    yield f"{_title(first)} against {_title(second)}"
    yield f"  {pair.changes.before}: {_standing_short(first)}"
    yield f"  {pair.changes.after}: {_standing_short(second)}"
    yield ""
    yield f"What differs, {pair.changes.before} -> {pair.changes.after}"
    yield from _change_lines(pair.changes, pack)
    yield ""
    yield f"Chance of failing within {_term(first)}, faults of today included"
    apart = [row for row in pair.rows if _gap(row) >= SMALLEST_GAP]
    width = max((len(row.name) for row in apart), default=0)
    for row in apart:
        yield f"  {row.name:<{width}}  {_failure(row.first):>10} -> {_failure(row.second):>10}"
    alike = len(pair.rows) - len(apart)
    yield f"  {alike} other weak points differ by less than half a per cent"


def _standing_short(view: View) -> str:
    return f"{distance(view.odometer_km)}, {years(view.age_years)}, built {day(view.built)}"


def _gap(row: Row) -> float:
    if row.first is None or row.second is None:
        return 1.0
    return abs(row.first.failure - row.second.failure)


def _failure(point: WeakPointView | None) -> str:
    return "not there" if point is None else percent(point.failure)
