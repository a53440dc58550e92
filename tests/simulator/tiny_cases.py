"""Cases for the small invented pack."""

from __future__ import annotations

from dataclasses import replace
from datetime import date
from typing import Any

from riskapi.domain.case import Case, Engine, Finding, HistoryEntry, Market, Ownership, Usage, Vehicle, Visit
from riskapi.domain.knowledge import Traits


def entry(on: date, work: str, **more: Any) -> HistoryEntry:
    fields: dict[str, Any] = {
        "pointer": "",
        "odometer_km": None,
        "item": None,
        "result": None,
        "part": None,
        "engine_distance_km": None,
        "evidence": "invoice",
        "note": "",
    }
    return HistoryEntry(on=on, work=work, **{**fields, **more})


def found(check: str, result: str, observed_by: str = "self") -> Finding:
    return Finding("", check, result, None, None, None, (), observed_by, "")


def plain_case() -> Case:
    """Nothing known but age and distance."""
    vehicle = Vehicle(
        Engine("tiny", None, None, Traits()),
        None,
        date(2014, 5, 1),
        148_000.0,
        "transverse",
        "mid",
        "unknown",
        None,
    )
    market = Market("EUR", 100.0, 1.0, 0.2, None, 9_000.0)
    return Case(
        vehicle,
        date(2024, 6, 1),
        "private",
        Usage((), ()),
        (),
        Visit(None, None, None, ()),
        (),
        Ownership(3.0, 14_000.0, 1_500.0),
        market,
        None,
    )


def full_case() -> Case:
    """History, hearsay, past and planned use, and findings that point both ways."""
    history = (
        entry(date(2016, 5, 1), "oil_service", odometer_km=30_000.0),
        entry(date(2017, 4, 1), "oil_service", odometer_km=44_000.0),
        entry(date(2019, 7, 1), "renewed", item="seal", odometer_km=80_000.0),
        entry(date(2021, 3, 1), "renewed", item="turbo", evidence="told"),
    )
    findings = (
        found("listen", "r1"),
        found("told_noise", "r1", "seller"),
        found("smooth", "r0"),
        found("top", "r0"),
        found("low", "r1"),
        found("deposits", "r1"),
    )
    return replace(plain_case(), history=history, findings=findings, usage=Usage(("short_trips",), ("short_trips",)))


def failed_case() -> Case:
    """Recorded failures: with papers and only told of, of one of several copies, after a look, before a renewal."""
    history = (
        entry(date(2017, 4, 1), "oil_service", odometer_km=44_000.0),
        entry(date(2018, 2, 1), "checked", item="smooth", result="r0"),
        entry(date(2018, 9, 1), "failed", item="chain"),
        entry(date(2019, 3, 1), "failed", item="coil"),
        entry(date(2019, 7, 1), "failed", item="seal"),
        entry(date(2020, 3, 1), "failed", item="turbo", evidence="told"),
        entry(date(2021, 9, 1), "failed", item="coil", evidence="stamp"),
        entry(date(2021, 9, 1), "renewed", item="seal"),
    )
    findings = (found("listen", "r1"), found("smooth", "r0"), found("low", "r1"))
    return replace(plain_case(), history=history, findings=findings)


def failed_traits_case() -> Case:
    """The same of an engine outside the pack, which may or may not have the part that is told to have failed."""
    case = failed_case()
    engine = Engine(None, None, None, Traits((("cylinders", 3),)))
    return replace(case, vehicle=replace(case.vehicle, engine=engine))


def never_renewed_case() -> Case:
    """A belt past its planned date and a turbocharger that papers say nobody has touched."""
    case = full_case()
    untouched = (entry(date(2024, 5, 1), "never_renewed", item=item) for item in ("belt", "turbo"))
    return replace(case, history=(*(e for e in case.history if e.item != "turbo"), *untouched))


def traits_only_case() -> Case:
    """An engine outside the pack: what its traits do not say decides whether and which parts it has."""
    case = full_case()
    engine = Engine(None, None, None, Traits((("cylinders", 3),)))
    history = tuple(e for e in case.history if e.item != "seal")
    return replace(case, vehicle=replace(case.vehicle, engine=engine), history=history)
