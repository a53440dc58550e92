"""Logs as JSON, one object a line, on standard error.

A request is logged by its route as it is declared, never by its path or query: ids, names and tokens stay out, and so
do bodies and addresses.
"""

from __future__ import annotations

import json
import logging
import logging.config
import time
import traceback
from collections.abc import Callable
from datetime import UTC, datetime
from typing import Any

from flask import Flask, Response, g, request

REQUESTS = "riskapi.requests"
UNKNOWN = "-"  # the route of a path that there is not
_LOG = logging.getLogger(REQUESTS)

Told = Callable[[str, str, int, float], None]


class JsonLines(logging.Formatter):
    """A record as one line of JSON; what it carries as `facts` goes in as it is."""

    def format(self, record: logging.LogRecord) -> str:
        at = datetime.fromtimestamp(record.created, UTC).isoformat(timespec="milliseconds")
        line = {"time": at, "level": record.levelname.lower(), "logger": record.name, "message": record.getMessage()}
        line |= getattr(record, "facts", {})
        if record.exc_info:
            line["trace"] = "".join(traceback.format_exception(*record.exc_info))
        return json.dumps(line, ensure_ascii=False, default=str)


def configuration(level: str) -> dict[str, Any]:
    """For logging.config.dictConfig: every log to standard error, as JSON."""
    ours = {"level": level.upper(), "handlers": ["lines"], "propagate": False}
    return {
        "version": 1,
        "disable_existing_loggers": False,
        "formatters": {"json": {"()": JsonLines}},
        "handlers": {"lines": {"class": "logging.StreamHandler", "formatter": "json", "stream": "ext://sys.stderr"}},
        "root": {"level": "WARNING", "handlers": ["lines"]},
        "loggers": {"riskapi": ours, "gunicorn.error": ours},
    }


def start(level: str = "info") -> None:
    """Send every log of this process to standard error, as JSON."""
    logging.config.dictConfig(configuration(level))


def register(app: Flask, told: Told | None = None) -> None:
    """Log every request of this application when its answer has gone out; `told` hears of it too: method, route,
    status, seconds. To be registered before everything else, so that it sees the last word."""
    app.before_request(_start)
    app.after_request(lambda response: _end(response, told))


def _start() -> None:
    g.started = time.perf_counter()


def _end(response: Response, told: Told | None) -> Response:
    route = UNKNOWN if request.url_rule is None else request.url_rule.rule
    method, started, request_id = request.method, g.get("started", time.perf_counter()), g.get("request_id")

    def done() -> None:
        seconds = time.perf_counter() - started
        facts = {"request_id": request_id, "method": method, "route": route, "status": response.status_code}
        _LOG.info("request", extra={"facts": {**facts, "ms": round(1_000 * seconds, 1)}})
        if told is not None:
            told(method, route, response.status_code, seconds)

    response.call_on_close(done)
    return response
