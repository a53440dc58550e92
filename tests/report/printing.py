"""A report as PDF bytes in one step."""

from __future__ import annotations

from typing import Any

from riskapi.report.content import build_report
from riskapi.report.pdf import draw


def render_pdf(*args: Any, **kwargs: Any) -> bytes:
    """What `build_report` makes, drawn."""
    return draw(build_report(*args, **kwargs))
