"""The shipped samples, assessed and told: strict JSON, a PDF, and no word that must not reach a reader."""

from __future__ import annotations

import json
from functools import cache
from pathlib import Path

import pytest

from riskapi import service
from riskapi.catalogue.load import load_pack
from riskapi.domain.assessment import Assessment
from riskapi.domain.case import Case
from riskapi.domain.checklist import Checklist
from riskapi.domain.knowledge import Pack
from riskapi.intake import read_case
from riskapi.report.content import build_report
from riskapi.report.result import result_to_json
from tests.report import builders
from tests.report.printing import render_pdf
from tests.report.test_content import BARRED, text

ROOT = Path(__file__).parents[2]
SAMPLES = sorted((ROOT / "sample_requests").glob("*.json"))


@cache
def assessed(path: Path) -> tuple[Assessment, Case, Pack]:
    pack = load_pack(ROOT / "knowledge")
    case = read_case(path.read_bytes(), pack)
    return service.assess(case, pack), case, pack


@cache
def listed(path: Path) -> Checklist:
    _, case, pack = assessed(path)
    return service.checklist(case, pack)


def test_there_are_samples() -> None:
    assert len(SAMPLES) >= 6


@pytest.mark.parametrize("path", SAMPLES, ids=lambda path: path.stem)
def test_each_sample_is_told_whole(path: Path) -> None:
    assessment, case, pack = assessed(path)
    result = result_to_json(assessment, builders.IDENTIFIER, builders.CREATED)
    assert len(result["weak_points"]) == len(assessment.weak_points)  # type: ignore[arg-type]
    assert json.loads(json.dumps(result, allow_nan=False)) == result
    report = build_report(assessment, case, pack, assessment_id=builders.IDENTIFIER, created_at=builders.CREATED)
    told = text(report)
    assert [word for word in BARRED if word in told.lower()] == []
    assert all(item.name in told for item in assessment.weak_points)
    printed = render_pdf(assessment, case, pack, assessment_id=builders.IDENTIFIER, created_at=builders.CREATED)
    assert printed.startswith(b"%PDF-")
