"""A symptom with one reader is what that reader shows: its table is folded into background and effects.

Authors write how a fault shows and how well a check sees it. Where a single check reads a symptom, the sweep
wants the two as one noisy-MAX over the check's results, because 'nothing seen' then is a product over the
parents. With T the cumulative table P(result <= r | level):

    background'[r] = sum_l b_l T[l][r],      q'[r] = sum_l pi_l T[l][r] / T[0][r]

which is exact for every cause by itself, with or without the background. Symptoms with several readers keep
their tables. Arcs that run down into a zone are folded like its other parents.
"""

from __future__ import annotations

from collections import Counter
from dataclasses import replace

import numpy as np
import numpy.typing as npt

from riskapi.domain.knowledge import Check, Effect, Pack, RunDown, Symptom, WeakPoint

Floats = npt.NDArray[np.float64]


def fold_single_readers(pack: Pack) -> Pack:
    """The pack with every single reader's table folded away, where the result is a proper noisy-MAX."""
    tables = {
        check.symptom: np.cumsum(np.array(check.table), axis=1)
        for check in pack.checks
        if check.symptom is not None and _single(check, pack) and not _perfect(check)
    }
    tables = {name: table for name, table in tables.items() if _folds(pack, name, table)}
    results = {check.symptom: check.results for check in pack.checks if check.symptom in tables}
    return replace(
        pack,
        symptoms=tuple(
            _symptom(s, tables, [r.id for r in results[s.id]] if s.id in tables else []) for s in pack.symptoms
        ),
        weak_points=tuple(_weak_point(wp, tables) for wp in pack.weak_points),
        checks=tuple(_check(check, tables) for check in pack.checks),
    )


def _single(check: Check, pack: Pack) -> bool:
    return Counter(other.symptom for other in pack.checks)[check.symptom] == 1


def _perfect(check: Check) -> bool:
    return np.array_equal(np.array(check.table), np.eye(len(check.table)))


def _folds(pack: Pack, name: str, table: Floats) -> bool:
    """Whether every folded parent still is a distribution; arcs out of a zone need as many results as levels."""
    symptom = pack.symptom(name)
    if symptom.runs_down and table.shape[0] != table.shape[1]:
        return False
    rows = [row for wp in pack.weak_points for e in wp.effects if e.symptom == name for row in (e.degraded, e.faulty)]
    rows += [row for s in pack.symptoms for arc in s.runs_down if arc.to == name for row in arc.table]
    return all((np.diff(_exceedance(row, table)) <= 1e-12).all() for row in rows)


def _density(exceedance: tuple[float, ...]) -> Floats:
    ladder: Floats = np.array([1.0, *exceedance, 0.0])
    return ladder[:-1] - ladder[1:]


def _exceedance(row: tuple[float, ...], table: Floats) -> Floats:
    """Chance that a parent alone lifts the reading beyond result 0, 1, ..; false readings are the background's."""
    kept = _density(row) @ table / np.where(table[0] > 0.0, table[0], 1.0)
    return np.asarray(1.0 - np.minimum(kept[:-1], 1.0))


def _row(row: tuple[float, ...], table: Floats) -> tuple[float, ...]:
    return tuple(float(x) for x in _exceedance(row, table))


def _symptom(symptom: Symptom, tables: dict[str, Floats], results: list[str]) -> Symptom:
    arcs = tuple(_arc(arc, tables) for arc in symptom.runs_down)
    if symptom.id not in tables:
        return replace(symptom, runs_down=arcs)
    background = 1.0 - (_density(symptom.background) @ tables[symptom.id])[:-1]
    return replace(
        symptom, levels=tuple(results), background=tuple(float(max(x, 0.0)) for x in background), runs_down=arcs
    )


def _arc(arc: RunDown, tables: dict[str, Floats]) -> RunDown:
    return replace(arc, table=tuple(_row(row, tables[arc.to]) for row in arc.table)) if arc.to in tables else arc


def _weak_point(wp: WeakPoint, tables: dict[str, Floats]) -> WeakPoint:
    return replace(wp, effects=tuple(_effect(effect, tables) for effect in wp.effects))


def _effect(effect: Effect, tables: dict[str, Floats]) -> Effect:
    if effect.symptom not in tables:
        return effect
    table = tables[effect.symptom]
    return replace(effect, degraded=_row(effect.degraded, table), faulty=_row(effect.faulty, table))


def _check(check: Check, tables: dict[str, Floats]) -> Check:
    if check.symptom not in tables:
        return check
    size = len(check.results)
    return replace(check, table=tuple(tuple(float(i == k) for k in range(size)) for i in range(size)))
