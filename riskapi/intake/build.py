"""From loaded JSON without faults to a Case."""

from __future__ import annotations

from typing import Any

from riskapi.domain.case import (
    Case,
    Contract,
    Engine,
    Finding,
    HistoryEntry,
    Market,
    Ownership,
    PriceFeed,
    Usage,
    Vehicle,
    Visit,
)
from riskapi.domain.knowledge import Pack, Traits
from riskapi.domain.vin import PAPERS, VinClues, clues_of
from riskapi.intake.engine_sense import stated_traits
from riskapi.intake.findings_sense import measure_of, measured_values
from riskapi.intake.pointers import pointer

Loaded = dict[str, Any]


def build_case(loaded: Loaded, pack: Pack) -> Case:
    """The Case; the loaded JSON must have no fault."""
    return Case(
        vehicle=_vehicle(loaded["vehicle"]),
        as_of=loaded["as_of"],
        seller=loaded.get("seller"),
        usage=_usage(loaded.get("usage", {})),
        history=tuple(_entry(index, entry) for index, entry in enumerate(loaded["service_history"])),
        visit=_visit(loaded.get("visit", {})),
        findings=tuple(_finding(index, finding, pack) for index, finding in enumerate(loaded["findings"])),
        ownership=_ownership(loaded.get("ownership", {})),
        market=_market(loaded.get("market", {})),
        reference=loaded.get("reference"),
    )


def _vehicle(loaded: Loaded) -> Vehicle:
    return Vehicle(
        engine=_engine(loaded["engine"]),
        build_date=loaded.get("build_date"),
        first_registered=loaded.get("first_registered"),
        odometer_km=loaded["odometer"],
        installation=loaded.get("installation"),
        parts_class=loaded.get("parts_class"),
        software_tune=loaded.get("modifications", {}).get("software_tune", "unknown"),
        moves_under_own_power=loaded.get("moves_under_own_power"),
        vins=_vins(loaded),
        vin_market=loaded["vin_market"],
        serial_number=loaded.get("serial_number"),
    )


def _vins(loaded: Loaded) -> tuple[VinClues, ...]:
    """What the VINs tell; where they are kept apart, that is kept in their place."""
    if "vin_clues" in loaded:
        return tuple(VinClues(**{**clues, "years": tuple(clues["years"])}) for clues in loaded["vin_clues"])
    papers = {PAPERS: loaded["vin"]} if "vin" in loaded else {}
    return clues_of({**papers, **loaded.get("vin_seen", {})})


def _engine(loaded: Loaded) -> Engine:
    traits = Traits(tuple(sorted(stated_traits(loaded).items())))
    unknown = tuple(sorted(name for name in loaded["traits"] if traits.get(name) is None))
    return Engine(loaded.get("family"), loaded.get("revision"), loaded.get("code"), traits, unknown)


def _usage(loaded: Loaded) -> Usage:
    return Usage(past=_once(loaded.get("past", [])), planned=_once(loaded.get("planned", [])))


def _once(words: list[str]) -> tuple[str, ...]:
    return tuple(dict.fromkeys(words))


def _entry(index: int, loaded: Loaded) -> HistoryEntry:
    return HistoryEntry(
        pointer=pointer(("service_history", index)),
        on=loaded["date"],
        odometer_km=loaded.get("odometer"),
        work=loaded["work"],
        item=loaded.get("item"),
        result=loaded.get("result"),
        part=loaded.get("part_revision"),
        engine_distance_km=loaded.get("engine_distance"),
        evidence=loaded["evidence"],
        note=loaded["note"],
        doubtful=loaded["doubtful"],
    )


def _visit(loaded: Loaded) -> Visit:
    return Visit(
        place=loaded.get("place"),
        equipment=loaded.get("equipment"),
        minutes=loaded.get("minutes"),
        consents=_once(loaded.get("consents", [])),
        **{name: loaded.get(name) for name in ("light", "weather", "client", "commission")},
    )


def _finding(index: int, loaded: Loaded, pack: Pack) -> Finding:
    measured = loaded.get("measured", {})
    measure = measure_of(pack.check(loaded["check"]), pack)
    codes = measured.get("codes")
    return Finding(
        pointer=pointer(("findings", index)),
        check=loaded["check"],
        result=loaded.get("result"),
        values=measured_values(measured, measure) if measure is not None and "unit" in measured else None,
        codes=None if codes is None else _once(codes),
        not_checked=loaded.get("not_checked"),
        conditions=tuple(sorted(loaded["conditions"].items())),
        observed_by=loaded["observed_by"],
        note=loaded["note"],
        photos=_once(loaded["photos"]),
    )


def _ownership(loaded: Loaded) -> Ownership:
    return Ownership(loaded.get("years"), loaded.get("annual_distance"), _amount(loaded, "repair_budget"))


def _market(loaded: Loaded) -> Market:
    return Market(
        currency=loaded.get("currency"),
        labour_rate=_amount(loaded, "labour_rate"),
        parts_index=loaded.get("parts_index"),
        tax=loaded.get("tax"),
        asking_price=_amount(loaded, "asking_price"),
        sound_value=_amount(loaded, "sound_value"),
        workshop_rate=_amount(loaded, "workshop_rate"),
        contract=_contract(loaded["contract"]) if "contract" in loaded else None,
        parts_prices=tuple((each["operation"], each["price"].value) for each in loaded.get("parts_prices", [])),
        price_feed=_price_feed(loaded["price_feed"]) if "price_feed" in loaded else None,
    )


def _price_feed(loaded: Loaded) -> PriceFeed:
    days = loaded["as_of"], loaded["checked"], loaded["used"]
    return PriceFeed(loaded["source"], *days, filled=_once(loaded["filled"]))


def _contract(loaded: Loaded) -> Contract:
    return Contract(
        price=loaded["price"].value,
        weak_points=_once(loaded["weak_points"]),
        systems=_once(loaded["systems"]),
        excess=_amount(loaded, "excess") or 0.0,
        limit_per_claim=_amount(loaded, "limit_per_claim"),
        limit_total=_amount(loaded, "limit_total"),
        years=loaded.get("years"),
        distance_km=loaded.get("distance"),
        existing_faults=loaded["existing_faults"],
        waiting_years=loaded.get("waiting_time", 0.0),
        waiting_km=loaded.get("waiting_distance", 0.0),
    )


def _amount(loaded: Loaded, key: str) -> float | None:
    return loaded[key].value if key in loaded else None
