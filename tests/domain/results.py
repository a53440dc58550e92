"""Weak point results, risk and coverage written by hand, for rules that read nothing else."""

from __future__ import annotations

from typing import Any

from riskapi.domain.assessment import Coverage, Evidence, Risk, StateChances, WeakPointResult


def result(name: str = "point", degraded: float = 0.0, faulty: float = 0.0, **more: Any) -> WeakPointResult:
    """A weak point in these states; `speaks` are the decibans of one finding about it."""
    speaks = more.pop("speaks", 0.0)
    state = StateChances(1.0 - degraded - faulty, degraded, faulty)
    fields: dict[str, Any] = {
        "id": name,
        "name": name,
        "part": "part",
        "prior": state,
        "state": state,
        "failure_probability": faulty,
        "expected_cost": 100.0,
        "expected_immediate_cost": 0.0,
        "hazard": "none",
        "warning": "long",
        "no_look_can_see": False,
        "evidence": (Evidence("check", "r1", speaks, speaks),),
        "cautions": (),
    }
    return WeakPointResult(**{**fields, **more})


def risk(score: float = 20.0, work: tuple[str, ...] = (), budget: float = 1_000.0) -> Risk:
    return Risk(score, (score, score), 512.0, budget, "as stated", score, work, ())


def coverage(done: int = 10, total: int = 10) -> Coverage:
    return Coverage((), (), (), done, total)
