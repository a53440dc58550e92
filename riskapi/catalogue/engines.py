"""engines/<family>.yaml: generations, revisions, the parts only they have, what was fitted, planned services."""

from __future__ import annotations

import calendar
import re
from collections.abc import Iterator
from dataclasses import dataclass
from datetime import date

from riskapi.catalogue.expected import KM, YEARS
from riskapi.catalogue.ledger import Spot
from riskapi.catalogue.lifetimes import read_interval, read_parts
from riskapi.catalogue.nodes import Entry, Item
from riskapi.domain.knowledge import (
    Family,
    Fit,
    Generation,
    PartRevision,
    PlannedService,
    Revision,
    SerialRange,
    ServiceInterval,
    Supply,
    Traits,
)

_SERIAL = re.compile(r"[A-Z0-9]+")
_DATE = re.compile(r"(\d{4})-(\d{2})(?:-(\d{2}))?")


@dataclass(frozen=True, slots=True)
class FamilyFile:
    """A family with its own parts (weak point id -> parts), and the spots of these and of its fits.

    `part_spots` has the keys (weak point, part).
    """

    family: Family
    parts: dict[str, tuple[PartRevision, ...]]
    fit_spots: tuple[Spot, ...]
    part_spots: dict[tuple[str, str], Spot]


def read_family(root: Entry) -> FamilyFile:
    """One engine family."""
    identifier = root.need("family").identifier()
    if identifier:
        root.item.ledger.define("engine family", identifier, root.get("family").spot)
    parts: dict[str, tuple[PartRevision, ...]] = {}
    part_spots: dict[tuple[str, str], Spot] = {}
    for weak_point, entry in root.get("weak_points").entry().keyed("weak point"):
        listed = entry.need("parts").entry()
        parts[weak_point] = read_parts(listed, weak_point, identifier or "?")
        part_spots.update({(weak_point, part.id): listed.keys[part.id][0] for part in parts[weak_point]})
    generations = list(root.need("generations").entry().records(f"generation of {identifier}"))
    fits = root.get("fits").items()
    family = Family(
        id=identifier,
        name=root.need("name").text(),
        maker=root.need("maker").text(),
        note=root.get("note").text(empty=True),
        generations=tuple(_generation(key, entry) for key, entry in generations),
        revisions=tuple(_revisions(root, generations)),
        fits=tuple(_fit(item.entry()) for item in fits),
        services=tuple(_services(root, identifier)),
        source=root.source,
    )
    return FamilyFile(family, parts, tuple(item.spot for item in fits), part_spots)


def _generation(identifier: str, entry: Entry) -> Generation:
    return Generation(identifier, entry.need("name").text(), entry.get("note").text(empty=True))


def _revisions(root: Entry, generations: list[tuple[str, Entry]]) -> Iterator[Revision]:
    common = _traits(root)
    for generation, outer in generations:
        shared = common.merged(_traits(outer))
        for identifier, entry in outer.need("revisions").entry().records("revision"):
            since, until = _span(entry)
            yield Revision(
                id=identifier,
                name=entry.need("name").text(),
                generation=generation,
                since=since,
                until=until,
                codes=entry.get("codes").texts(),
                traits=shared.merged(_traits(entry)),
                note=entry.get("note").text(empty=True),
                source=entry.source,
                serials=_serials(entry.get("serials")),
            )


def _serials(item: Item) -> SerialRange | None:
    """The span of engine serial numbers, where the file states one."""
    if not item.present:
        return None
    entry = item.entry()
    ends = entry.need("from"), entry.need("to")
    first, last = (_serial(end) for end in ends)
    if first and last and not SerialRange(first, last).holds(first):
        ends[1].fault(f"the serial numbers end before they begin ({first}).", "Put 'from' and 'to' in order.")
    return SerialRange(first, last)


def _serial(item: Item) -> str:
    """Capital letters and digits; '' where there is none."""
    written = item.text()
    if not written or _SERIAL.fullmatch(written):
        return written
    item.fault(f"{written!r} is no serial number.", 'Write capital letters and digits, such as "004200".')
    return ""


def _traits(entry: Entry) -> Traits:
    pairs = entry.get("traits").entry().pairs()
    return Traits(tuple(sorted((name, item.trait(name)) for name, item in pairs)))


def _fit(entry: Entry) -> Fit:
    weak_point = entry.need("weak_point").reference("weak point")
    part = f"part revision of {weak_point}"
    revisions, supplies = entry.need("revisions"), entry.need("supplies")
    for item, what in ((revisions, "revision"), (supplies, "part on sale")):
        if item.present and not item.items():
            item.fault(f"a fit needs a {what}.", "List at least one.")
    return Fit(
        weak_point=weak_point,
        revisions=revisions.references("revision"),
        works=entry.need("works").reference(part if weak_point else ""),
        supplies=_supplies(supplies, part),
        note=entry.get("note").text(empty=True),
        source=entry.source,
    )


def _supplies(listed: Item, part: str) -> tuple[Supply, ...]:
    supplies = []
    for item in listed.items():
        entry = item.entry()
        supplies.append(Supply(entry.need("part").reference(part), read_date(entry.need("since"))))
        if len(supplies) > 1 and supplies[-1].since <= supplies[-2].since:
            item.fault("this part is on sale no later than the one before.", "List the parts by date, oldest first.")
    return tuple(supplies)


def _services(root: Entry, family: str) -> Iterator[PlannedService]:
    oil: str | None = None
    for identifier, entry in root.get("services").entry().records(f"service of {family}"):
        distance, age = read_interval(entry)
        is_oil = entry.get("oil").flag()
        if is_oil and oil is not None:
            entry.get("oil").fault(f"{oil!r} is the oil service already.", "Keep 'oil: yes' on one of the two.")
        oil = identifier if is_oil else oil
        yield PlannedService(
            id=identifier,
            name=entry.need("name").text(),
            operation=entry.need("operation").reference("operation"),
            distance_km=distance,
            age_years=age,
            source=entry.source,
            careful=_careful(entry.get("careful"), distance, age),
            oil=is_oil,
        )


def _careful(item: Item, distance: float | None, age: float | None) -> ServiceInterval | None:
    """The interval of careful practice beside the maker's `distance` [km] and `age` [years], if the file states one."""
    if not item.present:
        return None
    entry = item.entry()
    ends = entry.need("distance"), entry.need("age")
    careful = ServiceInterval(ends[0].figure(KM), ends[1].figure(YEARS), entry.source)
    pairs = (careful.distance_km, distance, "km"), (careful.age_years, age, "years")
    for end, (own, makers, unit) in zip(ends, pairs, strict=True):
        if makers is not None and own > makers:
            what = f"careful practice is longer than the maker's interval, {own:g} over {makers:g} {unit}."
            end.fault(what, f"Write {makers:g} {unit} or less, or correct the maker's interval.")
    return careful


# ---- dates ---------------------------------------------------------------------------------------


def _span(entry: Entry) -> tuple[date, date | None]:
    until = entry.get("until")
    since = read_date(entry.need("since"))
    end = None if not until.present or until.is_word("null") else read_date(until, last=True)
    if end is not None and end < since:
        until.fault(f"the span ends before it begins ({since}).", "Put 'since' and 'until' in order.")
    return since, end


def read_date(item: Item, last: bool = False) -> date:
    """YYYY-MM-DD, or YYYY-MM for the first (or the last) day of that month. A blank is the first of dates."""
    written = item.text()
    match = _DATE.fullmatch(written)
    try:
        if match is not None:
            year, month = int(match[1]), int(match[2])
            end = calendar.monthrange(year, month)[1] if last else 1
            return date(year, month, int(match[3] or end))
    except ValueError:  # month 13, 31 June, year 0
        pass
    if written:
        item.fault(f"{written!r} is no date.", "Write YYYY-MM or YYYY-MM-DD.")
    return date.max if last else date.min
