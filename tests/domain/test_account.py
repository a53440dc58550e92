"""Weak point by weak point what came out, what was covered, and how much of it is judgement."""

from __future__ import annotations

from dataclasses import replace

import pytest

from riskapi.domain.account import all_cautions, coverage_of, judgement_share, weak_point_results
from riskapi.domain.knowledge import Source
from riskapi.domain.readings import Readings, read_findings
from tests.domain.results import result
from tests.domain.weighed import full, weigh
from tests.simulator import tiny, tiny_cases

FULL = full()
RESULTS = weak_point_results(FULL.basis, FULL.means, FULL.readings)


def test_results_come_dearest_first_with_states_that_sum_to_one() -> None:
    costs = [r.expected_cost for r in RESULTS]
    assert costs == sorted(costs, reverse=True)
    for r in RESULTS:
        assert r.state.sound + r.state.degraded + r.state.faulty == pytest.approx(1.0, abs=1e-9)
        assert r.prior.sound + r.prior.degraded + r.prior.faulty == pytest.approx(1.0, abs=1e-9)
    assert sum(costs) == pytest.approx(float(FULL.means.unplanned.sum()))


def test_failing_includes_being_faulty_now() -> None:
    for r in RESULTS:
        assert r.state.faulty + r.state.degraded <= r.failure_probability + 1e-9
        assert r.expected_immediate_cost <= r.expected_cost


def test_evidence_lists_what_tells_strongest_first() -> None:
    chain = next(r for r in RESULTS if r.id == "chain")
    strengths = [abs(e.alone) for e in chain.evidence]
    assert strengths == sorted(strengths, reverse=True)
    assert {"listen", "told_noise"} <= {e.check for e in chain.evidence}


def test_a_weak_point_that_the_engine_cannot_have_is_not_told() -> None:
    case = tiny_cases.plain_case()
    engine = replace(case.vehicle.engine, family=None)
    from_traits = replace(case, vehicle=replace(case.vehicle, engine=engine))
    natural = replace(engine, traits=type(engine.traits)((("induction", "natural"),)))
    without = replace(case, vehicle=replace(case.vehicle, engine=natural))
    for one, there in ((from_traits, True), (without, False)):
        found = weigh(one, tiny.pack(), nodes=1)
        results = weak_point_results(found.basis, found.means, found.readings)
        assert ("turbo" in [r.id for r in results]) is there


def test_coverage_counts_core_checks_done_or_refused() -> None:
    pack = tiny.pack()  # all six checks are core
    case = tiny_cases.plain_case()
    findings = (
        tiny_cases.found("listen", "r0"),
        replace(tiny_cases.found("top", "r0"), result=None, not_checked="refused"),
    )
    coverage = coverage_of(pack, read_findings(replace(case, findings=findings), pack))
    assert (coverage.core_done, coverage.core_total) == (2, 6)
    assert [c.check for c in coverage.checked] == ["listen"]
    assert [(c.check, c.reason) for c in coverage.not_checked] == [("top", "refused")]


def test_all_is_judgement_unless_a_source_says_otherwise() -> None:
    lanes = FULL.basis.outlook.lanes
    assert judgement_share(FULL.pack, lanes, FULL.means) == pytest.approx(1.0)
    published = replace(FULL.pack, sources=(Source("test", "published", "a book"),))
    assert judgement_share(published, lanes, FULL.means) == 0.0


def test_judgement_is_weighed_by_expected_cost() -> None:
    lanes = FULL.basis.outlook.lanes
    chain = next(w for w, wp in enumerate(lanes.weak_points) if wp.id == "chain")
    sure = tuple(
        replace(lane, parts=tuple(replace(p, source="book") for p in lane.parts))
        if any(p.id in ("early", "mended") for p in lane.parts)
        else lane
        for lane in lanes.lanes
    )
    pack = replace(FULL.pack, sources=(*FULL.pack.sources, Source("book", "published", "a book")))
    money = FULL.means.unplanned
    share = judgement_share(pack, replace(lanes, lanes=sure), FULL.means)
    assert share == pytest.approx(1.0 - float(money[chain] / money.sum()))


@pytest.mark.parametrize(("degraded", "faulty", "told"), [(0.11, 0.0, True), (0.0, 0.06, True), (0.05, 0.04, False)])
def test_cautions_of_weak_points_that_matter(degraded: float, faulty: float, told: bool) -> None:
    hot = result("pump", degraded, faulty, cautions=("Never open a hot cooling system.",))
    found = all_cautions(tiny.pack(), [hot], Readings((), (), ()))
    assert found == (("Never open a hot cooling system.",) if told else ())


def test_cautions_of_checks_asked_for_are_told_once() -> None:
    pack = tiny.pack()
    checks = tuple(replace(c, cautions=("No body under a car on a jack.",)) for c in pack.checks)
    asked = Readings((), (("low", "refused"), ("top", "refused")), ())
    assert all_cautions(replace(pack, checks=checks), [], asked) == ("No body under a car on a jack.",)
