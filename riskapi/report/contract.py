"""The repair contract as offered: as JSON, and as a section of the report. Figures and no advice."""

from __future__ import annotations

from riskapi.domain.assessment import Bounds, ContractFigures
from riskapi.report import format as fmt
from riskapi.report.figures import Json, chance, money, rounded
from riskapi.report.sections import Block, Facts, Section, Text
from riskapi.report.texts import say
from riskapi.report.view import View

NAMED = 8  # covered weak points told by name


def contract_json(found: ContractFigures) -> Json:
    """Money to 0.01, chances to 6 digits."""
    return {
        "price": money("contract.price", found.price),
        "years": rounded("contract.years", found.years, 3),
        "waiting": rounded("contract.waiting", found.waiting, 3),
        "covered": list(found.covered),
        "existing_faults": found.existing_faults,
        "excess": money("contract.excess", found.excess),
        "limit_per_claim": _optional("contract.limit_per_claim", found.limit_per_claim),
        "limit_total": _optional("contract.limit_total", found.limit_total),
        "covered_repairs": rounded("contract.covered_repairs", found.covered_repairs, 4),
        "expected_repairs": money("contract.expected_repairs", found.expected_repairs),
        "expected_payout": money("contract.expected_payout", found.expected_payout),
        "expected_left": money("contract.expected_left", found.expected_left),
        "exceeds_without": chance("contract.exceeds_without", found.exceeds_without),
        "exceeds_with": _bounds("contract.exceeds_with", found.exceeds_with),
        "exceeds_with_price": _bounds("contract.exceeds_with_price", found.exceeds_with_price),
    }


def _optional(place: str, amount: float | None) -> float | None:
    return None if amount is None else money(place, amount)


def _bounds(place: str, bounds: Bounds) -> list[float]:
    return [chance(place, bounds.low), chance(place, bounds.high)]


def contract_section(view: View) -> Section | None:
    """What the contract is expected to pay, and the chance of exceeding the budget with and without it."""
    found = view.assessment.contract
    if found is None:
        return None
    budget = view.exact(view.assessment.risk.repair_budget)
    rows = (
        (say("contract_price"), view.exact(found.price)),
        (say("contract_payout"), view.money(found.expected_payout)),
        (say("contract_left"), view.money(found.expected_left)),
        (say("contract_without", budget=budget), fmt.of_hundred(found.exceeds_without)),
        (say("contract_with", budget=budget), _of_hundred(found.exceeds_with)),
        (say("contract_with_price", budget=budget), _of_hundred(found.exceeds_with_price)),
    )
    blocks: list[Block] = [Text(_what(view, found)), Facts(rows), Text(say("contract_how"))]
    if found.limit_total is not None:
        blocks.append(Text(say("contract_bounds")))
    if view.case.seller == "trade":
        blocks.append(Text(say("contract_rights")))
    return Section("contract", say("h_contract"), tuple(blocks))


def _what(view: View, found: ContractFigures) -> str:
    """What is covered, for how long and within which limits."""
    names = tuple(view.pack.weak_point(name).name for name in found.covered)
    covered = fmt.listing(
        (*names[:6], *((say("contract_more", count=fmt.number(len(names) - 6)),) if len(names) > 6 else ()))
    )
    limits = [say("contract_excess", amount=view.exact(found.excess))] if found.excess > 0.0 else []
    if found.limit_per_claim is not None:
        limits.append(say("contract_limit_claim", amount=view.exact(found.limit_per_claim)))
    if found.limit_total is not None:
        limits.append(say("contract_limit_total", amount=view.exact(found.limit_total)))
    terms = fmt.listing(tuple(limits)) or say("contract_no_limits")
    sentences = [
        say("contract_covers", names=covered) if names else say("contract_covers_nothing"),
        say("contract_runs", years=fmt.years(found.years), limits=terms),
        say("contract_existing" if found.existing_faults else "contract_not_existing"),
    ]
    if found.waiting > 0.0:
        sentences.append(say("contract_waiting", months=fmt.months(12.0 * found.waiting)))
    return " ".join(sentences)


def _of_hundred(bounds: Bounds) -> str:
    """'about 12', or 'about 12 to about 15' where the chance is only known to lie between two."""
    low, high = fmt.of_hundred(bounds.low), fmt.of_hundred(bounds.high)
    return low if low == high else say("contract_between", low=low, high=high)
