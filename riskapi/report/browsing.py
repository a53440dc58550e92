"""A revision at an odometer and an age as plain text, and two of them side by side."""

from __future__ import annotations

from collections.abc import Iterator

from riskapi.domain.browse import Changes, Row, SideBySide, View, WeakPointView
from riskapi.domain.knowledge import Pack
from riskapi.domain.repairs import Repair
from riskapi.domain.showing import Look
from riskapi.report import format as fmt
from riskapi.report.browse_texts import tell
from riskapi.report.grid import Head, grid
from riskapi.report.listing import as_text, build_line, filled, heading
from riskapi.report.screen import hued, strong
from riskapi.report.trait_texts import trait_value, trait_word

MOST_LOOKS = 12
MOST_SHOWINGS = 3
SMALLEST_GAP = 0.005  # difference in the chance of failure below which two revisions are told as alike


def revision_text(view: View, pack: Pack) -> str:
    """Everything about a revision at this odometer and age, weak points likeliest to fail first."""
    return as_text(_revision_lines(view, pack))


def against_text(pair: SideBySide, pack: Pack) -> str:
    """What differs between two revisions, and their weak points next to each other."""
    return as_text(_against_lines(pair, pack))


# ---- one revision ----------------------------------------------------------------------------------------


def _revision_lines(view: View, pack: Pack) -> Iterator[str]:
    yield from heading(_title(view))
    if view.revision is not None:
        yield from filled(build_line(view.revision))
        yield from filled(view.revision.note)
    yield from filled(f"{_standing(view)} {tell('unseen_yet')}")
    yield from _headed(tell("traits"))
    yield from filled(_traits(view) or tell("none_stated"))
    if view.changes is not None:
        yield from _headed(tell("changed", revision=view.changes.before))
        yield from _change_lines(view.changes, pack)
    yield from _headed(tell("looks"))
    yield from _look_table(view, pack)
    yield from _headed(tell("unseen"))
    yield from filled(
        fmt.listing(tuple(point.name for point in view.weak_points if point.unseen)) or tell("unseen_none")
    )
    yield from _headed(tell("weak_points"))
    yield from filled(tell("weak_points_note", term=_term(view)))
    yield from _chance_table(view)
    yield from _headed(tell("details"))
    for point in view.weak_points:
        yield from _point_lines(point)


def _headed(words: str) -> Iterator[str]:
    yield ""
    yield from heading(words)


def _title(view: View) -> str:
    if view.family is None or view.revision is None:
        return tell("generic")
    return f"{view.family.maker} {view.family.name}, {view.revision.name} ({view.revision.id})"


def _standing(view: View) -> str:
    return tell(
        "standing" if view.revision is None else "standing_nearest",
        distance=fmt.distance(view.odometer_km),
        age=fmt.years(view.age_years),
        day=fmt.day(view.as_of),
        built=fmt.day(view.built),
    )


def _traits(view: View) -> str:
    return ", ".join(f"{trait_word(name)}: {trait_value(value)}" for name, value in view.traits.items)


def _term(view: View) -> str:
    return tell("or", first=fmt.distance(view.distance_km), second=fmt.years(view.years))


def _look_table(view: View, pack: Pack) -> Iterator[str]:
    heads = (
        Head(tell("col_check"), hue=True),
        Head(tell("col_look")),
        Head(tell("col_minutes"), right=True),
        Head(tell("col_shows")),
    )
    rows = [(look.check, look.name, fmt.number(look.minutes), _shows(look, pack)) for look in view.looks[:MOST_LOOKS]]
    return grid(heads, rows, indent=2)


def _shows(look: Look, pack: Pack) -> str:
    names = tuple(pack.weak_point(identifier).name for identifier in look.shows[:MOST_SHOWINGS])
    more = len(look.shows) - MOST_SHOWINGS
    return tell("looks_more", names=", ".join(names), count=fmt.number(more)) if more > 0 else fmt.listing(names)


def _chance_table(view: View) -> Iterator[str]:
    keys = ("col_sound", "col_degraded", "col_faulty", "col_failing")
    heads = (Head(tell("col_weak_point")), Head(tell("col_system")), *(Head(tell(key), right=True) for key in keys))
    rows = [
        (
            point.name,
            point.system,
            *map(fmt.per_hundred, (point.state.sound, point.state.degraded, point.state.faulty, point.failure)),
        )
        for point in view.weak_points
    ]
    return grid(heads, rows, indent=2)


def _point_lines(point: WeakPointView) -> Iterator[str]:
    yield f"  {strong(point.name)} ({hued(point.id)})"
    fitted = point.fitted
    if fitted is not None:
        yield from filled(tell("fitted" if fitted.by_family else "fitted_usual", part=fitted.name), 4, 2)
        later = [item for item in fitted.on_sale if item.part != fitted.part]
        for item in later:
            yield from filled(tell("on_sale", day=fmt.day(item.since), part=item.name), 4, 2)
        yield from filled(fitted.note, 4, 2)
    if point.unseen:
        yield from filled(tell("no_warning"), 4, 2)
    if point.showings:
        checks = tuple(showing.check for showing in point.showings[:MOST_SHOWINGS])
        yield from filled(tell("shown_by", checks=", ".join(checks)), 4, 2)
    if point.repairs:
        yield from filled(tell("repairs", repairs="; ".join(_repair(repair) for repair in point.repairs)), 4, 2)


def _repair(repair: Repair) -> str:
    tools = fmt.listing(tuple(tool.name for tool in repair.special_tools))
    return tell("repair_tools", repair=repair.name, tools=tools) if tools else repair.name


def _change_lines(changes: Changes, pack: Pack) -> Iterator[str]:
    lines = [tell("change_part", name=part.name, before=part.before, after=part.after) for part in changes.parts]
    lines += [
        tell("change_trait", name=trait_word(each.trait), before=_stated(each.before), after=_stated(each.after))
        for each in changes.traits
    ]
    lines += [tell("gained", name=pack.weak_point(identifier).name) for identifier in changes.gained]
    lines += [tell("lost", name=pack.weak_point(identifier).name) for identifier in changes.lost]
    for line in lines or [tell("no_change")]:
        yield from filled(line, hang=2)


def _stated(value: str | float | None) -> str:
    return trait_value(value) or tell("not_stated")


# ---- two revisions ---------------------------------------------------------------------------------------


def _against_lines(pair: SideBySide, pack: Pack) -> Iterator[str]:
    first, second = pair.first, pair.second
    yield from heading(tell("against", first=_title(first), second=_title(second)))
    sides = ((pair.changes.before, _standing_short(first)), (pair.changes.after, _standing_short(second)))
    yield from grid((Head("", hue=True), Head("")), sides, indent=2)
    yield from _headed(tell("differs", first=pair.changes.before, second=pair.changes.after))
    yield from _change_lines(pair.changes, pack)
    yield from _headed(tell("failing_within", term=_term(first)))
    apart = [row for row in pair.rows if _gap(row) >= SMALLEST_GAP]
    yield from _failure_table(pair.changes, apart)
    yield from filled(tell("alike", count=fmt.number(len(pair.rows) - len(apart))))


def _failure_table(changes: Changes, rows: list[Row]) -> Iterator[str]:
    sides = (changes.before, changes.after)
    heads = (Head(tell("col_weak_point")), *(Head(tell("col_side", revision=side), right=True) for side in sides))
    return grid(heads, [(row.name, _failure(row.first), _failure(row.second)) for row in rows], indent=2)


def _standing_short(view: View) -> str:
    return tell(
        "standing_short",
        distance=fmt.distance(view.odometer_km),
        age=fmt.years(view.age_years),
        built=fmt.day(view.built),
    )


def _gap(row: Row) -> float:
    if row.first is None or row.second is None:
        return 1.0
    return abs(row.first.failure - row.second.failure)


def _failure(point: WeakPointView | None) -> str:
    return tell("not_there") if point is None else fmt.per_hundred(point.failure)
