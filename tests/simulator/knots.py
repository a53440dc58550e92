"""Which weak points hang together once it is known what was read: the others can be played each by itself.

A symptom that was surely not there weighs every weak point behind it by itself, and every zone above it by its own
level. What is left ties weak points into knots; given the roots, knots are independent of each other.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass, replace

import numpy as np

from tests.simulator.clocks import Floats
from tests.simulator.look import Sign, in_order


@dataclass(frozen=True)
class Knot:
    """Weak points (by id) and the signs that tie them; a single weak point without signs stands alone."""

    weak_points: tuple[str, ...]
    signs: tuple[Sign, ...]


@dataclass(frozen=True)
class Untied:
    """chance: of everything surely not there by its background; factors: per weak point, by state, of the same."""

    chance: float
    factors: dict[str, Floats]
    knots: tuple[Knot, ...]


def untied(signs: Sequence[Sign], weak_points: Sequence[str]) -> Untied:
    """What was surely not there as factors, all else as knots."""
    chance, left = 1.0, {sign.id: sign for sign in signs}
    factors = {name: np.ones(3) for name in weak_points}
    for lower_first in reversed(in_order(signs)):
        sign = left[lower_first.id]
        read = np.prod([np.ones(len(sign.background)), *sign.read], axis=0)
        if read[1:].any():
            continue
        del left[sign.id]
        chance *= float(read[0]) * sign.background[0]
        for parent in sign.parents:
            nothing = tuple(row[0] for row in parent.chance)
            if parent.id in factors:
                factors[parent.id] = factors[parent.id] * nothing
            elif parent.id in left:
                upper = left[parent.id]
                left[parent.id] = replace(upper, read=(*upper.read, nothing))
    return Untied(chance, factors, tuple(_knots([_pruned(sign, left, factors) for sign in left.values()], weak_points)))


def _pruned(sign: Sign, left: Iterable[str], weak_points: Iterable[str]) -> Sign:
    """Without zones that are surely dry: nothing runs down from them."""
    return replace(sign, parents=tuple(p for p in sign.parents if p.id in left or p.id in weak_points))


def _knots(signs: Sequence[Sign], weak_points: Sequence[str]) -> list[Knot]:
    groups = [({name}, []) for name in weak_points]  # type: list[tuple[set[str], list[Sign]]]
    for sign in signs:
        names, tied = {sign.id, *(parent.id for parent in sign.parents)}, [sign]
        for group in [group for group in groups if group[0] & names]:
            groups.remove(group)
            names, tied = names | group[0], tied + group[1]
        groups.append((names, tied))
    order = {name: index for index, name in enumerate(weak_points)}
    return [Knot(tuple(sorted(names & order.keys(), key=order.__getitem__)), tuple(tied)) for names, tied in groups]
