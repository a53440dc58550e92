"""The figures shown while an inspector answers are those of the assessment, with or without what was kept."""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path

import pytest

from riskapi import service
from riskapi.catalogue.load import load_pack
from riskapi.domain.case import Case
from riskapi.intake import read_case

SAMPLES = Path(__file__).parents[2] / "sample_requests"
PACK = load_pack(None)


def sample(name: str) -> Case:
    return read_case((SAMPLES / f"{name}.json").read_bytes(), PACK)


@pytest.mark.parametrize("name", ["noisy_early", "traits_only", "clean_late", "do_not_drive"])
def test_every_figure_is_that_of_the_assessment(name: str) -> None:
    case = sample(name)
    shown, _ = service.glance(case, PACK)
    whole = service.assess(case, PACK)
    assert shown.score == pytest.approx(whole.risk.score, abs=1e-9)
    assert shown.band == pytest.approx(whole.risk.band, abs=1e-9)
    assert shown.mean == pytest.approx(whole.cost.unplanned.mean, rel=1e-9)
    assert shown.price_for_findings == pytest.approx(whole.decision.price_for_findings, rel=1e-9)
    assert shown.cautious_price == pytest.approx(whole.decision.cautious_price, rel=1e-9)
    assert (shown.advice, shown.hazards) == (whole.decision.advice, whole.decision.hazards)
    assert shown.coverage == whole.coverage
    assert shown.heaviest == whole.weak_points[:3]


def test_what_was_kept_of_the_answer_before_changes_nothing() -> None:
    case, known = sample("noisy_early"), None
    for count in range(0, len(case.findings) + 1, 6):
        fewer = replace(case, findings=case.findings[:count])
        with_it, known = service.glance(fewer, PACK, known)
        without, _ = service.glance(fewer, PACK)
        assert with_it == without


def test_a_standing_serves_as_long_as_the_engine_stays_the_same() -> None:
    """A trait read from the engine opens other roots than before: then it is computed anew."""
    case = sample("traits_only")
    _, first = service.glance(case, PACK)
    _, same = service.glance(replace(case, findings=case.findings[:-1]), PACK, first)
    assert (same.outlook, same.lanes) == (first.outlook, first.lanes)
    assert same.outlook is first.outlook
    _, other = service.glance(sample("clean_late"), PACK, first)
    assert other.outlook is not first.outlook


def test_the_core_checks_still_open_are_named() -> None:
    case = sample("before_the_visit")
    shown, _ = service.glance(case, PACK)
    assert set(shown.core_open) == {check.id for check in PACK.checks if check.core}
    assert (shown.coverage.core_done, shown.coverage.core_total) == (0, len(shown.core_open))
