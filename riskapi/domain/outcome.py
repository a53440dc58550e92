"""What happened after an assessment, as told. Nothing is computed from it here: it is kept and handed out."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date

BOUGHT = ("yes", "no", "undecided")
TELLERS = ("buyer", "inspector", "dealer", "workshop")
FOUND_STATES = ("sound", "degraded", "faulty")


@dataclass(frozen=True, slots=True)
class Found:
    """What a weak point turned out to be. `cost` is what putting it right cost, in the currency of the outcome."""

    weak_point: str
    state: str
    on: date | None
    odometer_km: float | None
    cost: float | None
    evidence: str
    note: str


@dataclass(frozen=True, slots=True)
class Outcome:
    """`bought` is 'yes', 'no' or 'undecided'; `found` may be empty: nothing so far. `price_paid` is in `currency`."""

    told_on: date
    told_by: str
    bought: str
    bought_on: date | None
    price_paid: float | None
    currency: str | None
    odometer_km: float | None
    found: tuple[Found, ...]
    note: str
