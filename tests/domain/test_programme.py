"""The cheapest jobs to do together, against an exhaustive search over every choice."""

from __future__ import annotations

from itertools import combinations

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from scipy.optimize import milp

from riskapi.domain import programme as module
from riskapi.domain.programme import Programme, best_jobs

MOST_JOBS = 12


def exhaustive(programme: Programme) -> tuple[float, tuple[int, ...]]:
    """The least net cost over all choices with the forced jobs, by trying every one; in exact hundredths of money."""
    count = len(programme.benefits)
    free = [job for job in range(count) if job not in programme.forced]
    costs = [round(100 * cost) for cost in programme.costs]
    benefits = [round(100 * benefit) for benefit in programme.benefits]
    best: tuple[int, tuple[int, ...]] | None = None
    for size in range(len(free) + 1):
        for extra in combinations(free, size):
            jobs = (*sorted(programme.forced), *extra)
            paid = {item for job in jobs for item in programme.needs[job]}
            net = sum(costs[item] for item in paid) - sum(benefits[job] for job in jobs)
            if best is None or net < best[0]:
                best = net, tuple(sorted(jobs))
    assert best is not None
    return best[0] / 100, best[1]


@st.composite
def programmes(draw: st.DrawFn) -> Programme:
    """Jobs over nested access steps and shared operations; money in whole hundredths, as money is."""
    items = draw(st.integers(1, 10))
    under = [draw(st.integers(-1, item - 1)) for item in range(items)]  # an item may need an earlier one first
    costs = [draw(st.integers(0, 60_000)) / 100 for _ in range(items)]
    jobs = draw(st.integers(1, MOST_JOBS))
    needs = []
    for _ in range(jobs):
        named = draw(st.sets(st.integers(0, items - 1), max_size=4))
        closed = set(named)
        for item in named:
            while under[item] >= 0:
                item = under[item]  # noqa: PLW2901
                closed.add(item)
        needs.append(frozenset(closed))
    benefits = [draw(st.integers(-20_000, 90_000)) / 100 for _ in range(jobs)]
    forced = frozenset(draw(st.sets(st.integers(0, jobs - 1), max_size=2)))
    return Programme(tuple(benefits), tuple(needs), tuple(costs), forced)


@given(programmes())
@settings(max_examples=300, deadline=None)
def test_the_optimum_is_that_of_an_exhaustive_search(programme: Programme) -> None:
    found = best_jobs(programme)
    assert programme.forced <= set(found)
    assert programme.net(found) == pytest.approx(exhaustive(programme)[0], abs=1e-9)


def test_the_optimum_on_tangled_instances_that_no_shortcut_settles(monkeypatch: pytest.MonkeyPatch) -> None:
    """Every item is shared and no job pays for itself alone, so often enough the solver has to be asked."""
    rng = np.random.default_rng(5)
    together, asked = 0, []
    monkeypatch.setattr(module, "milp", lambda *args, **kwargs: asked.append(1) or milp(*args, **kwargs))
    for _ in range(150):
        items, jobs = int(rng.integers(3, 8)), int(rng.integers(6, MOST_JOBS + 1))
        costs = rng.integers(20_000, 80_000, items) / 100
        needs = tuple(
            frozenset(rng.choice(items, int(rng.integers(2, 4)), replace=False).tolist()) for _ in range(jobs)
        )
        share = rng.uniform(0.25, 0.75, jobs)
        benefits = tuple(round(s * sum(costs[list(n)]), 2) for s, n in zip(share, needs, strict=True))
        programme = Programme(benefits, needs, tuple(costs.tolist()))
        found = best_jobs(programme)
        assert programme.net(found) == pytest.approx(exhaustive(programme)[0], abs=1e-9)
        together += bool(found)
    assert together > 30  # else the instances would only say that nothing is worth doing
    assert len(asked) > 30


def test_jobs_that_do_not_pay_alone_can_pay_together() -> None:
    """By hand: 300 of access shared by two jobs of benefit 200; apart each loses 100, together they gain 100."""
    shared = Programme((200.0, 200.0), (frozenset({0}), frozenset({0})), (300.0,))
    assert best_jobs(shared) == (0, 1)
    assert shared.net((0, 1)) == pytest.approx(-100.0)
    assert best_jobs(Programme((200.0,), (frozenset({0}),), (300.0,))) == ()


def test_a_forced_job_opens_the_way_for_others() -> None:
    """By hand: what the forced job has to pay for anyway is free for its neighbour."""
    programme = Programme((-50.0, 30.0, 30.0), (frozenset({0, 1}), frozenset({0}), frozenset({2})), (100.0, 10.0, 40.0))
    assert best_jobs(programme) == ()
    forced = Programme(programme.benefits, programme.needs, programme.costs, frozenset({0}))
    assert best_jobs(forced) == (0, 1)


def test_what_changes_nothing_is_not_done() -> None:
    assert best_jobs(Programme((100.0, 0.0), (frozenset({0}), frozenset()), (100.0,))) == ()
    assert best_jobs(Programme((), (), ())) == ()
