"""What is recorded of earlier lives reaches revision, care and lifetime; without any nothing changes."""

from __future__ import annotations

from dataclasses import replace
from datetime import date

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from riskapi.domain.case import Case, Engine, HistoryEntry
from riskapi.domain.earlier_lives import impossible_failures, likelihoods
from riskapi.domain.identify import identify
from riskapi.domain.knowledge import CARES, Pack, Traits
from riskapi.domain.lanes import LaneSet, lane_set
from riskapi.domain.lifetime import doubt_nodes, life_arrays, survival
from riskapi.errors import CaseError
from riskapi.service import assess
from tests.domain.builders import mode, part
from tests.domain.weighed import Weighed, weigh
from tests.simulator import tiny, tiny_cases
from tests.simulator.tiny_cases import entry

PACK = tiny.pack()
PLAIN = tiny_cases.plain_case()  # registered 2014-05-01, so either of two revisions; of 2024-06-01
FAILED = entry(date(2019, 3, 1), "failed", item="chain")


def with_history(*history: HistoryEntry, case: Case = PLAIN) -> Case:
    return replace(case, history=history)


def lanes(case: Case, pack: Pack = PACK) -> LaneSet:
    return lane_set(case, pack, identify(case, pack), 14_000.0, 3.0)


def roots_given(*history: HistoryEntry, pack: Pack = PACK) -> tuple[float, float]:
    """Chance of the revision with the flawed chain, and of neglect, given this history and no finding."""
    found: Weighed = weigh(with_history(*history), pack, nodes=4)
    chances, of = found.basis.posterior.prior_root_chance, found.basis.outlook.lanes
    flawed = sum(c for c, root in zip(chances, of.roots, strict=True) if root.candidate == 0)
    neglected = sum(c for c, root in zip(chances, of.roots, strict=True) if CARES[root.care] == "neglected")
    return float(flawed), float(neglected)


UNKNOWN = roots_given()


def test_a_failure_before_any_renewal_is_as_likely_as_the_life_ended_just_then() -> None:
    """Of a part that hardly ever fails twice, by the survival function alone."""
    chain = PACK.weak_point("chain")
    early = replace(chain.parts[0], flaw=None, flaw_share=0.0, wear=mode((5.0, 600_000.0)))
    pack = replace(
        PACK, weak_points=(replace(chain, parts=(early, chain.parts[1]), stresses=()), *PACK.weak_points[1:])
    )
    of, nodes = lanes(with_history(FAILED), pack), doubt_nodes()
    lane = next(of.lanes[i] for i, _ in of.mixes[0][0].lanes)
    assert lane.before is not None
    end, delay = lane.before.lane.timeline.now, chain.repair_delay_years
    km = lane.clocks.at(np.array([end - delay, end]))[0][None, None]
    alive = survival(life_arrays([early]).take(np.array([[0]])), km, 0.0 * km, nodes)[0, :, 0]
    assert likelihoods(of, nodes)[id(lane)] == pytest.approx(alive[:, 0] - alive[:, 1], rel=2e-3)


def test_a_failure_speaks_for_the_flawed_revision_and_for_long_oil_intervals() -> None:
    flawed, neglected = roots_given(FAILED)
    assert flawed > UNKNOWN[0] + 0.1
    assert neglected > UNKNOWN[1] + 0.02


@settings(max_examples=15, deadline=None, derandomize=True)
@given(st.integers(2016, 2023), st.integers(1, 12), st.floats(1.2, 3.0))
def test_a_failure_shifts_the_roots_towards_those_where_it_was_likelier(year: int, month: int, factor: float) -> None:
    """Posterior chances of the roots are prior times likelihood, and the likelihood is that of the earlier life."""
    chain = PACK.weak_point("chain")
    stress = replace(chain.stresses[0], factor=factor)
    pack = replace(PACK, weak_points=(replace(chain, stresses=(stress,)), *PACK.weak_points[1:]))
    case = with_history(entry(date(year, month, 1), "failed", item="chain"))
    of, nodes = lanes(case, pack), doubt_nodes(2)
    found = likelihoods(of, nodes)
    each = np.array([sum(w * found[id(of.lanes[i])].mean() for i, w in mixes[0].lanes) for mixes in of.mixes])
    weights = np.array([root.weight for root in of.roots])
    expected = weights * each / (weights * each).sum()
    posterior = weigh(case, pack, nodes=2).basis.posterior.prior_root_chance
    assert posterior == pytest.approx(expected, rel=1e-3)


def test_a_told_failure_shifts_less_than_one_with_papers() -> None:
    sure, told = (roots_given(replace(FAILED, evidence=evidence)) for evidence in ("invoice", "told"))
    assert UNKNOWN[0] < told[0] < sure[0]
    assert UNKNOWN[1] < told[1] < sure[1]


def test_a_told_failure_has_happened_with_the_chance_of_the_pack() -> None:
    """Over all roots and nodes, as long as nothing else is recorded of the part."""
    of, nodes = lanes(with_history(replace(FAILED, evidence="told"))), doubt_nodes()
    found = likelihoods(of, nodes)
    happened = sum(
        root.weight * weight * found[id(of.lanes[i])].mean()
        for root, mixes in zip(of.roots, of.mixes, strict=True)
        for i, weight in mixes[0].lanes
        if of.lanes[i].before is not None
    )
    assert happened == pytest.approx(PACK.defaults.undocumented_renewal)


def test_a_failure_still_counts_after_a_renewal_or_another_engine() -> None:
    once = roots_given(FAILED)
    assert roots_given(FAILED, entry(date(2021, 1, 1), "renewed", item="chain")) == pytest.approx(once, abs=2e-3)
    other = roots_given(FAILED, entry(date(2021, 1, 1), "engine_replaced", item="new"))
    fresh = roots_given(entry(date(2021, 1, 1), "engine_replaced", item="new"))
    assert other[0] > fresh[0] + 0.1
    assert other[1] > fresh[1] + 0.02


def test_failing_twice_speaks_louder_than_once() -> None:
    again = entry(date(2022, 3, 1), "failed", item="chain", part="early")
    assert roots_given(FAILED, again)[1] > roots_given(FAILED)[1]


def test_never_renewed_speaks_against_the_flawed_revision_and_long_oil_intervals() -> None:
    flawed, neglected = roots_given(entry(date(2024, 5, 1), "never_renewed", item="chain"))
    assert flawed < UNKNOWN[0] - 0.05
    assert neglected < UNKNOWN[1] - 0.005


def test_a_renewal_with_papers_says_nothing_of_the_roots_by_itself() -> None:
    assert roots_given(entry(date(2019, 3, 1), "renewed", item="chain")) == pytest.approx(UNKNOWN, abs=1e-3)


@pytest.mark.parametrize("kind", ["new", "used"])
def test_another_engine_says_nothing_by_itself_but_keeps_what_was_known_of_the_first(kind: str) -> None:
    """It comes with fresh oil, which is a documented service: that alone moves the stress of the years around it."""
    replaced = entry(date(2021, 1, 1), "engine_replaced", item=kind)
    assert roots_given(replaced) == pytest.approx(UNKNOWN, abs=1e-3)
    never = entry(date(2020, 12, 1), "never_renewed", item="chain")
    flawed, neglected = roots_given(never, replaced)
    assert flawed < UNKNOWN[0] - 0.05
    assert neglected < UNKNOWN[1] - 0.005


def test_a_look_before_a_renewal_with_papers_still_tells() -> None:
    """The turbo, which shows as a misfire, feels long oil intervals: not faulty then speaks a little for care."""
    turbo = PACK.weak_point("turbo")
    loud = tuple(replace(e, faulty=(0.9,), degraded=(0.5,)) if e.symptom == "misfire" else e for e in turbo.effects)
    pack = replace(PACK, weak_points=(*PACK.weak_points[:-1], replace(turbo, effects=loud)))
    look = entry(date(2020, 12, 1), "checked", item="smooth", result="r0")
    renewed = entry(date(2021, 6, 1), "renewed", item="turbo")
    assert roots_given(look, renewed, pack=pack)[1] < roots_given(renewed, pack=pack)[1] - 0.001


def test_a_look_shortly_before_the_failure_is_no_contradiction() -> None:
    look = entry(date(2018, 6, 1), "checked", item="smooth", result="r0")
    answer = assess(with_history(look, entry(date(2018, 8, 1), "failed", item="coil")), PACK, nodes=2)
    coil = next(w for w in answer.weak_points if w.id == "coil")
    assert coil.state.sound + coil.state.degraded + coil.state.faulty == pytest.approx(1.0)


def test_a_part_that_cannot_fail_makes_the_failure_impossible_by_name() -> None:
    everlasting = part(mode((12.0, 9.0e8)), id="belt")
    belt = replace(PACK.weak_point("belt"), parts=(everlasting,))
    points = tuple(belt if wp.id == "belt" else wp for wp in PACK.weak_points)
    failed = replace(entry(date(2019, 3, 1), "failed", item="belt"), pointer="/service_history/3")
    with pytest.raises(CaseError) as caught:
        assess(with_history(FAILED, failed), replace(PACK, weak_points=points), nodes=2)
    assert [fault.place for fault in caught.value.faults] == ["/service_history/3"]
    assert "cannot have failed" in caught.value.faults[0].message


def test_only_what_has_no_mass_is_named() -> None:
    of = lanes(with_history(replace(FAILED, pointer="/service_history/0")))
    masses = np.ones((len(of.weak_points), 3, len(of.roots)))
    assert impossible_failures(of, masses) == []
    masses[0, :, 0] = 0.0
    assert [fault.place for fault in impossible_failures(of, masses)] == ["/service_history/0"]


def test_without_failures_no_lane_has_earlier_lives() -> None:
    for case in (PLAIN, tiny_cases.full_case(), tiny_cases.traits_only_case()):
        of = lanes(case)
        assert all(lane.before is None and lane.beside is None and lane.fitted == 1.0 for lane in of.lanes)
        assert likelihoods(of, doubt_nodes(1)) == {}


def test_what_failed_was_there() -> None:
    """Turbocharged are 40 of 100 such engines, but all whose turbo failed; if that is only told, somewhat more."""
    generic = replace(PLAIN, vehicle=replace(PLAIN.vehicle, engine=Engine(None, None, None, Traits())))
    turbo = [wp.id for wp in PACK.weak_points].index("turbo")
    shares = []
    for evidence in ("invoice", "told"):
        failed = entry(date(2019, 3, 1), "failed", item="turbo", evidence=evidence)
        answer = weigh(with_history(failed, case=generic), PACK, nodes=2)
        of = answer.basis.outlook
        mass = (of.table.masses[turbo].sum(axis=0) * [root.weight for root in of.lanes.roots]).sum()
        absent = (of.absent[:, turbo] * [root.weight for root in of.lanes.roots]).sum()
        shares.append(1.0 - absent / mass)
    assert shares == pytest.approx([1.0, 0.4 / (0.4 + 0.6 * 0.65)], abs=2e-3)


def test_a_revision_without_the_part_is_ruled_out_by_its_failure() -> None:
    family = PACK.families[0]
    natural = Traits((("cylinders", 4), ("induction", "natural"), ("interference", "yes")))
    revisions = (replace(family.revisions[0], traits=natural), family.revisions[1])
    pack = replace(PACK, families=(replace(family, revisions=revisions),))
    flawed, _ = roots_given(entry(date(2019, 3, 1), "failed", item="turbo"), pack=pack)
    assert flawed == 0.0
    assert roots_given(pack=pack)[0] > 0.1
