"""Laws about findings on whole assessments of the shipped pack, and on random networks."""

from __future__ import annotations

import json
from dataclasses import replace
from datetime import UTC, datetime
from functools import lru_cache
from itertools import pairwise
from typing import Any

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from riskapi.domain.case import Case
from riskapi.domain.knowledge import Pack
from riskapi.domain.network import CheckNode, Network, ParentLink, SymptomNode
from riskapi.intake import case_from_json
from riskapi.report.result import result_to_json
from riskapi.service import assess
from tests.conftest import ROOT
from tests.simulator.networks import random_network, swept

SEEDS = st.integers(0, 2**32 - 1)
SHORT = settings(max_examples=25, deadline=None, derandomize=True)


@lru_cache
def body(name: str) -> dict[str, Any]:
    read: dict[str, Any] = json.loads((ROOT / "sample_requests" / f"{name}.json").read_text(encoding="utf-8"))
    return read


def answer(case: Case, pack: Pack) -> str:
    """The whole JSON answer as text: equal texts are equal numbers to the last digit told."""
    return json.dumps(result_to_json(assess(case, pack), "same", datetime(2026, 1, 1, tzinfo=UTC)), sort_keys=True)


@pytest.mark.parametrize("name", ["noisy_early", "measured_compression"])
@settings(max_examples=4, deadline=None, derandomize=True)
@given(data=st.data())
def test_the_order_in_which_findings_and_history_are_listed_changes_no_digit(
    shipped: Pack, name: str, data: st.DataObject
) -> None:
    given_ = body(name)
    mixed = {key: data.draw(st.permutations(given_[key])) for key in ("findings", "service_history")}
    assert answer(case_from_json(given_ | mixed, shipped), shipped) == asked(name, shipped)


@lru_cache
def asked(name: str, pack: Pack) -> str:
    return answer(case_from_json(body(name), pack), pack)


def test_without_findings_every_state_is_its_prior(shipped: Pack) -> None:
    given_ = body("neglected")
    vehicle = {key: value for key, value in given_["vehicle"].items() if key != "moves_under_own_power"}
    assessment = assess(case_from_json(given_ | {"findings": [], "vehicle": vehicle}, shipped), shipped)
    for item in assessment.weak_points:
        for state in ("sound", "degraded", "faulty"):
            assert getattr(item.state, state) == pytest.approx(getattr(item.prior, state), abs=1e-12)
        assert item.evidence == ()


def test_not_checked_and_void_findings_change_no_state(shipped: Pack) -> None:
    """Void: a cold check on a warm engine. What is not looked at or does not count moves nothing."""
    given_ = body("noisy_early")
    bare = [f for f in given_["findings"] if "not_checked" not in f and f["check"] != "cold_start_sound"]
    nothing = [
        {"check": "cold_start_sound", "result": "long", "conditions": {"engine_cold": False}},
        {"check": "look_sump", "not_checked": "no_time"},
    ]
    first, second = (
        assess(case_from_json(given_ | {"findings": found}, shipped), shipped) for found in (bare, bare + nothing)
    )
    assert [item.state for item in first.weak_points] == [item.state for item in second.weak_points]
    assert first.risk.score == second.risk.score
    assert [item.check for item in second.coverage.void] == ["cold_start_sound"]


@settings(max_examples=3, deadline=None, derandomize=True)
@given(years=st.floats(0.5, 10.0), distance=st.floats(1_000.0, 60_000.0))
def test_what_the_buyer_plans_moves_no_state_of_today(shipped: Pack, years: float, distance: float) -> None:
    case = case_from_json(body("noisy_early"), shipped)
    plans = replace(case, ownership=replace(case.ownership, years=years, annual_distance_km=distance))
    first, second = ({w.id: w.state for w in assess(c, shipped, nodes=2).weak_points} for c in (case, plans))
    assert first.keys() == second.keys()
    for name, state in first.items():
        other = second[name]
        assert (other.sound, other.degraded, other.faulty) == pytest.approx(
            (state.sound, state.degraded, state.faulty), abs=1e-9
        )


# ---- a worse result ------------------------------------------------------------------------------------------


def monotone(rng: np.random.Generator, levels: int, results: int) -> tuple[tuple[float, ...], ...]:
    """A reader whose likelihood ratio rises: P(result | level) is proportional to exp(level x result x strength) x any
    share of each result, so a worse result always speaks for a higher level (Karlin & Rubin 1956)."""
    share, strength = rng.dirichlet(np.ones(results)), rng.uniform(0.0, 2.0)
    rows = np.exp(strength * np.outer(np.arange(levels), np.arange(results))) * share
    rows /= rows.sum(axis=1, keepdims=True)
    return tuple(tuple(float(x) for x in row) for row in rows)


def likelier_levels(rng: np.random.Generator, levels: int) -> ParentLink:
    """The only cause: the chances of its levels rise in likelihood ratio from sound to degraded to faulty."""
    weight = np.exp(np.outer([0.0, rng.uniform(0.1, 2.0), rng.uniform(2.0, 4.0)], np.arange(levels)))
    rows = np.cumsum(weight * rng.dirichlet(np.ones(levels)), axis=1)
    rows /= rows[:, -1:]
    return ParentLink("w0", "weak_point", (tuple(tuple(float(x) for x in row) for row in rows),))


@SHORT
@given(SEEDS)
def test_a_worse_result_never_lowers_the_chance_that_its_only_cause_is_present(seed: int) -> None:
    """Beside any other findings on other symptoms of the same network."""
    rng = np.random.default_rng(seed)
    net, levels, results = random_network(rng), int(rng.integers(2, 5)), int(rng.integers(2, 5))
    sign = SymptomNode("sign", tuple(f"l{k}" for k in range(levels)), (1.0,) * levels, (likelier_levels(rng, levels),))
    look = CheckNode("look", "symptom", "sign", tuple(f"r{k}" for k in range(results)), monotone(rng, levels, results))
    chances = [not_sound(with_result(net, sign, look, k)) for k in range(results)]
    assert all(worse >= better - 1e-12 for better, worse in pairwise(chances))


def with_result(net: Network, sign: SymptomNode, look: CheckNode, result: int) -> Network:
    return replace(
        net,
        symptoms=(*net.symptoms, sign),
        checks=(*net.checks, look),
        evidence=(*net.evidence, ("look", f"r{result}")),
    )


def not_sound(net: Network) -> float:
    return float(1.0 - swept(net)[1]["w0"][0])


@SHORT
@given(SEEDS)
def test_with_a_background_too_when_the_symptom_is_seen_for_certain(seed: int) -> None:
    """Two levels: any background and any other causes leave the ratio of 'yes' to 'no' rising with the state."""
    rng = np.random.default_rng(seed)
    net = random_network(rng)
    quiet = sorted(rng.uniform(0.0, 1.0, 2), reverse=True)
    link = ParentLink("w0", "weak_point", (((1.0, 1.0), (quiet[0], 1.0), (quiet[1], 1.0)),))
    sign = SymptomNode("sign", ("no", "yes"), (float(rng.uniform(0.3, 1.0)), 1.0), (link,))
    look = CheckNode("look", "symptom", "sign", ("r0", "r1"), ((0.9, 0.1), (0.2, 0.8)))
    assert not_sound(with_result(net, sign, look, 1)) >= not_sound(with_result(net, sign, look, 0)) - 1e-12


@SHORT
@given(SEEDS)
def test_a_second_look_at_a_symptom_seen_for_certain_adds_nothing(seed: int) -> None:
    rng = np.random.default_rng(seed)
    net = random_network(rng)
    symptom = net.symptoms[0]
    levels = len(symptom.levels)
    sure = tuple(tuple(float(a == b) for b in range(levels)) for a in range(levels))
    names, rough = tuple(f"r{k}" for k in range(levels)), tuple((float(1 - p), float(p)) for p in rng.random(levels))
    first = CheckNode("first", "symptom", symptom.id, names, sure)
    again = CheckNode("again", "symptom", symptom.id, ("r0", "r1"), rough)
    others = tuple(e for e in net.evidence if not e[0].startswith(f"c_{symptom.id}_"))
    one = replace(net, checks=(*net.checks, first, again), evidence=(*others, ("first", names[-1])))
    two = replace(one, evidence=(*one.evidence, ("again", "r1")))
    (chance, states), (_, more) = swept(one), swept(two)
    for name, row in states.items() if chance > 0.0 else ():
        assert more[name] == pytest.approx(row, abs=1e-12)
