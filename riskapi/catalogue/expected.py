"""What a number of the pack may be: its unit and its limits, with the kinds that recur."""

from __future__ import annotations

import math
from dataclasses import dataclass


@dataclass(frozen=True, slots=True)
class Expected:
    """What a number may be: its unit after conversion and its limits in that unit ('%' gives 0..1)."""

    unit: str
    low: float = -math.inf
    high: float = math.inf
    above: bool = False  # the low limit itself is not allowed

    @property
    def low_text(self) -> str:
        return self._text(self.low)

    @property
    def high_text(self) -> str:
        return self._text(self.high)

    def _text(self, limit: float) -> str:
        return f"{limit * 100:g} %" if self.unit == "1" else f"{limit:g} {self.unit}"


CHANCE = Expected("1", 0.0, 1.0)
FACTOR = Expected("x", 0.0, above=True)
COUNT = Expected("count", 0.0)
KM = Expected("km", 0.0, above=True)
YEARS = Expected("years", 0.0, above=True)
HOURS = Expected("h", 0.0)
MINUTES = Expected("min", 0.0)
