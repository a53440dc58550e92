"""Part revisions: lifetimes on two clocks, spreads, planned renewal."""

from __future__ import annotations

from riskapi.catalogue.expected import CHANCE, FACTOR, KM, YEARS, Expected
from riskapi.catalogue.nodes import Entry
from riskapi.domain.knowledge import CARES, LifeMode, PartRevision, PlannedInterval, Weibull, When

SPREAD = Expected("x", 1.0)
FAMILY = "family"
"""In the `when` of a family's own parts; reserved, so that it is never a trait."""
ENGINES = "engines/"


def read_parts(parts: Entry, weak_point: str, family: str | None = None) -> tuple[PartRevision, ...]:
    """The part revisions of a weak point in the order of the file.

    A family's own parts are reached through a fit only. Their `when` names the trait 'family', which is no word
    of the vocabulary and which no engine states, so it never holds (`When.holds` is never True). Families may share
    a part: the same id with the same figures.
    """
    listed = parts.records(f"part revision of {weak_point}", sharing=ENGINES if family else "")
    return tuple(_part(identifier, entry, family) for identifier, entry in listed)


def _part(identifier: str, entry: Entry, family: str | None) -> PartRevision:
    flaw = entry.get("flaw")
    flawed = flaw.entry()
    wear = entry.need("wear").entry()
    absent = wear.get("absent")
    planned = entry.get("planned")
    return PartRevision(
        id=identifier,
        name=entry.need("name").text(),
        when=When(((FAMILY, (family,)),)) if family else entry.get("when").when(),
        flaw_share=flawed.need("share").figure(CHANCE, blank=0.0),
        flaw=_life(flawed) if flaw.present else None,
        wear=None if absent.present else _life(wear),
        no_wear_because=absent.text(),
        planned=_planned(planned.entry()) if planned.present else None,
        source=entry.source,
    )


def _life(entry: Entry) -> LifeMode:
    distance, age = entry.get("distance"), entry.get("age")
    if entry.item.present and not (distance.present or age.present):
        entry.item.fault("a lifetime needs a clock.", "Give 'distance', 'age' or both, each with shape and scale.")
    return LifeMode(
        distance=_weibull(distance.entry(), KM) if distance.present else None,
        age=_weibull(age.entry(), YEARS) if age.present else None,
        spread=entry.need("spread").figure(SPREAD),
    )


def _weibull(entry: Entry, scale: Expected) -> Weibull:
    return Weibull(shape=entry.need("shape").figure(FACTOR), scale=entry.need("scale").figure(scale))


def _planned(entry: Entry) -> PlannedInterval:
    distance, age = read_interval(entry)
    kept = entry.need("kept").entry()
    careful, average, neglected = (kept.need(care).figure(CHANCE) for care in CARES)
    return PlannedInterval(
        distance_km=distance,
        age_years=age,
        kept=(careful, average, neglected),
        operation=entry.need("operation").reference("operation"),
    )


def read_interval(entry: Entry) -> tuple[float | None, float | None]:
    """(distance [km], age [years]) of an interval; at least one of them is given."""
    distance = entry.get("distance").figure_or_none(KM)
    age = entry.get("age").figure_or_none(YEARS)
    if entry.item.present and distance is None and age is None:
        entry.item.fault("an interval needs a distance or an age.", "Give 'distance', 'age' or both.")
    return distance, age
