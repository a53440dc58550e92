"""For whom a report is printed: the buyer, or the client of an inspector; and what is at hand to print it with."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field

from riskapi.domain.sensitivity import Sensitivity
from riskapi.report.sections import Letterhead


@dataclass(frozen=True, slots=True)
class Edition:
    """`price`: with advice and price, or without both. The letterhead is printed and kept nowhere."""

    kind: str = "buyer"
    price: bool = True
    letterhead: Letterhead | None = None


@dataclass(frozen=True, slots=True)
class AtHand:
    """Pictures by id (JPEG), and what moves the expected cost, where it was computed."""

    photos: Mapping[str, bytes] = field(default_factory=dict, repr=False)
    moves: Sensitivity | None = None


BUYER, NOTHING = Edition(), AtHand()
