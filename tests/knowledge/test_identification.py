"""One whole case: a car whose numbers disagree, and the look that settles which revision it is."""

from __future__ import annotations

from datetime import UTC, datetime
from itertools import pairwise
from typing import Any

import pytest

from riskapi import service
from riskapi.domain.assessment import Assessment
from riskapi.domain.identify import identify
from riskapi.domain.knowledge import Pack
from riskapi.intake import case_from_json
from riskapi.report.content import build_report
from riskapi.report.plain import plain_text
from riskapi.report.result import result_to_json

VIN = "ZZ9111D14D1000042"  # made up: model year 2013 (position 10), from 2010 on (position 7), check digit 4
OTHER = "ZZ9111D13D1000077"  # another serial, and a check digit that does not fit (1 would)
WHEN = datetime(2026, 3, 1, tzinfo=UTC)


def value(*, findings: list[dict[str, Any]] | None = None, **vehicle: Any) -> dict[str, Any]:
    return {
        "as_of": "2026-03-01",
        "vehicle": {
            "engine": {"family": "lapwing"},
            "odometer": {"value": 120_000, "unit": "km"},
            "vin": VIN,
            "vin_market": "us",
            **vehicle,
        },
        "findings": findings or [],
    }


def chances(assessment: Assessment) -> dict[str | None, float]:
    return {item.revision: item.probability for item in assessment.identification.candidates}


def told(given: dict[str, Any], assessment: Assessment, pack: Pack) -> str:
    """The part of the report about the engine, in one line."""
    case = case_from_json(given, pack)
    report = build_report(assessment, case, pack, assessment_id="a1", created_at=WHEN)
    return " ".join(plain_text(report, {"identity"}).split())


def test_serial_numbers_of_the_first_family_follow_its_builds(shipped: Pack) -> None:
    spans = [item.serials for item in shipped.family("lapwing").revisions if item.serials is not None]
    assert len(spans) == len(shipped.family("lapwing").revisions)
    assert all(int(after.first) == int(before.last) + 1 for before, after in pairwise(spans))
    found = identify(case_from_json(value(serial_number="150000"), shipped), shipped)
    assert [item.revision.id for item in found.candidates if item.revision] == ["lapwing_2a"]
    assert found.how == "from serial number and model year in the VIN"


def test_an_ambiguous_revision_is_a_result_with_the_look_that_settles_it(shipped: Pack) -> None:
    """Model year 2013 is built in 2012 and 2013, over the change from 1b to 2a at the end of January 2013."""
    given = value()
    assessment = service.assess(case_from_json(given, shipped), shipped)
    found = assessment.identification
    assert chances(assessment)["lapwing_1b"] + chances(assessment)["lapwing_2a"] == pytest.approx(0.96, abs=0.03)
    assert min(chances(assessment)["lapwing_1b"], chances(assessment)["lapwing_2a"]) > 0.3
    assert found.how == "from model year in the VIN"
    assert found.settled_by[0] == "look_cover_ribs"  # four ribs on 1b, five on 2a; the clip is grey on both
    answer = result_to_json(assessment, "a1", WHEN)["identification"]
    assert answer["settled_by"] == list(found.settled_by)
    name = shipped.check("look_cover_ribs").name
    assert f"What would settle it: {name} (2 minutes)" in told(given, assessment, shipped)


def test_the_look_settles_it_and_is_named_among_the_clues(shipped: Pack) -> None:
    given = value(findings=[{"check": "look_cover_ribs", "result": "four_ribs"}])
    assessment = service.assess(case_from_json(given, shipped), shipped)
    assert chances(assessment)["lapwing_1b"] == pytest.approx(1.0)
    assert assessment.identification.settled_by == ()
    name = shipped.check("look_cover_ribs").name
    assert assessment.identification.how == f"from model year in the VIN; then by features seen ({name})"
    assert "What would settle it" not in told(given, assessment, shipped)


def test_numbers_that_disagree_are_facts_and_move_no_figure(shipped: Pack) -> None:
    """Without agreement the model year is no clue: the answer is that of a car whose papers show no VIN at all."""
    given = value(first_registered="2013-04-01", vin_seen={"body": VIN, "control_unit": OTHER})
    assessment = service.assess(case_from_json(given, shipped), shipped)
    plain = value(first_registered="2013-04-01")
    del plain["vehicle"]["vin"]
    without = service.assess(case_from_json(plain, shipped), shipped)
    assert (assessment.risk, chances(assessment)) == (without.risk, chances(without))
    assert without.facts == ()
    assert assessment.facts == (
        "The VIN in the papers and the one in the control unit differ; ask.",
        "The VIN on the body and the one in the control unit differ; ask.",
        "The check digit of the VIN in the control unit does not fit the rest: read it again, or ask.",
    )
    page = told(given, assessment, shipped)
    assert "Facts to ask about" in page
    assert VIN[-5:] not in page + str(assessment.facts)
    assert OTHER[-5:] not in page + str(assessment.facts)
