"""From readings to what the sweep runs on: what is folded, what is merged, and that nothing is lost by either."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest

from riskapi.domain.evidence import cumulative, lowest_first, observe, symptom_tables
from riskapi.domain.knowledge import Traits
from riskapi.domain.sweep import Sweep
from tests.domain.networks import NAMES, WEAK_POINTS, random_likelihoods, random_tables, summed
from tests.simulator import tiny

PACK = tiny.pack()


@pytest.mark.parametrize("seed", range(25))
def test_folded_and_swept_equals_summing_over_everything(seed: int) -> None:
    """Brute force over all states and levels of random networks with zones (tests/domain/networks.py)."""
    rng = np.random.default_rng(seed)
    tables = random_tables(rng)
    likelihoods, masses = random_likelihoods(rng, tables), rng.dirichlet([3.0, 1.0, 1.0], WEAK_POINTS)
    observed = observe(WEAK_POINTS, tables, {name: v[:, None] for name, v in likelihoods.items()}, 1)
    sweep = Sweep(observed.plan, observed.weights)
    evidence, joint = sweep.marginals(masses[:, :, None] * observed.factors)
    expected, states = summed(tables, likelihoods, masses)
    assert float(evidence[0] * observed.constant[0]) == pytest.approx(expected, rel=1e-12)
    assert joint[..., 0] * observed.constant[0] == pytest.approx(states, rel=1e-10, abs=1e-16)


def test_columns_are_computed_side_by_side() -> None:
    """What one column saw never touches another: a batch equals its columns one by one."""
    rng = np.random.default_rng(99)
    tables, masses = random_tables(rng), rng.dirichlet([3.0, 1.0, 1.0], WEAK_POINTS)
    columns = [random_likelihoods(rng, tables) for _ in range(6)]
    seen = {name: np.array([c.get(name, np.ones(tables[name].background.size)) for c in columns]).T for name in NAMES}
    observed = observe(WEAK_POINTS, tables, seen, len(columns))
    batch = masses[:, :, None] * observed.factors
    evidence = Sweep(observed.plan, observed.weights).evidence(batch) * observed.constant
    assert evidence == pytest.approx([summed(tables, c, masses)[0] for c in columns], rel=1e-12)


def test_nothing_looked_at_leaves_nothing_open() -> None:
    observed = observe(WEAK_POINTS, random_tables(np.random.default_rng(1)), {}, 2)
    assert observed.plan.symptoms == ()
    assert (observed.factors == 1.0).all()
    assert (observed.constant == 1.0).all()


def test_nothing_seen_for_certain_becomes_a_factor_on_the_masses() -> None:
    """P(level 0) is a product over the parents, so such a symptom needs no place in the sweep."""
    tables = random_tables(np.random.default_rng(2))
    levels = tables["rattle"].background.size
    observed = observe(WEAK_POINTS, tables, {"rattle": np.eye(levels)[:1].T}, 1)
    assert observed.plan.symptoms == ()
    assert observed.constant == pytest.approx(tables["rattle"].background[0])
    for i, cdf in tables["rattle"].parents.items():
        assert observed.factors[i, :, 0] == pytest.approx(cdf[:, 0])


def test_levels_that_a_reading_cannot_tell_apart_are_one_class() -> None:
    tables = symptom_tables(PACK, PACK.weak_points, Traits((("induction", "turbocharged"),)))
    observed = observe(5, tables, {"rattle": np.array([[0.2], [0.7], [0.7]])}, 1)
    assert [s.background.size for s in observed.plan.symptoms] == [2]


def test_levels_that_are_ruled_out_above_are_dropped() -> None:
    tables = symptom_tables(PACK, PACK.weak_points, Traits((("induction", "turbocharged"),)))
    observed = observe(5, tables, {"rattle": np.array([[0.2], [0.7], [0.0]])}, 1)
    assert observed.plan.symptoms[0].background == pytest.approx([0.94, 0.99])


def test_a_dry_zone_makes_wetness_above_it_less_likely_without_opening_it() -> None:
    """The model: the highest wet point names the source by itself."""
    tables = symptom_tables(PACK, PACK.weak_points, Traits((("induction", "turbocharged"),)))
    low = {"wet_low": np.eye(3)[:1].T, "wet_top": np.ones((3, 1))}
    observed = observe(5, tables, low, 1)
    assert observed.plan.symptoms == ()
    top = tables["wet_top"]
    ((parent, cdf),) = top.parents.items()
    levels = np.diff(cdf * top.background, prepend=0.0, axis=1)  # (state, level)
    assert observed.factors[parent, :, 0] == pytest.approx(levels @ [1.0, 0.6, 0.2])


def test_at_most_a_level_is_a_product_over_the_parents_too() -> None:
    """Levels 0 and 1 equally likely, 2 ruled out, in one column; nothing looked at in the other."""
    tables = symptom_tables(PACK, PACK.weak_points, Traits((("induction", "turbocharged"),)))
    observed = observe(5, tables, {"rattle": np.array([[0.7, 1.0], [0.7, 1.0], [0.0, 1.0]])}, 2)
    assert observed.plan.symptoms == ()
    assert observed.constant == pytest.approx([0.7 * tables["rattle"].background[1], 1.0])
    assert len(tables["rattle"].parents) > 1
    for i, cdf in tables["rattle"].parents.items():
        assert observed.factors[i] == pytest.approx(np.stack([cdf[:, 1], np.ones(3)], axis=1))


def test_zones_come_lowest_first() -> None:
    order = lowest_first(random_tables(np.random.default_rng(3)))
    assert order.index("low") < order.index("middle") < order.index("top")


def test_tables_rise_to_one_and_the_sound_state_shows_nothing() -> None:
    for table in symptom_tables(PACK, PACK.weak_points, Traits()).values():
        for cdf in (table.background, *table.parents.values()):
            assert (np.diff(cdf) >= 0.0).all()
            assert cdf[..., -1] == pytest.approx(1.0)
        for parent in table.parents.values():
            assert (parent[0] == 1.0).all()
        for _, arc in table.runs_down:
            assert (arc[0] == 1.0).all()


def test_an_effect_that_may_not_apply_is_thinned_by_its_chance() -> None:
    point = PACK.weak_point("chain")
    maybe = replace(point, effects=(replace(point.effects[0], when=PACK.weak_point("turbo").applies),))
    table = symptom_tables(PACK, [maybe], Traits())["rattle"].parents[0]
    assert table[1] == pytest.approx(1.0 - 0.4 * np.array([0.6, 0.2, 0.0]))
    assert symptom_tables(PACK, [maybe], Traits((("induction", "natural"),)))["rattle"].parents == {}


def test_two_effects_on_one_symptom_multiply() -> None:
    point = PACK.weak_point("chain")
    twice = replace(point, effects=point.effects * 2)
    table = symptom_tables(PACK, [twice], Traits())["rattle"].parents[0]
    assert table[1] == pytest.approx((1.0 - np.array([0.6, 0.2, 0.0])) ** 2)


def test_cumulative_turns_exceedance_round() -> None:
    assert cumulative((0.3, 0.1)).tolist() == pytest.approx([0.7, 0.9, 1.0])
