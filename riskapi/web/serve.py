"""Running the service with gunicorn: the knowledge pack is read once, before the workers are forked."""

from __future__ import annotations

import logging
import tempfile
from collections.abc import Callable, Iterable
from datetime import UTC, datetime
from typing import Any

from flask import Flask
from gunicorn.app.base import BaseApplication

from riskapi.errors import Fault, InputError
from riskapi.storage import matching_key
from riskapi.storage.retention import retain
from riskapi.web import logs, metrics
from riskapi.web.access import ALONE, BY_KEY, is_loopback
from riskapi.web.app import create_app
from riskapi.web.companion import Companion
from riskapi.web.settings import Settings
from riskapi.web.state import state_of

_LOG = logging.getLogger(__name__)


class _Server(BaseApplication):  # type: ignore[misc]
    """gunicorn, configured from here instead of from its command line."""

    def __init__(self, app: Flask, options: dict[str, Any]) -> None:
        self.app = app
        self.options = options
        super().__init__()

    def load_config(self) -> None:
        for name, value in self.options.items():
            if name in self.cfg.settings:  # older releases do not have every one of them
                self.cfg.set(name, value)

    def load(self) -> Flask:
        return self.app


def run(
    host: str = "127.0.0.1",
    port: int = 8000,
    workers: int = 2,
    access: str | None = None,
    settings: Settings | None = None,
    background: bool = True,
) -> None:
    """Serve until told to stop (SIGTERM or SIGINT): requests that are being answered are finished first.

    access: 'alone' or 'keys'; whoever listens beyond the loopback address needs keys. settings: by default those of
    the environment. background: with a worker beside it. Raises KnowledgeError or InputError before the port is opened.
    """
    if access == ALONE and not is_loopback(host):
        mend = "Leave it out, or listen on 127.0.0.1."
        raise InputError([Fault("--access", f"Without keys only this machine is served, not {host}.", mend)])
    chosen = Settings.from_environment() if settings is None else settings
    logs.start(chosen.log_level)
    who = access or (ALONE if is_loopback(host) else BY_KEY)
    with tempfile.TemporaryDirectory(prefix="riskapi_metrics_") as folder:
        metrics.share(folder)
        app = create_app({**chosen.config(), "ACCESS": who})
        engine = state_of(app).repository.engine
        matching_key(engine)  # a setting at fault is told now, not by the first request that needs it
        retain(engine, datetime.now(UTC))
        beat = _Beat(app.wsgi_app)
        app.wsgi_app = beat  # type: ignore[method-assign]
        bind = f"[{host}]:{port}" if ":" in host else f"{host}:{port}"
        facts = {"address": bind, "workers": workers, "access": who, **dict(chosen.summary())}
        _LOG.info("starting", extra={"facts": facts})
        options = {"bind": bind, "workers": workers, **_options(app, beat, chosen, Companion() if background else None)}
        _Server(app, options).run()


def _options(app: Flask, beat: _Beat, settings: Settings, companion: Companion | None) -> dict[str, Any]:
    def forked(_arbiter: Any, worker: Any) -> None:
        """A worker must not use the connections of the process it was forked from."""
        state_of(app).repository.engine.dispose(close=False)
        beat.notify = worker.notify

    options = {
        "preload_app": True,
        "limit_request_line": 8190,  # a reference and a cursor of the longest kind, percent-encoded, fit in
        "timeout": settings.timeout,
        "graceful_timeout": settings.timeout,
        "post_fork": forked,
        "child_exit": lambda _arbiter, worker: metrics.forget(worker.pid),
        "accesslog": None,
        "logconfig_dict": logs.configuration(settings.log_level),
        "control_socket_disable": True,  # nothing is opened beside the port
    }
    if companion is not None:
        options |= {"when_ready": lambda _arbiter: companion.start(), "on_exit": lambda _arbiter: companion.stop()}
    return options


class _Beat:
    """Says that a worker is alive with every piece of a streamed answer: a batch may take longer than a request may."""

    def __init__(self, app: Callable[..., Iterable[bytes]]) -> None:
        self.app = app
        self.notify: Callable[[], None] = lambda: None

    def __call__(self, environ: dict[str, Any], start_response: Any) -> Iterable[bytes]:
        answer = self.app(environ, start_response)
        return answer if isinstance(answer, list | tuple) else _Beating(answer, self)


class _Beating:
    """The pieces of an answer, one after the other; closing it closes the answer."""

    def __init__(self, answer: Iterable[bytes], beat: _Beat) -> None:
        self._answer, self._pieces, self._beat = answer, iter(answer), beat

    def __iter__(self) -> _Beating:
        return self

    def __next__(self) -> bytes:
        self._beat.notify()
        return next(self._pieces)

    def close(self) -> None:
        """Called by the server when all has gone out, or cannot."""
        close = getattr(self._answer, "close", None)
        if close is not None:
            close()
