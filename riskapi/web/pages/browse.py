"""What is known about engines: families, a revision at an odometer and an age, and two revisions side by side."""

from __future__ import annotations

from datetime import UTC, date, datetime

from flask import Response, request

from riskapi.domain.browse import (
    Changes,
    usual_age,
    view_at,
    views_against,
)
from riskapi.domain.choices import FARTHEST, OLDEST, YOUNGEST
from riskapi.domain.knowledge import Revision
from riskapi.domain.units import convert
from riskapi.report.language import spoken_units
from riskapi.report.trait_texts import trait_heading, trait_value
from riskapi.web.pages.form import amount, number
from riskapi.web.pages.routes import page, routes
from riskapi.web.pages.texts import tell
from riskapi.web.pages.told import looks_of, points_of
from riskapi.web.pages.words import local_pack

LOOKS, POINTS = 10, 12  # shown at once
ROUND = -4  # usual odometers are told in tens of thousands of kilometres
SMALLEST_GAP = 0.005  # difference in the chance of failure below which two revisions are told as alike


@routes.get("/engines")
def engines() -> Response:
    """Every engine family."""
    return page("engines.html", families=local_pack().families)


@routes.get("/engines/<string:family>")
def engine(family: str) -> Response:
    """One family with its generations and revisions."""
    return page("engine.html", family=local_pack().family(family), built=built)


@routes.get("/engines/<string:family>/<string:revision>")
def revision(family: str, revision: str) -> Response:
    """What to look out for in a revision."""
    pack = local_pack()
    found = pack.family(family)
    asked = found.revision(revision)
    odometer, age = _where(asked)
    view = view_at(pack, found, asked, odometer, age, _today())
    return page(
        "revision.html",
        family=found,
        revision=asked,
        view=view,
        odometer=round(convert(odometer, "km", spoken_units().distance)),
        age=f"{age:g}",
        changes=_changes(view.changes),
        built=built,
        looks=looks_of(view, pack, LOOKS),
        points=points_of(view, pack),
        most=POINTS,
    )


@routes.get("/engines/<string:family>/<string:revision>/against/<string:other>")
def against(family: str, revision: str, other: str) -> Response:
    """Two revisions at the same odometer and age."""
    pack = local_pack()
    found = pack.family(family)
    pair = found.revision(revision), found.revision(other)
    told = views_against(pack, found, pair, *_where(pair[0]), _today())
    apart = [row for row in told.rows if _gap(row.first, row.second) >= SMALLEST_GAP]
    return page(
        "against.html",
        family=found,
        pair=pair,
        told=told,
        apart=apart,
        alike=len(told.rows) - len(apart),
        changes=_changes(told.changes),
        built=built,
    )


def built(revision: Revision) -> str:
    """'built 2011 to 2014'."""
    since = str(revision.since.year)
    if revision.until is None:
        return tell("built_from", since=since)
    return tell("built_between", since=since, until=str(revision.until.year))


def _where(revision: Revision) -> tuple[float, float]:
    """(odometer [km], age [years]) of the query, which says in what unit; where they are not stated or out of all
    bounds, what is usual for the revision, in round figures."""
    read = number(request.args.get("age", ""))
    stated = isinstance(read, int | float) and YOUNGEST <= read <= OLDEST
    age = float(read) if stated else round(usual_age(revision, _today()), 1)
    odometer = amount(request.args.get("odometer", ""))
    if isinstance(odometer, int | float):
        odometer = convert(odometer, "mi" if request.args.get("distance") == "mi" else "km", "km")
        if 0.0 <= odometer <= FARTHEST:
            return odometer, age
    return round(age * local_pack().defaults.annual_distance_km, ROUND), age


def _gap(first: object, second: object) -> float:
    chances = [getattr(point, "failure", None) for point in (first, second)]
    return 1.0 if None in chances else abs(chances[0] - chances[1])  # type: ignore[operator]


def _changes(changes: Changes | None) -> list[str]:
    """What differs, in sentences."""
    if changes is None:
        return []
    pack = local_pack()
    lines = [tell("browse_part", name=part.name, before=part.before, after=part.after) for part in changes.parts]
    lines += [
        tell("browse_trait", name=trait_heading(trait.trait), before=_stated(trait.before), after=_stated(trait.after))
        for trait in changes.traits
    ]
    lines += [tell("browse_gained", name=pack.weak_point(name).name) for name in changes.gained]
    return lines + [tell("browse_lost", name=pack.weak_point(name).name) for name in changes.lost]


def _stated(value: str | float | None) -> str:
    return tell("not_stated") if value is None else trait_value(value)


def _today() -> date:
    return datetime.now(UTC).date()
