"""Deliveries against the Standard Webhooks specification (its own library verifies), with faults and without."""

from __future__ import annotations

import base64
import hashlib
import hmac
import json
import random
from datetime import UTC, datetime, timedelta
from ipaddress import ip_network

import pytest
import requests
import requests_mock
from sqlalchemy import Engine
from sqlalchemy.orm import Session
from standardwebhooks import Webhook as Verifier

from riskapi.integrations.outside import Answer, Outside
from riskapi.integrations.webhooks import DELAYS, Postman, delay_after
from riskapi.storage import LOCAL, append_event
from riskapi.storage.deliveries import LEASE, LONG, Deliveries
from riskapi.storage.webhooks import Webhooks
from tests.integrations.receivers import receiver

HERE = (ip_network("127.0.0.0/8"),)
URL = "http://hook.invalid/x"


class Clock:
    def __init__(self) -> None:
        self.now = datetime.now(UTC)

    def __call__(self) -> datetime:
        return self.now


class Desk:
    """An account with one webhook, and the one who delivers to it, on a clock of its own."""

    def __init__(self, engine: Engine, url: str = URL) -> None:
        self.engine, self.clock = engine, Clock()
        self.hooks, self.deliveries = Webhooks(engine, LOCAL), Deliveries(engine)
        self.hook, self.secret = self.hooks.add(url, ("assessment.created",), self.clock.now)
        self.postman = Postman(
            self.deliveries, Outside(HERE, lambda _host, _port: ["127.0.0.1"]), self.clock, random.Random(1)
        )

    def happen(self, number: int = 1) -> None:
        for index in range(number):
            with Session(self.engine) as session, session.begin():
                append_event(session, LOCAL, "assessment.created", {"assessment_id": f"a{index}"}, self.clock.now)

    def sweep(self) -> int:
        taken = self.deliveries.take_due(self.clock.now, 100)
        for each in taken:
            self.postman.deliver(each)
        return len(taken)

    def states(self) -> list[tuple[str, int]]:
        return [(each.state, each.attempts) for each in self.hooks.deliveries(self.hook.id, 100)]


def test_a_delivery_is_what_the_specification_says(engine: Engine) -> None:
    with receiver() as kept:
        desk = Desk(engine, f"http://hook.invalid:{kept.port}/x")
        desk.happen()
        assert desk.sweep() == 1
        assert desk.sweep() == 0
    (got,) = kept.received
    assert Verifier(desk.secret).verify(got.body, got.headers)["data"] == {"assessment_id": "a0"}
    key = base64.b64decode(desk.secret.removeprefix("whsec_"))
    signed = f"{got.headers['webhook-id']}.{got.headers['webhook-timestamp']}.".encode() + got.body
    expected = base64.b64encode(hmac.digest(key, signed, hashlib.sha256)).decode()  # by hand, as its section says
    assert got.headers["webhook-signature"] == f"v1,{expected}"
    assert 24 <= len(key) <= 64
    assert abs(int(got.headers["webhook-timestamp"]) - desk.clock.now.timestamp()) <= 1
    assert set(json.loads(got.body)) == {"type", "timestamp", "data"}
    assert desk.states() == [("delivered", 1)]


def test_after_a_change_of_the_secret_both_sign_for_a_day(engine: Engine) -> None:
    with receiver() as kept:
        desk = Desk(engine, f"http://hook.invalid:{kept.port}/x")
        new = desk.hooks.rotate(desk.hook.id, desk.clock.now)
        desk.happen()
        desk.sweep()
        desk.clock.now += timedelta(days=1, seconds=1)
        desk.happen()
        desk.sweep()
    first, second = kept.received
    for secret in (desk.secret, new):
        assert Verifier(secret).verify(first.body, first.headers)
    assert len(second.headers["webhook-signature"].split()) == 1


def test_retries_follow_the_schedule_then_it_is_given_up_and_the_webhook_disabled(engine: Engine) -> None:
    """The schedule of the specification: the last attempt 75 h 35 min after the first, each up to a fifth later."""
    desk = Desk(engine)
    desk.happen()
    start, times, ids = desk.clock.now, [], set()
    with requests_mock.Mocker() as mock:
        mock.post(URL, status_code=500)
        while desk.states()[0][0] == "waiting":
            due = desk.hooks.deliveries(desk.hook.id, 1)[0].next_at
            assert due is not None
            desk.clock.now = due
            assert desk.sweep() == 1
            times.append((due - start).total_seconds())
        ids = {request.headers["webhook-id"] for request in mock.request_history}
        stamps = [int(request.headers["webhook-timestamp"]) for request in mock.request_history]
    assert len(ids) == 1
    assert stamps == sorted(set(stamps))
    nominal = [0, 5, 305, 2_105, 9_305, 27_305, 63_305, 113_705, 185_705, 272_105]
    assert len(times) == len(nominal)
    assert all(n <= t <= 1.2 * n for n, t in zip(nominal, times, strict=True))
    assert any(t > n for n, t in zip(nominal, times, strict=True))
    assert desk.states() == [("dead", 10)]
    hook = desk.hooks.get(desk.hook.id)
    assert hook.disabled_at == desk.clock.now
    assert sum(DELAYS, timedelta()) > LONG


def test_what_was_given_up_and_what_was_missed_can_be_replayed(engine: Engine) -> None:
    desk = Desk(engine)
    start = desk.clock.now
    desk.happen(2)
    with requests_mock.Mocker() as mock:
        mock.post(URL, status_code=410)
        desk.sweep()
        assert mock.call_count == 1  # the second one is not even tried
        hook = desk.hooks.get(desk.hook.id)
        assert hook.disabled_because == "Its receiver answered 410 Gone."
        assert {state for state, _ in desk.states()} == {"dead"}
        desk.clock.now += timedelta(hours=1)
        desk.happen()  # nobody listens
        assert desk.sweep() == 0
        mock.post(URL, status_code=200)
        assert desk.hooks.replay(desk.hook.id, start, False, desk.clock.now) == 3
        assert desk.sweep() == 3
        assert desk.hooks.replay(desk.hook.id, start, False, desk.clock.now) == 0
        assert desk.hooks.replay(desk.hook.id, start, True, desk.clock.now) == 3
    assert desk.hooks.get(desk.hook.id).disabled_at is None


def test_one_that_works_in_between_is_not_disabled(engine: Engine) -> None:
    desk = Desk(engine)
    desk.happen()
    with requests_mock.Mocker() as mock:
        for status in [500] * 8 + [200]:
            mock.post(URL, status_code=status)
            if status == 200:
                desk.happen()
            desk.clock.now += timedelta(days=2)
            desk.sweep()
        mock.post(URL, status_code=500)
        desk.happen()
        desk.sweep()
    assert desk.hooks.get(desk.hook.id).disabled_at is None


def test_a_receiver_under_load_is_left_alone_for_as_long_as_it_asks(engine: Engine) -> None:
    desk = Desk(engine)
    desk.happen(3)
    with requests_mock.Mocker() as mock:
        mock.post(URL, status_code=429, headers={"Retry-After": "120"})
        assert desk.sweep() == 3
        assert mock.call_count == 1  # the other two were not even tried
        desk.clock.now += timedelta(seconds=119)
        assert desk.sweep() == 0
        mock.post(URL, status_code=200)
        desk.clock.now += LEASE
        assert desk.sweep() == 3
    assert {state for state, _ in desk.states()} == {"delivered"}


@pytest.mark.parametrize(
    ("stated", "seconds"),
    [("30", 30), ("999999999", 86_400), ("Wed, 04 Mar 2026 05:08:07 GMT", 120), ("soon", 5), ("-4", 5), ("1", 5)],
)
def test_retry_after(stated: str, seconds: int) -> None:
    """RFC 9110, section 10.2.3."""
    now = datetime(2026, 3, 4, 5, 6, 7, tzinfo=UTC)
    delay = delay_after(0, Answer(503, "", stated), now, random.Random(1))
    assert delay is not None
    assert seconds <= delay.total_seconds() <= max(seconds, 6)


@pytest.mark.parametrize("fault", [requests.ConnectTimeout, requests.ReadTimeout, requests.ConnectionError])
def test_no_answer_is_a_failure_that_is_tried_again(engine: Engine, fault: type[Exception]) -> None:
    desk = Desk(engine)
    desk.happen()
    with requests_mock.Mocker() as mock:
        mock.post(URL, exc=fault)
        desk.sweep()
    assert desk.states() == [("waiting", 1)]
    assert desk.hooks.get(desk.hook.id).failing_since == desk.clock.now


def test_what_a_dead_worker_took_is_due_again_after_the_lease(engine: Engine) -> None:
    desk = Desk(engine)
    desk.happen()
    assert len(desk.deliveries.take_due(desk.clock.now, 100)) == 1
    assert desk.deliveries.take_due(desk.clock.now, 100) == []
    desk.clock.now += LEASE
    assert len(desk.deliveries.take_due(desk.clock.now, 100)) == 1


def test_a_removed_webhook_gets_nothing_more(engine: Engine) -> None:
    desk = Desk(engine)
    desk.happen()
    (taken,) = desk.deliveries.take_due(desk.clock.now, 100)
    desk.hooks.remove(desk.hook.id)
    with requests_mock.Mocker() as mock:
        desk.postman.deliver(taken)
        assert mock.call_count == 0
    assert desk.deliveries.backlog() == (0, None)
