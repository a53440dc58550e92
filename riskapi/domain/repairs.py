"""Which operations can mend a weak point of an engine, and what they need."""

from __future__ import annotations

from dataclasses import dataclass

from riskapi.domain.knowledge import Pack, SpecialTool, Traits, WeakPoint


@dataclass(frozen=True, slots=True)
class Repair:
    """An operation that a weak point can lead to, with the special tools that it needs and its cautions."""

    operation: str
    name: str
    special_tools: tuple[SpecialTool, ...]
    cautions: tuple[str, ...]


def repairs_of(pack: Pack, weak_point: WeakPoint, traits: Traits) -> tuple[Repair, ...]:
    """The operations that an engine of these traits can need, those for a fault found early first, each once."""
    names: dict[str, None] = {}
    for table in (weak_point.found_faulty, weak_point.in_service):
        for row in (table.otherwise, *table.rows):
            if row.when.holds(traits) is not False:
                names.update(dict.fromkeys(row.operations))
    return tuple(_repair(pack, name) for name in names)


def _repair(pack: Pack, identifier: str) -> Repair:
    operation = pack.operation(identifier)
    tools = tuple(pack.special_tool(name) for name in operation.special_tools)
    return Repair(operation.id, operation.name, tools, operation.cautions)
