"""The network of a case written out as plain conditional tables, small enough for any other program.

A `Network` says a symptom in a few cumulative numbers per parent. Other programs want one table per
variable, with a row for every combination of the parents' states. Those tables grow as the product of the
parents, so a symptom with many parents is split into a chain: `symptom_x__a` is how far the background and
parent `a` lift the symptom `x`, `symptom_x__b` the higher of that and what parent `b` does, and the last
link of the chain is `symptom_x` itself. The maximum is associative, so nothing is approximated.

Names: the roots and the weak points and checks by their ids, `symptom_<id>`, and `history` for what the
service history says about the roots. All match [a-z][a-z0-9_]*.
"""

from __future__ import annotations

import math
import re
from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass
from itertools import product

from riskapi.domain.knowledge import STATES
from riskapi.domain.network import CheckNode, Network, ParentLink, RootNode, SymptomNode, WeakPointNode
from riskapi.errors import Fault, KnowledgeError

HISTORY = "history"
HISTORY_STATES = ("as_recorded", "otherwise")
MOST_PARENTS = 6
MOST_CELLS = 4096

Row = tuple[float, ...]
Cdf = Sequence[Sequence[float]]  # cumulative chances, per state of one parent


@dataclass(frozen=True, slots=True)
class Table:
    """P(variable | parents): `rows` run over the parents' states in row-major order, the last parent fastest."""

    name: str
    states: tuple[str, ...]
    parents: tuple[str, ...]
    rows: tuple[Row, ...]


def conditional_tables(network: Network) -> tuple[Table, ...]:
    """Every variable of the network, parents before children; each row sums to 1 in float arithmetic.

    Raises KnowledgeError when two variables would get the same name.
    """
    tables = [Table(root.name, words(root.values), (), (whole(root.prior),)) for root in network.roots]
    tables += _history(network)
    tables += [_weak_point(point, network.roots) for point in network.weak_points]
    order = tuple(root.name for root in network.roots)
    sizes = {table.name: len(table.states) for table in tables}
    for symptom in _downhill(network.symptoms):
        tables += _symptom(symptom, sizes, order)
        sizes[symptom_name(symptom.id)] = len(symptom.levels)
    tables += [_check(check) for check in network.checks]
    _refuse_twins(tables)
    return tuple(tables)


def evidence(network: Network) -> dict[str, str]:
    """What was observed: check id -> result name, and the history where it says anything about the roots."""
    seen = {check: word(result) for check, result in network.evidence}
    return (seen | {HISTORY: HISTORY_STATES[0]}) if _history(network) else seen


def symptom_name(identifier: str) -> str:
    """The variable that stands for a symptom."""
    return f"symptom_{identifier}"


def word(text: str) -> str:
    """Any text as a name that every reader takes: [a-z][a-z0-9_]*. Ids of a pack come back unchanged."""
    plain = re.sub(r"[^a-z0-9_]", "_", text.lower())
    return plain if re.match(r"[a-z]", plain) else f"v_{plain}"


def words(texts: Iterable[str]) -> tuple[str, ...]:
    return tuple(word(text) for text in texts)


def whole(row: Sequence[float]) -> Row:
    """The row scaled to a sum of 1; its largest entry takes the rounding, so that small chances keep their digits.

    Raises ValueError when the row is no distribution to begin with.
    """
    total = math.fsum(row)
    if min(row) < 0 or abs(total - 1) > 1e-9:
        raise ValueError(f"not a distribution: {row}")
    scaled = [value / total for value in row]
    largest = scaled.index(max(scaled))
    while gap := 1 - math.fsum(scaled):
        scaled[largest] += gap
    return tuple(scaled)


# ---- roots, history and weak points ----------------------------------------------------------------------


def _history(network: Network) -> list[Table]:
    """The likelihood of the history given the roots as an observed variable; nothing when it tells nothing."""
    likelihood = network.history_likelihood
    if not network.roots or min(likelihood) == max(likelihood):
        return []
    rows = [(value / max(likelihood), 1 - value / max(likelihood)) for value in likelihood]
    return [_over_roots(HISTORY, HISTORY_STATES, network.roots, rows)]


def _weak_point(point: WeakPointNode, roots: Sequence[RootNode]) -> Table:
    return _over_roots(point.id, STATES, roots, [whole(row) for row in point.chances])


def _over_roots(name: str, states: tuple[str, ...], roots: Sequence[RootNode], rows: Sequence[Row]) -> Table:
    """A table over all root combinations, without those roots that change nothing in it."""
    kept = list(roots)
    for root in roots:
        sizes = [len(other.values) for other in kept]
        axis = kept.index(root)
        inner = math.prod(sizes[axis + 1 :])
        slices = [[row for k, row in enumerate(rows) if k // inner % sizes[axis] == v] for v in range(sizes[axis])]
        if all(part == slices[0] for part in slices):
            rows = slices[0]
            kept.remove(root)
    return Table(name, states, tuple(root.name for root in kept), tuple(rows))


# ---- symptoms --------------------------------------------------------------------------------------------


def _downhill(symptoms: Sequence[SymptomNode]) -> Iterator[SymptomNode]:
    """Symptoms with every zone before the zones it runs down to. Raises ValueError on a circle."""
    waiting = {symptom.id: symptom for symptom in symptoms}
    while waiting:
        ready = [s for s in waiting.values() if not any(p.kind == "symptom" and p.id in waiting for p in s.parents)]
        if not ready:
            raise ValueError(f"zones run down to each other in a circle: {sorted(waiting)}")
        for symptom in ready:
            yield waiting.pop(symptom.id)


def _symptom(symptom: SymptomNode, sizes: dict[str, int], order: Sequence[str]) -> list[Table]:
    """One table where it stays small, else the chain. `order` is that of the roots."""
    name, levels = symptom_name(symptom.id), words(symptom.levels)
    groups: list[list[ParentLink]] = [list(symptom.parents)]
    if _cells(symptom, sizes) > MOST_CELLS or len(symptom.parents) > MOST_PARENTS:
        groups = [[parent] for parent in symptom.parents]
    tables: list[Table] = []
    for group in groups:
        before = tables[-1].name if tables else None
        link = name if group is groups[-1] else f"{name}__{group[0].id}"
        roots = [root for root in order if any(root in _asks(parent) for parent in group)]
        tables.append(_chain_link(link, levels, symptom.background_cdf, before, group, {r: sizes[r] for r in roots}))
    return tables


def _cells(symptom: SymptomNode, sizes: dict[str, int]) -> int:
    """Size of the table of this symptom, if it were written as one."""
    roots = {root for parent in symptom.parents for root in _asks(parent)}
    combinations = math.prod(sizes[root] for root in roots)
    return len(symptom.levels) * combinations * math.prod(len(parent.cdf[0]) for parent in symptom.parents)


def _asks(parent: ParentLink) -> tuple[str, ...]:
    """The roots that decide how this parent shows."""
    return parent.by if len(parent.cdf) > 1 else ()


def _chain_link(
    name: str,
    levels: tuple[str, ...],
    background: Row,
    before: str | None,
    group: Sequence[ParentLink],
    roots: dict[str, int],
) -> Table:
    """P(level | roots, link before, parents of this group): the highest that any of them reaches by itself."""
    start: list[Row] = [_not_below(k, len(levels)) for k in range(len(levels))] if before else [tuple(background)]
    rows = [
        _masses([first, *(_cdf(parent, values, roots)[state] for parent, state in zip(group, states, strict=True))])
        for values in product(*map(range, roots.values()))
        for first in start
        for states in product(*(range(len(parent.cdf[0])) for parent in group))
    ]
    parents = [*roots, *([before] if before is not None else [])]
    return Table(name, levels, (*parents, *(_variable(parent) for parent in group)), tuple(rows))


def _not_below(level: int, levels: int) -> Row:
    """Cumulative chances of a symptom that is at this level already."""
    return tuple(1.0 if k >= level else 0.0 for k in range(levels))


def _cdf(parent: ParentLink, values: Sequence[int], roots: dict[str, int]) -> Cdf:
    """The parent's cumulative chances under these values of the roots (name -> number of values)."""
    at = dict(zip(roots, values, strict=True))
    v = 0
    for root in _asks(parent):
        v = v * roots[root] + at[root]
    return parent.cdf[v]


def _variable(parent: ParentLink) -> str:
    return symptom_name(parent.id) if parent.kind == "symptom" else parent.id


def _masses(cdfs: Sequence[Sequence[float]]) -> Row:
    """Chance of each level from the product of cumulative chances."""
    below = [math.prod(column) for column in zip(*cdfs, strict=True)]
    return whole([max(0.0, high - low) for low, high in zip([0.0, *below], below, strict=False)])


# ---- checks ----------------------------------------------------------------------------------------------


def _check(check: CheckNode) -> Table:
    parent = symptom_name(check.parent) if check.parent_kind == "symptom" else check.parent
    return Table(check.id, words(check.results), (parent,), tuple(whole(row) for row in check.table))


def _refuse_twins(tables: Sequence[Table]) -> None:
    names = [table.name for table in tables]
    twins = sorted({name for name in names if names.count(name) > 1})
    if twins:
        mend = "Give each root, weak point and check an id of its own."
        raise KnowledgeError(Fault(name, "two variables of the network have this name.", mend) for name in twins)
