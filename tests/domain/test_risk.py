"""The risk record: a testable probability, its band, and chances that a seller cannot move."""

from __future__ import annotations

from dataclasses import replace

import pytest

from riskapi.domain.case import Case, Market, Ownership
from riskapi.domain.curves import draw_curves
from riskapi.domain.risk import annual_of, fixed_chances, risk_figures
from tests.domain.weighed import full, weigh
from tests.simulator import tiny, tiny_cases

FULL = full()
CURVES = draw_curves(FULL.basis, FULL.terms.budget, float(FULL.means.unplanned.sum()))
FIXED = fixed_chances(FULL.case, FULL.pack, FULL.identity, FULL.basis)
RISK = risk_figures(FULL.basis, CURVES, FULL.terms, ("chain",), FIXED)


def test_the_score_is_the_chance_of_exceeding_the_budget() -> None:
    assert RISK.score == pytest.approx(100.0 * CURVES.score.beyond(FULL.terms.budget))
    assert (RISK.repair_budget, RISK.budget_origin) == (1_500.0, "as stated")


def test_the_band_encloses_the_score_and_work_lowers_it() -> None:
    assert 0.0 <= RISK.band[0] <= RISK.score <= RISK.band[1] <= 100.0
    assert RISK.after_work_score < RISK.score
    assert RISK.work == ("chain",)


def test_without_work_the_score_stays() -> None:
    idle = risk_figures(FULL.basis, CURVES, FULL.terms, (), FIXED)
    assert idle.after_work_score == idle.score


def test_fixed_chances_are_those_of_the_packs_amounts_and_term() -> None:
    assert [(f.amount, f.years) for f in RISK.fixed] == [(500.0, 2.0)]
    assert 0.0 < RISK.fixed[0].probability < 1.0
    assert annual_of(FULL.pack.fixed) == 15_000.0


def moved(**more: object) -> float:
    case: Case = replace(tiny_cases.full_case(), **more)
    other = weigh(case, tiny.pack())
    return fixed_chances(case, other.pack, other.identity, other.basis)[0].probability


def test_a_seller_cannot_move_the_published_chance() -> None:
    """The model: pack-default rates, fixed term and distance, never a function of the asking price."""
    expected = FIXED[0].probability
    cheap = Market("EUR", 20.0, 0.5, 0.0, 500.0, 900.0)
    assert moved(market=cheap) == pytest.approx(expected, abs=1e-9)
    assert moved(ownership=Ownership(1.0, 2_000.0, 50_000.0)) == pytest.approx(expected, abs=1e-9)
