"""Lanes and small inputs for unit tests, with as little in them as the test needs."""

from __future__ import annotations

from typing import Any

import numpy as np

from riskapi.domain.jobs import Job
from riskapi.domain.lane import Lane
from riskapi.domain.timeline import build_timeline, effective_clocks
from tests.simulator.build import mode, part

__all__ = ["NO_DOUBT", "job", "lane", "mode", "part"]

NO_DOUBT = np.zeros(1)


def lane(now: float = 10.0, rate: float = 15_000.0, annual: float = 12_000.0, **more: Any) -> Lane:
    """A part that wears out by distance and age, at a steady rate [km/year], with nothing recorded."""
    timeline = build_timeline([], now, now * rate, annual, 3.0)
    fields: dict[str, Any] = {
        "timeline": timeline,
        "clocks": effective_clocks(timeline, ()),
        "parts": (part(mode((2.5, 160_000.0), (3.0, 14.0))),),
        "start": 0.0,
        "start_part": 0,
        "run_y": 0.0,
        "run_z": 0.0,
        "supplies": ((0.0, 0),),
        "told": None,
        "looks": (),
        "never_renewed": False,
        "delay": 0.1,
        "left": 0.0,
        "pf_y": 9_000.0,
        "pf_z": 0.8,
        "kept": 0.0,
        "kinks": (),
    }
    return Lane(**{**fields, **more})


def job(low: float, likely: float, high: float, access: tuple[tuple[str, float], ...] = ()) -> Job:
    """A job with these prices."""
    return Job(("job",), low, likely, high, 1.0, access)
