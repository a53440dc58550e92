"""What to leave and watch: when to look again at a weak point, and with which check.

A look is of use only while the fault can be noticed and has not yet led to failure: the P-F interval, here the
shorter of its distance (at the buyer's annual distance) and its time. The rule is the usual one for such tasks, looks
no further apart than half the P-F interval (common practice, no source; SAE JA1012 discusses it), and the first one

    half a P-F interval before the date by which MISSED of such cars will have failed in service

so that of the cars that fail later at least one look falls into the interval. Where that look was taken at the visit
the next one comes half an interval later. A weak point that fails in few cars needs no look of its own.
"""

from __future__ import annotations

from collections.abc import Collection, Sequence
from dataclasses import dataclass
from datetime import timedelta
from functools import lru_cache

import numpy as np

from riskapi.domain.case import Case
from riskapi.domain.evidence import tables_of
from riskapi.domain.knowledge import DEGRADED, Check, Pack, Traits, WeakPoint
from riskapi.domain.plan_records import WatchItem
from riskapi.domain.renewing import Worth, candidate_chances
from riskapi.domain.showing import showings_by
from riskapi.domain.timeline import DAYS_PER_YEAR, Floats

MISSED = 0.02  # share of cars that may fail before the first look
FREQUENT = 0.05  # share failing within the term from which a weak point is watched; with a hazard MISSED is enough
MONTHS = 12.0


@dataclass(frozen=True, slots=True)
class Left:
    """What is left: `watch`, the earliest look first, and ids of weak points that no look shows in time."""

    watch: tuple[WatchItem, ...]
    unseen: tuple[str, ...]


def what_is_left(pack: Pack, case: Case, worth: Worth, put_right: Collection[str], looked: Collection[str]) -> Left:
    """Weak points that are not put right and fail often enough; `looked`: ids of checks that counted at the visit.

    Odometers are those on the dashboard, also where the readings of the case disagree.
    """
    weak_points, fails = worth.basis.outlook.lanes.weak_points, worth.fails_by[:, -1]
    left = [
        w
        for w, wp in enumerate(weak_points)
        if wp.id not in put_right and fails[w] >= (FREQUENT if wp.hazard == "none" else MISSED)
    ]
    best = _looks(pack, worth)
    checks = {w: pack.check(best[w]) for w in left if best[w] and weak_points[w].warning != "none"}
    items = [_item(case, worth, w, check, looked) for w, check in checks.items()]
    blind = sorted((w for w in left if w not in checks), key=lambda w: (-fails[w], weak_points[w].id))
    return Left(
        tuple(sorted(items, key=lambda item: (item.on, -item.chance, item.weak_point))),
        tuple(weak_points[w].id for w in blind),
    )


def _item(case: Case, worth: Worth, w: int, check: Check, looked: Collection[str]) -> WatchItem:
    outlook = worth.basis.outlook
    wp, timeline = outlook.lanes.weak_points[w], outlook.lanes.timeline
    interval = 0.5 * warning_years(wp, timeline.annual)
    degraded = float(worth.basis.posterior.state[w, DEGRADED].sum())
    first = first_look(outlook.horizons, worth.fails_by[w], degraded, 2.0 * interval)
    first = max(first, interval) if check.id in looked else first
    return WatchItem(
        weak_point=wp.id,
        name=wp.name,
        check=check.id,
        check_name=check.name,
        odometer_km=case.vehicle.odometer_km + first * timeline.annual,
        on=case.as_of + timedelta(days=round(first * DAYS_PER_YEAR)),
        every_km=interval * timeline.annual,
        every_months=max(1, int(MONTHS * interval)),
        chance=float(worth.fails_by[w, -1]),
    )


def warning_years(wp: WeakPoint, annual: float) -> float:
    """The P-F interval in years of the buyer's use: the shorter of its distance and its time [years]."""
    return min(wp.pf_years, wp.pf_km / annual) if annual > 0.0 else wp.pf_years


def first_look(horizons: Sequence[float], fails_by: Floats, degraded: float, warning: float) -> float:
    """Years after purchase: half the P-F interval `warning` [years] before MISSED have failed, or at once.

    `fails_by` at the `horizons` are joined by straight lines; what is `degraded` today has failed within the interval.
    """
    times = np.array([0.0, *horizons])
    chances = np.array([0.0, *fails_by])
    early = min(warning, float(times[-1]))
    knots = np.unique([*times, early])
    at = np.maximum(np.interp(knots, times, chances), np.where(knots >= early, min(degraded, chances[-1]), 0.0))
    at = np.maximum.accumulate(at)
    reached = int(np.argmax(at >= MISSED))
    if at[reached] < MISSED:
        return float(times[-1])
    share = (MISSED - at[reached - 1]) / (at[reached] - at[reached - 1])
    failed = knots[reached - 1] + share * (knots[reached] - knots[reached - 1])
    return float(max(failed - 0.5 * warning, 0.0))


def _looks(pack: Pack, worth: Worth) -> tuple[str, ...]:
    """Per weak point the check to watch it with under the likeliest engine; '' where none shows it in time."""
    lanes = worth.basis.outlook.lanes
    likeliest = lanes.candidates[int(np.argmax(candidate_chances(worth.basis)))]
    return best_looks(pack, tuple(wp.id for wp in lanes.weak_points), likeliest.traits)


@lru_cache(maxsize=256)
def best_looks(pack: Pack, weak_points: tuple[str, ...], traits: Traits) -> tuple[str, ...]:
    """Per weak point the check that shows it best while it is degraded: one that the owner takes himself, without a
    workshop, if there is one; after the purchase there is no seller to be asked."""
    degraded = np.tile(np.eye(3)[DEGRADED], (len(weak_points), 1))
    shown = showings_by(pack, tables_of(pack, weak_points, traits), range(len(weak_points)), degraded)
    checks = ([pack.check(showing.check) for showing in row] for row in shown)
    return tuple(next((check.id for check in sorted(row, key=_trouble)), "") for row in checks)


def _trouble(check: Check) -> tuple[bool, bool]:
    return check.told_by != "self", check.equipment == "workshop" or check.tier == "workshop"
