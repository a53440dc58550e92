"""Events are written with what happened: both or neither, and never twice."""

from __future__ import annotations

import json
from datetime import UTC, datetime, timedelta, timezone

import pytest
from sqlalchemy import Engine, select
from sqlalchemy.exc import IntegrityError
from sqlalchemy.orm import Session

from riskapi.storage import FINDINGS, LOCAL, Accounts, Following, Intent, Repository, append_event
from riskapi.storage.models import DeliveryRow, EventRow, WebhookRow, new_id
from tests.storage.test_repository import KNOWLEDGE, assessment

NOW = datetime(2026, 3, 4, 5, 6, 7, tzinfo=UTC)


def listen(engine: Engine, account_id: str, events: str, disabled: datetime | None = None) -> str:
    identifier = new_id()
    with Session(engine) as session, session.begin():
        row = WebhookRow(id=identifier, account_id=account_id, url="https://cars.example/hook")
        row.secret, row.events, row.created_at, row.disabled_at = "whsec_AAAA", events, NOW, disabled
        session.add(row)
    return identifier


def events(engine: Engine) -> list[EventRow]:
    with Session(engine) as session:
        return list(session.scalars(select(EventRow).order_by(EventRow.created_at, EventRow.type)))


def deliveries(engine: Engine) -> list[DeliveryRow]:
    with Session(engine) as session:
        return list(session.scalars(select(DeliveryRow)))


def test_an_event_goes_to_those_of_its_account_that_listen_to_it(engine: Engine) -> None:
    other = Accounts(engine).open("other", "dealer", NOW).id
    wanted = [listen(engine, LOCAL, "rescored outcome.told"), listen(engine, LOCAL, "outcome.told")]
    listen(engine, LOCAL, "rescored")
    listen(engine, LOCAL, "outcome.told", disabled=NOW)
    listen(engine, other, "outcome.told")
    with Session(engine) as session, session.begin():
        identifier = append_event(session, LOCAL, "outcome.told", {"assessment_id": "a"}, NOW)
    made = deliveries(engine)
    assert {(row.event_id, row.webhook_id, row.state, row.attempts) for row in made} == {
        (identifier, webhook, "waiting", 0) for webhook in wanted
    }
    assert all(row.next_at == NOW for row in made)


def test_the_body_is_type_timestamp_and_data(engine: Engine) -> None:
    """As the Standard Webhooks specification, section 'Payload structure', has it."""
    at = NOW.astimezone(timezone(timedelta(hours=3)))
    with Session(engine) as session, session.begin():
        append_event(session, LOCAL, "identity.erased", {"assessment_id": "ü"}, at)
    body = json.loads(events(engine)[0].payload)
    data = {"assessment_id": "ü"}
    assert body == {"type": "identity.erased", "timestamp": "2026-03-04T05:06:07+00:00", "data": data}


def test_what_is_rolled_back_is_not_told(engine: Engine) -> None:
    listen(engine, LOCAL, "assessment.created")
    with pytest.raises(IntegrityError):
        Repository(engine).add(assessment(), KNOWLEDGE, {"report.pdf": None})  # type: ignore[dict-item]
    assert (events(engine), deliveries(engine)) == ([], [])


def test_a_new_version_is_told_by_how_it_came_about(engine: Engine) -> None:
    repository, first, second = Repository(engine), assessment(), assessment()
    repository.add(first, KNOWLEDGE, {}, Intent("k", "a" * 64))
    repository.add(first, KNOWLEDGE, {}, Intent("k", "a" * 64))  # sent again: nothing happened
    repository.add(second, KNOWLEDGE, {}, follows=Following(first.id, FINDINGS))
    told = [json.loads(row.payload) for row in events(engine)]
    assert [body["type"] for body in told] == ["assessment.created", "findings.added"]
    assert told[0]["data"] == {
        "assessment_id": first.id,
        "car_id": repository.version(first.id).car_id,
        "version": 1,
        "trial": False,
        "links": {"assessment": f"/v1/assessments/{first.id}"},
    }
    assert told[1]["data"]["previous_id"] == first.id


def test_an_unknown_type_is_a_mistake_of_the_program(engine: Engine) -> None:
    with Session(engine) as session, pytest.raises(ValueError, match=r"car\.sold"):
        append_event(session, LOCAL, "car.sold", {}, NOW)
