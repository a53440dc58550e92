"""Second stage: what is well formed must also make sense, against the knowledge pack and within itself."""

from __future__ import annotations

from collections.abc import Iterator
from datetime import date
from typing import Any

from riskapi.domain.knowledge import Pack, Traits
from riskapi.domain.sentence import Written, at_fault, told
from riskapi.errors import Fault
from riskapi.intake.engine_sense import candidates, engine_faults
from riskapi.intake.findings_sense import finding_faults
from riskapi.intake.history_sense import Reading, date_faults, history_faults, reading_faults
from riskapi.intake.money_sense import contract_faults, money_faults, parts_price_faults
from riskapi.intake.pointers import pointer
from riskapi.intake.words import choose, shown


def meaning_faults(loaded: dict[str, Any], written: Any, pack: Pack) -> Iterator[Fault]:
    """Every fault of meaning. `loaded` holds what passed the schemas, `written` the JSON as it came."""
    vehicle = loaded.get("vehicle", {})
    engine = vehicle.get("engine", {})
    engines = candidates(engine, vehicle.get("installation"), pack)
    if isinstance(_at(written, "vehicle", "engine"), dict):
        yield from engine_faults(engine, _keys(written, "vehicle", "engine"), pack)
    yield from _installation_faults(vehicle)
    yield from _time_faults(loaded, vehicle)
    yield from history_faults(loaded.get("service_history", []), engines, pack)
    yield from _usage_faults(loaded.get("usage", {}), pack)
    yield from _finding_faults(loaded, vehicle, engines, pack)
    yield from money_faults(loaded, _keys(written, "market"), pack)
    yield from parts_price_faults(loaded, pack)
    yield from contract_faults(loaded, isinstance(_at(written, "market", "contract"), dict), pack)


def _at(written: Any, *path: str) -> Any:
    for key in path:
        written = written.get(key) if isinstance(written, dict) else None
    return written


def _keys(written: Any, *path: str) -> set[str]:
    found = _at(written, *path)
    return set(found) if isinstance(found, dict) else set()


def _finding_faults(
    loaded: dict[str, Any], vehicle: dict[str, Any], engines: list[Traits], pack: Pack
) -> Iterator[Fault]:
    return finding_faults(loaded.get("findings", []), vehicle.get("moves_under_own_power"), engines, pack)


def _installation_faults(vehicle: dict[str, Any]) -> Iterator[Fault]:
    trait = vehicle.get("engine", {}).get("traits", {}).get("installation")
    stated = vehicle.get("installation")
    if trait is not None and stated is not None and trait != stated:
        message = told(
            "The installation is {stated} here and {trait} among the engine's traits.",
            stated=shown(stated), trait=shown(trait),
        )  # fmt: skip
        yield at_fault(pointer(("vehicle", "installation")), message, told("Keep the right one."))


def _time_faults(loaded: dict[str, Any], vehicle: dict[str, Any]) -> Iterator[Fault]:
    built, first = vehicle.get("build_date"), vehicle.get("first_registered")
    as_of, history = loaded.get("as_of"), loaded.get("service_history", [])
    yield from _order_faults(built, first, as_of)
    yield from date_faults(history, built, as_of)
    known = as_of is not None and "odometer" in vehicle
    now = Reading(as_of, vehicle["odometer"], "/vehicle/odometer") if as_of is not None and known else None
    yield from reading_faults(history, now)


def _order_faults(built: date | None, first: date | None, as_of: date | None) -> Iterator[Fault]:
    for key, day in (("build_date", built), ("first_registered", first)):
        if day is not None and as_of is not None and day > as_of:
            message = told("{day} is after the assessment date {as_of}.", day=day, as_of=as_of)
            yield at_fault(pointer(("vehicle", key)), message, told('Mend "{key}" or "as_of".', key=Written(key)))
    if built is not None and first is not None and first < built:
        message = told("First registration {first} is before the car was built ({built}).", first=first, built=built)
        yield at_fault(pointer(("vehicle", "first_registered")), message, told("Mend one of the two dates."))


def _usage_faults(usage: dict[str, Any], pack: Pack) -> Iterator[Fault]:
    known = [item.id for item in pack.stress_conditions]
    for key in ("past", "planned"):
        for index, word in enumerate(usage.get(key, [])):
            if word is not None and word not in known:
                place = pointer(("usage", key, index))
                message = told("The stress condition {condition} is not known.", condition=shown(word))
                yield at_fault(place, message, choose(word, known))
