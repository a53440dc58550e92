"""Is all money of a case in one currency, and are the prices there that a foreign currency needs?"""

from __future__ import annotations

from collections.abc import Iterator
from typing import Any

from riskapi.domain.knowledge import Pack
from riskapi.errors import Fault
from riskapi.intake.pointers import pointer
from riskapi.intake.quantities import Money

_AMOUNTS = (
    ("ownership", "repair_budget"),
    ("market", "labour_rate"),
    ("market", "workshop_rate"),
    ("market", "asking_price"),
    ("market", "sound_value"),
)


def money_faults(loaded: dict[str, Any], stated: set[str], pack: Pack) -> Iterator[Fault]:
    """Amounts in another currency than the case's. `stated` are the keys written under market."""
    own = pack.defaults.currency
    currency = loaded.get("market", {}).get("currency", own)
    for group, key in _AMOUNTS:
        amount = loaded.get(group, {}).get(key)
        if isinstance(amount, Money) and amount.currency != currency:
            message = f"{amount.currency} is another currency than this case's, {currency}."
            mend = f'Write it in {currency}, or state "market": {{"currency": "{amount.currency}"}}.'
            yield Fault(pointer((group, key, "unit")), message, mend)
    missing = [key for key in ("labour_rate", "parts_index") if key not in stated]
    if currency != own and missing:
        message = f"The knowledge pack has its prices in {own}, so {' and '.join(missing)} cannot be left out here."
        mend = f"Add the labour rate in {currency}/h and a parts index that also holds the exchange rate."
        yield Fault(pointer(("market",)), message, mend)
