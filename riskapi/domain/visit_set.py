"""The best set of checks for a visit: what its minutes, equipment and consents allow (riskapi.domain.best_set)."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from math import sqrt

from riskapi.domain.acts import Act, Limits, possible_acts, shared_minutes, total_minutes
from riskapi.domain.assessment import BestSet
from riskapi.domain.best_set import Choice, Chosen, best_set
from riskapi.domain.costing import Basis
from riskapi.domain.joint_results import joinable, joint_results, value_of
from riskapi.domain.knowledge import Check, Pack
from riskapi.domain.next_checks import SMALLEST, OpenChecks
from riskapi.domain.result_moments import moments
from riskapi.domain.told import told_by

CANDIDATES = 40  # acts to choose from: those that tell most by themselves


def choice_of(
    pack: Pack, basis: Basis, left: OpenChecks, limits: Limits, most: int = CANDIDATES, first: str = ""
) -> Choice:
    """The acts that the limits allow and that are worth more than their price by themselves, at most `most` of them;
    with a tier `first` its acts and all core checks come first, the latter whatever they are worth."""
    values = left.values(None)
    checks = [check for check, _ in left.outcomes]
    acts = possible_acts(checks, pack, limits)
    core = {act.id for act in acts if first and any(check.core for check in act.checks)}
    worth = [act for act in acts if act.id in core or _strongest(act, values) > max(act.price, SMALLEST)]
    early = core | {act.id for act in worth if act.checks[0].tier == first}
    kept = sorted(worth, key=lambda a: (a.id not in early, -_strongest(a, values), a.id))[:most]
    kept.sort(key=lambda act: act.checks[0].order)
    found = moments(left, basis, [check for act in kept for check in act.checks])
    told = told_by(found, [[check.id for check in act.checks] for act in kept])
    return Choice(tuple(kept), told, shared_minutes(pack))


def _strongest(act: Act, values: dict[str, float]) -> float:
    return max(values[check.id] for check in act.checks)


def left_of_visit(pack: Pack, limits: Limits, done: Sequence[Check]) -> Limits:
    """The limits less the minutes of checks already done with their set-ups; a set-up made before counts again."""
    if limits.minutes is None:
        return limits
    spent = {act.id: act for act in possible_acts(done, pack, replace(limits, minutes=None))}
    return replace(limits, minutes=max(limits.minutes - total_minutes(spent.values(), shared_minutes(pack)), 0.0))


def as_best_set(choice: Choice, chosen: Chosen, left: OpenChecks, basis: Basis, gain: float | None) -> BestSet:
    """The chosen acts in the order of the pack, with what they are worth."""
    acts = sorted((choice.acts[i] for i in chosen.acts), key=lambda act: act.checks[0].order)
    return BestSet(
        checks=tuple(act.id for act in acts),
        minutes=choice.minutes(chosen.acts),
        check_cost=sum(act.price for act in acts),
        value=sqrt(chosen.explained),
        decision_value=None if gain is None else _decision_floor(acts, left, basis, gain),
        method=chosen.method,
        assured=chosen.assured,
        candidates=len(choice.acts),
    )


def _decision_floor(acts: Sequence[Act], left: OpenChecks, basis: Basis, gain: float) -> float:
    """The value of sample information of the strongest of these checks together: more checks are never worth less."""
    values = left.values(gain)
    checks = sorted((c for act in acts for c in act.checks), key=lambda c: (-values[c.id], c.id))
    together = joinable(checks, left, basis)
    single = max((values[c.id] for c in checks), default=0.0)
    return max(value_of(joint_results(together, basis), left.mean, gain), single) if checks else 0.0


def next_set(
    pack: Pack, basis: Basis, left: OpenChecks, limits: Limits, gain: float | None, most: int
) -> BestSet | None:  # fmt: skip
    """The best set within these limits; None where nothing fits that is worth doing."""
    choice = choice_of(pack, basis, left, limits, most)
    if not choice.acts:
        return None
    chosen = best_set(choice, limits)
    return as_best_set(choice, chosen, left, basis, gain) if chosen.acts else None
