"""From a case and a pack to a car that can be played: roots, clocks, history. Written from the model alone."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace
from datetime import date, timedelta
from itertools import pairwise, product
from math import exp, prod

from riskapi.domain.case import Case, HistoryEntry
from riskapi.domain.knowledge import CARES, PARTS_CLASSES, Pack, PartRevision, Revision, Traits, WeakPoint
from tests.simulator.clocks import Line, Stretch, hurried
from tests.simulator.findings import below, completed, odds, root_chance, signs
from tests.simulator.money import Prices
from tests.simulator.open_traits import opened
from tests.simulator.parts import Ended, Life, Look, Told
from tests.simulator.pools import Terms
from tests.simulator.scenery import Candidate, Roots, Slot
from tests.simulator.simulate import Car

YEAR = 365.25
FOR_EVER = 1e6
PAPERS = ("invoice", "stamp")
Then = dict[tuple[str, float], int]  # (weak point, time [years]) -> its state then
LATE = 1.3  # an oil service this much late still counts as in time


@dataclass(frozen=True)
class _Row:
    """What the papers say of one copy: lives that ended, and what came after the last of them."""

    ended: tuple[Ended, ...] = ()
    told: Told | None = None
    never: bool = False

    def end(
        self, time: float, part: PartRevision, failed: bool, run: float = 0.0, age: float = 0.0, tale: bool = False
    ) -> _Row:
        return _Row(
            (*self.ended, Ended(time, part, failed, run, age, self.never, None if self.never else self.told, tale))
        )


def car_of(case: Case, pack: Pack, doubt: tuple[float, ...] | None = None) -> Car:
    """Everything the simulator needs; `doubt` as in Terms."""
    years = case.ownership.years or pack.defaults.ownership_years
    candidates = candidates_of(case, pack)
    builder = Builder(case, pack, built_on(case, pack, candidates), years)
    candidates = [engine for candidate in candidates for engine in opened(case, pack, candidate)]
    points = [p for p in pack.weak_points if any(odds(p.applies, c.traits, pack) > 0 for c in candidates)]
    tuned = _tunes(case, pack, points)
    roots = tuple(
        Roots(
            (c.revision.id if c.revision else "", CARES[care], "tuned" if tune else "as built", *c.named),
            c.weight * pack.defaults.care[care].prior * rate,
            c.traits,
            tuple(builder.slot(p, c, care, tune, then) for p in points),
            signs(case, pack, points, c.traits),
            seen * root_chance(case, pack, c, care),
        )
        for c in candidates
        for care in range(len(CARES))
        for tune, rate in tuned
        for then, seen in builder.thens(points, c.traits)
    )
    ends = (0.0, *(float(k) for k in range(1, int(years) + 1) if k < years), float(years))
    return Car(roots, Terms(prices_of(case, pack), ends, doubt, pack))


def _tunes(case: Case, pack: Pack, points: Sequence[WeakPoint]) -> list[tuple[bool, float]]:
    if case.vehicle.software_tune != "unknown":
        return [(case.vehicle.software_tune == "yes", 1.0)]
    if not any(s.condition == "software_tune" for p in points for s in p.stresses):
        return [(False, 1.0)]
    return [(False, 1 - pack.defaults.tune_base_rate), (True, pack.defaults.tune_base_rate)]


def prices_of(case: Case, pack: Pack) -> Prices:
    market, defaults = case.market, pack.defaults
    worth = market.sound_value if market.sound_value is not None else market.asking_price
    return Prices(
        operations={o.id: o for o in pack.operations},
        steps={s.id: s for s in pack.access_steps},
        installation=case.vehicle.installation,
        labour_rate=defaults.labour_rate if market.labour_rate is None else market.labour_rate,
        parts_index=defaults.parts_index if market.parts_index is None else market.parts_index,
        parts_class=defaults.parts_class[PARTS_CLASSES.index(case.vehicle.parts_class or "mid")],
        tax=defaults.tax if market.tax is None else market.tax,
        write_off=None if worth is None else max(worth - defaults.scrap_value, 0.0),
    )


def _years(start: date, end: date) -> float:
    return (end - start).days / YEAR


def candidates_of(case: Case, pack: Pack) -> list[Candidate]:
    engine = case.vehicle.engine
    if engine.family is None:
        return [Candidate(None, 1.0, engine.traits)]
    family = pack.family(engine.family)
    weights = [_fits(case, pack, r) for r in family.revisions]
    return [
        Candidate(r, w / sum(weights), r.traits.merged(engine.traits))
        for r, w in zip(family.revisions, weights, strict=True)
        if w > 0
    ]


def _fits(case: Case, pack: Pack, revision: Revision) -> float:
    """How well a revision fits the clues: stated, by code, by build date, by first registration (delay exponential)."""
    vehicle, lag = case.vehicle, pack.defaults.registration_lag_years
    last = revision.until or case.as_of
    if vehicle.engine.revision is not None:
        return float(vehicle.engine.revision == revision.id)
    if vehicle.engine.code is not None and vehicle.engine.code not in revision.codes:
        return 0.0
    if vehicle.build_date is not None:
        return float(revision.since <= vehicle.build_date <= last)
    if vehicle.first_registered is not None:
        early, late = (max(_years(d, vehicle.first_registered), 0.0) for d in (revision.since, last))
        return exp(-late / lag) - exp(-early / lag)
    return max(_years(revision.since, min(last, case.as_of)), 0.0)


def built_on(case: Case, pack: Pack, candidates: Sequence[Candidate]) -> date:
    vehicle, lag = case.vehicle, timedelta(days=pack.defaults.registration_lag_years * YEAR)
    likeliest = max(candidates, key=lambda c: c.weight).revision
    if vehicle.build_date is not None:
        return vehicle.build_date
    if vehicle.first_registered is not None:
        built = vehicle.first_registered - lag
        if likeliest is not None:
            built = min(built, likeliest.until or built)
            built = max(built, min(likeliest.since, vehicle.first_registered))
        return built
    if likeliest is not None:
        return likeliest.since + (min(likeliest.until or case.as_of, case.as_of) - likeliest.since) / 2
    return case.as_of - timedelta(days=max(vehicle.odometer_km / pack.defaults.annual_distance_km, 0.5) * YEAR)


class Builder:
    """Clocks and histories of one car."""

    def __init__(self, case: Case, pack: Pack, built: date, years: float) -> None:
        self.case, self.pack, self.built = case, pack, built
        self.today = max(_years(built, case.as_of), 0.05)
        annual = case.ownership.annual_distance_km
        self.annual = pack.defaults.annual_distance_km if annual is None else annual
        self.end = self.today + years + 1
        self.odometer = self._odometer()
        self.gaps = self._gaps()

    def at(self, entry: HistoryEntry) -> float:
        """Age of the car at an entry [years]."""
        return min(max(_years(self.built, entry.on), 0.0), self.today)

    def _odometer(self) -> Line:
        """Through all readings, a fall being added to everything after it; then the buyer's distance."""
        entries = [e for e in self.case.history if e.odometer_km is not None]
        seen = sorted((self.at(e), float(e.odometer_km or 0)) for e in entries if 0 < self.at(e) < self.today)
        at, km, last, added = [0.0], [0.0], 0.0, 0.0
        for time, reading in [*seen, (self.today, self.case.vehicle.odometer_km)]:
            added += max(last - reading, 0.0)
            last = reading
            if time > at[-1]:
                at.append(time)
                km.append(reading + added)
            else:
                km[-1] = max(km[-1], reading + added)
        return Line((*at, self.end), (*km, km[-1] + self.annual * (self.end - self.today)))

    def _gaps(self) -> list[tuple[float, float]]:
        """Times without a documented oil service in time."""
        limit_km, limit = (LATE * due for due in self._oil())
        kept = [
            e
            for e in self.case.history
            if e.work == "engine_replaced" or (e.work == "oil_service" and e.evidence in PAPERS)
        ]
        stops = sorted({0.0, self.today, *(self.at(e) for e in kept)})
        return [(a, b) for a, b in pairwise(stops) if b - a > limit or self.odometer(b) - self.odometer(a) > limit_km]

    def _oil(self) -> tuple[float, float]:
        """[km], [years] of careful practice: by the family where it says so."""
        name = self.case.vehicle.engine.family
        for service in self.pack.family(name).services if name else ():
            if service.oil and service.careful:
                return service.careful.distance_km, service.careful.age_years
        return self.pack.defaults.oil_service_km, self.pack.defaults.oil_service_years

    def slot(self, point: WeakPoint, candidate: Candidate, care: int, tuned: bool, then: Then | None = None) -> Slot:
        """A weak point under one combination of roots, in every variant that unstated traits leave open.

        `then`: states laid down for some days, see `thens`.
        """
        settled = dict(candidate.traits.items) | {k: v[0] for k, v in point.applies.terms if len(v) == 1}
        traits = Traits(tuple(settled.items()))
        parts = self._parts(point, candidate)
        variants: list[tuple[float, Life | None]] = [
            (share * chance, life)
            for share, works, supplies in parts
            for chance, life in self._lives(point, care, tuned, works, supplies, traits, then or {})
        ]
        missing = 1 - sum(share for share, _, _ in parts)
        missing *= min([1.0, *(1.0 - self._truth(e) for e in self._failures(point))])
        return Slot(point, (*variants, (missing, None)) if missing > 1e-12 or not variants else tuple(variants))

    def _failures(self, point: WeakPoint) -> list[HistoryEntry]:
        return [e for e in self.case.history if e.work == "failed" and e.item == point.id]

    def _truth(self, entry: HistoryEntry) -> float:
        """Chance that what an entry says has happened."""
        return 1.0 if entry.evidence in PAPERS else self.pack.defaults.undocumented_renewal

    def _parts(
        self, point: WeakPoint, candidate: Candidate
    ) -> list[tuple[float, PartRevision, tuple[tuple[float, PartRevision], ...]]]:
        """(share, part of the works, supplies): by the family, else the first part that goes with the traits."""
        family, revision = self.case.vehicle.engine.family, candidate.revision
        fit = self.pack.family(family).fit(point.id, revision.id) if family and revision else None
        if fit is not None:
            works = point.part(fit.works)
            sold = tuple((_years(self.built, s.since), point.part(s.part)) for s in fit.supplies)
            return [(odds(point.applies, candidate.traits, self.pack), works, sold or ((0.0, works),))]
        shares: dict[str, float] = {}
        for share, traits in completed([point.applies, *(p.when for p in point.parts)], candidate.traits, self.pack):
            fitting = [p for p in point.parts if odds(p.when, traits, self.pack) > 0]
            if fitting and odds(point.applies, traits, self.pack) > 0:
                shares[fitting[0].id] = shares.get(fitting[0].id, 0.0) + share
        return [(share, point.part(name), ((0.0, point.part(name)),)) for name, share in shares.items()]

    def _lives(
        self,
        point: WeakPoint,
        care: int,
        tuned: bool,
        works: PartRevision,
        supplies: tuple[tuple[float, PartRevision], ...],
        traits: Traits,
        then: Then,
    ) -> list[tuple[float, Life]]:
        """In every way in which the history can have gone: all copies, those with the same history together."""
        stretches = self._stretches(point, care, tuned)
        years = Line((0.0, self.end), (0.0, self.end))
        copies = point.copies if isinstance(point.copies, int) else int(traits.get("cylinders") or 4)
        plain = Life(
            weak_point=point,
            supplies=supplies,
            odometer=self.odometer,
            distance=hurried(self.odometer, stretches["distance"], self.end),
            age=hurried(years, stretches["age"], self.end),
            today=self.today,
            care=care,
            first=works,
        )
        found = []
        for chance, rows in self._ways(point, works, supplies, copies):
            kinds = [self._with(plain, row, rows.count(row), then, traits) for row in dict.fromkeys(rows)]
            found.append((chance, replace(kinds[0], apart=tuple(kinds[1:]))))
        return found

    def _with(self, plain: Life, row: _Row, copies: int, then: Then, traits: Traits) -> Life:
        ends = [*(end.when for end in row.ended), self.today]
        spans = zip([0.0, *ends[:-1]], ends, strict=True)
        looks = [look for a, b in spans for look in self._looks(plain.weak_point, traits, a, b)]
        return replace(
            plain,
            copies=copies,
            told=None if row.never else row.told,
            looks=(*looks, *_laid_down(plain.weak_point, then)),
            never_renewed=row.never,
            ended=row.ended,
        )

    def _ways(
        self, point: WeakPoint, works: PartRevision, supplies: tuple[tuple[float, PartRevision], ...], copies: int
    ) -> list[tuple[float, tuple[_Row, ...]]]:
        """Chances and histories of all copies. Nobody wrote down which copy failed, and what was told may be untrue."""
        ways = {(_Row(),) * copies: 1.0}
        for entry in sorted(self.case.history, key=lambda e: (e.on, e.work != "failed")):
            time = min(self.at(entry), self.today - 1e-3)
            sold = [part for since, part in supplies if since <= time] or [supplies[0][1]]
            new: dict[tuple[_Row, ...], float] = {}
            for rows, chance in ways.items():
                for share, after in self._after(entry, point, time, rows, works, sold[-1]):
                    new[after] = new.get(after, 0.0) + chance * share
            ways = new
        return [(chance, rows) for rows, chance in ways.items()]

    def _after(
        self,
        entry: HistoryEntry,
        point: WeakPoint,
        time: float,
        rows: tuple[_Row, ...],
        works: PartRevision,
        sold: PartRevision,
    ) -> list[tuple[float, tuple[_Row, ...]]]:
        fitted = next((p for p in point.parts if p.id == entry.part), sold)
        truth, sure = self._truth(entry), entry.evidence in PAPERS
        if entry.work == "engine_replaced":
            run = (entry.engine_distance_km or 0.0) if entry.item == "used" else 0.0
            other, age = works if entry.item == "used" else sold, run / self.pack.defaults.annual_distance_km
            return [(1.0, tuple(row.end(time, other, False, run, age) for row in rows))]
        if entry.item != point.id or entry.work not in ("renewed", "failed", "never_renewed"):
            return [(1.0, rows)]
        if entry.work == "failed":
            tale, found = not sure, [] if sure else [(1.0 - truth, rows)]
            for k, row in enumerate(rows):
                after = (*rows[:k], row.end(time, fitted, True, tale=tale), *rows[k + 1 :])
                found.append((truth / len(rows), tuple(sorted(after, key=repr))))
            return found
        if entry.work == "never_renewed":
            return [(1.0, tuple(replace(row, never=True) for row in rows))]
        if sure:
            return [(1.0, tuple(row.end(time, fitted, False) for row in rows))]
        return [(1.0, tuple(replace(row, told=Told(time, truth, fitted)) for row in rows))]

    def thens(self, points: Sequence[WeakPoint], traits: Traits) -> Iterator[tuple[Then, float]]:
        """Every row of states that the weak points behind past results can have been in then, with the chance of those
        results; for symptoms without zones above, and weak points present once. One empty row where nothing but sure
        looks at nothing is on record: these weigh every weak point by itself."""
        seen: dict[tuple[float, str], list[tuple[float, ...]]] = {}
        for entry in self.case.history:
            if entry.work == "checked" and entry.item is not None and entry.result is not None:
                check = self.pack.check(entry.item)
                column = tuple(row[check.result_index(entry.result)] for row in check.table)
                if column and any(column[1:]):
                    seen.setdefault((self.at(entry), str(check.symptom)), []).append(column)
        behind = {key: [p for p in points if any(e.symptom == key[1] for e in p.effects)] for key in seen}
        places = sorted({(p.id, time) for (time, _), row in behind.items() for p in row})
        for states in product(range(3), repeat=len(places)):
            then = dict(zip(places, states, strict=True))
            chance = 1.0
            for (time, name), columns in seen.items():
                rows = [self._shown(p, name, then[p.id, time], traits) for p in behind[time, name]]
                chance *= _read(below(self.pack.symptom(name).background), rows, columns)
            yield then, chance

    def _shown(self, point: WeakPoint, symptom: str, state: int, traits: Traits) -> tuple[float, ...]:
        """Chance that this weak point, in this state, leaves the symptom at each level or below."""
        levels = len(self.pack.symptom(symptom).background)
        rows = [(1.0,) * (levels + 1)]
        for effect in point.effects:
            if effect.symptom == symptom:
                reached = ((0.0,) * levels, effect.degraded, effect.faulty)[state]
                rows.append(below(reached, odds(effect.when, traits, self.pack)))
        return tuple(prod(column) for column in zip(*rows, strict=True))

    def _looks(self, point: WeakPoint, traits: Traits, start: float, end: float) -> Iterator[Look]:
        """The looks between these times that surely saw nothing of a symptom this weak point shows."""
        for entry in self.case.history:
            if entry.work != "checked" or entry.item is None or entry.result is None:
                continue
            check, time = self.pack.check(entry.item), self.at(entry)
            sure = check.table and check.result_index(entry.result) == 0 and not any(row[0] for row in check.table[1:])
            if sure and self.pack.symptom(str(check.symptom)).zone is None and start < time < end - 0.05:
                nothing = [self._shown(point, str(check.symptom), state, traits)[0] for state in range(3)]
                yield Look(time, (nothing[0], nothing[1], nothing[2]))

    def _stretches(self, point: WeakPoint, care: int, tuned: bool) -> dict[str, list[Stretch]]:
        """Per clock, when each stress of this weak point is in force and how much it hurries the clock."""
        usage, clocks = self.case.usage, {"distance": [], "age": []}  # type: ignore[var-annotated]
        for stress in point.stresses:
            name, share = stress.condition, 1.0
            spans = [(0.0, self.today)] if name in usage.past else []
            if name == "software_tune":
                spans = [(0.0, FOR_EVER)] if tuned else []
            if name == "stretched_oil_service":
                share = 1.0 if name in usage.past else self.pack.defaults.care[care].stretched_share
                spans = self.gaps
            factor = 1 + share * (stress.factor - 1)
            clocks[stress.clock] += [Stretch(a, b, factor) for a, b in spans]
            if name in usage.planned and name != "software_tune":
                clocks[stress.clock].append(Stretch(self.today, FOR_EVER, stress.factor))
        return clocks


def _laid_down(point: WeakPoint, then: Then) -> list[Look]:
    """One look for each day on which a state of this weak point is laid down."""
    days = sorted((time, state) for (name, time), state in then.items() if name == point.id)
    return [Look(time, (float(state == 0), float(state == 1), float(state == 2))) for time, state in days]


def _read(background: Sequence[float], rows: Sequence[Sequence[float]], columns: Sequence[Sequence[float]]) -> float:
    """P(everything read of one symptom on one day | states of the weak points behind it)."""
    total, before = 0.0, 0.0
    for level, share in enumerate(background):
        reached = share * prod(row[level] for row in rows)
        total += prod(column[level] for column in columns) * (reached - before)
        before = reached
    return total
