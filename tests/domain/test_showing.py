"""Which checks show a weak point, on tables small enough to do by hand."""

from __future__ import annotations

from itertools import pairwise

import numpy as np
import pytest

from riskapi.domain.knowledge import Pack, Traits
from riskapi.domain.showing import looks_at, strong_showings


def test_the_chance_of_an_unusual_result_by_hand(shipped: Pack) -> None:
    """One symptom with its background b and one weak point: 1 - sum over levels of P(level) P(best result | level)."""
    weak_points = tuple(wp for wp in shipped.weak_points if wp.id == "chain_tensioner")
    traits = shipped.family("lapwing").revisions[0].traits
    (found,) = strong_showings(shipped, weak_points, traits, np.array([[0.5, 0.2, 0.3]]))
    assert found
    effects = {effect.symptom: effect for effect in weak_points[0].effects}
    for showing in found:
        check = shipped.check(showing.check)
        assert check.symptom is not None
        background = shipped.symptom(check.symptom).background
        effect = effects[check.symptom]
        by_hand = [
            unusual([row[0] for row in check.table], background, lifted)
            for lifted in ((0.0,) * len(background), effect.degraded, effect.faulty)
        ]
        assert showing.if_sound == pytest.approx(by_hand[0], abs=1e-12)
        assert showing.if_not_sound == pytest.approx(0.4 * by_hand[1] + 0.6 * by_hand[2], abs=1e-12)


def unusual(best: list[float], background: tuple[float, ...], lifted: tuple[float, ...]) -> float:
    """The level is the higher of two draws; `best[level]` is the chance of the best result there."""
    first, second = points(background), points(lifted)
    pairs = ((max(i, j), p * q) for i, p in enumerate(first) for j, q in enumerate(second))
    return 1.0 - sum(chance * best[level] for level, chance in pairs)


def points(exceedance: tuple[float, ...]) -> list[float]:
    edges = [1.0, *exceedance, 0.0]
    return [upper - lower for upper, lower in pairwise(edges)]


def test_a_check_of_two_weak_points_is_worth_both(shipped: Pack) -> None:
    weak_points = tuple(wp for wp in shipped.weak_points if wp.id in ("chain_tensioner", "cam_adjuster"))
    found = strong_showings(shipped, weak_points, Traits(), np.full((2, 3), 1.0 / 3.0))
    showings = {wp.id: rows for wp, rows in zip(weak_points, found, strict=True)}
    looks = {look.check: look for look in looks_at(shipped, showings, {"chain_tensioner": 0.1, "cam_adjuster": 0.4})}
    sound = looks["cold_start_sound"]
    power = {wp: s.power for wp, rows in showings.items() for s in rows if s.check == "cold_start_sound"}
    assert sound.worth == pytest.approx(0.1 * power["chain_tensioner"] + 0.4 * power["cam_adjuster"])
    assert set(sound.shows) == {"chain_tensioner", "cam_adjuster"}


def test_what_is_surely_sound_is_weighed_evenly(shipped: Pack) -> None:
    weak_points = tuple(wp for wp in shipped.weak_points if wp.id == "chain_tensioner")
    sure, even = (
        strong_showings(shipped, weak_points, Traits(), np.array([row])) for row in ([1.0, 0.0, 0.0], [0.0, 0.5, 0.5])
    )
    assert sure == even
