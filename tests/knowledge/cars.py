"""Small cars for the tests of the shipped knowledge: one engine, one mileage, a few findings."""

from __future__ import annotations

import json
from functools import lru_cache
from typing import Any

from riskapi import service
from riskapi.domain.assessment import Assessment, WeakPointResult
from riskapi.domain.knowledge import Pack
from riskapi.intake import case_from_json

AS_OF = "2026-03-01"

# an engine of no family: four cylinders, turbocharged petrol with a chain
PETROL = {
    "fuel": "petrol",
    "cylinders": 4,
    "induction": "turbocharged",
    "fuel_injection": "direct",
    "cam_drive": "chain",
    "cam_drive_side": "front",
    "timing_cover": "cast",
    "vvt": "intake_and_exhaust",
    "interference": "yes",
    "valve_lash": "hydraulic",
    "block_material": "iron",
    "coolant_pump_housing": "metal",
    "coolant_pump_drive": "accessory_belt",
    "coolant_pump_access": "front",
    "oil_cooler": "on_filter_housing",
    "exhaust_gas_recirculation": "no",
    "particulate_filter": "no",
    "urea_dosing": "no",
}


def assess(
    pack: Pack,
    engine: dict[str, Any],
    built: str,
    km: float = 120_000,
    *,
    findings: dict[str, Any] | None = None,
    history: list[dict[str, Any]] | None = None,
    conditions: dict[str, bool] | None = None,
    **vehicle: Any,
) -> Assessment:
    """A transverse car without a tune, three years of 15,000 km ahead; `findings`: check -> result or measurement.

    `conditions` are those of every finding.
    """
    as_of = vehicle.pop("as_of", AS_OF)
    value = {
        "as_of": as_of,
        "vehicle": {
            "engine": engine,
            "build_date": built,
            "odometer": {"value": km, "unit": "km"},
            "installation": "transverse",
            "modifications": {"software_tune": vehicle.pop("tune", "no")},
            "moves_under_own_power": True,
            **vehicle,
        },
        "service_history": history or [],
        "findings": [
            {
                "check": check,
                "measured" if isinstance(seen, dict) else "result": seen,
                **({"conditions": conditions} if conditions else {}),
            }
            for check, seen in (findings or {}).items()
        ],
        "ownership": {"years": {"value": 3, "unit": "years"}, "annual_distance": {"value": 15_000, "unit": "km"}},
    }
    return assessed(pack, json.dumps(value))


@lru_cache(maxsize=200)
def assessed(pack: Pack, case: str) -> Assessment:
    """The same from a whole case as JSON; many tests start from the same car, unseen."""
    return service.assess(case_from_json(json.loads(case), pack), pack)


def of(revision: str) -> dict[str, Any]:
    """The engine of a case, named by its revision."""
    return {"family": revision.split("_", maxsplit=1)[0], "revision": revision}


def by_traits(**changes: Any) -> dict[str, Any]:
    """The engine of no family, with some traits changed."""
    return {"traits": {**PETROL, **changes}}


def point(assessment: Assessment, identifier: str) -> WeakPointResult:
    return next(item for item in assessment.weak_points if item.id == identifier)


def names(assessment: Assessment) -> set[str]:
    return {item.id for item in assessment.weak_points}


def not_sound(assessment: Assessment, identifier: str) -> float:
    """Chance that it is degraded or faulty today."""
    state = point(assessment, identifier).state
    return state.degraded + state.faulty


def speaks(assessment: Assessment, identifier: str, check: str) -> float:
    """Weight of this finding by itself [decibans]; 0 when it says nothing about the weak point."""
    return next((e.alone for e in point(assessment, identifier).evidence if e.check == check), 0.0)


def by_suspicion(assessment: Assessment) -> list[str]:
    """Weak points by how much the findings raised the chance that they are not sound."""
    rise = {w.id: w.prior.sound - w.state.sound for w in assessment.weak_points}
    return sorted(rise, key=lambda name: -rise[name])
