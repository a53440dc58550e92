"""The plain mend of each weak point, as items that jobs done together pay once.

A found-faulty table lists first what goes further than the part itself; the last row that applies is the plain
mend. A part with a planned interval is renewed by its planned operation. Operations without parts or access (finding
the fault) mend nothing and are left out where others remain: at a planned repair there is nothing to search for.
Traits that nobody stated are taken at their commonest value. Several copies need their operation several times,
while follow-on jobs and access are needed once.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from functools import lru_cache

from riskapi.domain.jobs import PriceLevel, access_under, fitting_factor, make_job, parts_of, with_follow_on
from riskapi.domain.knowledge import OutcomeRow, OutcomeTable, Pack, Traits, WeakPoint
from riskapi.domain.traits import settled, unstated

FULL = 1.0 - 1e-9
OPERATION, ACCESS = "operation", "access"


@dataclass(frozen=True, slots=True, order=True)
class Item:
    """Something paid once. kind: 'operation' | 'access'; `turn` counts repetitions of one operation (one per copy)."""

    kind: str
    id: str
    turn: int = 1


@dataclass(frozen=True, slots=True)
class ItemCost:
    """Mean cost with tax [money] and hours of one item by itself."""

    money: float
    hours: float


@dataclass(frozen=True, slots=True)
class Mend:
    """What putting something right needs; `operations` are those that mend it, without follow-on jobs."""

    operations: tuple[str, ...]
    items: frozenset[Item]


@lru_cache(maxsize=4096)
def plain_mend(pack: Pack, weak_point: str, traits: Traits, copies: int) -> Mend:
    """The plain mend of a weak point (id) on an engine with these traits."""
    wp = pack.weak_point(weak_point)
    planned = next((part.planned.operation for part in wp.parts if part.planned), None)
    operations = (planned,) if planned is not None else _mending(pack, _plain_row(pack, wp, traits).operations)
    return Mend(operations, items_of(pack, operations, copies))


def _mending(pack: Pack, operations: Sequence[str]) -> tuple[str, ...]:
    working = tuple(name for name in operations if pack.operation(name).parts or pack.operation(name).access)
    return working or tuple(operations)


def _plain_row(pack: Pack, wp: WeakPoint, traits: Traits) -> OutcomeRow:
    """The last row of the found-faulty table that applies."""
    table = wp.found_faulty
    known = _commonest(pack, table, settled(wp.applies, traits))
    rows = [row for row in table.rows if row.when.holds(known) and row.chance > 0.0]
    return rows[-1] if rows and sum(row.chance for row in rows) >= FULL else table.otherwise


def _commonest(pack: Pack, table: OutcomeTable, traits: Traits) -> Traits:
    """The traits, with what this table asks for and nobody stated at its commonest value."""
    asked = {name for row in table.rows for name in unstated(row.when, traits)}
    words = (word for word in pack.traits if word.name in asked and word.values)
    values = ((word.name, word.values[word.base_rates.index(max(word.base_rates))]) for word in words)
    return traits.merged(Traits(tuple(values)))


def items_of(pack: Pack, operations: Sequence[str], copies: int = 1) -> frozenset[Item]:
    """Operations (`copies` times), their follow-on jobs and all access underneath."""
    todo = with_follow_on(operations, pack)
    named = {Item(OPERATION, name, turn) for name in operations for turn in range(1, copies + 1)}
    followed = {Item(OPERATION, operation.id) for operation in todo}
    return frozenset(named | followed | {Item(ACCESS, step) for step in access_under(todo, pack)})


@lru_cache(maxsize=4096)
def item_cost(pack: Pack, level: PriceLevel, kind: str, identifier: str) -> ItemCost:
    """An operation without its access, or an access step without those under it."""
    if kind == OPERATION:
        operation = pack.operation(identifier)
        prices, hours = parts_of(operation, level), operation.hours
    else:
        step = pack.access_step(identifier)
        prices, hours = step.one_use, step.hours * fitting_factor(identifier, pack, level)
    parts = sum((p.low + 4.0 * p.likely + p.high) / 6.0 for p in prices) * level.parts_factor
    return ItemCost((parts + hours * level.labour_rate) * (1.0 + level.tax), hours)


def single_cost(pack: Pack, level: PriceLevel, mend: Mend) -> float:
    """Mean cost of the plain mend of one copy as a job of its own [money]."""
    return make_job(mend.operations, pack, level).mean if mend.operations else 0.0
