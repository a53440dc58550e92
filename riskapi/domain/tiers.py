"""What to do in ten minutes, in forty-five and with all the time there is: best sets, each containing the one before.

From forty-five minutes on the core checks are in the set where they fit, since without them there is no verdict.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace

from riskapi.domain.acts import Act, Limits, unproved
from riskapi.domain.best_set import Choice, Chosen, best_set
from riskapi.domain.checklist import Tier
from riskapi.domain.costing import Basis
from riskapi.domain.next_checks import OpenChecks
from riskapi.domain.visit_set import as_best_set

TEN, FORTY_FIVE, WORKSHOP, WHOLE = "ten_minutes", "forty_five_minutes", "workshop", "whole_visit"
ACTS_IN_TEN = 10
LEVELS = ((TEN, 10.0, (TEN,)), (FORTY_FIVE, 45.0, (TEN, FORTY_FIVE)))  # name, minutes, tiers of the pack


@dataclass(frozen=True)
class Tiers:
    """The tiers, and which tier each chosen act (index of the choice) belongs to, in the order taken."""

    tiers: tuple[Tier, ...]
    tier_of: dict[int, str]


def tiers_of(choice: Choice, limits: Limits, left: OpenChecks, basis: Basis, gain: float | None) -> Tiers:
    """Tiers up to the minutes of the visit; the last one is all the time there is."""
    tiers: list[Tier] = []
    tier_of: dict[int, str] = {}
    for name, minutes, allowed in _levels(limits):
        known = tuple(tier_of)
        mine = [i for i, act in enumerate(choice.acts) if i in tier_of or act.checks[0].tier in allowed]
        bounds = replace(limits, minutes=minutes, acts=ACTS_IN_TEN if name == TEN else None)
        core = () if name == TEN else _core(choice, bounds, mine, known)
        chosen = _within(choice, bounds, mine, (*known, *core))
        tier_of |= {i: name for i in chosen.acts if i not in tier_of}
        tiers.append(_tier(name, bounds, choice, chosen, left, basis, gain))
    return Tiers(tuple(tiers), tier_of)


def _levels(limits: Limits) -> Sequence[tuple[str, float | None, tuple[str, ...]]]:
    whole = limits.minutes
    levels: list[tuple[str, float | None, tuple[str, ...]]] = []
    for name, minutes, allowed in LEVELS:
        levels.append((name, minutes if whole is None else min(minutes, whole), allowed))
        if whole is not None and whole <= minutes:
            return levels
    last = WORKSHOP if limits.equipment == "workshop" else WHOLE
    return [*levels, (last, whole, (TEN, FORTY_FIVE, WORKSHOP))]


def _core(choice: Choice, bounds: Limits, mine: Sequence[int], known: Sequence[int]) -> tuple[int, ...]:
    """The core checks that are missing, where all of them fit: without them there is no verdict."""
    core = tuple(i for i in mine if i not in known and any(check.core for check in choice.acts[i].checks))
    return core if choice.fits(bounds, (*known, *core)) else ()


def _within(choice: Choice, bounds: Limits, mine: Sequence[int], known: Sequence[int]) -> Chosen:
    """The best set of these acts that contains the known ones, with the indices of the whole choice."""
    if not mine:
        return Chosen((), 0.0, "exact", 0.0)
    acts: tuple[Act, ...] = tuple(choice.acts[i] for i in mine)
    part = Choice(acts, choice.told.only(mine), choice.shared, tuple(mine.index(i) for i in known))
    chosen = best_set(part, bounds)
    return _with_proofs(choice, replace(chosen, acts=tuple(mine[i] for i in chosen.acts)))


def _with_proofs(choice: Choice, chosen: Chosen) -> Chosen:
    """The proofs that the acts need and that tell something themselves: their minutes are counted already."""
    missing = unproved(choice.acts[i] for i in chosen.acts)
    acts = (*chosen.acts, *(i for i, act in enumerate(choice.acts) if act.id in missing))
    explained = choice.told.together(acts)
    return replace(chosen, acts=acts, explained=explained, at_most=max(chosen.at_most, explained))


def _tier(
    name: str,
    bounds: Limits,
    choice: Choice,
    chosen: Chosen,
    left: OpenChecks,
    basis: Basis,
    gain: float | None,
) -> Tier:
    told = as_best_set(choice, chosen, left, basis, gain)
    proofs = unproved(choice.acts[i] for i in chosen.acts)
    return Tier(
        name=name,
        limit=bounds.minutes,
        added=(),
        acts=len(chosen.acts) + len(proofs),
        minutes=told.minutes,
        check_cost=told.check_cost,
        value=told.value,
        decision_value=told.decision_value,
        method=told.method,
        assured=told.assured,
    )
