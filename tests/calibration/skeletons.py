"""What is given of a simulated car before its truth is drawn: engine, age, odometer, papers, use, prices.

None of it depends on the truth. What the papers say of single weak points is made true by the draw of the truth
(tests/calibration/truth.py), never the other way round.
"""

from __future__ import annotations

from dataclasses import replace
from datetime import date, timedelta

import numpy as np
from numpy.random import Generator

from riskapi.domain.case import Case, Engine, HistoryEntry, Market, Ownership, Usage, Vehicle, Visit
from riskapi.domain.knowledge import Check, Family, Pack, Revision, Traits, WeakPoint
from tests.simulator.findings import odds

TODAY = date(2026, 3, 1)
YEAR = 365.25
RANGES = ("cylinders", "displacement_l")  # traits without base rates are always stated


def skeleton(pack: Pack, rng: Generator) -> Case:
    """A random car for sale, not yet looked at."""
    family = pack.families[rng.integers(len(pack.families))]
    revision = family.revisions[rng.integers(len(family.revisions))]
    built = _build_date(revision, rng)
    age = (TODAY - built).days / YEAR
    odometer = float(np.clip(age * rng.lognormal(np.log(14_000), 0.35), 3_000, 400_000))
    case = Case(
        vehicle=_vehicle(family, revision, built, odometer, rng),
        as_of=TODAY,
        seller=None,
        usage=_usage(pack, rng),
        history=(),
        visit=Visit(None, None, None, ()),
        findings=(),
        ownership=_ownership(rng),
        market=_market(rng),
        reference=None,
    )
    return replace(case, history=_history(case, pack, revision, built, rng))


def _build_date(revision: Revision, rng: Generator) -> date:
    last = min(revision.until or TODAY, TODAY - timedelta(days=400))
    return revision.since + timedelta(days=int(rng.integers((last - revision.since).days + 1)))


def _vehicle(family: Family, revision: Revision, built: date, odometer: float, rng: Generator) -> Vehicle:
    registered = built + timedelta(days=int(rng.exponential(50)))
    clue = rng.choice(["build date", "registered", "none"], p=[0.3, 0.5, 0.2])
    return Vehicle(
        engine=_engine(family, revision, rng),
        build_date=built if clue == "build date" else None,
        first_registered=registered if clue == "registered" else None,
        odometer_km=round(odometer, -2),
        installation=rng.choice([None, "transverse", "longitudinal"], p=[0.3, 0.5, 0.2]),
        parts_class=rng.choice([None, "economy", "mid", "premium"]),
        software_tune=str(rng.choice(["unknown", "no", "yes"], p=[0.8, 0.15, 0.05])),
        moves_under_own_power=None,
    )


def _engine(family: Family, revision: Revision, rng: Generator) -> Engine:
    """Three in four are named by family, some with code or revision; the others are described by some traits."""
    if rng.random() < 0.75:
        code = str(rng.choice(revision.codes)) if rng.random() < 0.5 else None
        return Engine(family.id, revision.id if rng.random() < 0.15 else None, code, Traits())
    known = [(name, value) for name, value in revision.traits.items if name in RANGES or rng.random() < 0.85]
    return Engine(None, None, None, Traits(tuple(known)))


def _usage(pack: Pack, rng: Generator) -> Usage:
    words = [word.id for word in pack.stress_conditions if word.id != "software_tune"]
    rates = [0.05 if word == "stretched_oil_service" else 0.15 for word in words]
    past = tuple(w for w, rate in zip(words, rates, strict=True) if rng.random() < rate)
    return Usage(past, tuple(w for w in words if rng.random() < 0.1))


def _ownership(rng: Generator) -> Ownership:
    budget = None if rng.random() < 0.5 else float(round(rng.uniform(400, 5_000), -1))
    return Ownership(float(rng.integers(1, 5)), float(round(rng.uniform(6_000, 25_000), -2)), budget)


def _market(rng: Generator) -> Market:
    worth = None if rng.random() < 0.25 else float(round(rng.lognormal(np.log(6_000), 0.6), -1))
    return Market("EUR", round(rng.uniform(70, 140), 0), round(rng.uniform(0.85, 1.25), 2), 0.2, None, worth)


# ---- papers --------------------------------------------------------------------------------------------------


def entry(on: date, work: str, item: str | None = None, **more: object) -> HistoryEntry:
    """A line of the service history with an invoice."""
    fields: dict[str, object] = {
        "pointer": "", "odometer_km": None, "result": None, "part": None, "engine_distance_km": None,
        "evidence": "invoice", "note": "",
    }  # fmt: skip
    return HistoryEntry(on=on, work=work, item=item, **{**fields, **more})  # type: ignore[arg-type]


def _history(case: Case, pack: Pack, revision: Revision, built: date, rng: Generator) -> tuple[HistoryEntry, ...]:
    traits = revision.traits.merged(case.vehicle.engine.traits)
    points = [p for p in pack.weak_points if odds(p.applies, traits, pack) > 0]
    days = (TODAY - built).days
    lines = [*_oil_services(case, built, days, rng), *_renewals(points, built, days, rng)]
    lines += _clean_looks(pack, points, built, days, rng)
    if rng.random() < 0.04:
        lines.append(_other_engine(built, days, rng))
    return tuple(sorted(lines, key=lambda line: line.on))


def _oil_services(case: Case, built: date, days: int, rng: Generator) -> list[HistoryEntry]:
    """Papers kept whole, in part or not at all, until some day; the odometer rises steadily but for some noise."""
    kept = rng.choice([0.95, 0.6, 0.0], p=[0.35, 0.35, 0.3])
    until, lines, day = rng.uniform(0.3, 1.0) * days, [], 0.0
    while (day := day + rng.uniform(250, 450)) < until:
        reading = case.vehicle.odometer_km * min(day / days * rng.uniform(0.97, 1.03), 0.995)
        if rng.random() < kept:
            lines.append((int(day), reading, str(rng.choice(["invoice", "stamp", "told"], p=[0.6, 0.3, 0.1]))))
    highest, made = 0.0, []
    for on, reading, evidence in lines:
        highest = max(highest, round(reading, -1))
        made.append(entry(built + timedelta(days=on), "oil_service", odometer_km=highest, evidence=evidence))
    return made


def _renewals(points: list[WeakPoint], built: date, days: int, rng: Generator) -> list[HistoryEntry]:
    """Weak points renewed with papers, renewed as told, and never renewed."""
    chosen = [points[i] for i in rng.permutation(len(points))]
    papers, told, never = rng.poisson(0.8), rng.poisson(0.6), int(rng.random() < 0.2)
    lines = []
    for point in chosen[: papers + told]:
        evidence = "invoice" if point in chosen[:papers] else "told"
        day = built + timedelta(days=int(rng.uniform(0.1, 0.98) * days))
        lines.append(entry(day, "renewed", point.id, evidence=evidence))
        if evidence == "invoice" and rng.random() < 0.25:
            lines.append(entry(TODAY, "never_renewed", point.id))
    lines += [entry(TODAY, "never_renewed", p.id) for p in chosen[papers + told : papers + told + never]]
    return lines


def _clean_looks(pack: Pack, points: list[WeakPoint], built: date, days: int, rng: Generator) -> list[HistoryEntry]:
    """Past checks that found nothing."""
    checks = [c for c in pack.checks if _clean_says_all(c, pack) and _shown_by(c, points)]
    chosen = [checks[i] for i in rng.permutation(len(checks))[: rng.poisson(1.2)]]
    return [
        entry(built + timedelta(days=int(rng.uniform(0.3, 0.97) * days)), "checked", c.id, result=c.results[0].id)
        for c in chosen
    ]


def _clean_says_all(check: Check, pack: Pack) -> bool:
    """Reads a symptom that is no zone, and gives its first result at level 0 only."""
    return (
        check.symptom is not None
        and pack.symptom(check.symptom).zone is None
        and not any(row[0] for row in check.table[1:])
    )


def _shown_by(check: Check, points: list[WeakPoint]) -> bool:
    return any(effect.symptom == check.symptom for point in points for effect in point.effects)


def _other_engine(built: date, days: int, rng: Generator) -> HistoryEntry:
    day = built + timedelta(days=int(rng.uniform(0.4, 0.95) * days))
    if rng.random() < 0.3:
        return entry(day, "engine_replaced", "used", engine_distance_km=float(round(rng.uniform(2_000, 25_000), -2)))
    return entry(day, "engine_replaced", str(rng.choice(["new", "overhauled"])))
