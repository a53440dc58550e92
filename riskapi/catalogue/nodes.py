"""A reader over the nodes of a knowledge file.

`Item` is any node (or the absence of one), `Entry` a mapping. Reading never raises: whatever is at fault is noted
in the ledger, and a harmless blank is returned so that reading goes on: '' for text, NaN for a number (every
comparison with NaN is false, so one fault does not breed others), () for lists. No record with a blank gets
out, since a pack with any fault is never returned.

A number is always written with its unit and always has a source: `source:` on its own mapping or on the
nearest enclosing one.
"""

from __future__ import annotations

import math
import re
from collections.abc import Iterator, Sequence
from dataclasses import dataclass, field

import yaml

from riskapi.catalogue.expected import CHANCE, Expected
from riskapi.catalogue.ledger import Ledger, Reference, Spot, TraitUse
from riskapi.domain.knowledge import Figure, TraitValue, When
from riskapi.domain.units import UnitError, convert, parse_quantity

ID = re.compile(r"[a-z][a-z0-9_]*")
_PLAIN_NUMBERS = ("tag:yaml.org,2002:int", "tag:yaml.org,2002:float")
_NULL, _BOOL = "tag:yaml.org,2002:null", "tag:yaml.org,2002:bool"


@dataclass(frozen=True, slots=True)
class Item:
    """A node with its spot, the source in reach and the record it belongs to. `node` None is a blank."""

    node: yaml.Node | None
    spot: Spot
    source: str
    record: Spot | None
    ledger: Ledger

    @property
    def present(self) -> bool:
        return self.node is not None

    def fault(self, message: str, mend: str) -> None:
        self.ledger.fault(self.spot, message, mend)

    def blank(self) -> Item:
        """The absence of a node, at the same spot."""
        return Item(None, self.spot, self.source, self.record, self.ledger)

    # ---- scalars

    def _scalar(self, wanted: str) -> str | None:
        if self.node is None:
            return None
        if not isinstance(self.node, yaml.ScalarNode) or self.node.tag == _NULL:
            self.fault(f"{wanted} is wanted here.", f"Write {wanted}.")
            return None
        return str(self.node.value).strip()

    def text(self, empty: bool = False) -> str:
        """A text; an empty one only where `empty` says that this has a meaning."""
        value = self._scalar("a text")
        if value == "" and not empty:
            self.fault("the text is empty.", "Write it.")
        return value or ""

    def flag(self) -> bool:
        """yes or no; a blank is no."""
        return self.choice(("yes", "no"), fold=True) == "yes"

    def choice(self, options: Sequence[str], fold: bool = False) -> str:
        """One of the options."""
        value = self._scalar(f"one of {', '.join(options)}")
        if value is None:
            return ""
        if fold:
            value = value.lower()
        if value not in options:
            self.fault(f"{value!r} is none of {', '.join(options)}.", "Use one of these words.")
        return value

    def identifier(self) -> str:
        """An id: small letters, digits and underscores, beginning with a letter."""
        value = self._scalar("an id")
        if value is not None and not ID.fullmatch(value):
            self.fault(f"{value!r} is no id.", "Use small letters, digits and underscores, a letter first.")
            return ""
        return value or ""

    def reference(self, kind: str) -> str:
        """The id of something of this kind, which crosscheck looks up."""
        value = self.identifier()
        if value:
            self.ledger.references.append(Reference(kind, value, self.spot))
        return value

    def reference_or_none(self, kind: str) -> str | None:
        """As `reference`; None when absent or null."""
        if self.node is None or self.node.tag == _NULL:
            return None
        return self.reference(kind)

    def is_word(self, word: str) -> bool:
        return isinstance(self.node, yaml.ScalarNode) and self.node.value == word

    # ---- numbers

    def figure(self, expected: Expected, blank: float = math.nan) -> float:
        """A number in the unit of `expected`; `blank` when absent."""
        return blank if self.node is None else self._read_figure(expected)

    def noted_quantity(self) -> tuple[float, str]:
        """(value, unit) of a number whose unit is free, as written."""
        quantity = self._quantity("12 km")
        if quantity is None:
            return math.nan, ""
        self._note_figure(*quantity)
        return quantity

    def figure_or_none(self, expected: Expected) -> float | None:
        return None if self.node is None else self.figure(expected)

    def whole(self, expected: Expected) -> int:
        """A whole number in the unit of `expected`."""
        value = self.figure(expected)
        if math.isfinite(value) and value != int(value):
            self.fault(f"{value:g} {expected.unit} is not whole.", "Write a whole number.")
        return int(value) if math.isfinite(value) else 0

    def money(self, per_hour: bool = False) -> float:
        """An amount in the pack's currency [currency, or currency/h], 0 or more."""
        currency = self.ledger.currency
        if currency is None:
            return math.nan  # pack.yaml is at fault and says so
        return self.figure(Expected(f"{currency}/h" if per_hour else currency, 0.0))

    def _quantity(self, example: str) -> tuple[float, str] | None:
        """(value, unit) as written; None, with the fault noted, when it is no quantity."""
        written = self._scalar(f"a number with its unit, such as {example},")
        if written is None or self.node is None:
            return None
        if self.node.tag in _PLAIN_NUMBERS:
            self.fault(f"the bare number {written} has no unit.", f"Write it with its unit, such as {example}.")
            return None
        try:
            return parse_quantity(written)
        except UnitError as error:
            self.fault(str(error), error.mend)
            return None

    def _read_figure(self, expected: Expected) -> float:
        quantity = self._quantity(f"12 {'%' if expected.unit == '1' else expected.unit}")
        if quantity is None:
            return math.nan
        value, unit = quantity
        self._note_figure(value, unit)
        try:
            converted = convert(value, unit, expected.unit)
        except UnitError as error:
            self.fault(str(error), error.mend)
            return math.nan
        return self._within(converted, expected, f"{value:g} {unit}")

    def _note_figure(self, value: float, unit: str) -> None:
        self.ledger.figures.append(Figure(self.spot.path, value, unit, self.source, self.spot.place))
        if not self.source:
            self.ledger.sourceless[self.record or self.spot] += 1

    def _within(self, value: float, expected: Expected, written: str) -> float:
        if value > expected.high:
            self.fault(f"{written} is above {expected.high_text}.", f"Write {expected.high_text} or less.")
        elif expected.above and value <= expected.low:
            self.fault(f"{written} is not above {expected.low_text}.", f"Write more than {expected.low_text}.")
        elif value < expected.low:
            self.fault(f"{written} is below {expected.low_text}.", f"Write {expected.low_text} or more.")
        else:
            return value
        return math.nan

    # ---- lists and mappings

    def items(self) -> tuple[Item, ...]:
        """The items of a list."""
        if self.node is None:
            return ()
        if not isinstance(self.node, yaml.SequenceNode):
            self.fault("a list is wanted here.", "Write [a, b] or one '- item' a line.")
            return ()
        return tuple(self._child(node, f"{self.spot.path}[{index}]") for index, node in enumerate(self.node.value))

    def texts(self) -> tuple[str, ...]:
        return tuple(item.text() for item in self.items())

    def identifiers(self) -> tuple[str, ...]:
        return tuple(item.identifier() for item in self.items())

    def references(self, kind: str) -> tuple[str, ...]:
        return tuple(item.reference(kind) for item in self.items())

    def exceedance(self, levels: int | None) -> tuple[float, ...]:
        """Chances of reaching level 1, 2, .. `levels`, which may not rise. None: any number of them."""
        chances = tuple(item.figure(CHANCE) for item in self.items())
        if levels is not None and self.present and len(chances) != levels:
            count = f"{len(chances)} chances are given for {levels} levels above the lowest."
            self.fault(count, f"Give {levels}: the chance of reaching each level.")
        for lower, upper, item in zip(chances, chances[1:], self.items()[1:], strict=False):
            if upper > lower:
                rule = "the chance of reaching a level may not rise with the level (q not increasing)."
                item.fault(rule, f"Write {lower * 100:g} % or less here, or raise the one before.")
        return chances

    def entry(self) -> Entry:
        """This node as a mapping."""
        return Entry.of(self)

    def when(self) -> When:
        """A condition on traits; a blank always holds."""
        terms = []
        for name, item in self.entry().pairs():
            values = item.items() if isinstance(item.node, yaml.SequenceNode) else (item,)
            allowed = tuple(value.trait(name) for value in values)
            if not allowed:
                item.fault("the list of values is empty, so nothing can match.", "List values, or remove the trait.")
            terms.append((name, allowed))
        return When(tuple(sorted(terms)))

    def trait(self, name: str) -> TraitValue:
        """A value of the trait `name`: a word or a plain number. Crosscheck looks it up in the vocabulary."""
        written = self._scalar("a value of the trait")
        if written is None or self.node is None:
            return ""
        value: TraitValue = written
        if self.node.tag == _BOOL:
            value = written.lower()
        elif self.node.tag in _PLAIN_NUMBERS:
            value = _plain_number(written)
        self.ledger.trait_uses.append(TraitUse(name, value, self.spot))
        return value

    def _child(self, node: yaml.Node, path: str) -> Item:
        return Item(node, _spot(self.spot.file, node, path), self.source, self.record, self.ledger)


@dataclass(slots=True)
class Entry:
    """A mapping. Keys that nobody asked for are unknown: `unknown` notes them at the end."""

    item: Item
    source: str
    keys: dict[str, tuple[Spot, yaml.Node]]
    asked: set[str] = field(default_factory=set)

    @classmethod
    def of(cls, item: Item) -> Entry:
        entry = cls(item, item.source, {})
        if item.node is None:
            return entry
        if not isinstance(item.node, yaml.MappingNode):
            item.fault("a mapping is wanted here.", "Write 'key: value' lines.")
            entry.item = item.blank()
            return entry
        for key, value in item.node.value:
            entry._take(key, value)
        entry._inherit()
        item.ledger.closers.append(entry.unknown)
        return entry

    def _take(self, key: yaml.Node, value: yaml.Node) -> None:
        name = str(key.value) if isinstance(key, yaml.ScalarNode) else "?"
        path = f"{self.item.spot.path}.{name}" if self.item.spot.path else name
        spot = _spot(self.item.spot.file, key, path)
        if not isinstance(key, yaml.ScalarNode):
            self.item.ledger.fault(spot, "a key must be a word.", "Write 'key: value'.")
        elif name == "<<":
            self.item.ledger.fault(spot, "merge keys are not allowed in a knowledge file.", "Write the keys out.")
        elif name in self.keys:
            first = self.keys[name][0].place
            self.item.ledger.fault(spot, f"duplicate key {name!r}, first at {first}.", "Remove or rename one.")
        else:
            self.keys[name] = (spot, value)

    def _inherit(self) -> None:
        if "source" in self.keys:
            self.source = self.get("source").reference("source") or "?"

    def get(self, key: str) -> Item:
        """The value of a key that may be missing (then a blank)."""
        self.asked.add(key)
        if key not in self.keys:
            return Item(None, self.item.spot, self.source, self.item.record, self.item.ledger)
        spot, node = self.keys[key]
        value = _spot(spot.file, node, spot.path)
        return Item(node, value, self.source, self.item.record or spot, self.item.ledger)

    def need(self, key: str) -> Item:
        """The value of a key that must be there."""
        if self.item.present and key not in self.keys:
            self.item.fault(f"the key {key!r} is missing.", f"Add '{key}: ...'.")
        return self.get(key)

    def pairs(self) -> Iterator[tuple[str, Item]]:
        """Every key but `source` with its value, in the order of the file."""
        for key in self.keys:
            if key != "source":
                yield key, self.get(key)

    def named_ids(self) -> Iterator[tuple[str, Item]]:
        """As `pairs`, where every key must be an id."""
        for key, item in self.pairs():
            if not ID.fullmatch(key):
                mend = "Use small letters, digits and underscores, a letter first."
                self.item.ledger.fault(self.keys[key][0], f"{key!r} is no id.", mend)
            yield key, item

    def records(self, kind: str, sharing: str = "") -> Iterator[tuple[str, Entry]]:
        """Every key but `source` as the id of a record of this kind, with its mapping; `sharing` as in `define`."""
        ledger = self.item.ledger
        for key, item in self.named_ids():
            spot = self.keys[key][0]
            ledger.define(kind, key, spot, sharing)
            yield key, Item(item.node, spot, item.source, self._record(spot), ledger).entry()

    def keyed(self, kind: str) -> Iterator[tuple[str, Entry]]:
        """Every key but `source` as a reference to something of this kind, with its mapping."""
        for key, item in self.pairs():
            self.item.ledger.references.append(Reference(kind, key, self.keys[key][0]))
            yield key, item.entry()

    def _record(self, spot: Spot) -> Spot:
        """The outermost record around `spot`: where a missing source is best mended."""
        outer = self.item.record
        return outer if outer is not None and "." in outer.path else spot

    def unknown(self) -> None:
        """Note every key that nobody asked for."""
        known = ", ".join(sorted(self.asked - {"source"}))
        for key, (spot, value) in self.keys.items():
            if key in self.asked:
                continue
            mend = f"Keys known here: {known}."
            if " " in key and value.value == "":
                mend = "A text with a comma inside {..} needs quotes."
            self.item.ledger.fault(spot, f"unknown key {key!r}.", mend)


def _spot(file: str, node: yaml.Node, path: str) -> Spot:
    return Spot(file, node.start_mark.line + 1, node.start_mark.column + 1, path)


def _plain_number(written: str) -> TraitValue:
    """An int or a float where Python reads one, else the text (YAML also knows 0o17 and 1:30)."""
    for kind in (int, float):
        try:
            return kind(written)
        except ValueError:
            continue
    return written
