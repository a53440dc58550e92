"""Weak point by weak point what came out, what was covered, and what had to be assumed."""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np

from riskapi.domain.assessment import (
    Assumption,
    Checked,
    Coverage,
    Evidence,
    StateChances,
    Uncounted,
    WeakPointResult,
)
from riskapi.domain.case import Case
from riskapi.domain.identify import EngineIdentity, unstated
from riskapi.domain.knowledge import Pack, PartRevision, WeakPoint
from riskapi.domain.lanes import LaneSet, usable_look
from riskapi.domain.money import Means, likelihood_ratio
from riskapi.domain.outlook import MassTable
from riskapi.domain.posterior import Posterior
from riskapi.domain.readings import Readings
from riskapi.domain.stress import DOCUMENTS
from riskapi.domain.terms import Terms
from riskapi.domain.timeline import Floats

PRESENT = 1e-6


def weak_point_results(
    lanes: LaneSet, posterior: Posterior, table: MassTable, means: Means, readings: Readings
) -> tuple[WeakPointResult, ...]:
    """One result per weak point that this engine can have, highest expected cost first."""
    state = posterior.state.sum(axis=2)
    quiet = (likelihood_ratio(posterior, table) * table.quiet).sum(axis=(1, 2))
    results = []
    for w, wp in enumerate(lanes.weak_points):
        results.append(
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
        )
    present = [r for r, w in zip(results, range(len(results)), strict=True) if _is_present(lanes, posterior, w)]
    return tuple(sorted(present, key=lambda r: (-r.expected_cost, r.id)))


def _chances(row: Floats) -> StateChances:
    return StateChances(*(float(min(max(x, 0.0), 1.0)) for x in row))


def _is_present(lanes: LaneSet, posterior: Posterior, w: int) -> bool:
    return any(
        chance > PRESENT and sum(weight for _, weight in mixes[w].lanes) > PRESENT
        for chance, mixes in zip(posterior.root_chance, lanes.mixes, strict=True)
    )


def _likeliest_part(lanes: LaneSet, posterior: Posterior, w: int) -> str:
    weights: dict[str, float] = {}
    for chance, mixes in zip(posterior.root_chance, lanes.mixes, strict=True):
        for index, weight in mixes[w].lanes:
            lane = lanes.lanes[index]
            name = lane.parts[lane.start_part].name
            weights[name] = weights.get(name, 0.0) + float(chance) * weight
    return max(weights, key=lambda name: weights[name]) if weights else ""


def _evidence(posterior: Posterior, readings: Readings, w: int) -> tuple[Evidence, ...]:
    rows = [
        Evidence(f.check.id, f.check.results[f.result].id, float(posterior.alone[i, w]), float(posterior.last_in[i, w]))
        for i, f in enumerate(readings.counted)
    ]
    telling = [row for row in rows if abs(row.alone) >= 0.05 or abs(row.last_in) >= 0.05]
    return tuple(sorted(telling, key=lambda row: (-abs(row.alone), row.check)))


def coverage_of(case: Case, pack: Pack, readings: Readings) -> Coverage:
    """What counted, what was not done, what was void; a core check that was refused counts as dealt with."""
    done = {f.check.id for f in readings.counted} | {check for check, _ in readings.not_checked}
    core = [check.id for check in pack.checks if check.core]
    return Coverage(
        checked=tuple(
            Checked(f.check.id, f.check.results[f.result].id, f.reading, f.observed_by) for f in readings.counted
        ),
        not_checked=tuple(Uncounted(*item) for item in readings.not_checked),
        void=tuple(Uncounted(*item) for item in readings.void),
        core_done=sum(check in done for check in core),
        core_total=len(core),
    )


def assumptions_of(
    case: Case, pack: Pack, identity: EngineIdentity, lanes: LaneSet, terms: Terms
) -> tuple[Assumption, ...]:
    """Everything that was assumed because the case is silent, then the model's known simplifications."""
    source = pack.source(pack.defaults.source).citation
    texts = [Assumption(text, source) for text in identity.assumed]
    texts += [Assumption(text, source) for text in _defaults(case, pack, terms)]
    texts += [Assumption(text, source) for text in _history(case, pack)]
    open_traits = _unstated(identity, lanes.weak_points)
    if open_traits:
        texts.append(
            Assumption(
                "Not stated, and therefore averaged over how common each is: " + ", ".join(open_traits) + ".",
                "base rates of the knowledge pack",
            )
        )
    return (*texts, *(Assumption(text, "the model") for text in SIMPLIFICATIONS))


SIMPLIFICATIONS = (
    "What is faulty is repaired on day 0, everything else runs until it fails and is repaired at once with the part on "
    "sale then; planned work is done when due, overdue planned work on day 0.",
    "Consequential damage is money inside the weak point that causes it: it resets no other part's age.",
    "A car may be for sale because it is ill; this is not in the figures.",
    "All money is at the prices of the assessment date.",
)


def _defaults(case: Case, pack: Pack, terms: Terms) -> list[str]:
    d, market, own = pack.defaults, case.market, case.ownership
    told = [
        (own.years, f"Ownership taken as {d.ownership_years:g} years."),
        (own.annual_distance_km, f"Distance taken as {d.annual_distance_km:,.0f} km a year."),
        (market.labour_rate, f"Labour taken at {d.labour_rate:g} {terms.level.currency} an hour without tax."),
        (market.parts_index, "Parts at the prices of the knowledge pack."),
        (market.tax, f"Tax taken as {100 * d.tax:g} %."),
        (case.vehicle.installation, "Fitting not stated: access hours are the mean of transverse and longitudinal."),
        (case.vehicle.parts_class, "Parts price class taken as mid."),
    ]
    texts = [text for value, text in told if value is None]
    if market.sound_value is None and market.asking_price is None:
        texts.append("No price stated, so repairs are not capped by the value of the car, only by another engine.")
    elif market.sound_value is None:
        texts.append("Value of the car as usually sold not stated: repairs are capped by the asking price less scrap.")
    if not case.usage.planned:
        texts.append("The buyer's use taken as ordinary: no short trips, towing or tune, oil service in time.")
    if case.vehicle.software_tune == "unknown":
        texts.append(f"Software tune unknown: {100 * d.tune_base_rate:g} of 100 cars are taken to have one.")
    return texts


def _history(case: Case, pack: Pack) -> list[str]:
    texts = []
    for entry in case.history:
        if entry.work == "renewed" and entry.evidence not in DOCUMENTS:
            texts.append(
                f"A renewal on {entry.on} without papers ({pack.weak_point(str(entry.item)).name}): taken to have "
                f"happened with {100 * pack.defaults.undocumented_renewal:g} in 100."
            )
        elif entry.work == "failed":
            texts.append(
                f"A failure recorded on {entry.on} ({pack.weak_point(str(entry.item)).name}): taken as a renewal then; the failure "
                "itself is not used as evidence about the part."
            )
        elif entry.work == "checked" and not usable_look(entry, pack):
            name = pack.check(str(entry.item)).name
            texts.append(f"The past check \u201c{name}\u201d of {entry.on} is kept on record but moves no number.")
    return texts


def _unstated(identity: EngineIdentity, weak_points: Sequence[WeakPoint]) -> list[str]:
    names: set[str] = set()
    for candidate in identity.candidates:
        for wp in weak_points:
            if wp.applies.holds(candidate.traits) is False:
                continue
            conditions = [wp.applies, *(e.when for e in wp.effects), *(row.when for row in wp.in_service.rows)]
            conditions += [row.when for row in wp.found_faulty.rows]
            for condition in conditions:
                names.update(unstated(condition, candidate.traits))
    return sorted(names)


def judgement_share(pack: Pack, lanes: LaneSet, means: Means) -> float:
    """Share of the expected surprise cost whose lifetimes are judgement (not published, not a standard)."""
    kinds = {source.id: source.kind for source in pack.sources}
    rows: dict[int, list[bool]] = {}
    for mixes in lanes.mixes:
        for w, mix in enumerate(mixes):
            for index, _ in mix.lanes:
                rows.setdefault(w, []).extend(_judged(part, kinds) for part in lanes.lanes[index].parts)
    shares = np.array([float(np.mean(rows[w])) if w in rows else 0.0 for w in range(len(lanes.weak_points))])
    total = float(means.unplanned.sum())
    return float((shares * means.unplanned).sum() / total) if total > 0.0 else 1.0


def _judged(part: PartRevision, kinds: dict[str, str]) -> bool:
    return kinds.get(part.source) not in ("published", "standard")


def all_cautions(pack: Pack, results: Sequence[WeakPointResult], readings: Readings) -> tuple[str, ...]:
    """Cautions of the weak points that matter here and of the checks that were done or asked for, each once."""
    found: dict[str, None] = {}
    for result in results:
        if result.state.degraded + result.state.faulty > 0.1 or result.state.faulty > 0.05:
            found.update(dict.fromkeys(result.cautions))
    names = [f.check.id for f in readings.counted] + [check for check, _ in readings.not_checked]
    for name in names:
        found.update(dict.fromkeys(pack.check(name).cautions))
    return tuple(found)
