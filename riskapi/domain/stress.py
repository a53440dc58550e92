"""Which stress was in force when: oil service documented or not, tune, past use and the buyer's use."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from itertools import pairwise

import numpy as np

from riskapi.domain.case import Usage
from riskapi.domain.knowledge import CareShare, Family, Pack, PlannedService, ServiceInterval, WeakPoint
from riskapi.domain.timeline import Span, Timeline

STRETCHED = "stretched_oil_service"
TUNE = "software_tune"
TOLERANCE = 1.3  # common practice, no source: a service up to 30 % late still counts as in time
EVER = 1.0e6  # [years], later than any clock reaches

Stretch = tuple[float, float]  # start and end [years since build]


def oil_interval(pack: Pack, family: Family | None) -> ServiceInterval:
    """How often careful practice changes the oil: by the family where it says so, else by the pack's default."""
    oil = oil_service(family)
    if oil is not None and oil.careful is not None:
        return oil.careful
    defaults = pack.defaults
    return ServiceInterval(defaults.oil_service_km, defaults.oil_service_years, defaults.source)


def oil_service(family: Family | None) -> PlannedService | None:
    """The family's oil service; None where it names none."""
    return next((service for service in family.services if service.oil), None) if family is not None else None


def undocumented_stretches(
    services: Sequence[float], timeline: Timeline, interval: ServiceInterval
) -> tuple[Stretch, ...]:
    """The stretches of years without a documented oil service in time.

    `services` are the times of the documented ones [years]. A stretch between two of them (build date and today
    included) counts when it is longer than TOLERANCE times the interval of careful practice, by years or on the
    timeline's distance (not by the readings themselves, which may disagree).
    """
    limit_km = TOLERANCE * interval.distance_km
    limit_years = TOLERANCE * interval.age_years
    stops = [0.0, *sorted(services), timeline.now]
    distance = dict(zip(stops, timeline.odometer(np.array(stops)).tolist(), strict=True))
    return tuple(
        (a, b) for a, b in pairwise(stops) if b > a and (b - a > limit_years or distance[b] - distance[a] > limit_km)
    )


@dataclass(frozen=True, slots=True)
class Use:
    """How a car was used and will be: stress conditions as stated, undocumented stretches, and its age `now` [years].

    `shares` say, per care, over what share of the undocumented distance the oil service is stretched.
    """

    stated: Usage
    undocumented: tuple[Stretch, ...]
    shares: tuple[CareShare, ...]
    now: float


def spans_of(weak_point: WeakPoint, use: Use, care: int, tuned: bool) -> tuple[Span, ...]:
    """Spans of one weak point's stress factors under a care (index of CARES), with or without a software tune."""
    spans: list[Span] = []
    for stress in weak_point.stresses:
        for start, end, share in _in_force(stress.condition, use, care, tuned):
            factor = 1.0 + share * (stress.factor - 1.0)
            if factor != 1.0:
                by_distance = stress.clock == "distance"
                spans.append(Span(start, end, factor if by_distance else 1.0, 1.0 if by_distance else factor))
    return tuple(spans)


def _in_force(condition: str, use: Use, care: int, tuned: bool) -> list[tuple[float, float, float]]:
    """(start, end, share of the distance) of a stress condition: the seller's past until now, the buyer's use after."""
    if condition == TUNE:
        return [(0.0, EVER, 1.0)] if tuned else []
    found: list[tuple[float, float, float]] = []
    if condition == STRETCHED:
        share = 1.0 if STRETCHED in use.stated.past else use.shares[care].stretched_share
        found += [(start, end, share) for start, end in use.undocumented]
    elif condition in use.stated.past:
        found.append((0.0, use.now, 1.0))
    if condition in use.stated.planned:
        found.append((use.now, EVER, 1.0))
    return found
