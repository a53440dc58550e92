"""A case: one car, its history and what was found on it, as frozen records in canonical units.

Distances [km], ages [years], money in the case's currency. Built by riskapi/intake/ from JSON, which keeps
for each record the JSON pointer it came from, so that a later fault can name its place.
"""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date

from riskapi.domain.knowledge import Traits
from riskapi.domain.vin import VinClues

NOT_CHECKED = ("refused", "not_reachable", "no_equipment", "no_time")
OBSERVED_BY = ("self", "seller", "papers")
EVIDENCE = ("invoice", "stamp", "told", "none")
SELLERS = ("private", "trade")
VIN_MARKETS = ("us", "other")


@dataclass(frozen=True, slots=True)
class Engine:
    """Named by family (with or without a revision or an engine code), or described by traits alone.

    `unknown`: traits of which the user says that they cannot be found out.
    """

    family: str | None
    revision: str | None
    code: str | None
    traits: Traits
    unknown: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True)
class Vehicle:
    """`vins` are what the VINs that were read tell (never a VIN itself), `vin_market` says whether 49 CFR 565 binds
    them, `serial_number` is the engine's."""

    engine: Engine
    build_date: date | None
    first_registered: date | None
    odometer_km: float
    installation: str | None
    parts_class: str | None
    software_tune: str  # yes | no | unknown
    moves_under_own_power: bool | None
    vins: tuple[VinClues, ...] = ()
    vin_market: str = "other"
    serial_number: str | None = None


@dataclass(frozen=True, slots=True)
class HistoryEntry:
    """One line of the service history.

    work: 'oil_service' | 'renewed' (item = weak point) | 'never_renewed' (item = weak point) |
    'engine_replaced' (item = new | overhauled | used) | 'checked' (item = check, result given) |
    'reading' (odometer only) | 'failed' (item = weak point, found to have failed and renewed then) | 'other'.
    A `doubtful` reading may run backwards: the longer distance is scored and the report states the disagreement.
    """

    pointer: str
    on: date
    odometer_km: float | None
    work: str
    item: str | None
    result: str | None
    part: str | None
    engine_distance_km: float | None
    evidence: str
    note: str
    doubtful: bool = False


@dataclass(frozen=True, slots=True)
class Usage:
    """Stress conditions (ids of the pack) of the years before the assessment and of the years to come."""

    past: tuple[str, ...]
    planned: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class Finding:
    """A check with its result, or the reason why it was not done.

    Exactly one of `result`, `values`, `codes`, `not_checked` is given; `values` are in the unit of the check.
    `conditions` are (condition id, held) pairs as stated; what is not stated is taken to have held.
    `photos` are ids of pictures; no number depends on them.
    """

    pointer: str
    check: str
    result: str | None
    values: tuple[float, ...] | None
    codes: tuple[str, ...] | None
    not_checked: str | None
    conditions: tuple[tuple[str, bool], ...]
    observed_by: str
    note: str
    photos: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True)
class Ownership:
    """None means: use the pack's default and say so."""

    years: float | None
    annual_distance_km: float | None
    repair_budget: float | None


@dataclass(frozen=True, slots=True)
class Contract:
    """A repair contract as offered, typed in: `weak_points` are ids, `systems` names of the pack. It runs for `years`
    [years] or `distance_km` [km] from the purchase, whichever ends first, without them for the whole ownership.
    `existing_faults`: whether it pays for what is faulty on day 0. It pays for no failure before both `waiting_years`
    [years] and `waiting_km` [km] after the purchase have passed."""

    price: float
    weak_points: tuple[str, ...] = ()
    systems: tuple[str, ...] = ()
    excess: float = 0.0
    limit_per_claim: float | None = None
    limit_total: float | None = None
    years: float | None = None
    distance_km: float | None = None
    existing_faults: bool = False
    waiting_years: float = 0.0
    waiting_km: float = 0.0


@dataclass(frozen=True, slots=True)
class PriceFeed:
    """Where prices that the user did not state come from: `filled` are the keys of the market that it filled, as they
    were on `as_of`; it last answered on `checked`, and was used on `used`."""

    source: str
    as_of: date
    checked: date
    used: date
    filled: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class Market:
    """The user's own prices; None means the pack's default, stated in the answer. `parts_prices`: (operation, likely
    price of its parts for the parts class 'mid', without tax) in place of the pack's.

    `workshop_rate`: what an hour of his own workshop costs a dealer, without tax; given, work before a sale is weighed.
    """

    currency: str | None
    labour_rate: float | None
    parts_index: float | None
    tax: float | None
    asking_price: float | None
    sound_value: float | None
    workshop_rate: float | None = None
    contract: Contract | None = None
    parts_prices: tuple[tuple[str, float], ...] = ()
    price_feed: PriceFeed | None = None


@dataclass(frozen=True, slots=True)
class Visit:
    """`light`, `weather`, `client` (a reference, no name) and `commission` are told in a report; nothing follows from
    them."""

    place: str | None
    equipment: str | None
    minutes: float | None
    consents: tuple[str, ...]
    light: str | None = None
    weather: str | None = None
    client: str | None = None
    commission: str | None = None


@dataclass(frozen=True, slots=True)
class Case:
    vehicle: Vehicle
    as_of: date
    seller: str | None
    usage: Usage
    history: tuple[HistoryEntry, ...]
    visit: Visit
    findings: tuple[Finding, ...]
    ownership: Ownership
    market: Market
    reference: str | None
