"""operations.yaml: repairs, the steps that give access to them, and the special tools they need."""

from __future__ import annotations

from collections.abc import Iterator

from riskapi.catalogue.expected import FACTOR, HOURS
from riskapi.catalogue.nodes import Entry, Item
from riskapi.domain.knowledge import INSTALLATIONS, AccessStep, Operation, PartPrice, SpecialTool

KINDS = ("repair", "service", "another_engine")


def read_access_steps(root: Entry) -> Iterator[AccessStep]:
    for identifier, entry in root.need("access_steps").entry().records("access step"):
        factor = entry.get("factor").entry()
        transverse, longitudinal = (factor.need(word).figure(FACTOR, blank=1.0) for word in INSTALLATIONS)
        yield AccessStep(
            id=identifier,
            name=entry.need("name").text(),
            hours=entry.need("hours").figure(HOURS),
            under=entry.get("under").reference_or_none("access step"),
            transverse=transverse,
            longitudinal=longitudinal,
            one_use=_prices(entry, "one_use"),
            source=entry.source,
        )


def read_special_tools(root: Entry) -> Iterator[SpecialTool]:
    for identifier, entry in root.get("special_tools").entry().records("special tool"):
        yield SpecialTool(identifier, entry.need("name").text(), entry.need("for").text(), entry.source)


def read_operations(root: Entry) -> Iterator[Operation]:
    for identifier, entry in root.need("operations").entry().records("operation"):
        yield Operation(
            id=identifier,
            name=entry.need("name").text(),
            kind=entry.need("kind").choice(KINDS),
            parts=_prices(entry, "parts"),
            hours=entry.need("hours").figure(HOURS),
            access=entry.get("access").references("access step"),
            follow_on=entry.get("follow_on").references("operation"),
            cautions=entry.get("cautions").texts(),
            source=entry.source,
            special_tools=_tools(entry.get("special_tools")),
        )


def _tools(listed: Item) -> tuple[str, ...]:
    """Ids of special tools, each once."""
    tools = listed.references("special tool")
    for index, item in enumerate(listed.items()):
        if tools[index] and tools[index] in tools[:index]:
            item.fault(f"the special tool {tools[index]!r} is named twice.", "Name it once.")
    return tools


def _prices(entry: Entry, key: str) -> tuple[PartPrice, ...]:
    return tuple(_price(item.entry()) for item in entry.get(key).items())


def _price(entry: Entry) -> PartPrice:
    price = PartPrice(
        name=entry.need("name").text(),
        low=entry.need("low").money(),
        likely=entry.need("likely").money(),
        high=entry.need("high").money(),
    )
    if price.low > price.likely or price.likely > price.high:
        entry.item.fault("a price must rise from low over likely to high.", "Put the three amounts in order.")
    return price
