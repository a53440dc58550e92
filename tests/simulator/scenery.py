"""A case ready to be played: combinations of everything unknown, and under each the weak points and what shows."""

from __future__ import annotations

from dataclasses import dataclass

from riskapi.domain.knowledge import Revision, Traits, WeakPoint
from tests.simulator.look import Sign
from tests.simulator.parts import Life


@dataclass(frozen=True)
class Candidate:
    """An engine that it may be; `named`: values that were filled in for traits nobody stated."""

    revision: Revision | None
    weight: float
    traits: Traits
    named: tuple[str, ...] = ()


@dataclass(frozen=True)
class Slot:
    """A weak point in the variants that unstated traits leave open, with their shares; None: it is not there."""

    weak_point: WeakPoint
    variants: tuple[tuple[float, Life | None], ...]


@dataclass(frozen=True)
class Roots:
    """One combination of everything unknown above the network. `read`: P(findings about the roots | it)."""

    name: tuple[str, ...]
    prior: float
    traits: Traits
    slots: tuple[Slot, ...]
    signs: tuple[Sign, ...]
    read: float = 1.0
