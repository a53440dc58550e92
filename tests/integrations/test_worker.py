"""The worker as a process of its own: killed without mercy between commit and delivery, it loses nothing."""

from __future__ import annotations

import os
import signal
import socket
import subprocess
import sys
import time
from collections.abc import Callable, Iterator
from concurrent.futures import ThreadPoolExecutor
from contextlib import contextmanager
from datetime import UTC, datetime, timedelta
from pathlib import Path

import pytest
from huey.registry import Message
from sqlalchemy import Engine, update
from sqlalchemy.orm import Session

from riskapi.integrations.worker import JsonSerializer
from riskapi.storage import LOCAL, Knowledge, Personal, Repository, StoredAssessment, append_event
from riskapi.storage.deliveries import SILENCE, Deliveries, Pulse
from riskapi.storage.models import DeliveryRow
from riskapi.storage.retention import DEFAULT_DAYS
from riskapi.storage.webhooks import Webhooks
from tests.integrations.receivers import Receiver, receiver

PATIENCE = 180.0  # [s]; a machine may have much else to do
ROOT = Path(__file__).parents[2]


@contextmanager
def worker(engine: Engine) -> Iterator[subprocess.Popen[bytes]]:
    """A worker that may send to the loopback address."""
    url = engine.url.render_as_string(hide_password=False)
    environment = {**os.environ, "RISKAPI_DATABASE_URL": url, "RISKAPI_WEBHOOK_ALLOW": "127.0.0.0/8"}
    process = subprocess.Popen(
        [sys.executable, "-m", "riskapi", "worker"], env=environment, cwd=ROOT, stderr=subprocess.DEVNULL
    )
    try:
        yield process
    finally:
        process.kill()
        process.wait()


def wait_until(holds: Callable[[], bool]) -> None:
    deadline = time.monotonic() + PATIENCE
    while not holds():
        assert time.monotonic() < deadline, "it took too long"
        time.sleep(0.05)


def happen(engine: Engine, number: int) -> None:
    for index in range(number):
        with Session(engine) as session, session.begin():
            append_event(session, LOCAL, "assessment.created", {"assessment_id": str(index)})


def heard(kept: Receiver) -> set[str]:
    return {got.headers["webhook-id"] for got in kept.received}


def test_a_worker_killed_between_commit_and_delivery_loses_nothing(engine: Engine) -> None:
    with receiver() as kept:
        kept.pause = 0.1
        Webhooks(engine, LOCAL).add(f"http://127.0.0.1:{kept.port}/", ("assessment.created",), datetime.now(UTC))
        with worker(engine) as first:
            happen(engine, 60)
            wait_until(lambda: len(kept.received) >= 3)
            first.send_signal(signal.SIGKILL)
            first.wait()
        assert len(heard(kept)) < 60
        happen(engine, 5)
        with Session(engine) as session, session.begin():  # as if the lease of what the dead one took had run out
            taken = update(DeliveryRow).where(DeliveryRow.state == "waiting")
            session.execute(taken.values(next_at=datetime.now(UTC) - timedelta(seconds=1)))
        with worker(engine) as second:
            wait_until(lambda: Deliveries(engine).backlog()[0] == 0)
            second.send_signal(signal.SIGTERM)
            assert second.wait(PATIENCE) == 0
        assert len(heard(kept)) == 65
    assert Pulse(engine).alive(datetime.now(UTC)) == [f"{socket.gethostname()}:{first.pid}"]  # who had no time to go
    assert Pulse(engine).alive(datetime.now(UTC) + SILENCE) == []


def test_two_workers_share_without_telling_twice(engine: Engine) -> None:
    with receiver() as kept, worker(engine), worker(engine):
        Webhooks(engine, LOCAL).add(f"http://127.0.0.1:{kept.port}/", ("assessment.created",), datetime.now(UTC))
        wait_until(lambda: len(Pulse(engine).alive(datetime.now(UTC))) == 2)
        happen(engine, 40)
        wait_until(lambda: Deliveries(engine).backlog()[0] == 0)
        assert len(kept.received) == len(heard(kept)) == 40


def test_many_take_at_once_and_each_delivery_goes_to_one(engine: Engine) -> None:
    now = datetime.now(UTC)
    Webhooks(engine, LOCAL).add("https://hook.invalid/", ("assessment.created",), now)
    happen(engine, 60)
    deliveries, later = Deliveries(engine), datetime.now(UTC)
    with ThreadPoolExecutor(6) as pool:
        taken = [each for part in pool.map(lambda _: deliveries.take_due(later, 7), range(18)) for each in part]
    assert len(taken) == len(set(taken)) == 60


def test_tasks_are_kept_as_json() -> None:
    message = Message("id", "deliver", None, 0, 0, None, ["delivery"], {}, None, None, None, None)
    serializer = JsonSerializer()
    assert serializer.deserialize(serializer.serialize(message)) == message
    with pytest.raises(ValueError, match="decode"):
        serializer.deserialize(b"\x80\x05cos\nsystem\n")


def test_what_is_personal_and_old_is_erased_when_a_worker_starts(engine: Engine) -> None:
    repository, long_ago = Repository(engine), datetime.now(UTC) - timedelta(days=DEFAULT_DAYS + 1)
    for identifier, made in (("old", long_ago), ("new", datetime.now(UTC))):
        assessment = StoredAssessment(identifier, made, None, "d", "1", b"{}", b"{}")
        repository.add(assessment, Knowledge("d", "1", b""), {}, personal=Personal(b"s" * 32, b"{}"))
    with worker(engine):
        wait_until(lambda: getattr(repository.identity("old"), "erased_at", None) is not None)
    assert getattr(repository.identity("new"), "content", None) == b"{}"
