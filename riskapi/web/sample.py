"""A small case of an engine described by its traits, shown in the API's documents (and posted by a test)."""

from __future__ import annotations

import json
from typing import Any

from riskapi.samples import sample_cases

SAMPLE: dict[str, Any] = {
    "vehicle": {
        "engine": {
            "traits": {
                "fuel": "petrol",
                "cylinders": 4,
                "induction": "turbocharged",
                "fuel_injection": "direct",
                "cam_drive": "chain",
                "cam_drive_side": "front",
                "interference": "yes",
                "timing_cover": "cast",
                "oil_cooler": "on_filter_housing",
                "coolant_pump_drive": "accessory_belt",
                "coolant_pump_access": "unknown",
            }
        },
        "first_registered": "2014-03-18",
        "odometer": {"value": 138000, "unit": "km"},
        "installation": "transverse",
        "moves_under_own_power": True,
    },
    "as_of": "2024-05-01",
    "seller": "private",
    "service_history": [
        {
            "date": "2019-04-02",
            "odometer": {"value": 81200, "unit": "km"},
            "work": "oil_service",
            "evidence": "invoice",
        }
    ],
    "ownership": {
        "years": {"value": 3, "unit": "years"},
        "annual_distance": {"value": 12000, "unit": "km"},
        "repair_budget": {"value": 1200, "unit": "EUR"},
    },
    "market": {"asking_price": {"value": 6400, "unit": "EUR"}, "sound_value": {"value": 7000, "unit": "EUR"}},
    "reference": "order-1042",
}


def examples() -> dict[str, Any]:
    """The small case and every case of sample_requests/, as OpenAPI has examples: by name, with a summary."""
    shipped = {name.removesuffix(".json"): json.loads(content) for name, content in sample_cases()}
    cases = {"described_by_traits": SAMPLE, **shipped}
    return {name: {"summary": name.replace("_", " "), "value": case} for name, case in cases.items()}
