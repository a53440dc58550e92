"""A symptom with one reader becomes what that reader shows, exactly for every single cause."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest

from riskapi.catalogue.fold import fold_single_readers
from riskapi.domain.evidence import cumulative, symptom_tables
from riskapi.domain.knowledge import Check, Pack, RunDown, Traits, WeakPoint
from tests.simulator import tiny

READER = ((0.9, 0.08, 0.02), (0.15, 0.7, 0.15), (0.02, 0.18, 0.8))


def pack(**more: object) -> Pack:
    """The tiny pack where `listen` is the only reader of the rattle, and an uncertain one."""
    whole = tiny.pack()
    checks = tuple(c for c in whole.checks if c.id != "told_noise")
    checks = tuple(replace(c, table=READER) if c.id == "listen" else c for c in checks)
    return replace(whole, checks=checks, **more)


def check(of: Pack, name: str) -> Check:
    return next(c for c in of.checks if c.id == name)


def readings(of: Pack, weak_points: tuple[WeakPoint, ...], state: int, background: bool) -> np.ndarray:
    """P(result of `listen` | the first weak point in this state, others absent)."""
    table = symptom_tables(of, weak_points, Traits())["rattle"]
    cdf = table.parents[0][state] * (table.background if background else 1.0)
    return np.diff(cdf, prepend=0.0) @ np.array(check(of, "listen").table)


@pytest.mark.parametrize("state", [0, 1, 2])
def test_a_lone_cause_reads_as_before_up_to_the_readers_own_errors(state: int) -> None:
    """Law of fold.py: q'[r] T[0][r] = sum of pi_l T[l][r]; with the background of a symptom at 'nothing'."""
    before = pack()
    quiet = replace(before, symptoms=tuple(replace(s, background=(0.0,) * len(s.background)) for s in before.symptoms))
    chain = (before.weak_point("chain"),)
    after = fold_single_readers(quiet)
    expected = readings(quiet, chain, state, background=True)
    assert readings(after, (after.weak_point("chain"),), state, background=True) == pytest.approx(expected, abs=1e-12)


def test_the_background_alone_reads_as_before() -> None:
    before = pack()
    after = fold_single_readers(before)
    whole = np.diff(cumulative(before.symptom("rattle").background), prepend=0.0) @ np.array(READER)
    folded = np.diff(cumulative(after.symptom("rattle").background), prepend=0.0)
    assert folded == pytest.approx(whole, abs=1e-12)


def test_the_reader_is_perfect_afterwards_and_the_levels_are_its_results() -> None:
    after = fold_single_readers(pack())
    assert check(after, "listen").table == ((1.0, 0.0, 0.0), (0.0, 1.0, 0.0), (0.0, 0.0, 1.0))
    assert after.symptom("rattle").levels == ("r0", "r1", "r2")


def test_folded_tables_still_are_chances() -> None:
    after = fold_single_readers(pack())
    for point in after.weak_points:
        for effect in point.effects:
            for row in (effect.degraded, effect.faulty):
                assert all(0.0 <= x <= 1.0 for x in row)
                assert (np.diff(row) <= 1e-12).all()


def test_several_readers_share_the_symptom_and_keep_their_tables() -> None:
    """The model: three looks are not three independent proofs."""
    before = tiny.pack()
    after = fold_single_readers(before)
    assert check(after, "listen").table == check(before, "listen").table
    assert after.symptom("rattle") == before.symptom("rattle")
    assert after.weak_point("chain").effects == before.weak_point("chain").effects


def test_perfect_readers_stay_as_they_are() -> None:
    before = tiny.pack()
    assert fold_single_readers(before).symptoms == before.symptoms


def test_arcs_into_a_folded_zone_are_folded_like_its_other_parents() -> None:
    before = pack()
    checks = tuple(replace(c, table=READER) if c.id == "low" else c for c in before.checks)
    after = fold_single_readers(replace(before, checks=checks))
    row = np.diff(cumulative((0.8, 0.5)), prepend=0.0)  # the arc at the top zone's level 2
    kept = (row @ np.cumsum(READER, axis=1)) / np.cumsum(READER[0])
    found = after.symptom("wet_top").runs_down[0].table[1]
    assert 1.0 - np.array(found) == pytest.approx(np.minimum(kept[:-1], 1.0))


def test_a_zone_that_runs_down_needs_as_many_results_as_levels() -> None:
    """Its arcs go by level, so a reader with fewer results is left in place."""
    coarse = ((0.95, 0.05), (0.3, 0.7), (0.05, 0.95))
    before = pack()
    results = check(before, "top").results[:2]
    checks = tuple(replace(c, table=coarse, results=results) if c.id == "top" else c for c in before.checks)
    after = fold_single_readers(replace(before, checks=checks))
    assert isinstance(after.symptom("wet_top").runs_down[0], RunDown)
    assert check(after, "top").table == coarse
