"""How long one assessment takes in-process: `python -m pytest tests/benchmarks --benchmark-enable`.

The aim for a car of at least 16 weak points and 20 findings with the full cost distribution is a median of 50 ms on
two cores. These are measurements, not timed tests: nothing here fails for being slow.
"""

from __future__ import annotations

import json
from collections.abc import Callable
from dataclasses import replace
from pathlib import Path
from typing import Any

import pytest
from pytest_benchmark.fixture import BenchmarkFixture

from riskapi.domain.case import Case
from riskapi.domain.knowledge import Pack
from riskapi.intake import case_from_json
from riskapi.service import assess

PART_EVENTS = ("renewed", "never_renewed", "failed")
SAMPLES = Path(__file__).resolve().parents[2] / "sample_requests"


def plain(case: dict[str, Any]) -> None:
    """As it is."""


def tune_stated(case: dict[str, Any]) -> None:
    """The tune is known and 20 findings are given: three root combinations (care)."""
    case["vehicle"]["modifications"] = {"software_tune": "no"}
    case["findings"] = [f for f in case["findings"] if "not_checked" not in f][:20]


@pytest.mark.parametrize(
    ("sample", "change"),
    [("clean_late", tune_stated), ("noisy_early", tune_stated), ("neglected", plain), ("before_the_visit", plain)],
)
def test_one_assessment(
    benchmark: BenchmarkFixture, shipped: Pack, sample: str, change: Callable[[dict[str, Any]], None]
) -> None:
    body = json.loads((SAMPLES / f"{sample}.json").read_text(encoding="utf-8"))
    change(body)
    case = case_from_json(body, shipped)
    result = benchmark(assess, case, shipped)
    assert len(result.weak_points) >= 16
    benchmark.extra_info["roots"] = len(result.inputs.lanes.roots) if result.inputs else 0
    benchmark.extra_info["findings"] = len(result.coverage.checked)


def small_car(shipped: Pack) -> tuple[Case, Pack]:
    """A car of 16 weak points and 20 findings, its tune stated and its care unknown: the shipped pack cut down to
    the weak points that are expected to cost it most."""
    body = json.loads((SAMPLES / "noisy_early.json").read_text(encoding="utf-8"))
    tune_stated(body)
    body["ownership"].pop("annual_distance", None)
    body.pop("usage", None)
    body.pop("visit", None)  # nobody waits at the car: the best set of checks for the minutes left is not asked for
    case = case_from_json(body, shipped)
    keep = {result.id for result in assess(case, shipped).weak_points[:16]}
    families = [replace(f, fits=tuple(fit for fit in f.fits if fit.weak_point in keep)) for f in shipped.families]
    points = tuple(wp for wp in shipped.weak_points if wp.id in keep)
    history = tuple(e for e in case.history if e.work not in PART_EVENTS or e.item in keep)
    return replace(case, history=history), replace(shipped, weak_points=points, families=tuple(families))


@pytest.mark.parametrize("nodes", [1, 8])
def test_one_assessment_of_sixteen_weak_points(benchmark: BenchmarkFixture, shipped: Pack, nodes: int) -> None:
    case, pack = small_car(shipped)
    result = benchmark(assess, case, pack, nodes)
    assert len(result.weak_points) == 16
    assert len(result.coverage.checked) >= 20
    benchmark.extra_info["findings"] = len(result.coverage.checked)
