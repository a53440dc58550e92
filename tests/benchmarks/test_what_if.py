"""How long a what-if takes in-process on a case asked about before: `pytest tests/benchmarks --benchmark-enable`.

The aim is a median under 50 ms on two quiet cores. These are measurements: nothing here fails for being slow.
"""

from __future__ import annotations

import json
from functools import cache
from itertools import count
from pathlib import Path

import pytest
from pytest_benchmark.fixture import BenchmarkFixture

from riskapi.catalogue.load import load_pack
from riskapi.domain.what_if import Base, Changes, Figures, base_of, what_if
from riskapi.intake import case_from_json
from tests.conftest import ROOT, SAMPLES

CHANGES = {
    "budget": lambda i: Changes(repair_budget=1_500.0 + i),
    "values": lambda i: Changes(asking_price=4_000.0, sound_value=6_000.0 + i),
    "labour": lambda i: Changes(labour_rate=100.0 + 0.1 * i),
    "annual": lambda i: Changes(annual_distance_km=9_000.0 + i),
    "years": lambda i: Changes(years=5.0, annual_distance_km=12_000.0 + i),
}


@cache
def base(sample: Path) -> Base:
    pack = load_pack(ROOT / "knowledge")
    return base_of(case_from_json(json.loads(sample.read_text(encoding="utf-8")), pack), pack)


@pytest.mark.parametrize("sample", SAMPLES, ids=lambda sample: sample.stem)
@pytest.mark.parametrize("change", CHANGES)
def test_one_what_if(benchmark: BenchmarkFixture, sample: Path, change: str) -> None:
    numbers = count()  # every call is another change: no cache of prices helps

    def ask() -> Figures:
        return what_if(base(sample), CHANGES[change](next(numbers)))

    assert 0.0 <= benchmark(ask).score <= 100.0
