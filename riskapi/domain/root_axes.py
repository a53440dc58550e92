"""The roots of the exported network: revision, care, tune, past results and open traits, each a variable of its own.

The computation splits a candidate engine only by the traits that are open in it, so its root combinations are no full
product. Here they are spread over the product of all roots; what cannot be has likelihood 0.
"""

from __future__ import annotations

from collections.abc import Callable, Hashable, Iterable, Iterator, Sequence
from itertools import product
from math import prod
from typing import TypeVar

import numpy as np

from riskapi.domain.identify import Candidate, OpenTrait, TraitClass
from riskapi.domain.knowledge import CARES
from riskapi.domain.lanes import LaneSet
from riskapi.domain.network import RootNode
from riskapi.domain.roots import Root
from riskapi.domain.timeline import Floats

GENERIC = "generic"
PAST = "past_results"
_V = TypeVar("_V", bound=Hashable)


class RootAxes:
    """The product of the roots in row-major order (revision, care, tune, past results, open traits), and which
    combination of the computation stands for each of its entries.

    nodes: the roots with their chances. correction (product,): P(open traits | revision) over the product of their
    own chances, which is what keeps the roots free of each other in the network, times the weight of the way in which
    past results have come about (all ways are alike before that).
    """

    def __init__(self, lanes: LaneSet) -> None:
        self._lanes = lanes
        self._revisions = list(dict.fromkeys(candidate.revision for candidate in lanes.candidates))
        names = tuple(revision.id if revision else GENERIC for revision in self._revisions)
        cares, tunes = _shares(lanes.roots, lambda root: root.care), _shares(lanes.roots, lambda root: root.tuned)
        ways = list(dict.fromkeys(way.label for row in lanes.past.ways for way in row)) or [""]
        nodes = [
            RootNode("revision", names, tuple(map(self._weight, range(len(names))))),
            RootNode("care", tuple(CARES[c] for c in cares), tuple(cares.values())),
            RootNode("tune", tuple("yes" if t else "no" for t in tunes), tuple(tunes.values())),
            RootNode(PAST, tuple(f"way_{k}" for k in range(len(ways))), (1.0 / len(ways),) * len(ways)),
        ]
        kept = [node for node in nodes if node.name in ("revision", "care") or len(node.values) > 1]
        self.nodes = (*kept, *map(_trait_node, lanes.open_traits))
        entries = list(self._entries(cares, tunes, ways))
        self._index = np.array([root for root, _ in entries])
        self.correction = np.array([factor for _, factor in entries])
        self._sizes = (len(names), *(len(trait.classes) for trait in lanes.open_traits))
        self._candidates = np.array([candidate for row in self._engines() for candidate, _ in row])

    def _entries(self, cares: Iterable[int], tunes: Iterable[bool], ways: Sequence[str]) -> Iterator[tuple[int, float]]:
        """Per entry of the product a root combination and the correction; 0 where there is none."""
        labels = [[way.label for way in row] or [""] for row in self._lanes.past.ways] or [[""]] * len(
            self._lanes.candidates
        )
        index = {
            (root.candidate, root.care, root.tuned, labels[root.candidate][root.way]): r
            for r, root in enumerate(self._lanes.roots)
        }
        engines = self._engines()
        for revision, care, tuned, way in product(range(len(self._revisions)), cares, tunes, ways):
            for candidate, factor in engines[revision]:
                r = index.get((candidate, care, tuned, way))
                yield (0, 0.0) if r is None else (r, factor * self._lanes.roots[r].way_weight)

    def spread(self, values: Floats) -> Floats:
        """Values per root combination (.., R) over the full product."""
        return np.asarray(values[..., self._index])

    def by_engine(self, values: Floats) -> tuple[tuple[str, ...], Floats]:
        """Values per candidate engine (C, ..) over the combinations of those of revision and open traits that they
        depend on; the names of these."""
        names = ["revision", *(trait.name for trait in self._lanes.open_traits)]
        shape = values.shape[1:]
        table = values[self._candidates].reshape(*self._sizes, *shape)
        kept: list[str] = []
        for axis in reversed(range(len(names))):
            first = np.take(table, [0], axis=axis)
            if (table == first).all():
                table = np.take(table, 0, axis=axis)
            else:
                kept.insert(0, names[axis])
        return tuple(kept), table.reshape(-1, *shape)

    def _weight(self, revision: int) -> float:
        return sum(c.weight for c in self._lanes.candidates if c.revision == self._revisions[revision])

    def _engines(self) -> list[list[tuple[int, float]]]:
        """Per revision and combination of classes (row-major) the candidate that stands for it, and the correction."""
        result = []
        for number, revision in enumerate(self._revisions):
            mine = [(c, x) for c, x in enumerate(self._lanes.candidates) if x.revision == revision]
            weight = self._weight(number)
            row = []
            for classes in product(*(trait.classes for trait in self._lanes.open_traits)):
                options = [(c, _chance_of(classes, x) * x.weight / weight) for c, x in mine]
                candidate, share = max(options, key=lambda option: option[1])
                row.append((candidate, share / prod(map(_usual, classes))))
            result.append(row)
        return result


def _trait_node(trait: OpenTrait) -> RootNode:
    """Values that nothing tells apart share one state of the variable."""
    names = tuple("_or_".join(value for value, _ in group) for group in trait.classes)
    return RootNode(trait.name, names, tuple(map(_usual, trait.classes)))


def _usual(group: TraitClass) -> float:
    return sum(rate for _, rate in group)


def _chance_of(classes: Sequence[TraitClass], candidate: Candidate) -> float:
    """P(these classes of the open traits | candidate engine)."""
    shares = [dict(row) for _, row in candidate.opened]
    return prod(sum(share.get(value, 0.0) for value, _ in g) for share, g in zip(shares, classes, strict=True))


def _shares(roots: Sequence[Root], value: Callable[[Root], _V]) -> dict[_V, float]:
    """Weight in sum of every value of one root, in order of appearance; ways of past results do not count."""
    shares: dict[_V, float] = {}
    for root in {(root.candidate, root.care, root.tuned): root for root in roots}.values():
        shares[value(root)] = shares.get(value(root), 0.0) + root.weight
    return shares
