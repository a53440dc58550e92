"""Traits that nobody stated and that tie several things together: they stand among the roots, above the network.

A trait that only decides whether one weak point is there or which part it has, or only what its repair costs, is
averaged inside that weak point. One that two weak points share, or a weak point's presence and its prices, or that
decides how a weak point shows, becomes a root: each candidate engine is split by its values. Values that no
condition tells apart stay together as one class.

There is room for LIMIT root combinations. Where more traits are open than that, the fewest that make room are averaged
inside each weak point too; that is an approximation, and the answer names them as what to state.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, replace
from functools import lru_cache
from itertools import product
from math import prod

from riskapi.domain.case import Case
from riskapi.domain.identify import Candidate, EngineIdentity, OpenTrait
from riskapi.domain.knowledge import CARES, Family, Pack, PartRevision, Traits, TraitValue, TraitWord, WeakPoint, When
from riskapi.domain.readings import CountedFinding
from riskapi.domain.roots import tunes
from riskapi.domain.sentence import Written, at_fault, told
from riskapi.domain.traits import chance, settled
from riskapi.errors import CaseError, Fault

LIMIT = 64  # root combinations: revision x care x tune x open traits
AT = "/vehicle/engine/traits"


@dataclass(frozen=True, slots=True)
class Use:
    """Something that hangs on an unstated trait: 'presence', 'prices' or 'shows' of a weak point or the result of a
    'check', and the values for which it is so."""

    trait: str
    kind: str
    of: str
    allowed: tuple[TraitValue, ...]


def with_open_traits(
    case: Case, pack: Pack, identity: EngineIdentity, findings: Sequence[CountedFinding] = ()
) -> EngineIdentity:
    """The identity with every candidate split by the values of the open traits; `findings` may read some directly.

    Traits for which there is no room stay as they are and are named in `crowded`. Raises CaseError, naming them, when
    traits that findings read make more than LIMIT root combinations.
    """
    uses = [list(_with_checks(pack, identity.family, c, findings)) for c in identity.candidates]
    read = frozenset(str(finding.check.root) for finding in findings)
    unknown = [name for name in case.vehicle.engine.unknown if name not in read]
    open_traits = _open_traits(pack, unknown, uses)
    if not open_traits:
        return identity
    splits = _splits(identity, open_traits, uses)
    crowded = _Room(case, pack, splits, open_traits, uses).crowded(read)
    if crowded:
        open_traits = tuple(trait for trait in open_traits if trait.name not in crowded)
        splits = _splits(identity, open_traits, uses)
    parts = tuple(part for split in splits for part in split.parts())
    return replace(identity, candidates=parts, open_traits=open_traits, crowded=crowded)


def _splits(
    identity: EngineIdentity, open_traits: tuple[OpenTrait, ...], uses: Sequence[Sequence[Use]]
) -> list[_Split]:
    return [_Split.of(candidate, open_traits, mine) for candidate, mine in zip(identity.candidates, uses, strict=True)]


def shared_unknown(case: Case, pack: Pack, identity: EngineIdentity) -> tuple[str, ...]:
    """Traits said to be unknown that would be roots: averaging them inside each weak point is an approximation."""
    uses = [list(uses_of(pack, identity.family, candidate)) for candidate in identity.candidates]
    unknown = set(case.vehicle.engine.unknown)
    return tuple(trait.name for trait in _open_traits(pack, (), uses) if trait.name in unknown)


# ---- what a trait decides --------------------------------------------------------------------------------


def uses_of(pack: Pack, family: Family | None, candidate: Candidate) -> tuple[Use, ...]:
    """Everything about this engine's weak points that a trait decides which nobody stated."""
    revision = None if candidate.revision is None else candidate.revision.id
    return _uses(pack, None if family is None else family.id, revision, candidate.traits)


@lru_cache(maxsize=512)
def _uses(pack: Pack, family: str | None, revision: str | None, traits: Traits) -> tuple[Use, ...]:
    """The same by ids; kept, since many cars have such an engine."""
    words = {word.name for word in pack.traits if word.values}
    fits = None if family is None or revision is None else (pack.family(family), revision)
    return tuple(
        Use(name, kind, wp.id, allowed)
        for wp in pack.weak_points
        if chance(wp.applies, traits, pack) > 0.0
        for kind, when in _conditions(pack, fits, traits, wp)
        for name, allowed in when.terms
        if name in words
    )


def _with_checks(
    pack: Pack, family: Family | None, candidate: Candidate, findings: Sequence[CountedFinding]
) -> Iterator[Use]:
    """The same with the checks that read such a trait; a finding keeps apart the values that it tells apart."""
    uses = list(uses_of(pack, family, candidate))
    used = {use.trait for use in uses}
    yield from uses
    for check in pack.checks:
        if check.root in used:
            yield Use(str(check.root), "check", check.id, tuple(value for value, _ in check.trait_values))
    for finding in findings:
        if finding.check.root in used:
            for row in set(finding.likelihood):
                rows = zip(finding.check.trait_values, finding.likelihood, strict=True)
                alike = tuple(value for (value, _), chance_of in rows if chance_of == row)
                yield Use(str(finding.check.root), "check", finding.check.id, alike)


_Fits = tuple[Family, str]  # a family, and the id of the revision in it


def _conditions(pack: Pack, fits: _Fits | None, traits: Traits, wp: WeakPoint) -> Iterator[tuple[str, When]]:
    """The undecided part of every condition of a weak point that the engine may have."""
    inside = settled(wp.applies, traits)
    yield "presence", _undecided(wp.applies, traits, pack)
    for part in _parts(fits, wp, inside):
        yield "presence", _undecided(part.when, inside, pack)
    for effect in wp.effects:
        yield "shows", _undecided(effect.when, inside, pack)
    for row in (*wp.in_service.rows, *wp.found_faulty.rows):
        yield "prices", _undecided(row.when, inside, pack)


def _parts(fits: _Fits | None, wp: WeakPoint, traits: Traits) -> Iterator[PartRevision]:
    """The catalogue's parts that may be fitted: none where the family says what is."""
    if fits is not None and fits[0].fit(wp.id, fits[1]) is not None:
        return
    for part in wp.parts:
        yield part
        if part.when.holds(traits):
            return


def _undecided(when: When, traits: Traits, pack: Pack) -> When:
    """What is left to know of a condition; nothing where it cannot hold any more."""
    if chance(when, traits, pack) == 0.0:
        return When()
    return When(tuple((name, allowed) for name, allowed in when.terms if traits.get(name) is None))


# ---- which traits are open -------------------------------------------------------------------------------


def _open_traits(pack: Pack, unknown: Sequence[str], uses: Sequence[Sequence[Use]]) -> tuple[OpenTrait, ...]:
    """The traits that some candidate engine needs among the roots, in the order of the vocabulary."""
    found = []
    for word in pack.traits:
        mine = [[use for use in row if use.trait == word.name] for row in uses]
        if word.name not in unknown and any(map(_ties, mine)):
            found.append(_in_classes(word, [use.allowed for row in mine for use in row]))
    return tuple(trait for trait in found if len(trait.classes) > 1)


def _ties(uses: Sequence[Use]) -> bool:
    """Whether averaging inside one weak point would lose what hangs together."""
    return any(use.kind == "shows" for use in uses) or len({(use.kind, use.of) for use in uses}) > 1


def _in_classes(word: TraitWord, conditions: Sequence[tuple[TraitValue, ...]]) -> OpenTrait:
    """Values with the same answer to every condition go together."""
    groups: dict[tuple[bool, ...], list[tuple[str, float]]] = {}
    for value, rate in zip(word.values, word.base_rates, strict=True):
        if rate > 0.0:
            groups.setdefault(tuple(value in allowed for allowed in conditions), []).append((value, rate))
    return OpenTrait(word.name, tuple(tuple(group) for group in groups.values()))


# ---- splitting a candidate -------------------------------------------------------------------------------


@dataclass(frozen=True, slots=True)
class _Split:
    """A candidate engine and the open traits that it has to be split by."""

    candidate: Candidate
    open_traits: tuple[OpenTrait, ...]
    by: tuple[OpenTrait, ...]

    @staticmethod
    def of(candidate: Candidate, open_traits: tuple[OpenTrait, ...], uses: Sequence[Use]) -> _Split:
        used = {use.trait for use in uses}
        by = tuple(t for t in open_traits if candidate.traits.get(t.name) is None and t.name in used)
        return _Split(candidate, open_traits, by)

    def size(self, without: frozenset[str] = frozenset()) -> int:
        """Into how many engines it is split, if these traits were stated."""
        return prod(len(trait.classes) for trait in self.by if trait.name not in without)

    def parts(self) -> Iterator[Candidate]:
        for choice in product(*(trait.classes for trait in self.by)):
            chosen = dict(zip((trait.name for trait in self.by), choice, strict=True))
            rates = [sum(rate for _, rate in values) for values in choice]
            filled = Traits(tuple((name, max(values, key=lambda v: v[1])[0]) for name, values in chosen.items()))
            yield replace(
                self.candidate,
                weight=self.candidate.weight * prod(rates),
                traits=self.candidate.traits.merged(filled),
                opened=tuple((t.name, _shares(t, self.candidate.traits, chosen)) for t in self.open_traits),
            )


def _shares(
    trait: OpenTrait, stated: Traits, chosen: Mapping[str, tuple[tuple[str, float], ...]]
) -> tuple[tuple[str, float], ...]:
    """Chance of each value within one part of a split: that stated, those of the class, or all that are usual."""
    value = stated.get(trait.name)
    if value is not None:
        return ((str(value), 1.0),)
    values = chosen.get(trait.name) or tuple(pair for group in trait.classes for pair in group)
    total = sum(rate for _, rate in values)
    return tuple((word, rate / total) for word, rate in values)


# ---- too many --------------------------------------------------------------------------------------------


class _Room:
    """How many root combinations the open traits make, and which of them to leave out."""

    def __init__(
        self,
        case: Case,
        pack: Pack,
        splits: Sequence[_Split],
        open_traits: Sequence[OpenTrait],
        uses: Sequence[Sequence[Use]],
    ) -> None:
        engines = [split.candidate.traits for split in splits]
        possible = [wp for wp in pack.weak_points if any(chance(wp.applies, t, pack) > 0.0 for t in engines)]
        self._each = len(CARES) * len(tunes(case, pack, possible))
        self._splits, self._pack = splits, pack
        self._weight = {t.name: sum(use.trait == t.name for row in uses for use in row) for t in open_traits}

    def combinations(self, without: Sequence[str]) -> int:
        """Root combinations, if these traits were stated."""
        return self._each * sum(split.size(frozenset(without)) for split in self._splits)

    def crowded(self, read: frozenset[str]) -> tuple[str, ...]:
        """The fewest traits that make room; those of which least is told apart go first, those `read` never."""
        out: list[str] = []
        left = [name for name in self._weight if name not in read]
        while left and self.combinations(out) > LIMIT:
            best = min(left, key=lambda name: (self.combinations((*out, name)), -self._weight[name]))
            left.remove(best)
            out.append(best)
        if self.combinations(out) > LIMIT:
            raise CaseError(self._faults(sorted(read & self._weight.keys())))
        return tuple(out)

    def _faults(self, read: Sequence[str]) -> list[Fault]:
        """One fault that tells the whole, then one for each trait to state."""
        count = self.combinations([name for name in self._weight if name not in read])
        values = {word.name: word.values for word in self._pack.traits}
        message = told(
            "{count:,d} combinations would have to be told apart; at most {limit:d} are.", count=count, limit=LIMIT
        )
        return [at_fault(AT, message, told("State these traits: {traits}.", traits=tuple(read)))] + [
            at_fault(
                f"{AT}/{name}",
                told("{trait} was looked at, but not stated.", trait=name),
                told("Write one of {values}.", values=tuple(map(Written, values[name]))),
            )
            for name in read
        ]
