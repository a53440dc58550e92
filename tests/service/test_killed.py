"""Workers are killed (SIGKILL) in the middle of many writes at once, then everything is: what was acknowledged is there
after the restart, nothing is there twice, nothing is half there.

RISKAPI_LONG=1 makes a thousand writes, else sixty.
"""

from __future__ import annotations

import os
import random
import signal
import threading
import time
from collections.abc import Iterator
from concurrent.futures import ThreadPoolExecutor
from pathlib import Path
from typing import Any

import pytest

from riskapi.web.sample import SAMPLE
from tests.service.running import AWAY, Service

WRITES = 1_000 if os.environ.get("RISKAPI_LONG") else 60
CLIENTS, KILLS = 12, 4
TOLD = {"told_on": "2024-11-20", "told_by": "buyer", "bought": "undecided"}


@pytest.fixture(params=["sqlite", pytest.param("postgresql", marks=pytest.mark.postgresql)])
def service(request: pytest.FixtureRequest, tmp_path: Path) -> Iterator[Service]:
    running = Service(tmp_path, request.getfixturevalue(f"{request.param}_url")).start()
    yield running
    running.stop()


class Writer:
    """A client that sends each write until it is acknowledged, under one key for all its tries."""

    def __init__(self, service: Service) -> None:
        self.service, self.tries, self.acknowledged = service, 0, dict[str, dict[str, Any]]()
        self._lock = threading.Lock()

    def write(self, number: int) -> None:
        """Every fourth write is an assessment, the others tell an outcome of the first one."""
        key = f"write-{number}"
        if number % 4 == 0:
            path, body = "/v1/assessments", {**SAMPLE, "reference": key}
        else:
            path, body = f"/v1/assessments/{self.first}/outcome", {**TOLD, "note": key}
        self.acknowledged[key] = self.until_acknowledged(path, body, key)

    def until_acknowledged(self, path: str, body: Any, key: str) -> dict[str, Any]:
        deadline = time.monotonic() + 240
        while time.monotonic() < deadline:
            with self._lock:
                self.tries += 1
            try:
                answer = self.service.ask("POST", path, body, {"Idempotency-Key": key}, limit=20)
            except AWAY:
                time.sleep(0.2)
                continue
            if answer.status == 201:
                made: dict[str, Any] = answer.json
                return made
            assert answer.status in (429, 503), answer.body
            time.sleep(0.2)
        raise AssertionError(f"{key} was never acknowledged")

    @property
    def first(self) -> str:
        return str(self.acknowledged["first"]["assessment_id"])


@pytest.mark.slow
def test_what_was_acknowledged_is_there_once_and_whole(service: Service) -> None:
    writer = Writer(service)
    writer.acknowledged["first"] = writer.until_acknowledged("/v1/assessments", SAMPLE, "first")
    with ThreadPoolExecutor(CLIENTS) as pool:
        futures = [pool.submit(writer.write, number) for number in range(WRITES)]
        _kill_while_running(service, futures)
        for future in futures:
            future.result()
    service.kill_all()
    service.start()
    assert writer.tries > WRITES  # the kills were felt, or this proves nothing
    _check_assessments(service, writer)
    _check_outcomes(service, writer)


def _kill_while_running(service: Service, futures: list[Any]) -> None:
    dice = random.Random(4)
    for step in range(1, KILLS + 1):
        while sum(future.done() for future in futures) < step * len(futures) // (KILLS + 1):
            time.sleep(0.02)
        for worker in dice.sample(workers := service.worker_ids(), min(len(workers), 1 + step % 2)):
            os.kill(worker, signal.SIGKILL)


def _check_assessments(service: Service, writer: Writer) -> None:
    kept = _all_assessments(service)
    made = {key: told for key, told in writer.acknowledged.items() if key == "first" or int(key[6:]) % 4 == 0}
    assert sorted(kept) == sorted(told["assessment_id"] for told in made.values())  # none lost, none twice
    for told in list(made.values())[:: max(1, len(made) // 25)]:
        path = f"/v1/assessments/{told['assessment_id']}"
        assert service.ask("GET", path).json == told
        assert service.ask("GET", f"{path}/watch.ics").status == 200


def _all_assessments(service: Service) -> list[str]:
    found: list[str] = []
    cursor = ""
    while True:
        page = service.ask("GET", f"/v1/assessments?limit=200{cursor}").json
        found += [item["assessment_id"] for item in page["items"]]
        if page["next"] is None:
            return found
        cursor = f"&cursor={page['next']}"


def _check_outcomes(service: Service, writer: Writer) -> None:
    told = service.ask("GET", f"/v1/assessments/{writer.first}/outcome").json["items"]
    sent = {key: made for key, made in writer.acknowledged.items() if key != "first" and int(key[6:]) % 4}
    assert sorted(item["note"] for item in told) == sorted(sent)
    assert all(item == sent[item["note"]] for item in told)
