"""Who the engine is, how it was cared for, and everything that was used."""

from __future__ import annotations

from dataclasses import replace
from datetime import date

import pytest

from riskapi.domain.summary import care_chances, engine_as_identified, inputs_of, tune_chance
from tests.domain.weighed import full, weigh
from tests.simulator import tiny, tiny_cases

FULL = full()
LANES, POSTERIOR = FULL.basis.outlook.lanes, FULL.basis.posterior


def test_care_chances_sum_to_one_and_deposits_speak_for_neglect() -> None:
    care = care_chances(POSTERIOR, LANES.roots)
    assert care.careful + care.average + care.neglected == pytest.approx(1.0)
    assert care.neglected / care.careful > 0.2 / 0.3


def test_a_tune_is_told_only_where_it_is_unknown() -> None:
    assert tune_chance(POSTERIOR, LANES.roots) == pytest.approx(
        sum(c for c, root in zip(POSTERIOR.root_chance, LANES.roots, strict=True) if root.tuned)
    )
    case = tiny_cases.plain_case()
    stated = weigh(replace(case, vehicle=replace(case.vehicle, software_tune="no")), tiny.pack(), nodes=1)
    assert tune_chance(stated.basis.posterior, stated.basis.outlook.lanes.roots) is None


def test_candidates_come_likeliest_first() -> None:
    found = engine_as_identified(tiny.pack(), FULL.identity, POSTERIOR, LANES.roots, FULL.readings)
    chances = [c.probability for c in found.candidates]
    assert chances == sorted(chances, reverse=True)
    assert sum(chances) == pytest.approx(1.0)
    assert (found.generic, found.family) == (False, "tiny")


def test_inputs_name_everything_that_was_used() -> None:
    inputs = inputs_of(FULL.basis, FULL.terms)
    assert len(inputs.weak_points) == len(LANES.weak_points) * len(LANES.candidates)
    coil = next(row for row in inputs.weak_points if row.weak_point == "coil")
    assert (coil.copies, coil.planned) == (4, None)
    assert len(inputs.doubt_nodes) == 8
    assert (inputs.terms, inputs.discount_rate) == (FULL.terms, 0.02)


def test_a_history_that_moves_the_revision_is_named() -> None:
    failed = tiny_cases.entry(date(2019, 3, 1), "failed", item="chain")
    for history, told in (((failed,), True), ((), False)):
        found = weigh(replace(tiny_cases.plain_case(), history=history), tiny.pack(), nodes=1)
        posterior, roots = found.basis.posterior, found.basis.outlook.lanes.roots
        named = engine_as_identified(tiny.pack(), found.identity, posterior, roots, found.readings)
        assert named.how.endswith("weighed with what the service history tells") is told
