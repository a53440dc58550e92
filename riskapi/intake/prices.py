"""Prices of a feed: the JSON form in which it gives them, and filling into a case what the case does not state.

    {"source": "Workshop survey", "as_of": "2026-03-01", "currency": "EUR",
     "labour_rate": {"value": 98, "unit": "EUR/h"}, "parts_index": {"value": 1.04, "unit": "x"},
     "parts_prices": [{"operation": "renew_coolant_pump", "price": {"value": 210, "unit": "EUR"}}]}

The last three are each optional; prices are without tax.
"""

from __future__ import annotations

from collections.abc import Mapping
from datetime import date
from typing import Any

from riskapi.domain.knowledge import Pack
from riskapi.errors import CaseError
from riskapi.intake import quantities as q
from riskapi.intake.base import RequestSchema, load
from riskapi.intake.fields import Day, Group, Many, Pattern, Text
from riskapi.intake.money_sense import currency_faults
from riskapi.intake.pointers import in_order
from riskapi.intake.schemas import FED, FED_LIMIT, MONEY_LIMIT, PartsPriceSchema, docs
from riskapi.intake.strict_json import read_document


class FeedSchema(RequestSchema):
    """What a price feed answers."""

    source = Text(required=True, limit=200, metadata=docs("Whose prices they are.", "Workshop survey"))
    as_of = Day(required=True, metadata=docs("Date of the prices.", "2026-03-01"))
    currency = Pattern(
        required=True,
        pattern=q.CURRENCY,
        shape=q.CURRENCY_SHAPE,
        metadata=docs("Currency of every amount.", "EUR"),
    )
    labour_rate = q.Amount(q.HourlyRateSchema, low=1, high=MONEY_LIMIT, metadata=docs("Workshop rate without tax."))
    parts_index = q.Quantity(
        q.FactorSchema, "x", low=0.01, high=100_000, metadata=docs("Part prices against those of the knowledge pack.")
    )
    parts_prices = Many(
        Group(PartsPriceSchema), limit=FED_LIMIT, metadata=docs("Prices of parts in place of the pack's, by operation.")
    )


def read_feed(data: bytes | str) -> dict[str, Any]:
    """The JSON object of a feed, as it is written. Raises Unreadable when it is no JSON, CaseError with every fault."""
    document = read_document(data)
    loaded, malformed = load(FeedSchema(), document.value)
    faults = [*document.faults, *malformed]
    if isinstance(loaded.get("currency"), str):
        faults += currency_faults({"market": loaded}, loaded["currency"], settled=True)
    if faults:
        raise CaseError(in_order(faults))
    return dict(document.value)


def fill(case: Any, feed: Mapping[str, Any], checked: date, used: date, pack: Pack) -> Any:
    """The JSON of a case with the feed's prices where it states none, and where they come from; the case itself where
    nothing can be filled: it is in another currency, or has been filled before."""
    market = case.get("market", {}) if isinstance(case, dict) else None
    if not isinstance(market, dict) or "price_feed" in market:
        return case
    if market.get("currency", pack.defaults.currency) != feed["currency"]:
        return case
    prices = {key: feed[key] for key in ("labour_rate", "parts_index") if key in feed and key not in market}
    if "parts_index" not in market and "parts_prices" not in market:
        known = {operation.id for operation in pack.operations}
        fits = [each for each in feed.get("parts_prices", []) if each["operation"] in known]
        prices |= {"parts_prices": _once(fits)} if fits else {}
    if not prices:
        return case
    days = {"as_of": feed["as_of"], "checked": checked.isoformat(), "used": used.isoformat()}
    origin = {"source": feed["source"], **days, "filled": [key for key in FED if key in prices]}
    return {**case, "market": {**market, **prices, "price_feed": origin}}


def _once(prices: list[dict[str, Any]]) -> list[dict[str, Any]]:
    return list({each["operation"]: each for each in prices}.values())
