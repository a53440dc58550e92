"""pack.yaml and sources.yaml: version, defaults, care, fixed amounts, the trait vocabulary, words, sources."""

from __future__ import annotations

import math
import re
from collections.abc import Iterator
from dataclasses import dataclass
from itertools import pairwise

from riskapi.catalogue.expected import CHANCE, FACTOR, HOURS, KM, YEARS, Expected
from riskapi.catalogue.lifetimes import FAMILY
from riskapi.catalogue.nodes import Entry, Item
from riskapi.domain.case import OBSERVED_BY
from riskapi.domain.knowledge import (
    CARES,
    PARTS_CLASSES,
    CareShare,
    ConditionWord,
    Defaults,
    FixedAmounts,
    Source,
    TraitWord,
)

SOURCE_KINDS = ("published", "standard", "common_practice", "judgement", "memory")
SPAN = Expected("years", 0.0)
RATE = Expected("1", 0.0, 0.5)  # a discount or tax rate


@dataclass(frozen=True, slots=True)
class PackFile:
    """What pack.yaml says."""

    version: str
    note: str
    defaults: Defaults
    fixed: FixedAmounts
    traits: tuple[TraitWord, ...]
    conditions: tuple[ConditionWord, ...]
    stress_conditions: tuple[ConditionWord, ...]


def read_pack_file(root: Entry) -> PackFile:
    """pack.yaml; sets the ledger's currency first, since every amount is read in it."""
    defaults = root.need("defaults").entry()
    currency = _currency(defaults.need("currency"))
    root.item.ledger.currency = currency or None
    return PackFile(
        version=root.need("version").text(),
        note=root.need("note").text(),
        defaults=_defaults(defaults, currency, _care(root.need("care").entry())),
        fixed=_fixed(root.need("fixed_amounts").entry()),
        traits=tuple(_trait(name, entry) for name, entry in root.need("traits").entry().records("trait")),
        conditions=tuple(_words(root.get("conditions").entry(), "condition")),
        stress_conditions=tuple(_words(root.get("stress_conditions").entry(), "stress condition")),
    )


def read_sources(root: Entry) -> Iterator[Source]:
    for identifier, entry in root.need("sources").entry().records("source"):
        yield Source(identifier, entry.need("kind").choice(SOURCE_KINDS), entry.need("citation").text())


def _currency(item: Item) -> str:
    written = item.text()
    if written and not re.fullmatch(r"[A-Z]{3}", written):
        item.fault(f"{written!r} is no currency code.", "Write three capital letters, such as EUR (ISO 4217).")
        return ""
    return written


def _defaults(entry: Entry, currency: str, care: tuple[CareShare, CareShare, CareShare]) -> Defaults:
    oil_service = entry.need("oil_service").entry()
    classes = entry.need("parts_class").entry()
    economy, mid, premium = (classes.need(word).figure(FACTOR) for word in PARTS_CLASSES)
    hearsay = entry.need("hearsay").entry()
    return Defaults(
        currency=currency,
        labour_rate=entry.need("labour_rate").money(per_hour=True),
        parts_index=entry.need("parts_index").figure(FACTOR),
        tax=entry.need("tax").figure(RATE),
        discount_rate=entry.need("discount_rate").figure(RATE),
        annual_distance_km=entry.need("annual_distance").figure(KM),
        ownership_years=entry.need("ownership").figure(YEARS),
        budget_hours=entry.need("budget_hours").figure(HOURS),
        registration_lag_years=entry.need("registration_lag").figure(SPAN),
        scrap_value=entry.need("scrap_value").money(),
        oil_service_km=oil_service.need("distance").figure(KM),
        oil_service_years=oil_service.need("age").figure(YEARS),
        tune_base_rate=entry.need("tune_base_rate").figure(CHANCE),
        parts_class=(economy, mid, premium),
        hearsay=tuple((word, hearsay.need(word).figure(CHANCE)) for word in OBSERVED_BY),
        undocumented_renewal=entry.need("undocumented_renewal").figure(CHANCE),
        care=care,
        source=entry.source,
    )


def _care(entry: Entry) -> tuple[CareShare, CareShare, CareShare]:
    careful, average, neglected = (_care_share(entry.need(word).entry()) for word in CARES)
    total = careful.prior + average.prior + neglected.prior
    if abs(total - 1.0) > 1e-9:
        entry.item.fault(f"the priors sum to {total * 100:g} %.", "The priors of care sum to 100 %.")
    return careful, average, neglected


def _care_share(entry: Entry) -> CareShare:
    return CareShare(entry.need("prior").figure(CHANCE), entry.need("stretched_share").figure(CHANCE))


def _fixed(entry: Entry) -> FixedAmounts:
    amounts = entry.need("amounts")
    values = tuple(item.money() for item in amounts.items())
    if any(upper <= lower for lower, upper in pairwise(values)):
        amounts.fault("the amounts do not ascend.", "Put them in ascending order.")
    return FixedAmounts(values, entry.need("years").figure(YEARS), entry.need("distance").figure(KM))


def _words(entry: Entry, kind: str) -> Iterator[ConditionWord]:
    for identifier, word in entry.records(kind):
        before, shown_by = word.get("before").references(kind), word.get("shown_by").identifier() or None
        yield ConditionWord(
            identifier, word.need("name").text(), word.need("if_not").text(empty=True), before, shown_by
        )


# ---- the trait vocabulary ------------------------------------------------------------------------


def _trait(name: str, entry: Entry) -> TraitWord:
    if name == FAMILY:
        entry.item.fault(f"the trait {name!r} would make the parts of one family reachable by others.", "Rename it.")
    values, span = entry.get("values"), entry.get("range")
    if entry.item.present and values.present == span.present:
        entry.item.fault("a trait has values or a range, one of the two.", "Give either 'values' or 'range'.")
    rates = {word: item.figure(CHANCE) for word, item in values.entry().named_ids()}
    total = sum(rates.values())
    if rates and abs(total - 1.0) > 1e-9:
        values.fault(f"the base rates sum to {total * 100:g} %.", "The base rates of a trait sum to 100 %.")
    low, high, unit = _range(span)
    return TraitWord(name, tuple(rates), tuple(rates.values()), low, high, unit, entry.source)


def _range(item: Item) -> tuple[float, float, str]:
    if not item.present:
        return 0.0, 0.0, ""
    ends = [end.noted_quantity() for end in item.items()]
    (low, unit), (high, other) = ends if len(ends) == 2 else [(math.nan, "")] * 2
    if len(ends) != 2:
        item.fault("a range has two ends.", "Write [lowest, highest].")
    elif unit and other and unit != other:
        item.fault(f"the ends have different units, {unit} and {other}.", "Write both in one unit.")
    elif high <= low:
        item.fault("the range ends before it begins.", "Write [lowest, highest].")
    else:
        return low, high, unit
    return math.nan, math.nan, unit
