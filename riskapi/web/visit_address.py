"""The address at which the pages of this service show the checklist of a car: what the first page would ask for, as a
query. It holds no vehicle number."""

from __future__ import annotations

from collections.abc import Iterator
from urllib.parse import urlencode

from riskapi.domain.case import Case

SHORT, LONG = 10.0, 45.0  # minutes up to which a visit is of the first and of the second tier
Pairs = Iterator[tuple[str, str]]


def visit_address(public: str, case: Case) -> str:
    """The page at the public address of the service, without a slash at its end."""
    query = urlencode([pair for pair in _pairs(case) if pair[1]])
    return f"{public}/visit?{query}"


def _pairs(case: Case) -> Pairs:
    vehicle, engine = case.vehicle, case.vehicle.engine
    yield "family", engine.family or ""
    yield "revision", engine.revision or ""
    yield "code", engine.code or ""
    if engine.family is None:
        yield "how", "traits"
        yield from ((f"trait.{name}", str(value)) for name, value in engine.traits.items)
    yield "odometer", f"{vehicle.odometer_km:.0f}"
    yield "registered", vehicle.first_registered.isoformat() if vehicle.first_registered else ""
    yield "installation", vehicle.installation or ""
    yield "date", case.as_of.isoformat()
    yield "seller", case.seller or ""
    yield "reference", case.reference or ""
    yield from _visit(case)
    yield from _money(case)


def _visit(case: Case) -> Pairs:
    visit = case.visit
    yield "place", visit.place or ""
    yield "equipment", visit.equipment or ""
    yield "consent", "written" if "written" in visit.consents else ""
    minutes = LONG + 1.0 if visit.minutes is None else visit.minutes
    yield "tier", "ten_minutes" if minutes <= SHORT else "forty_five_minutes" if minutes <= LONG else "workshop"


def _money(case: Case) -> Pairs:
    market, ownership = case.market, case.ownership
    yield "currency", market.currency or ""
    yield "asking", _number(market.asking_price)
    yield "sound", _number(market.sound_value)
    yield "rate", _number(market.labour_rate)
    yield "years", _number(ownership.years)
    yield "yearly", _number(ownership.annual_distance_km)
    yield "budget", _number(ownership.repair_budget)


def _number(value: float | None) -> str:
    return "" if value is None else f"{value:g}" if abs(value) < 1e5 else f"{value:.2f}"
