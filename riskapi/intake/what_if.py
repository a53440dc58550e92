"""What a what-if changes: the buyer's plans and prices in the shape of a case, and nothing else."""

from __future__ import annotations

import re
from collections.abc import Sequence
from typing import Any

from riskapi.domain.case import Case
from riskapi.domain.knowledge import Pack
from riskapi.domain.sentence import at_fault, told
from riskapi.domain.what_if import Changes
from riskapi.errors import CaseError, Fault
from riskapi.intake import quantities as q
from riskapi.intake.base import RequestSchema, load
from riskapi.intake.fields import Group
from riskapi.intake.money_sense import currency_faults
from riskapi.intake.pointers import in_order
from riskapi.intake.schemas import MONEY_LIMIT, OwnershipSchema, docs, money_field
from riskapi.intake.strict_json import read_document
from riskapi.intake.words import choose, shown

_QUANTITY = re.compile(r"\s*([0-9]+(?:\.[0-9]+)?)\s*(\S.*?)\s*", re.ASCII)
SETTABLE = (
    "ownership.years",
    "ownership.annual_distance",
    "ownership.repair_budget",
    "market.labour_rate",
    "market.parts_index",
    "market.tax",
    "market.asking_price",
    "market.sound_value",
)


class PlansSchema(OwnershipSchema):
    """The buyer's plans, where they are changed."""


class PricesSchema(RequestSchema):
    """Prices, where they are changed; the currency stays that of the case."""

    labour_rate = q.Amount(q.HourlyRateSchema, low=1, high=MONEY_LIMIT, metadata=docs("Workshop rate without tax."))
    parts_index = q.Quantity(
        q.FactorSchema, "x", low=0.01, high=100_000, metadata=docs("Part prices against those of the pack.")
    )
    tax = q.Quantity(q.ShareSchema, "1", high=1, metadata=docs("Tax on labour and parts."))
    asking_price = money_field("What the seller asks.")
    sound_value = money_field("Market price of the same car as usually sold: average care, not inspected.")


class WhatIfSchema(RequestSchema):
    """What is to be different; what is left out stays as in the case."""

    ownership = Group(PlansSchema, metadata=docs("The buyer's plans."))
    market = Group(PricesSchema, metadata=docs("Prices."))


def read_changes(data: bytes | str, case: Case, pack: Pack) -> Changes:
    """The changes in a JSON text. Raises Unreadable when it is no JSON, CaseError with every fault otherwise."""
    document = read_document(data)
    return _changes(document.value, list(document.faults), case, pack)


def changes_from_json(value: Any, case: Case, pack: Pack) -> Changes:
    """The changes in a JSON value that is already read. Raises CaseError with every fault."""
    return _changes(value, [], case, pack)


def _changes(value: Any, faults: list[Fault], case: Case, pack: Pack) -> Changes:
    loaded, malformed = load(WhatIfSchema(), value)
    currency = case.market.currency or pack.defaults.currency
    found = in_order([*faults, *malformed, *currency_faults(loaded, currency, settled=True)])
    if found:
        raise CaseError(found)
    own, market = loaded.get("ownership", {}), loaded.get("market", {})
    return Changes(
        years=own.get("years"),
        annual_distance_km=own.get("annual_distance"),
        repair_budget=_amount(own, "repair_budget"),
        labour_rate=_amount(market, "labour_rate"),
        parts_index=market.get("parts_index"),
        tax=market.get("tax"),
        asking_price=_amount(market, "asking_price"),
        sound_value=_amount(market, "sound_value"),
    )


def _amount(loaded: dict[str, Any], key: str) -> float | None:
    return loaded[key].value if key in loaded else None


def written_changes(settings: Sequence[str]) -> dict[str, Any]:
    """From 'ownership.years=5 years' to the JSON that says so. Raises CaseError with every fault."""
    changes: dict[str, Any] = {}
    faults = []
    for setting in settings:
        name, _, quantity = setting.partition("=")
        written = _QUANTITY.fullmatch(quantity)
        if name not in SETTABLE:
            faults.append(at_fault(setting, told("{name} cannot be set.", name=shown(name)), choose(name, SETTABLE)))
        elif written is None:
            mend = told('Write for example ownership.years="5 years" or market.tax="19 %".')
            faults.append(at_fault(setting, told("This is not a number with a unit."), mend))
        else:
            group, key = name.split(".")
            changes.setdefault(group, {})[key] = {"value": float(written[1]), "unit": written[2]}
    if faults:
        raise CaseError(faults)
    return changes
