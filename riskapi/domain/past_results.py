"""Checks of the service history as evidence: which of them count, and the ways in which they can have come about.

Checks of one day are taken together (they read the same states). A way gives every weak point a likelihood by its state
on that day, so that it is one more alternative among the roots: its lanes are weighed by these looks, and everything
else follows. A feature of the build seen in the past counts as if it were seen today.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace
from itertools import product
from math import prod

import numpy as np

from riskapi.domain.case import Case, HistoryEntry
from riskapi.domain.evidence import cumulative
from riskapi.domain.history import History
from riskapi.domain.identify import Candidate
from riskapi.domain.knowledge import Check, Pack, WeakPoint
from riskapi.domain.past_levels import Factor, PastSymptom, Term, TooMany, ways
from riskapi.domain.past_ways import Way, way_of
from riskapi.domain.readings import CountedFinding
from riskapi.domain.recorded import CLOSE
from riskapi.domain.recorded_lanes import covered
from riskapi.domain.roots import Root, root_likelihood
from riskapi.domain.sentence import Written, at_fault, told
from riskapi.domain.timeline import Floats
from riskapi.domain.traits import chance, settled
from riskapi.errors import CaseError, Fault

LIMIT = 256  # root combinations times ways of past results
SEVERAL = 4  # copies, where the number hangs on the engine: as many lives as can be told apart
MOST_RAN_DOWN = 64  # ways of a day on which leaks were looked at

CARE = told("it shows how the car was cared for until then only")
OTHER_ENGINE = told("another engine was fitted since")
NOT_THEN = told("it was done just before the assessment or when the car was new; a finding of today can say it")
RENEWED = "what it says hangs on a part that was renewed about then ({names})"
RAN_DOWN = told("so much may have run down from the places above that it cannot be told apart")


@dataclass(frozen=True, slots=True)
class PastRecord:
    """Per candidate engine its ways; `unused`: pointer of an entry that moves no number, and why."""

    ways: tuple[tuple[Way, ...], ...]
    unused: tuple[tuple[str, str], ...]


NO_RECORD = PastRecord((), ())


@dataclass(frozen=True, slots=True)
class _Entry:
    """A past check that may count: when [years since build], and the position of its result."""

    entry: HistoryEntry
    t: float
    check: Check
    result: int

    @property
    def symptom(self) -> str:
        return str(self.check.symptom)


@dataclass(frozen=True, slots=True)
class _Day:
    """Entries of one day whose symptoms hang together, with their terms per candidate engine."""

    t: float
    entries: tuple[_Entry, ...]
    terms: tuple[tuple[Term, ...], ...]

    @property
    def size(self) -> int:
        return max(map(len, self.terms))


def past_record(
    case: Case,
    pack: Pack,
    history: History,
    candidates: Sequence[Candidate],
    weak_points: Sequence[WeakPoint],
    base: int,
) -> PastRecord:
    """The ways of all past results; `base`: root combinations without them.

    Raises CaseError, naming the past results to leave out, when they make more than LIMIT combinations.
    """
    reader = _Reader(pack, history, candidates, weak_points)
    entries = list(reader.usable(case.history))
    built = [one for one in entries if one.check.symptom is None]
    groups = _groups(pack, [one for one in entries if one.check.symptom is not None])
    days = [day for group in groups if (day := reader.day(group)) is not None]
    days = reader.without_deep(days, base)
    _refuse_too_many(days, base)
    several = frozenset(wp.id for wp in weak_points if wp.copies != 1)
    by_build = [prod(_of_build(one, c, candidates) for one in built) for c in range(len(candidates))]
    found = [_ways(c, days, weight, several) for c, weight in enumerate(by_build)]
    most = max(way.weight for row in found for way in row) or 1.0
    scaled = tuple(tuple(replace(way, weight=way.weight / most) for way in row) for row in found)
    return PastRecord(scaled, tuple(reader.unused.items()))


class _Reader:
    """Reads the entries and notes why one moves no number."""

    def __init__(
        self, pack: Pack, history: History, candidates: Sequence[Candidate], weak_points: Sequence[WeakPoint]
    ) -> None:
        self._pack, self._history, self._candidates, self._weak_points = pack, history, candidates, weak_points
        self.unused: dict[str, str] = {}

    def usable(self, entries: Sequence[HistoryEntry]) -> Iterator[_Entry]:
        """The past checks that may count."""
        engines = [self._history.t(entry) for entry in entries if entry.work == "engine_replaced"]
        for entry in entries:
            if entry.work == "checked" and entry.item is not None and entry.result is not None:
                check, t = self._pack.check(entry.item), self._history.t(entry)
                reason = self._reason(check, t, engines)
                if reason:
                    self.unused[entry.pointer] = reason
                else:
                    yield _Entry(entry, t, check, check.result_index(entry.result))

    def _reason(self, check: Check, t: float, engines: Sequence[float]) -> str:
        if check.root == "care":
            return CARE
        if any(t <= engine for engine in engines):
            return OTHER_ENGINE
        return "" if check.root is not None or 0.0 < t < self._history.now - CLOSE else NOT_THEN

    def day(self, entries: Sequence[_Entry]) -> _Day | None:
        """Their terms; None where they move no number, and the reason is noted."""
        try:
            terms = tuple(ways(self._symptoms(entries, candidate)) for candidate in self._candidates)
        except TooMany:
            return self._note(entries, RAN_DOWN)
        day = _Day(entries[0].t, tuple(entries), terms)
        if self._leaks(day) and day.size > MOST_RAN_DOWN:
            return self._note(entries, RAN_DOWN)
        gone = [wp for wp in self._weak_points if not self._same_part(wp, day.t)]
        for wp in gone:
            if any(len({_factors_key(term, wp.id) for term in row}) > 1 for row in terms):
                return self._note(entries, told(RENEWED, names=wp.name))
        names = {wp.id for wp in gone}
        return replace(day, terms=tuple(tuple(_without(term, names) for term in row) for row in terms))

    def without_deep(self, days: Sequence[_Day], base: int) -> list[_Day]:
        """Without the leaks of the most ways, as long as there are too many combinations."""
        left = list(days)
        while base * prod(day.size for day in left) > LIMIT:
            deep = [day for day in left if day.size > 1 and self._leaks(day)]
            if not deep:
                break
            left.remove(most := max(deep, key=lambda day: day.size))
            self._note(most.entries, RAN_DOWN)
        return left

    def _note(self, entries: Sequence[_Entry], reason: str) -> _Day | None:
        self.unused.update((one.entry.pointer, reason) for one in entries)
        return None

    def _leaks(self, day: _Day) -> bool:
        return any(self._pack.symptom(one.symptom).zone is not None for one in day.entries)

    def _same_part(self, wp: WeakPoint, t: float) -> bool:
        """Whether a look at t [years] saw a recorded life of this weak point, however the failures were."""
        copies = wp.copies if isinstance(wp.copies, int) else SEVERAL
        records = self._history.records(wp, wp.parts, 0, ((0.0, 0),), copies)
        return all(covered(record, copies, t, self._history.now) for record in records)

    def _symptoms(self, entries: Sequence[_Entry], candidate: Candidate) -> dict[str, PastSymptom]:
        names = {name for one in entries for name in _closed_upwards(self._pack, one.symptom)}
        return {s.id: self._symptom(s.id, names, entries, candidate) for s in self._pack.symptoms if s.id in names}

    def _symptom(self, name: str, names: set[str], entries: Sequence[_Entry], candidate: Candidate) -> PastSymptom:
        symptom = self._pack.symptom(name)
        readings = [[row[one.result] for row in one.check.table] for one in entries if one.symptom == name]
        tables = {wp.id: _shown(wp, name, candidate, self._pack) for wp in self._weak_points}
        above = {
            zone.id: np.array([cumulative(row) for row in ([0.0] * len(arc.table[0]), *arc.table)])
            for zone in self._pack.symptoms
            if zone.id in names
            for arc in zone.runs_down
            if arc.to == name
        }
        return PastSymptom(
            background=cumulative(symptom.background),
            parents={identifier: table for identifier, table in tables.items() if table is not None},
            above=above,
            seen=np.array([prod(column) for column in zip(*readings, strict=True)] or [1.0] * len(symptom.levels)),
        )


# ---- which entries hang together ---------------------------------------------------------------------------


def _groups(pack: Pack, entries: Sequence[_Entry]) -> list[list[_Entry]]:
    """Entries of one day whose symptoms are joined by what runs down from zones above, in order of time."""
    groups: list[tuple[float, set[str], list[_Entry]]] = []
    for one in sorted(entries, key=lambda one: (one.t, one.check.order, one.check.id, one.result, one.entry.pointer)):
        names, mine = _closed_upwards(pack, one.symptom), [one]
        joined = [group for group in groups if group[0] == one.t and group[1] & names]
        for group in joined:
            groups.remove(group)
            names, mine = names | group[1], group[2] + mine
        groups.append((one.t, names, mine))
    return [group for _, _, group in groups]


def _closed_upwards(pack: Pack, symptom: str) -> set[str]:
    """The symptom and every zone from which something can run down to it."""
    found: set[str] = set()
    waiting = [symptom]
    while waiting:
        name = waiting.pop()
        if name not in found:
            found.add(name)
            waiting += [s.id for s in pack.symptoms if any(arc.to == name for arc in s.runs_down)]
    return found


# ---- what they say -----------------------------------------------------------------------------------------


def _shown(wp: WeakPoint, symptom: str, candidate: Candidate, pack: Pack) -> Floats | None:
    """Cumulative chances (3, L + 1) that this weak point leaves the symptom at a level; None without an effect."""
    if chance(wp.applies, candidate.traits, pack) <= 0.0:
        return None
    traits, result = settled(wp.applies, candidate.traits), None
    for effect in wp.effects:
        share = chance(effect.when, traits, pack) if effect.symptom == symptom else 0.0
        if share > 0.0:
            rows = ([0.0] * len(effect.faulty), effect.degraded, effect.faulty)
            table = np.array([cumulative([share * x for x in row]) for row in rows])
            result = table if result is None else result * table
    return result


def _of_build(one: _Entry, c: int, candidates: Sequence[Candidate]) -> float:
    """P(result | candidate engine) of a feature of the build."""
    probe = CountedFinding(one.check.id, one.check, one.result, one.check.table, "", "self", "")
    return float(root_likelihood(probe, [Root(c, 0, False, 1.0)], candidates)[0])


def _ways(c: int, days: Sequence[_Day], by_build: float, several: frozenset[str]) -> tuple[Way, ...]:
    """All ways of one candidate engine: one term of every day."""
    options = [
        [(day.t, term, f"d{k}_{term.label}" if day.size > 1 else "") for term in _on_one_grid(day.terms[c])]
        for k, day in enumerate(days)
    ]
    return tuple(way_of(terms, by_build, several) for terms in product(*options))


def _on_one_grid(terms: Sequence[Term]) -> list[Term]:
    """The terms, with a look that says nothing where others have one: then all ways are computed on the same grid."""
    looked = dict.fromkeys(name for term in terms for name, _ in term.factors)
    certain: tuple[Factor, ...] = ((np.ones(3), None),)
    return [
        replace(term, factors=tuple((name, dict(term.factors).get(name, certain)) for name in looked)) for term in terms
    ]


def _factors_key(term: Term, name: str) -> object:
    row = dict(term.factors).get(name, ())
    return tuple(sorted((tuple(high), () if low is None else tuple(low)) for high, low in row))


def _without(term: Term, gone: set[str]) -> Term:
    return replace(term, factors=tuple((name, row) for name, row in term.factors if name not in gone))


def _refuse_too_many(days: Sequence[_Day], base: int) -> None:
    """Raises CaseError with the results that have to be left out: those of the most ways."""
    left = sorted(days, key=lambda day: day.size)
    out: list[_Day] = []
    while left and base * prod(day.size for day in left) > LIMIT and left[-1].size > 1:
        out.append(left.pop())
    if out:
        count = base * prod(day.size for day in days)
        raise CaseError([_fault(one, count) for day in out for one in day.entries])


def _fault(one: _Entry, count: int) -> Fault:
    return at_fault(
        one.entry.pointer,
        told(
            "The results of past checks can have come about in so many ways that {count:,d} combinations would have "
            "to be told apart; at most {limit:d} are.",
            count=count, limit=LIMIT,
        ),
        told(
            "Leave out this result of {check}, or state more of the engine and its history.",
            check=Written(one.check.id),
        ),
    )  # fmt: skip
