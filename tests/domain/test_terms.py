"""What the assessment is computed for, and where each term comes from."""

from __future__ import annotations

from dataclasses import replace

import pytest

from riskapi.domain.case import Case, Ownership
from riskapi.domain.terms import Terms, terms_of
from tests.simulator import tiny, tiny_cases

PACK = tiny.pack()  # 20 hours at 95 EUR with 20 % tax per 3 years; 15,000 km a year


def terms(years: float | None, annual: float | None = None, budget: float | None = None, **market: object) -> Terms:
    case: Case = tiny_cases.plain_case()
    own = Ownership(years, annual, budget)
    return terms_of(replace(case, ownership=own, market=replace(case.market, **market)), PACK)


def test_the_users_own_terms_are_taken() -> None:
    found = terms(2.0, 9_000.0, 1_500.0)
    assert (found.years, found.annual, found.budget, found.budget_origin) == (2.0, 9_000.0, 1_500.0, "as stated")


def test_the_default_budget_is_labour_hours_per_three_years() -> None:
    """The model: 20 labour hours at the case's rate with tax per 3 years of ownership."""
    assert terms(None).budget == pytest.approx(20.0 * 100.0 * 1.2)
    assert terms(6.0, labour_rate=50.0, tax=0.0).budget == pytest.approx(20.0 * 50.0 * 2.0)
    assert "20 labour hours" in terms(None).budget_origin


def test_the_default_budget_is_never_a_function_of_the_price() -> None:
    """Else a dealer sets his own score."""
    assert terms(None, asking_price=100.0).budget == terms(None, asking_price=90_000.0).budget


@pytest.mark.parametrize(
    ("years", "horizons"),
    [(3.0, (1.0, 2.0, 3.0)), (2.5, (1.0, 2.0, 2.5)), (1.0, (1.0,)), (0.5, (0.5,))],
)
def test_horizons_are_whole_years_and_the_term(years: float, horizons: tuple[float, ...]) -> None:
    assert terms(years).horizons == horizons


def test_silence_takes_the_packs_defaults() -> None:
    found = terms(None)
    assert (found.years, found.annual) == (3.0, 15_000.0)
