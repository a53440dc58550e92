"""How long one assessment takes in-process: `python -m pytest tests/benchmarks --benchmark-enable`.

The aim for a car of at least 16 weak points and 20 findings with the full cost distribution is a median of 50 ms on
two cores. These are measurements, not timed tests: nothing here fails for being slow.
"""

from __future__ import annotations

import json
from collections.abc import Callable
from pathlib import Path
from typing import Any

import pytest
from pytest_benchmark.fixture import BenchmarkFixture

from riskapi.domain.knowledge import Pack
from riskapi.intake import case_from_json
from riskapi.service import assess

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
