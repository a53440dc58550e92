"""What was found since, laid over a kept case: nothing of the case is lost, and every fault has its place."""

from __future__ import annotations

import copy
import json
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from riskapi.domain.knowledge import Pack
from riskapi.errors import CaseError, Fault
from riskapi.intake import canonical
from riskapi.intake.follow_up import merge, read_follow_up
from tests.conftest import ROOT

KEPT: dict[str, Any] = json.loads((ROOT / "sample_requests" / "noisy_early.json").read_bytes())
CHECKS = st.sampled_from([f"c{n}" for n in range(6)])
FINDINGS = st.lists(
    st.fixed_dictionaries(
        {"check": CHECKS}, optional={"observed_by": st.sampled_from(["self", "seller"]), "n": st.integers()}
    ),
    max_size=8,
)


def about(finding: dict[str, Any]) -> tuple[str, str]:
    return finding["check"], finding.get("observed_by", "self")


def once(findings: list[dict[str, Any]]) -> list[dict[str, Any]]:
    return list({about(finding): finding for finding in findings}.values())


@given(FINDINGS.map(once), FINDINGS.map(once))
def test_what_is_sent_replaces_what_it_is_about_and_nothing_else(
    kept: list[dict[str, Any]], sent: list[dict[str, Any]]
) -> None:
    case = {"vehicle": {}, "findings": kept}
    before = copy.deepcopy(case)
    merged = merge(case, {"findings": sent})
    assert case == before
    told = {about(finding): finding for finding in merged.case["findings"]}
    assert told == {about(f): f for f in kept} | {about(f): f for f in sent}
    assert len(merged.case["findings"]) == len(told)
    assert {(name, sent[index] == merged.case[name][at]) for (name, at), index in merged.places.items()} <= {
        ("findings", True)
    }
    assert merge(merged.case, {"findings": sent}).case == merged.case


@given(FINDINGS.map(once), FINDINGS.map(once))
def test_two_that_are_about_different_things_come_to_the_same_in_either_order(
    one: list[dict[str, Any]], other: list[dict[str, Any]]
) -> None:
    taken = {about(finding) for finding in one}
    other = [finding for finding in other if about(finding) not in taken]
    case: dict[str, Any] = {"vehicle": {}}

    def after(*sent: list[dict[str, Any]]) -> list[str]:
        merged = case
        for each in sent:
            merged = merge(merged, {"findings": each}).case
        return sorted(map(repr, merged.get("findings", [])))

    assert after(one, other) == after(other, one)


def test_date_odometer_visit_and_history(shipped: Pack) -> None:
    entry = {
        "date": "2026-03-20",
        "work": "oil_service",
        "odometer": {"value": 138100, "unit": "km"},
        "evidence": "invoice",
    }
    sent = {
        "as_of": "2026-03-21",
        "odometer": {"value": 138150, "unit": "km"},
        "visit": {"minutes": {"value": 5, "unit": "min"}},
        "service_history": [entry],
    }
    case, kept = read_follow_up(canonical(KEPT), json.dumps(sent), shipped)
    assert (str(case.as_of), case.vehicle.odometer_km, case.visit.minutes) == ("2026-03-21", 138150, 5)
    assert len(case.history) == len(KEPT["service_history"]) + 1
    assert kept["service_history"][-1] == entry
    assert kept["findings"] == KEPT["findings"]


def faults(pack: Pack, sent: Any) -> list[Fault]:
    with pytest.raises(CaseError) as caught:
        read_follow_up(canonical(KEPT), json.dumps(sent), pack)
    return list(caught.value.faults)


def test_faults_are_placed_in_what_was_sent(shipped: Pack) -> None:
    known = KEPT["findings"][0]["check"]
    sent = {
        "odometer": {"value": 1, "unit": "km"},
        "findings": [
            {"check": "look_sump", "result": "purple"},
            {"check": known, "result": "purple"},
            {"check": "nothing"},
        ],
        "service_history": [{"date": "2026-13-01", "work": "oil_service"}],
        "colour": "red",
    }
    places = {fault.place for fault in faults(shipped, sent)}
    assert {
        "/findings/0/result",
        "/findings/1/result",
        "/findings/2/check",
        "/service_history/0/date",
        "/colour",
    } <= places
    assert not any(place.startswith("/vehicle") for place in places)


def test_a_fault_that_shows_in_the_case_so_far_says_where(shipped: Pack) -> None:
    (fault, *_) = faults(shipped, {"as_of": "2010-01-01"})
    assert (fault.place, fault.message.startswith("In the case so far, at /")) == ("", True)


@pytest.mark.parametrize("sent", [{}, [], 5, None, {"findings": 5}, {"as_of": 5}, {"vehicle": {}}])
def test_what_is_no_follow_up(shipped: Pack, sent: Any) -> None:
    assert faults(shipped, sent)


def test_the_same_check_twice_is_a_fault(shipped: Pack) -> None:
    twice = [{"check": "look_sump", "result": "dry"}, {"check": "look_sump", "result": "wet"}]
    assert [fault.place for fault in faults(shipped, {"findings": twice})] == ["/findings/1/check"]
