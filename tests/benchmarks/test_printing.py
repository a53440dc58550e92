"""How long a plain buyer's report takes to print: `python -m pytest tests/benchmarks --benchmark-enable`.

The aim is a median under 100 ms for the report of the demonstration, the assessment given. Nothing here fails for being
slow.
"""

from __future__ import annotations

from pytest_benchmark.fixture import BenchmarkFixture

from riskapi import service
from riskapi.domain.knowledge import Pack
from riskapi.intake import read_case
from riskapi.report.edition import AtHand
from tests.conftest import ROOT
from tests.report import builders
from tests.report.printing import render_pdf


def test_a_plain_buyers_report(benchmark: BenchmarkFixture, shipped: Pack) -> None:
    case = read_case((ROOT / "sample_requests" / "noisy_early.json").read_bytes(), shipped)
    found = service.assess(case, shipped)
    moves = service.sensitivity(service.base_of(case, shipped))
    at = {"assessment_id": builders.IDENTIFIER, "created_at": builders.CREATED}
    data = benchmark(render_pdf, found, case, shipped, **at, at_hand=AtHand(moves=moves))
    assert data.startswith(b"%PDF-")
