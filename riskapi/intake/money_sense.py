"""Is all money of a case in one currency, and are the prices there that a foreign currency needs?"""

from __future__ import annotations

from collections.abc import Iterator
from typing import Any

from riskapi.domain.knowledge import Pack
from riskapi.domain.sentence import Listed, Written, at_fault, told
from riskapi.errors import Fault
from riskapi.intake.pointers import pointer
from riskapi.intake.quantities import Money
from riskapi.intake.words import choose, shown

_AMOUNTS = (
    ("ownership", "repair_budget"),
    ("market", "labour_rate"),
    ("market", "workshop_rate"),
    ("market", "asking_price"),
    ("market", "sound_value"),
    *(("market", "contract", key) for key in ("price", "excess", "limit_per_claim", "limit_total")),
)


def money_faults(loaded: dict[str, Any], stated: set[str], pack: Pack) -> Iterator[Fault]:
    """Amounts in another currency than the case's. `stated` are the keys written under market."""
    own = pack.defaults.currency
    currency = loaded.get("market", {}).get("currency", own)
    yield from currency_faults(loaded, currency)
    missing = [key for key in ("labour_rate", "parts_index") if key not in stated]
    if currency != own and missing:
        message = told(
            "The knowledge pack has its prices in {own}, so {missing} cannot be left out here.",
            own=Written(own), missing=Listed(tuple(map(Written, missing)), "and"),
        )  # fmt: skip
        mend = told(
            "Add the labour rate in {currency}/h and a parts index that also holds the exchange rate.",
            currency=Written(currency),
        )
        yield at_fault(pointer(("market",)), message, mend)


def parts_price_faults(loaded: dict[str, Any], pack: Pack) -> Iterator[Fault]:
    """Prices of operations that are not known, or that come twice."""
    known, seen = {operation.id for operation in pack.operations}, set()
    for index, each in enumerate(loaded.get("market", {}).get("parts_prices") or []):
        word = each.get("operation") if isinstance(each, dict) else None
        place = pointer(("market", "parts_prices", index, "operation"))
        if word is not None and word not in known:
            yield at_fault(place, told("{word} is not known here.", word=shown(word)), choose(word, known))
        elif word in seen:
            yield at_fault(place, told("{word} has a price already.", word=shown(word)), told("Keep one of them."))
        seen.add(word)


def contract_faults(loaded: dict[str, Any], stated: bool, pack: Pack) -> Iterator[Fault]:
    """What the contract covers must be known, and its terms must not contradict each other; `stated`: there is one."""
    contract = loaded.get("market", {}).get("contract") or {}
    known = {
        "weak_points": [wp.id for wp in pack.weak_points],
        "systems": sorted({wp.system for wp in pack.weak_points}),
    }
    for key, words in known.items():
        for index, word in enumerate(contract.get(key, [])):
            if word is not None and word not in words:
                place = pointer(("market", "contract", key, index))
                yield at_fault(place, told("{word} is not known here.", word=shown(word)), choose(word, words))
    if stated and not any(contract.get(key) for key in known):
        mend = told('Add "weak_points" or "systems".')
        yield at_fault(pointer(("market", "contract")), told("It is not said what the contract covers."), mend)
    waits = [key for key in ("waiting_time", "waiting_distance") if contract.get(key)]
    if contract.get("existing_faults") and waits:
        either = Listed(tuple(map(Written, ("existing_faults", *waits))), "and")
        message = told("What is faulty at the purchase lies within the waiting period, in which nothing is paid.")
        mend = told("Leave out one of {either}.", either=either)
        yield at_fault(pointer(("market", "contract", "existing_faults")), message, mend)


def currency_faults(loaded: dict[str, Any], currency: str, *, settled: bool = False) -> Iterator[Fault]:
    """Amounts in another currency than this one; `settled`: it cannot be stated here."""
    many = loaded.get("market", {}).get("parts_prices") if isinstance(loaded.get("market"), dict) else None
    priced = [("market", "parts_prices", index, "price") for index, _ in enumerate(many or [])]
    for path in (*_AMOUNTS, *priced):
        amount = _at(loaded, path)
        if isinstance(amount, Money) and amount.currency != currency:
            own, other = Written(currency), Written(amount.currency)
            message = told("{other} is another currency than this case's, {own}.", other=other, own=own)
            convert = told("Write it in {unit}.", unit=own)
            state = told('Write it in {unit}, or state "market": {{"currency": "{other}"}}.', unit=own, other=other)
            yield at_fault(pointer((*path, "unit")), message, convert if settled else state)


def _at(loaded: dict[str, Any], path: tuple[str | int, ...]) -> Any:
    found: Any = loaded
    for key in path:
        inside = isinstance(found, list) or (isinstance(found, dict) and key in found)
        found = found[key] if inside else None
    return found
