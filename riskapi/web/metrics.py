"""/metrics in the form of Prometheus: how often, how long, how much is waiting. Routes as declared, never paths."""

from __future__ import annotations

import os
from collections.abc import Iterator
from datetime import UTC, datetime
from typing import Any

from flask import Flask, Response, current_app
from prometheus_client import CollectorRegistry, Counter, Histogram, generate_latest, values
from prometheus_client.core import GaugeMetricFamily
from prometheus_client.multiprocess import MultiProcessCollector, mark_process_dead
from sqlalchemy.exc import SQLAlchemyError

from riskapi import __version__
from riskapi.storage.deliveries import Deliveries, Pulse
from riskapi.web.access import METRICS, allow
from riskapi.web.state import State, state_of

FOLDER = "PROMETHEUS_MULTIPROC_DIR"  # where the processes of one server put their counts together
MEDIA_TYPE = "text/plain; version=0.0.4; charset=utf-8"
CURATORS = frozenset({"curator"})
_BUCKETS = (0.005, 0.01, 0.025, 0.05, 0.1, 0.2, 0.4, 0.8, 1.6, 3.2, 10, 30)
_METHODS = frozenset({"GET", "HEAD", "POST", "PUT", "PATCH", "DELETE", "OPTIONS"})


class Metrics:
    """Counts of one application."""

    def __init__(self) -> None:
        self.registry = CollectorRegistry()
        names = ["method", "route"]
        self._requests = Counter("riskapi_requests", "Requests answered.", [*names, "status"], registry=self.registry)
        self._seconds = Histogram(
            "riskapi_request_seconds", "How long answers took.", names, buckets=_BUCKETS, registry=self.registry
        )

    def count(self, method: str, route: str, status: int, seconds: float) -> None:
        """One request was answered."""
        known = method if method in _METHODS else "other"
        self._requests.labels(known, route, str(status)).inc()
        self._seconds.labels(known, route).observe(seconds)

    def text(self, state: State) -> bytes:
        """All counts, those of the other processes of this server included."""
        registry = self.registry
        if os.environ.get(FOLDER):
            registry = CollectorRegistry()
            MultiProcessCollector(registry)  # type: ignore[no-untyped-call]
        own = CollectorRegistry()
        own.register(_Standing(state))
        return bytes(generate_latest(registry)) + bytes(generate_latest(own))


def share(folder: str) -> None:
    """Let the processes of one server put their counts together in this folder; to be called before create_app."""
    os.environ[FOLDER] = folder
    values.ValueClass = values.get_value_class()  # type: ignore[no-untyped-call]


def forget(process_id: int) -> None:
    """A process of the server has ended; what it counted stays in the sums."""
    mark_process_dead(process_id)  # type: ignore[no-untyped-call]


def register(app: Flask, metrics: Metrics) -> None:
    """Serve /metrics to curators, to a single user's machine itself, and to whoever shows the token."""
    app.add_url_rule("/metrics", METRICS, lambda: _answer(metrics))
    allow(app, {METRICS: CURATORS})


def _answer(metrics: Metrics) -> Response:
    return Response(metrics.text(state_of(current_app)), content_type=MEDIA_TYPE)


class _Standing:
    """What is looked up when somebody asks."""

    def __init__(self, state: State) -> None:
        self._state = state

    def collect(self) -> Iterator[Any]:
        """One gauge after the other; none of the database's while that is away."""
        labels = {"program": __version__, "knowledge": self._state.pack.version}
        info = GaugeMetricFamily("riskapi_info", "What is running.", labels=list(labels))
        info.add_metric(list(labels.values()), 1)
        yield info
        try:
            yield from self._gauges(datetime.now(UTC))
        except SQLAlchemyError:
            yield GaugeMetricFamily("riskapi_database_up", "Whether the database answers.", value=0)

    def _gauges(self, now: datetime) -> list[GaugeMetricFamily]:
        engine = self._state.repository.engine
        waiting, oldest = Deliveries(engine).backlog()
        late = 0.0 if oldest is None else max((now - oldest).total_seconds(), 0.0)
        told = [
            ("riskapi_deliveries_waiting", "Webhook deliveries on their way.", waiting),
            ("riskapi_oldest_delivery_seconds", "Age of the oldest of them.", late),
            ("riskapi_workers", "Background workers seen lately.", len(Pulse(engine).alive(now))),
            ("riskapi_database_up", "Whether the database answers.", 1),
        ]
        prices = None if self._state.feed is None else self._state.feed.prices(now)
        if prices is not None:
            silent = (now - prices.checked_at).total_seconds()
            told.append(("riskapi_price_feed_silent_seconds", "Since the price feed last answered.", silent))
        return [GaugeMetricFamily(name, words, value=value) for name, words, value in told]
