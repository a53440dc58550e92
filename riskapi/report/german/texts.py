"""The German texts of the report."""

from __future__ import annotations

from collections.abc import Mapping

TEXTS: Mapping[str, str] = {}
