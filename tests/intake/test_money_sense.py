from __future__ import annotations

from tests.intake.cases import changed, only_fault, read


def test_another_currency_than_the_cases() -> None:
    fault = only_fault(changed("market.asking_price", {"value": 6000, "unit": "CHF"}))
    assert fault.place == "/market/asking_price/unit"
    assert fault.mend == 'Write it in EUR, or state "market": {"currency": "CHF"}.'


def test_a_budget_is_held_to_the_same_currency() -> None:
    fault = only_fault(changed("ownership.repair_budget", {"value": 900, "unit": "USD"}))
    assert fault.place == "/ownership/repair_budget/unit"


def test_a_foreign_currency_needs_its_own_prices() -> None:
    fault = only_fault(changed("market", {"currency": "CHF", "labour_rate": {"value": 150, "unit": "CHF/h"}}))
    assert fault.place == "/market"
    assert "parts_index cannot be left out" in fault.message


def test_a_foreign_currency_with_its_prices() -> None:
    market = {
        "currency": "CHF",
        "labour_rate": {"value": 150, "unit": "CHF/h"},
        "parts_index": {"value": 0.95, "unit": "x"},
        "tax": {"value": 8.1, "unit": "%"},
        "asking_price": {"value": 6000, "unit": "CHF"},
    }
    case = read(changed("market", market))
    assert (case.market.currency, case.market.labour_rate, case.market.asking_price) == ("CHF", 150.0, 6000.0)
    assert case.market.tax == 0.081


def test_a_dealers_own_rate_is_held_to_the_same_currency() -> None:
    fault = only_fault(changed("market.workshop_rate", {"value": 55, "unit": "CHF/h"}))
    assert fault.place == "/market/workshop_rate/unit"
    assert read(changed("market.workshop_rate", {"value": 55, "unit": "EUR/h"})).market.workshop_rate == 55.0
    assert read(changed("market", {})).market.workshop_rate is None
