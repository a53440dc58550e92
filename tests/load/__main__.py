"""How much the service bears: whole assessments over HTTP, kept in PostgreSQL, beside two peers in the same run.

    python -m tests.load --seconds 60 --requests 20000

1. an echo: Flask and marshmallow reading and answering the same body, in the same gunicorn, without any work
2. the computation alone: the same case assessed in this process, without a server

Asked in turns of the three, so that whatever else the machine does falls on all alike. Then many requests more, to see
whether a worker's memory grows. Prints a table and, with --write, keeps it in tests/load/results.json.
"""

from __future__ import annotations

import argparse
import json
import os
import statistics
import sys
import tempfile
import time
import uuid
from concurrent.futures import ThreadPoolExecutor
from dataclasses import asdict, dataclass
from pathlib import Path

from sqlalchemy import create_engine

from riskapi import service as pipeline
from riskapi.catalogue.load import load_pack
from riskapi.intake import read_case
from tests.load.echo import Echo
from tests.service.running import ROOT, Service, ask
from tests.storage.databases import SERVER

CASE = ROOT / "sample_requests" / "plain_and_clean.json"
RESULTS = Path(__file__).parent / "results.json"


@dataclass(frozen=True, slots=True)
class Figures:
    """Times of one peer [ms]; `errors` are answers other than 200 and 201."""

    peer: str
    requests: int
    errors: int
    per_second: float
    median: float
    p99: float


def main() -> None:
    asked = _arguments()
    with tempfile.TemporaryDirectory() as folder:
        service = Service(Path(folder), _schema(), workers=2, RISKAPI_RATE_ACCOUNT="1000000 per minute").start()
        echo = Echo(Path(folder)).start()
        try:
            told = _measure(service, echo, asked.seconds, asked.clients)
            memory = _memory(service, asked.requests, asked.clients)
        finally:
            service.stop()
            echo.stop()
    report = {"case": CASE.stem, "cores": os.cpu_count(), "figures": [asdict(each) for each in told], "memory": memory}
    sys.stdout.write(json.dumps(report, indent=2) + "\n")
    if asked.write:
        RESULTS.write_text(json.dumps(report, indent=2) + "\n")


def _arguments() -> argparse.Namespace:
    parser = argparse.ArgumentParser(prog="python -m tests.load", description=__doc__)
    parser.add_argument("--seconds", type=float, default=60.0, help="how long the service is asked in all")
    parser.add_argument("--requests", type=int, default=2_000, help="how many more, to watch the memory")
    parser.add_argument("--clients", type=int, default=8)
    parser.add_argument("--write", action="store_true")
    return parser.parse_args()


def _schema() -> str:
    """A schema of its own in the PostgreSQL server of the tests; it is left there to be looked at."""
    name = f"riskapi_load_{uuid.uuid4().hex[:8]}"
    with create_engine(SERVER).begin() as connection:
        connection.exec_driver_sql(f"CREATE SCHEMA {name}")
    return f"{SERVER}?options=-csearch_path%3D{name}"


def _measure(service: Service, echo: Echo, seconds: float, clients: int) -> list[Figures]:
    body, pack = CASE.read_bytes(), load_pack()
    case = read_case(body, pack)
    turns = max(1, round(seconds / 10))
    times: dict[str, list[float]] = {"service": [], "echo": [], "computation": []}
    errors, spent = dict.fromkeys(times, 0), dict.fromkeys(times, 0.0)
    for _ in range(turns):
        for name, peer in (("service", service), ("echo", echo)):
            started = time.perf_counter()
            found, failed = _ask_for(peer.port, body, seconds / turns if name == "service" else 1.0, clients)
            spent[name] += time.perf_counter() - started
            times[name] += found
            errors[name] += failed
        started = time.perf_counter()
        times["computation"] += [_timed(lambda: pipeline.assess(case, pack)) for _ in range(10)]
        spent["computation"] += time.perf_counter() - started
    return [_figures(name, times[name], errors[name], spent[name]) for name in times]


def _ask_for(port: int, body: bytes, seconds: float, clients: int) -> tuple[list[float], int]:
    deadline = time.perf_counter() + seconds

    def client(_: int) -> tuple[list[float], int]:
        times, errors = [], 0
        while time.perf_counter() < deadline:
            started = time.perf_counter()
            answer = ask(port, "POST", "/v1/assessments", body, {"Content-Type": "application/json"})
            times.append(time.perf_counter() - started)
            errors += answer.status not in (200, 201)
        return times, errors

    with ThreadPoolExecutor(clients) as pool:
        parts = list(pool.map(client, range(clients)))
    return [time_ for part, _ in parts for time_ in part], sum(failed for _, failed in parts)


def _timed(work: object) -> float:
    started = time.perf_counter()
    work()  # type: ignore[operator]
    return time.perf_counter() - started


def _figures(name: str, times: list[float], errors: int, spent: float) -> Figures:
    cuts = statistics.quantiles(times, n=100) if len(times) > 1 else times * 100
    milliseconds = [round(1_000 * value, 1) for value in (statistics.median(times), cuts[98])]
    return Figures(name, len(times), errors, round(len(times) / spent, 1), *milliseconds)


def _memory(service: Service, requests: int, clients: int) -> list[dict[str, float]]:
    """Resident memory of all workers together [MB], after each tenth of so many requests: every fiftieth is a whole
    assessment, the others read lists and checks or send a case at fault."""
    body, told = json.dumps(json.loads(CASE.read_bytes())).encode(), []

    def one(number: int) -> None:
        if number % 50 == 0:
            service.ask("POST", "/v1/batches?keep=false", body, _LINES)
        elif number % 3 == 0:
            service.ask("POST", "/v1/assessments", {"vehicle": {"odometer": number}})
        else:
            service.ask("GET", ("/v1/checks", "/v1/assessments?limit=20")[number % 2])

    for tenth in range(1, 11):
        with ThreadPoolExecutor(clients) as pool:
            list(pool.map(one, range(requests // 10)))
        told.append({"requests": tenth * requests // 10, "megabytes": _resident(service)})
    return told


_LINES = {"Content-Type": "application/x-ndjson"}


def _resident(service: Service) -> float:
    kilobytes = 0
    for worker in service.worker_ids():
        status = Path(f"/proc/{worker}/status").read_text()
        kilobytes += next(int(line.split()[1]) for line in status.splitlines() if line.startswith("VmRSS"))
    return round(kilobytes / 1_024, 1)


if __name__ == "__main__":
    main()
