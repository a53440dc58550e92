"""A real server with a database of its own, and Chromium as a phone of 390 pixels.

Chromium is Debian's package. In continuous integration its absence is a failure, elsewhere a printed skip.
"""

from __future__ import annotations

import json
import os
import shutil
import signal
import socket
import subprocess
import sys
import time
import urllib.request
from collections.abc import Callable, Iterator
from contextlib import closing
from dataclasses import dataclass
from pathlib import Path
from typing import Any

import pytest
from playwright.sync_api import Browser, BrowserContext, Page, expect, sync_playwright

ROOT = Path(__file__).parents[2]
CHROMIUM = "/usr/bin/chromium"
FLAGS = ["--no-sandbox", "--disable-gpu", "--disable-background-networking"]
START_LIMIT, STOP_LIMIT = 90.0, 40.0  # [s]
PATIENCE = 20_000  # [ms] for whatever a page has to do
PHONE = {"width": 390, "height": 844}


@dataclass(frozen=True, slots=True)
class Server:
    """A running server."""

    url: str
    folder: Path

    def post(self, path: str, value: object) -> dict[str, Any]:
        asked = urllib.request.Request(  # noqa: S310 (our own address)
            self.url + path, json.dumps(value).encode(), {"Content-Type": "application/json"}
        )
        with urllib.request.urlopen(asked) as answer:  # noqa: S310
            told: dict[str, Any] = json.load(answer)
        return told

    def get(self, path: str) -> dict[str, Any]:
        with urllib.request.urlopen(self.url + path) as answer:  # noqa: S310
            told: dict[str, Any] = json.load(answer)
        return told


def sample(name: str) -> dict[str, Any]:
    """A shipped sample request."""
    read: dict[str, Any] = json.loads((ROOT / "sample_requests" / f"{name}.json").read_bytes())
    return read


@pytest.fixture(scope="session")
def server(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Server]:
    """`riskapi serve` on a free port of the loopback address; it must stop on SIGTERM with exit status 0."""
    yield from serve(tmp_path_factory.mktemp("browser"))


@pytest.fixture(scope="session")
def guarded(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Server]:
    """The same, with a key needed."""
    yield from serve(tmp_path_factory.mktemp("guarded"), "--access", "keys")


def serve(folder: Path, *options: str) -> Iterator[Server]:
    port = _free_port()
    environment = {
        **os.environ,
        "RISKAPI_DATABASE_URL": f"sqlite:///{folder / 'riskapi.sqlite'}",
        "RISKAPI_PUBLIC_URL": f"http://127.0.0.1:{port}",
    }
    command = [sys.executable, "-m", "riskapi", "serve", "--port", str(port), *options]
    with (folder / "log").open("wb") as log:
        running = subprocess.Popen(command, env=environment, cwd=ROOT, stdout=log, stderr=log)
    try:
        found = Server(f"http://127.0.0.1:{port}", folder)
        _wait_for(found, running)
        yield found
        running.send_signal(signal.SIGTERM)
        assert running.wait(STOP_LIMIT) == 0
    finally:
        running.kill()
        running.wait()


def _free_port() -> int:
    with closing(socket.socket()) as probe:
        probe.bind(("127.0.0.1", 0))
        port: int = probe.getsockname()[1]
        return port


def _wait_for(server: Server, running: subprocess.Popen[bytes]) -> None:
    deadline = time.monotonic() + START_LIMIT
    while time.monotonic() < deadline and running.poll() is None:
        try:
            server.get("/healthz")
        except OSError:
            time.sleep(0.2)
        else:
            return
    pytest.fail(f"the server did not start:\n{(server.folder / 'log').read_text()}")


@pytest.fixture(scope="session")
def chromium() -> Iterator[Browser]:
    found = CHROMIUM if Path(CHROMIUM).exists() else shutil.which("chromium")
    if found is None:
        if os.environ.get("CI"):
            pytest.fail("no Chromium: install Debian's package 'chromium'")
        pytest.skip("no Chromium on this machine: apt install chromium")
    expect.set_options(timeout=PATIENCE)
    with sync_playwright() as playwright:
        browser = playwright.chromium.launch(executable_path=found, args=FLAGS)
        yield browser
        browser.close()


@pytest.fixture
def phone(chromium: Browser) -> Iterator[Callable[..., BrowserContext]]:
    """Makes contexts of a phone; a script error in any of their pages fails the test."""
    opened: list[BrowserContext] = []
    errors: list[str] = []

    def make(**options: Any) -> BrowserContext:
        context = chromium.new_context(**{"viewport": PHONE, "locale": "en-GB", **options})
        context.set_default_timeout(PATIENCE)
        context.set_default_navigation_timeout(PATIENCE)
        context.on("weberror", lambda error: errors.append(str(error.error)))
        opened.append(context)
        return context

    yield make
    for context in opened:
        context.close()
    assert errors == []


@pytest.fixture
def page(phone: Callable[..., BrowserContext]) -> Page:
    return phone().new_page()
