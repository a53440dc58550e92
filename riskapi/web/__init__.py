"""The HTTP service: `create_app` makes it, riskapi/web/serve.py runs it."""

from __future__ import annotations

from riskapi.web.app import create_app

__all__ = ["create_app"]
