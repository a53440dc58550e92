"""Figures as they stand in the JSON result: finite, rounded, named by their place when they are not."""

from __future__ import annotations

import math

DECIBAN_LIMIT = 200.0  # odds of 1e20

Json = dict[str, object]


def rounded(place: str, value: float, digits: int) -> float:
    """A finite float of so many digits, never -0.0. Raises ValueError naming `place`."""
    if not math.isfinite(value):
        raise ValueError(f"the result's {place} is not a finite number: {value}")
    return round(float(value), digits) + 0.0


def money(place: str, value: float) -> float:
    """Money, to 0.01."""
    return rounded(place, value, 2)


def chance(place: str, value: float) -> float:
    """A probability or share, 6 digits."""
    return rounded(place, value, 6)


def decibans(place: str, value: float) -> float:
    """A weight of evidence, 2 digits, held within plus or minus DECIBAN_LIMIT; NaN raises ValueError."""
    bounded = value if math.isnan(value) else max(-DECIBAN_LIMIT, min(DECIBAN_LIMIT, value))
    return rounded(place, bounded, 2)


def optional_money(place: str, value: float | None) -> float | None:
    """Money where there is any."""
    return None if value is None else money(place, value)
