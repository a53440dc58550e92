"""Versions: findings that are added, two at once, and what newer knowledge says."""

from __future__ import annotations

import json
from concurrent.futures import ThreadPoolExecutor
from dataclasses import replace

import pytest

from riskapi.desk import REPORT, Desk, add_findings, again, make_assessment, printed, rescore
from riskapi.errors import CaseError, KeyReused, NotFound, NothingNewer, Overtaken
from riskapi.intake import canonical, read_case
from riskapi.storage import FINDINGS, RESCORE, StoredAssessment
from tests.desk.conftest import BODY

SUMP = b'{"findings": [{"check": "look_sump", "result": "dry"}]}'
LEVEL = b'{"findings": [{"check": "oil_level", "result": "low"}]}'


def made(desk: Desk) -> StoredAssessment:
    return make_assessment(read_case(BODY, desk.pack), BODY, desk)


def findings(stored: StoredAssessment) -> dict[str, str]:
    return {item["check"]: item.get("result", "") for item in json.loads(stored.case_json)["findings"]}


def test_what_is_added_is_the_next_version_and_equals_a_case_sent_whole(desk: Desk) -> None:
    first = made(desk)
    second = add_findings(desk, first.id, SUMP)
    version = desk.repository.version(second.id)
    assert (version.number, version.previous_id, version.origin) == (2, first.id, FINDINGS)
    assert desk.repository.get(first.id) == first
    assert findings(second) == {**findings(first), "look_sump": "dry"}
    whole = make_assessment(read_case(second.case_json, desk.pack), second.case_json, desk)
    assert _figures(whole) == _figures(second)
    assert _figures(first) != _figures(second)


def _figures(stored: StoredAssessment) -> dict[str, object]:
    result: dict[str, object] = json.loads(stored.result_json)
    return {name: value for name, value in result.items() if name not in ("assessment_id", "created_at")}


def test_two_that_are_added_at_once_both_count(desk: Desk) -> None:
    first = made(desk)
    with ThreadPoolExecutor(2) as pool:
        list(pool.map(lambda body: add_findings(desk, first.id, body), (SUMP, LEVEL)))
    car = desk.repository.version(first.id).car_id
    assert [version.number for version in desk.repository.versions(car)] == [1, 2, 3]
    latest = desk.repository.latest(first.id)
    assert {"look_sump": "dry", "oil_level": "low"}.items() <= findings(latest).items()


def test_a_condition_that_does_not_hold_for_the_latest_keeps_nothing(desk: Desk) -> None:
    first = made(desk)
    second = add_findings(desk, first.id, SUMP, condition=lambda latest: latest.id == first.id)
    with pytest.raises(Overtaken):
        add_findings(desk, first.id, LEVEL, condition=lambda latest: latest.id == first.id)
    assert desk.repository.latest(first.id) == second


def test_a_key_sent_again_makes_nothing_new(desk: Desk) -> None:
    first = made(desk)
    second = add_findings(desk, first.id, SUMP, "k")
    assert add_findings(desk, first.id, SUMP, "k") == second
    with pytest.raises(KeyReused):
        add_findings(desk, first.id, LEVEL, "k")


def test_findings_are_weighed_with_the_pack_of_the_version_before(desk: Desk, newer_desk: Desk) -> None:
    first = made(desk)
    second = add_findings(newer_desk, first.id, SUMP)
    assert second.knowledge_digest == desk.pack.digest
    assert again(newer_desk, second).result == json.loads(second.result_json)


def test_newer_knowledge_is_heard_on_request_alone(desk: Desk, newer_desk: Desk) -> None:
    first = made(desk)
    with pytest.raises(NothingNewer):
        rescore(desk, first.id)
    before_report = printed(desk, first.id, REPORT)
    done = rescore(newer_desk, first.id, "k")
    assert done.before == first
    assert (done.after.knowledge_digest, done.after.case_json) == (newer_desk.pack.digest, first.case_json)
    scores = [json.loads(each.result_json)["cost"]["unplanned"]["mean"] for each in (done.before, done.after)]
    assert scores[0] < scores[1]  # labour is dearer in the newer pack
    assert desk.repository.version(done.after.id).origin == RESCORE
    assert rescore(newer_desk, first.id, "k") == done
    assert printed(newer_desk, first.id, REPORT) == before_report
    with pytest.raises(NothingNewer):
        rescore(newer_desk, first.id)


def test_a_case_that_newer_knowledge_cannot_read_is_told_with_its_place(desk: Desk, newer_desk: Desk) -> None:
    first = made(desk)
    bare = replace(newer_desk, pack=replace(newer_desk.pack, checks=()))
    with pytest.raises(CaseError) as caught:
        rescore(bare, first.id)
    assert all(fault.message.startswith("In the case so far, at /findings/") for fault in caught.value.faults)


def test_nothing_follows_on_what_is_not_there(desk: Desk) -> None:
    for ask in (lambda: add_findings(desk, "0" * 32, SUMP), lambda: rescore(desk, "0" * 32)):
        with pytest.raises(NotFound):
            ask()


def test_what_is_kept_is_canonical(desk: Desk) -> None:
    second = add_findings(desk, made(desk).id, SUMP)
    assert second.case_json == canonical(json.loads(second.case_json))
