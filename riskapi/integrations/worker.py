"""The background worker: delivers webhooks, keeps the price feed fresh, and erases what is personal and old enough.

Tasks wait in Huey's own store: an SQLite file beside the embedded database, or tables of the PostgreSQL database; no
further server. Nothing depends on that store: what is to be delivered stands in the outbox, and a sweep takes it from
there again when a worker died.
"""

from __future__ import annotations

import json
import logging
from collections.abc import Callable
from datetime import UTC, datetime
from pathlib import Path
from typing import Any

from huey import Huey
from huey.consumer import Consumer, Scheduler
from huey.registry import Message
from huey.serializer import Serializer
from huey.storage import MemoryStorage, PostgresStorage, SqliteStorage
from sqlalchemy import Engine
from sqlalchemy.exc import SQLAlchemyError

from riskapi.integrations.outside import Outside
from riskapi.integrations.webhooks import Postman
from riskapi.storage.deliveries import Deliveries, Pulse
from riskapi.storage.erasing import Erased
from riskapi.storage.retention import retain

THREADS = 4
SWEEP_SECONDS = 2
AT_ONCE = 100  # deliveries of one sweep
QUEUE_MOST = 200  # tasks waiting, above which a sweep takes nothing
_NAME = "riskapi"
_LOG = logging.getLogger(__name__)


class JsonSerializer(Serializer):  # type: ignore[misc]
    """Tasks as JSON: reading one can run nothing, which a pickle could."""

    def _serialize(self, data: Any) -> bytes:
        return json.dumps(data).encode()

    def _deserialize(self, data: bytes) -> Any:
        read = json.loads(data)
        return Message(*read) if isinstance(read, list) else read


def task_store(engine: Engine) -> Huey:
    """Where tasks wait, beside the database of this engine."""
    own = {"results": False, "serializer": JsonSerializer()}
    if engine.dialect.name == "postgresql":
        dsn = engine.url.set(drivername="postgresql").render_as_string(hide_password=False)
        table = {"table_prefix": "riskapi_task", "create_tables": False}
        store = Huey(_NAME, storage_class=PostgresStorage, dsn=dsn, **table, **own)
        with engine.begin() as connection:  # workers that start at once take turns
            connection.exec_driver_sql("SELECT pg_advisory_xact_lock(1919251308)")
            store.storage.initialize_schema()
        return store
    if engine.url.database in (None, "", ":memory:"):
        return Huey(_NAME, storage_class=MemoryStorage, **own)
    file = Path(str(engine.url.database))
    return Huey(_NAME, storage_class=SqliteStorage, filename=str(file.with_name(f"{file.stem}.tasks.sqlite")), **own)


class _Scheduler(Scheduler):  # type: ignore[misc]
    """Sweeps every few seconds, in each worker."""

    periodic_task_seconds = SWEEP_SECONDS
    sweep: Callable[[], None]

    def enqueue_periodic_tasks(self, now: Any) -> None:
        """Called when the periodic tasks are due; sweeps too."""
        super().enqueue_periodic_tasks(now)
        self.sweep()


class _Consumer(Consumer):  # type: ignore[misc]
    scheduler_class = _Scheduler

    def __init__(self, store: Huey, sweep: Callable[[], None], **options: Any) -> None:
        self._sweep = sweep
        super().__init__(store, **options)

    def _create_scheduler(self) -> Any:
        scheduler = super()._create_scheduler()
        scheduler.sweep = self._sweep
        return scheduler


def _retain(engine: Engine) -> None:
    """Erase what is personal and old enough; only counts are logged."""
    done = retain(engine, datetime.now(UTC))
    if done != Erased():
        _LOG.info("retention: %d identities and %d photos erased", len(done.assessments), done.photos)


class Work:
    """What the worker does, as tasks in a store. `refresh` fetches the price feed when that is due."""

    def __init__(self, engine: Engine, outside: Outside, refresh: Callable[[], None] | None = None) -> None:
        self.deliveries, self.pulse = Deliveries(engine), Pulse(engine)
        self.postman = Postman(self.deliveries, outside)
        self.store = task_store(engine)
        self.refresh = refresh
        self.deliver = self.store.task(name="deliver")(self.postman.deliver)
        hourly = self.store.periodic_task(lambda now: now.minute == 0 and now.second < SWEEP_SECONDS, name="retain")
        self.retain = hourly(lambda: _retain(engine))
        if refresh is not None:
            self.store.periodic_task(lambda now: now.second < SWEEP_SECONDS, name="refresh")(refresh)

    def sweep(self) -> None:
        """Hand out what is due, and say that this worker is alive."""
        now = datetime.now(UTC)
        try:
            self.pulse.beat(now)
            if self.store.pending_count() < QUEUE_MOST:
                for delivery_id in self.deliveries.take_due(now, AT_ONCE):
                    self.deliver(delivery_id)
        except SQLAlchemyError as error:
            _LOG.warning("the database does not answer: %s", type(error).__name__)

    def consumer(self) -> Consumer:
        """What runs the tasks until it is stopped (SIGTERM: the running ones are finished first)."""
        return _Consumer(
            self.store, self.sweep, workers=THREADS, max_delay=1.0, graceful_signal="TERM", shutdown_timeout=35
        )

    def run(self) -> None:
        """Work until told to stop."""
        consumer = self.consumer()
        self.retain.call_local()
        if self.refresh is not None:
            self.refresh()
        try:
            consumer.run()
        finally:
            self.pulse.stop()
