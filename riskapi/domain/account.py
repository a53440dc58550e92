"""Weak point by weak point what came out, what was covered, and how much of it is judgement."""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np

from riskapi.domain.assessment import Checked, Coverage, Evidence, StateChances, Uncounted, WeakPointResult
from riskapi.domain.costing import Basis
from riskapi.domain.knowledge import Pack, PartRevision
from riskapi.domain.lanes import LaneSet
from riskapi.domain.means import Means, likelihood_ratio
from riskapi.domain.measured import cylinders_of, threshold_of
from riskapi.domain.posterior import Posterior
from riskapi.domain.readings import Readings
from riskapi.domain.sentence import told
from riskapi.domain.timeline import Floats

PRESENT = 1e-6  # chance of being there at all, below which a weak point is not reported
TELLING = 0.05  # decibans below which a finding is not listed for a weak point
WORTH_A_CAUTION, FAULTY_WORTH_A_CAUTION = 0.1, 0.05  # chance of not being sound, and of being faulty


def weak_point_results(basis: Basis, means: Means, readings: Readings) -> tuple[WeakPointResult, ...]:
    """One result per weak point that this engine can have, highest expected cost first."""
    lanes, posterior, table = basis.outlook.lanes, basis.posterior, basis.outlook.table
    state = posterior.state.sum(axis=2)
    quiet = (likelihood_ratio(posterior, table) * table.quiet).sum(axis=(1, 2))
    results = [
        WeakPointResult(
            id=wp.id,
            name=wp.name,
            part=_likeliest_part(lanes, posterior, w),
            prior=_chances(posterior.prior[w]),
            state=_chances(state[w]),
            failure_probability=float(min(max(1.0 - quiet[w], 0.0), 1.0)),
            expected_cost=float(means.unplanned[w]),
            expected_immediate_cost=float(means.immediate[w]),
            hazard=wp.hazard,
            warning=wp.warning,
            no_look_can_see=wp.warning == "none",
            evidence=_evidence(posterior, readings, w),
            cautions=wp.cautions,
        )
        for w, wp in enumerate(lanes.weak_points)
        if _is_present(lanes, posterior, w)
    ]
    return tuple(sorted(results, key=by_cost))


def by_cost(result: WeakPointResult) -> tuple[float, str]:
    """The order of weak points: highest expected cost first."""
    return -result.expected_cost, result.id


def _chances(row: Floats) -> StateChances:
    return StateChances(*(float(min(max(x, 0.0), 1.0)) for x in row))


def _is_present(lanes: LaneSet, posterior: Posterior, w: int) -> bool:
    return any(
        chance > PRESENT and sum(weight for _, weight in mixes[w].lanes) > PRESENT
        for chance, mixes in zip(posterior.root_chance, lanes.mixes, strict=True)
    )


def _likeliest_part(lanes: LaneSet, posterior: Posterior, w: int) -> str:
    """Name of the part revision that its recorded life started with, likeliest over roots and traits."""
    weights: dict[str, float] = {}
    for chance, mixes in zip(posterior.root_chance, lanes.mixes, strict=True):
        for index, weight in mixes[w].lanes:
            lane = lanes.lanes[index]
            name = lane.parts[lane.start_part].name
            weights[name] = weights.get(name, 0.0) + float(chance) * weight
    return max(weights, key=lambda name: weights[name]) if weights else ""


def _evidence(posterior: Posterior, readings: Readings, w: int) -> tuple[Evidence, ...]:
    alone, last_in = posterior.alone[:, w], posterior.last_in[:, w]
    telling = []
    for i in np.flatnonzero(np.maximum(np.abs(alone), np.abs(last_in)) >= TELLING):
        f = readings.counted[i]
        result = f.check.results[f.result]
        said = told("{check}: {result}", check=f.check.name, result=result.name)
        telling.append(Evidence(f.check.id, result.id, float(alone[i]), float(last_in[i]), said))
    return tuple(
        sorted(telling, key=lambda row: (-round(abs(row.alone), 6), row.check))
    )  # rounding noise orders nothing


def coverage_of(pack: Pack, readings: Readings) -> Coverage:
    """What counted, what was not done, what was void; a core check that was refused counts as dealt with."""
    done = {f.check.id for f in readings.counted} | {check for check, _ in readings.not_checked}
    core = [check.id for check in pack.checks if check.core]
    return Coverage(
        checked=tuple(
            Checked(
                f.check.id,
                f.check.results[f.result].id,
                f.reading,
                f.observed_by,
                threshold_of(f, pack),
                cylinders_of(f),
            )
            for f in readings.counted
        ),
        not_checked=tuple(Uncounted(*item) for item in readings.not_checked),
        void=tuple(Uncounted(*item) for item in readings.void),
        core_done=sum(check in done for check in core),
        core_total=len(core),
    )


def judgement_share(pack: Pack, lanes: LaneSet, means: Means) -> float:
    """Share of the expected surprise cost whose lifetimes are judgement (not published, not a standard)."""
    kinds = {source.id: source.kind for source in pack.sources}
    total = float(means.unplanned.sum())
    if total <= 0.0:
        return 1.0
    judged: list[list[bool]] = [[] for _ in lanes.weak_points]
    for mixes in lanes.mixes:
        for rows, mix in zip(judged, mixes, strict=True):
            rows.extend(_judged(part, kinds) for index, _ in mix.lanes for part in lanes.lanes[index].parts)
    shares = np.array([float(np.mean(rows)) if rows else 0.0 for rows in judged])
    return float((shares * means.unplanned).sum() / total)


def _judged(part: PartRevision, kinds: dict[str, str]) -> bool:
    return kinds.get(part.source) not in ("published", "standard")


def all_cautions(pack: Pack, results: Sequence[WeakPointResult], readings: Readings) -> tuple[str, ...]:
    """Cautions of the weak points that matter here and of the checks that were done or asked for, each once."""
    found: dict[str, None] = {}
    for result in results:
        state = result.state
        if state.degraded + state.faulty > WORTH_A_CAUTION or state.faulty > FAULTY_WORTH_A_CAUTION:
            found.update(dict.fromkeys(result.cautions))
    names = [f.check.id for f in readings.counted] + [check for check, _ in readings.not_checked]
    for name in names:
        found.update(dict.fromkeys(pack.check(name).cautions))
    return tuple(found)
