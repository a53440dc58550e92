"""How long a what-if takes in-process on a case asked about before: `pytest tests/benchmarks --benchmark-enable`.

The aim is a median under 50 ms on two quiet cores. These are measurements: nothing here fails for being slow.
"""

from __future__ import annotations

import json
from itertools import count
from pathlib import Path

import pytest
from pytest_benchmark.fixture import BenchmarkFixture

from riskapi.domain.knowledge import Pack
from riskapi.domain.what_if import Changes, Figures, base_of, what_if
from riskapi.intake import case_from_json

SAMPLES = Path(__file__).resolve().parents[2] / "sample_requests"
CHANGES = {
    "budget": lambda i: Changes(repair_budget=1_500.0 + i),
    "labour": lambda i: Changes(labour_rate=100.0 + 0.1 * i),
    "annual": lambda i: Changes(annual_distance_km=9_000.0 + i),
    "years": lambda i: Changes(years=5.0, annual_distance_km=12_000.0 + i),
}


@pytest.mark.parametrize("sample", ["clean_late", "noisy_early", "plain_and_clean", "before_the_visit"])
@pytest.mark.parametrize("change", CHANGES)
def test_one_what_if(benchmark: BenchmarkFixture, shipped: Pack, sample: str, change: str) -> None:
    body = json.loads((SAMPLES / f"{sample}.json").read_text(encoding="utf-8"))
    base = base_of(case_from_json(body, shipped), shipped)
    numbers = count()  # every call is another change: no cache of prices helps

    def ask() -> Figures:
        return what_if(base, CHANGES[change](next(numbers)))

    assert 0.0 <= benchmark(ask).score <= 100.0
