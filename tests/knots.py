"""A hostile pack and case: many symptoms that all show the same weak points, every one of them seen."""

from __future__ import annotations

from dataclasses import replace
from typing import Any

from riskapi.domain.case import Case
from riskapi.domain.knowledge import Effect, Pack, When
from riskapi.domain.sweep_plan import LIMIT
from tests.simulator import tiny, tiny_cases

ENOUGH = LIMIT.bit_length()  # symptoms with two classes each that are one too many


def knotted(count: int = ENOUGH) -> tuple[Case, Pack]:
    """`count` symptoms of no, yes that chain, coil and seal all cause, each read by a check, each check saying yes."""
    pack, case = tiny.pack(), tiny_cases.plain_case()
    names = [f"knot_{k}" for k in range(count)]
    misfire, smooth = pack.symptom("misfire"), pack.check("smooth")
    effects = tuple(Effect(name, When(), (0.3,), (0.8,), tiny.TEST) for name in names)
    tied = {"chain", "coil", "seal"}
    points = tuple(replace(p, effects=(*p.effects, *effects)) if p.id in tied else p for p in pack.weak_points)
    pack = replace(
        pack,
        weak_points=points,
        symptoms=(*pack.symptoms, *(replace(misfire, id=name) for name in names)),
        checks=(*pack.checks, *(replace(smooth, id=f"look_{name}", symptom=name) for name in names)),
    )
    given = [tiny_cases.found("listen", "r1"), *(tiny_cases.found(f"look_{name}", "r1") for name in names)]
    findings = tuple(replace(finding, pointer=f"/findings/{k}") for k, finding in enumerate(given))
    return replace(case, findings=findings), pack


def knotted_request(count: int = ENOUGH) -> dict[str, Any]:
    """The same car as a request."""
    seen = [{"check": f"look_knot_{k}", "result": "r1"} for k in range(count)]
    return {
        "as_of": "2024-06-01",
        "vehicle": {
            "engine": {"family": "tiny"},
            "first_registered": "2014-05-01",
            "odometer": {"value": 148_000, "unit": "km"},
        },
        "findings": [{"check": "listen", "result": "r1"}, *seen],
    }


def clashing_request(sample: dict[str, Any]) -> tuple[dict[str, Any], list[str]]:
    """A sample with two findings that cannot both be true: seen tight, told that it touches; and their places.

    Nothing is told of a shaft that is tight but that it is, or nothing.
    """
    findings = [f for f in sample.get("findings", []) if f["check"] != "feel_turbo_shaft"]
    pair = [
        {"check": "feel_turbo_shaft", "result": "tight", "conditions": {"engine_cold": True}},
        {
            "check": "feel_turbo_shaft",
            "result": "touches",
            "conditions": {"engine_cold": True},
            "observed_by": "seller",
        },
    ]
    places = [f"/findings/{len(findings) + k}" for k in range(2)]
    return {**sample, "findings": [*findings, *pair]}, places
