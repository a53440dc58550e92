"""The least that a service of this kind can do: Flask reads a body, marshmallow loads it, and the same goes back."""

from __future__ import annotations

import subprocess
import sys
import time
from pathlib import Path
from typing import Any

from flask import Flask, request
from marshmallow import INCLUDE, Schema, fields

from tests.service.running import AWAY, HOST, ROOT, ask, free_port


class AnySchema(Schema):
    """A case, its parts as they come."""

    class Meta:
        unknown = INCLUDE

    vehicle = fields.Dict(required=True)
    findings = fields.List(fields.Dict())


def make_app() -> Flask:
    app = Flask("echo")

    @app.post("/v1/assessments")
    def echo() -> Any:
        return AnySchema().load(request.get_json())

    return app


class Echo:
    """It, in gunicorn with two workers."""

    def __init__(self, folder: Path) -> None:
        self.folder, self.port = folder, free_port()
        self.process: subprocess.Popen[bytes] | None = None

    def start(self) -> Echo:
        command = [sys.executable, "-m", "gunicorn", "--bind", f"{HOST}:{self.port}", "--workers", "2"]
        with (self.folder / "echo.log").open("wb") as log:
            self.process = subprocess.Popen([*command, "tests.load.echo:make_app()"], cwd=ROOT, stdout=log, stderr=log)
        deadline = time.monotonic() + 30
        while time.monotonic() < deadline:
            try:
                ask(self.port, "POST", "/v1/assessments", b"{}", {"Content-Type": "application/json"})
            except AWAY:
                time.sleep(0.2)
            else:
                return self
        raise AssertionError("the echo did not start")

    def stop(self) -> None:
        if self.process is not None:
            self.process.terminate()
            self.process.wait(30)
