"""The German texts of the checklist."""

from __future__ import annotations

from collections.abc import Mapping

CHECKLIST_TEXTS: Mapping[str, str] = {}
