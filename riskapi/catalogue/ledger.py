"""What is noted while a knowledge pack is read: faults, figures, definitions and references.

Nothing is raised while reading. Everything at fault is noted here with its spot, so that one run tells all;
what can only be judged once every file is read (does this id exist?) is noted too and settled by crosscheck.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Callable
from dataclasses import dataclass, field

from riskapi.domain.knowledge import Figure, TraitValue
from riskapi.errors import Fault


@dataclass(frozen=True, slots=True, order=True)
class Spot:
    """A place in a file of the pack (line and column from 1) and the dotted path that leads there."""

    file: str
    line: int
    column: int
    path: str = ""

    @property
    def place(self) -> str:
        return f"{self.file}:{self.line}:{self.column}"


@dataclass(frozen=True, slots=True)
class Reference:
    """Somewhere an id is used: `kind` says of what."""

    kind: str
    id: str
    spot: Spot


@dataclass(frozen=True, slots=True)
class TraitUse:
    """A value of a trait, in a condition or in the description of an engine."""

    trait: str
    value: TraitValue
    spot: Spot


@dataclass(slots=True)
class Ledger:
    """Everything noted about one pack.

    `currency` is set once pack.yaml has told it; `closers` are called when all files are read; `unread` are the files
    of which nothing could be read.
    """

    currency: str | None = None
    noted: set[tuple[Spot, str, str]] = field(default_factory=set)
    figures: list[Figure] = field(default_factory=list)
    defined: dict[str, dict[str, Spot]] = field(default_factory=dict)
    references: list[Reference] = field(default_factory=list)
    trait_uses: list[TraitUse] = field(default_factory=list)
    sourceless: Counter[Spot] = field(default_factory=Counter)
    closers: list[Callable[[], None]] = field(default_factory=list)
    unread: set[str] = field(default_factory=set)

    def fault(self, spot: Spot, message: str, mend: str) -> None:
        self.noted.add((spot, message, mend))

    def define(self, kind: str, identifier: str, spot: Spot, sharing: str = "") -> None:
        """Note that `identifier` exists; a second definition (in another file) is a fault.

        Files of the folder `sharing` may define the same id; whether they mean the same is for crosscheck to say.
        """
        known = self.defined.setdefault(kind, {})
        if identifier in known and not (sharing and known[identifier].file.startswith(sharing)):
            first = known[identifier].place
            self.fault(spot, f"the {kind} {identifier!r} is already defined at {first}.", "Give it another id.")
        known.setdefault(identifier, spot)

    def spot_of(self, kind: str, identifier: str) -> Spot | None:
        return self.defined.get(kind, {}).get(identifier)

    def faults(self) -> list[Fault]:
        """All faults in the order of their places."""
        ordered = sorted(self.noted | self._without_source())
        return [
            Fault(spot.place, f"{spot.path}: {message}" if spot.path else message, mend)
            for spot, message, mend in ordered
        ]

    def _without_source(self) -> set[tuple[Spot, str, str]]:
        mend = "Add 'source: ID' (an id of sources.yaml) here or on an enclosing mapping."
        return {
            (spot, "1 number has no source." if count == 1 else f"{count} numbers have no source.", mend)
            for spot, count in self.sourceless.items()
        }
