"""What the findings mean: roots and states by Bayes' rule, and what each finding did."""

from __future__ import annotations

from dataclasses import replace
from functools import lru_cache

import numpy as np
import pytest

from riskapi.domain.knowledge import Pack
from riskapi.domain.posterior import MOST, Posterior, evidence_of, group_roots, infer, what_if_columns
from riskapi.domain.roots import root_likelihood
from riskapi.errors import CaseError, FindingsClash
from tests.domain.networks import joined, read_by_states
from tests.domain.weighed import full, plain, weigh
from tests.simulator import tiny, tiny_cases

FULL = full()
LANES, TABLE, POSTERIOR = FULL.basis.outlook.lanes, FULL.basis.outlook.table, FULL.basis.posterior
FINDINGS = FULL.readings.counted
NAMES = [wp.id for wp in LANES.weak_points]


@lru_cache
def by_hand(findings: tuple[int, ...]) -> tuple[np.ndarray, np.ndarray]:
    """Joint chances of the roots (R,) and of states and roots (W, 3, R), summed over all states and levels."""
    used = [FINDINGS[i] for i in findings]
    weight = np.array([root.weight for root in LANES.roots])
    seen: dict[str, np.ndarray] = {}
    for finding in used:
        weight = weight * root_likelihood(finding, LANES.roots, LANES.candidates)
        if finding.check.symptom is not None:
            seen[finding.check.symptom] = seen.get(finding.check.symptom, 1.0) * np.array(finding.likelihood)
    chance, joint = np.zeros(weight.size), np.zeros(TABLE.masses.shape)
    likelihood = read_by_states(POSTERIOR.groups[0].tables, seen, len(NAMES))  # both revisions have the same traits
    for r in range(weight.size):
        total, states = joined(likelihood, TABLE.masses[..., r])
        chance[r], joint[..., r] = weight[r] * total, weight[r] * states
    return chance, joint


def log_odds(states: np.ndarray) -> np.ndarray:
    return 10.0 * np.log10((states[:, 1] + states[:, 2]) / states[:, 0])


EVERYTHING = tuple(range(len(FINDINGS)))


def test_the_posterior_is_bayes_rule_summed_over_everything() -> None:
    """Brute force over 3^5 states and all levels under every root combination."""
    chance, joint = by_hand(EVERYTHING)
    assert POSTERIOR.root_chance == pytest.approx(chance / chance.sum(), rel=1e-10)
    assert POSTERIOR.state == pytest.approx(joint / chance.sum(), rel=1e-9, abs=1e-15)


def test_states_sum_to_the_chance_of_their_root() -> None:
    assert POSTERIOR.root_chance.sum() == pytest.approx(1.0)
    assert POSTERIOR.state.sum(axis=1) == pytest.approx(np.broadcast_to(POSTERIOR.root_chance, (5, 6 * 2)), abs=1e-13)


def test_without_findings_history_alone_moves_the_roots() -> None:
    chance, joint = by_hand(())
    assert POSTERIOR.prior_root_chance == pytest.approx(chance / chance.sum(), rel=1e-10)
    assert POSTERIOR.prior == pytest.approx(joint.sum(axis=2) / chance.sum(), rel=1e-9)


@pytest.mark.parametrize("i", EVERYTHING)
def test_weights_of_evidence_are_odds_ratios(i: int) -> None:
    """I. J. Good's decibans: 10 log10 of the odds ratio of 'not sound', alone and added last."""
    none, everything = by_hand(())[1].sum(axis=2), by_hand(EVERYTHING)[1].sum(axis=2)
    alone = by_hand((i,))[1].sum(axis=2)
    others = by_hand(tuple(k for k in EVERYTHING if k != i))[1].sum(axis=2)
    assert POSTERIOR.alone[i] == pytest.approx(log_odds(alone) - log_odds(none), abs=1e-9)
    assert POSTERIOR.last_in[i] == pytest.approx(log_odds(everything) - log_odds(others), abs=1e-9)


def test_two_looks_at_one_symptom_are_not_two_independent_proofs() -> None:
    """The model: told and heard share the symptom, so the second adds less than by itself."""
    chain = NAMES.index("chain")
    heard, told = (next(i for i, f in enumerate(FINDINGS) if f.check.id == name) for name in ("listen", "told_noise"))
    assert 0.0 < POSTERIOR.last_in[told, chain] < POSTERIOR.alone[told, chain]
    assert 0.0 < POSTERIOR.last_in[heard, chain] < POSTERIOR.alone[heard, chain]


def test_deposits_speak_for_neglect_and_so_for_what_neglect_wears() -> None:
    deposits = next(i for i, f in enumerate(FINDINGS) if f.check.id == "deposits")
    assert POSTERIOR.alone[deposits, NAMES.index("turbo")] > 0.0
    assert POSTERIOR.alone[deposits, NAMES.index("coil")] == pytest.approx(0.0, abs=1e-6)


def test_the_order_of_findings_does_not_matter() -> None:
    turned = infer(LANES, group_roots(FULL.pack, LANES, FINDINGS[::-1]), FINDINGS[::-1], TABLE.masses)
    assert turned.state == pytest.approx(POSTERIOR.state, rel=1e-10, abs=1e-16)
    assert turned.alone == pytest.approx(POSTERIOR.alone[::-1], abs=1e-9)


def test_no_findings_leave_the_prior() -> None:
    found: Posterior = plain().basis.posterior
    assert found.state.sum(axis=2) == pytest.approx(found.prior)
    assert found.alone.shape == (0, 5)


def test_evidence_of_is_what_the_findings_had_by_themselves() -> None:
    chance, _ = by_hand(EVERYTHING)
    assert evidence_of(LANES, POSTERIOR.groups, FINDINGS, TABLE.masses) == pytest.approx(float(chance.sum()), rel=1e-10)


@pytest.mark.parametrize("count", [0, 1, 4])
def test_what_if_columns(count: int) -> None:
    used = what_if_columns(count)
    assert used.shape == (2 + 2 * count, count)
    assert used.sum(axis=1).tolist() == [0, count, *[1] * count, *[count - 1] * count]
    assert (used[2 : 2 + count] != used[2 + count :]).all()


# ---- what cannot be ------------------------------------------------------------------------------------------


def without_background() -> Pack:
    """Every symptom needs a cause, and a second certain reader of the misfire says what the first does."""
    whole = tiny.pack()
    quiet = tuple(replace(s, background=(0.0,) * len(s.background)) for s in whole.symptoms)
    return replace(whole, symptoms=quiet, checks=(*whole.checks, replace(whole.check("smooth"), id="smooth_again")))


def test_findings_that_cannot_be_together_are_refused_by_name_and_place() -> None:
    """The model: reported by name, not as NaN; findings that are not part of it are not named."""
    findings = tuple(
        replace(tiny_cases.found(check, result), pointer=f"/findings/{k}")
        for k, (check, result) in enumerate([("listen", "r0"), ("smooth", "r0"), ("smooth_again", "r1")])
    )
    with pytest.raises(FindingsClash) as caught:
        weigh(replace(tiny_cases.plain_case(), findings=findings), without_background(), nodes=1)
    assert [fault.place for fault in caught.value.faults] == ["/findings/1", "/findings/2"]
    assert "smooth: r0, smooth: r1" in caught.value.faults[0].message


def test_a_history_that_cannot_have_happened_is_refused() -> None:
    with pytest.raises(CaseError) as caught:
        infer(LANES, POSTERIOR.groups, FINDINGS, np.zeros_like(TABLE.masses))
    assert not isinstance(caught.value, FindingsClash)
    assert [fault.place for fault in caught.value.faults] == ["/service_history"]


def test_weights_of_evidence_stay_finite_where_a_finding_settles_the_matter() -> None:
    case = replace(tiny_cases.plain_case(), findings=(tiny_cases.found("top", "r2"),))
    found = weigh(case, without_background(), nodes=1).basis.posterior
    seal = NAMES.index("seal")
    assert found.state[seal, 0].sum() == pytest.approx(0.0, abs=1e-15)
    assert found.alone[0, seal] == MOST
