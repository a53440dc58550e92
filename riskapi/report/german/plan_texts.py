"""The German texts about plan, watch list, first service and calendar."""

from __future__ import annotations

from collections.abc import Mapping

PLAN_TEXTS: Mapping[str, str] = {}
