"""The years of ownership: how often a part fails and is renewed, jointly with its state today."""

from __future__ import annotations

import numpy as np
import pytest
from scipy.stats import poisson

from riskapi.domain.future import Counts, counts, future_edges
from riskapi.domain.knowledge import PlannedInterval
from riskapi.domain.lane import Lane
from riskapi.domain.new_parts import new_parts
from riskapi.domain.renewal import past
from tests.domain.builders import NO_DOUBT, lane, mode, part

RENEWED = 3  # the start 'renewed on day 0'


def played(one: Lane, horizons: tuple[int, ...] = (6,), rate: float = 0.0, years: float = 3.0) -> Counts:
    edges = future_edges(one.timeline.now, years)
    return counts(past([one], NO_DOUBT, edges), new_parts([one], NO_DOUBT, edges), edges, horizons, rate)


def numbers(pmf: np.ndarray) -> np.ndarray:
    """Expected number per start."""
    return pmf @ np.arange(pmf.shape[-1])


def test_future_edges_are_half_years_up_to_the_term() -> None:
    assert future_edges(10.0, 1.0).tolist() == [10.0, 10.5, 11.0]
    assert future_edges(10.0, 1.2).tolist() == pytest.approx([10.0, 10.5, 11.0, 11.2])
    assert future_edges(10.0, 0.1).tolist() == pytest.approx([10.0, 10.1])


def test_counts_sum_to_the_masses_of_the_states() -> None:
    one = lane()
    edges = future_edges(10.0, 3.0)
    before = past([one], NO_DOUBT, edges)
    found = counts(before, new_parts([one], NO_DOUBT, edges), edges, (2, 6), 0.02)
    for horizon in range(2):
        assert found.pmf[0, 0, horizon, :3].sum(axis=1) == pytest.approx(before.state[0, 0], abs=1e-12)
        assert found.pmf[0, 0, horizon, RENEWED].sum() == pytest.approx(1.0)
    assert found.planned[0, 0, :3].sum(axis=1) == pytest.approx(before.state[0, 0], abs=1e-12)


def test_a_constant_rate_makes_a_poisson_number() -> None:
    """Closed form (scipy.stats.poisson): a part that does not age, repaired at once, fails h t times on average.

    The half-year cells are 2e-3 off here, where it fails every second year.
    """
    one = lane(parts=(part(mode(None, (1.0, 2.0))),), delay=0.02, pf_y=0.0, pf_z=0.03)
    pmf = played(one).pmf[0, 0, 0, RENEWED]
    assert pmf == pytest.approx(poisson.pmf(np.arange(pmf.size), 1.5), abs=2e-3)


def test_more_failures_the_longer_the_horizon() -> None:
    pmf = played(lane(), (2, 4, 6)).pmf[0, 0]
    assert (np.diff(numbers(pmf), axis=0) > 0.0).all()


def test_a_degraded_part_fails_within_its_interval_for_certain() -> None:
    """The model: degraded means it fails within pf for certain (here 0.8 years or 9,000 km)."""
    found = played(lane(), (6,)).pmf[0, 0, 0, 1]
    assert found[0] == pytest.approx(0.0, abs=1e-9 + 1e-6 * found.sum())


def test_a_part_found_faulty_goes_on_as_a_new_one() -> None:
    """Repaired on day 0: its failures in service are those of a part renewed on day 0."""
    pmf = played(lane()).pmf[0, 0, 0]
    assert pmf[2] / pmf[2].sum() == pytest.approx(pmf[RENEWED], abs=1e-12)


def test_a_planned_interval_is_done_when_due() -> None:
    """A part that never fails, renewed on day 0, then every 1.2 years: twice in three years."""
    never = mode((4.0, 1e9))
    planned = PlannedInterval(None, 1.2, (1.0, 1.0, 1.0), "renew")
    found = played(lane(parts=(part(never, planned=planned),), kept=1.0))
    assert found.planned[0, 0, RENEWED] == pytest.approx(np.eye(found.planned.shape[-1])[2])
    assert numbers(found.pmf)[0, 0, 0] == pytest.approx(0.0)


def test_overdue_planned_work_is_done_on_day_zero() -> None:
    """The model and the policy: an owner who kept no interval leaves it to the buyer, at once."""
    planned = PlannedInterval(None, 4.0, (0.0, 0.0, 0.0), "renew")
    found = played(lane(parts=(part(mode((4.0, 1e9)), planned=planned),), kept=0.0), rate=0.05)
    assert found.planned[0, 0, 0, 1] == pytest.approx(1.0, abs=1e-6)
    assert found.worth[0, 0, 0, 1] == pytest.approx(1.0, abs=1e-6)  # not discounted: today


def test_planned_renewals_prevent_failures() -> None:
    wear = mode((5.0, 100_000.0), (5.0, 9.0))
    planned = PlannedInterval(None, 5.0, (1.0, 1.0, 1.0), "renew")
    kept = played(lane(parts=(part(wear, planned=planned),), kept=1.0))
    run = played(lane(parts=(part(wear),)))
    assert numbers(kept.pmf)[0, 0, 0, :3].sum() < numbers(run.pmf)[0, 0, 0, :3].sum()


def test_undiscounted_worth_is_the_expected_number() -> None:
    found = played(lane())
    assert found.worth[0, 0, :, 0] == pytest.approx(numbers(found.pmf)[0, 0, 0], rel=1e-9)


def test_discounting_makes_later_failures_worth_less() -> None:
    free, dear = played(lane()), played(lane(), rate=0.05)
    ratio = dear.worth[0, 0, :, 0] / free.worth[0, 0, :, 0]
    assert (ratio < 1.0).all()
    assert (ratio > 1.05**-3.0).all()


def test_the_part_then_on_sale_is_fitted() -> None:
    """A mended part on sale from now on fails less often in place of the faulty one."""
    bad, mended = part(mode((1.5, 30_000.0))), part(mode((1.5, 900_000.0)), id="mended")
    old, new = (
        played(lane(parts=(bad, mended), supplies=supplies)) for supplies in (((0.0, 0),), ((0.0, 0), (10.0, 1)))
    )
    assert numbers(new.pmf)[0, 0, 0, RENEWED] < 0.2 * numbers(old.pmf)[0, 0, 0, RENEWED]
