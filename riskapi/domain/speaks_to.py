"""Which weak points a check speaks to on this car: by how much each lifts the chance of an unusual result."""

from __future__ import annotations

from collections.abc import Mapping, Sequence

import numpy as np

from riskapi.domain.assessment import WeakPointResult
from riskapi.domain.checklist import SpeaksTo
from riskapi.domain.evidence import SymptomTables
from riskapi.domain.knowledge import Check, WeakPoint
from riskapi.domain.timeline import Floats

MOST = 3  # weak points told of one act
SMALLEST = 0.002  # chance of not being sound times power, below which only the first is told


def spoken_to(
    checks: Sequence[Check],
    tables: Mapping[str, SymptomTables],
    weak_points: Sequence[WeakPoint],
    results: Mapping[str, WeakPointResult],
) -> tuple[SpeaksTo, ...]:
    """The weak points that these checks show most, by chance of not being sound times power, at most MOST of them."""
    powers: dict[str, float] = {}
    for check in checks:
        for w in tables[check.symptom].parents if check.symptom is not None else ():
            result = results.get(weak_points[w].id)
            if result is not None:
                power = _power(check, tables[str(check.symptom)], w, _shares(result))
                powers[result.id] = max(power, powers.get(result.id, 0.0))
    weighed = {name: power * (1.0 - results[name].state.sound) for name, power in powers.items()}
    ranked = sorted((n for n in weighed if weighed[n] > 0.0), key=lambda n: (-weighed[n], n))
    telling = [n for place, n in enumerate(ranked[:MOST]) if place == 0 or weighed[n] >= SMALLEST]
    return tuple(SpeaksTo(n, results[n].name, results[n].state, powers[n]) for n in telling)


def _shares(result: WeakPointResult) -> Floats:
    """Shares of degraded and faulty among what is not sound, (2,)."""
    bad = np.array([result.state.degraded, result.state.faulty])
    return np.asarray(bad / bad.sum()) if bad.sum() > 0.0 else np.array([0.5, 0.5])


def _power(check: Check, table: SymptomTables, w: int, shares: Floats) -> float:
    """By how much the weak point, not sound, lifts the chance of a result other than the best, all else sound."""
    best = np.array(check.table)[:, 0]
    unusual = 1.0 - np.diff(table.background * table.parents[w], axis=1, prepend=0.0) @ best
    return float(shares @ unusual[1:] - unusual[0])
