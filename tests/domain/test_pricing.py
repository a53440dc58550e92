"""Severities of every weak point, planned services, and what immediate jobs share in access."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest

from riskapi.domain.costing import Prices
from riskapi.domain.jobs import Outcome, PriceLevel, Severity
from riskapi.domain.knowledge import PlannedService
from riskapi.domain.pricing import price_table, service_items, shared_access_saving
from riskapi.domain.timeline import build_timeline
from tests.domain.builders import job
from tests.domain.weighed import plain
from tests.simulator import tiny

PACK = tiny.pack()
LEVEL = PriceLevel("EUR", 100.0, 1.0, 0.2, "transverse", None)


def test_every_weak_point_has_a_price_under_every_candidate() -> None:
    lanes = plain().basis.outlook.lanes
    table = price_table(PACK, LEVEL, lanes)
    assert set(table) == {(w, c) for w in range(5) for c in range(len(lanes.candidates))}
    planned = [lanes.weak_points[w].id for (w, _), price in table.items() if price.planned is not None]
    assert set(planned) == {"belt"}


def test_equal_tables_under_equal_traits_are_one_severity() -> None:
    """So that each is discretised once."""
    table = price_table(PACK, LEVEL, plain().basis.outlook.lanes)
    assert table[0, 0].in_service is table[0, 1].in_service
    assert table[0, 0].in_service is price_table(PACK, LEVEL, plain().basis.outlook.lanes)[0, 0].in_service


# ---- services at an interval -------------------------------------------------------------------------------


def services(km: float | None, years: float | None, now: float = 9.9) -> list[float]:
    family = replace(PACK.family("tiny"), services=(PlannedService("oil", "Oil service", "oil", km, years, "test"),))
    timeline = build_timeline([], now, 148_000.0, 14_000.0, 3.0)
    return [item.times for item in service_items(family, PACK, LEVEL, timeline)]


@pytest.mark.parametrize(
    ("km", "years", "times"),
    [(None, 1.0, [3.0]), (20_000.0, None, [2.0]), (20_000.0, 1.0, [3.0]), (None, 40.0, []), (None, 10.0, [1.0])],
)
def test_services_fall_due_at_full_intervals_from_new(
    km: float | None, years: float | None, times: list[float]
) -> None:
    """From 148,000 to 190,000 km and from 9.9 to 12.9 years: the oftener of the two."""
    assert services(km, years) == times


def test_an_engine_outside_every_family_has_no_service_plan() -> None:
    assert service_items(None, PACK, LEVEL, build_timeline([], 5.0, 1e5, 1e4, 3.0)) == ()


# ---- shared access -----------------------------------------------------------------------------------------


def priced(*access: tuple[tuple[str, float], ...]) -> dict[tuple[int, int], Prices]:
    rows = [Severity((Outcome(1.0, job(1.0, 2.0, 3.0, steps), ""),), (), None) for steps in access]
    return {(w, 0): Prices(row, row, None) for w, row in enumerate(rows)}


def test_the_saving_is_hours_times_jobs_less_at_least_one() -> None:
    """The model, with P(faulty) .5 and .4: E[jobs] = .9, P(at least one) = .7, so .2 of 3 hours at 120."""
    faulty = np.array([[0.5, 0.0, 0.5], [0.6, 0.0, 0.4]])
    saving = shared_access_saving(priced((("cover", 3.0),), (("cover", 3.0),)), 2, 0, faulty, LEVEL)
    assert saving == pytest.approx(0.2 * 3.0 * 100.0 * 1.2)


def test_certain_jobs_save_all_but_one() -> None:
    certain = np.array([[0.0, 0.0, 1.0]] * 3)
    saving = shared_access_saving(priced(*[(("cover", 2.0),)] * 3), 3, 0, certain, LEVEL)
    assert saving == pytest.approx(2 * 2.0 * 120.0)


def test_jobs_in_different_places_save_nothing() -> None:
    certain = np.array([[0.0, 0.0, 1.0]] * 2)
    assert shared_access_saving(priced((("cover", 2.0),), (("manifold", 1.0),)), 2, 0, certain, LEVEL) == 0.0
