"""In which order to look: checks by value less price and minutes, valued set-up by set-up.

A set-up (scan tool plugged in, plugs out) is made once for all its checks, so they are weighed together against its
minutes: without a price by what they tell of the cost together (riskapi.domain.told), with one by the value of
sample information of their results together (riskapi.domain.joint_results). Minutes count at the labour rate of the
case; a check with a price of its own is paid by that price, and only its set-up counts in minutes.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass

from riskapi.domain.acts import Act, acts_of, shared_minutes
from riskapi.domain.assessment import NextCheck
from riskapi.domain.costing import Basis
from riskapi.domain.joint_results import joinable, joint_results, value_of
from riskapi.domain.knowledge import Pack
from riskapi.domain.next_checks import SMALLEST, OpenChecks
from riskapi.domain.result_moments import moments
from riskapi.domain.told import told_by

TOGETHER = 81  # combinations of results that are taken together for one set-up
MINUTES_PER_HOUR = 60.0


@dataclass(frozen=True)
class Valued:
    """What the order is made from: what is open, the gain of buying as things stand [money] (None: no price), and the
    labour rate [money / h]."""

    pack: Pack
    basis: Basis
    left: OpenChecks
    gain: float | None
    hourly: float

    def cost(self, acts: Iterable[Act]) -> float:
        """Price and minutes of these acts, without set-ups [money]."""
        return sum(a.price if a.price > 0.0 else a.minutes * self.hourly / MINUTES_PER_HOUR for a in acts)


def in_order(valued: Valued) -> tuple[NextCheck, ...]:
    """Checks worth more than SMALLEST, best set-up first, and within a set-up by value less price and minutes."""
    values = valued.left.values(valued.gain)
    worth = [check for check, _ in valued.left.outcomes if values[check.id] > SMALLEST]
    groups: dict[str, list[Act]] = {}
    for act in acts_of(worth):
        groups.setdefault(act.set_up or f"/{act.id}", []).append(act)
    nets = {name: _set_up_net(valued, acts, values) for name, acts in groups.items()}
    rows = []
    for name in sorted(groups, key=lambda each: (-nets[each][1], each)):
        acts = sorted(groups[name], key=lambda a: (valued.cost([a]) - max(values[c.id] for c in a.checks), a.id))
        rows += [_row(valued, act, values, nets[name][0]) for act in acts]
    return tuple(row for rows_of_act in rows for row in rows_of_act)


def _row(valued: Valued, act: Act, values: dict[str, float], together: float) -> list[NextCheck]:
    basis = "spread" if valued.gain is None else "decision"
    shared = shared_minutes(valued.pack).get(act.set_up or "", 0.0)
    ordered = sorted(act.checks, key=lambda c: (-values[c.id], c.id))
    return [
        NextCheck(c.id, c.set_up, values[c.id], basis, c.price, c.minutes, together if c.set_up else None, shared)
        for c in ordered
    ]


def _set_up_net(valued: Valued, acts: Sequence[Act], values: dict[str, float]) -> tuple[float, float]:
    """Value of what is worth doing under one set-up, and the same less its price and minutes [money]."""
    shared = shared_minutes(valued.pack).get(acts[0].set_up or "", 0.0) * valued.hourly / MINUTES_PER_HOUR
    if len(acts) == 1 and len(acts[0].checks) == 1:
        value = values[acts[0].id]
        return value, value - valued.cost(acts) - shared
    options = list(_told(valued, acts) if valued.gain is None else _decided(valued, acts, values))
    best = max(options, key=lambda option: option[0] - valued.cost(option[1]))
    return best[0], best[0] - valued.cost(best[1]) - shared


Option = tuple[float, tuple[Act, ...]]  # value, acts


def _told(valued: Valued, acts: Sequence[Act]) -> Iterable[Option]:
    """The acts added one by one, most on top of the others first; tied symptoms only by themselves."""
    values = valued.left.values(None)
    for act in acts:
        yield max(values[c.id] for c in act.checks), (act,)
    plain = [[c for c in act.checks if c.symptom not in valued.left.tied] for act in acts]
    members = [(act, checks) for act, checks in zip(acts, plain, strict=True) if checks]
    found = moments(valued.left, valued.basis, [c for _, checks in members for c in checks])
    told = told_by(found, [[c.id for c in checks] for _, checks in members])
    value, left = 0.0, list(range(len(members)))
    taken: tuple[Act, ...] = ()
    while left:
        best = max(left, key=told.gain)
        left.remove(best)
        value, taken, told = value + told.gain(best), (*taken, members[best][0]), told.after(best)
        yield value**0.5, taken


def _decided(valued: Valued, acts: Sequence[Act], values: dict[str, float]) -> Iterable[Option]:
    """Each act by its best result alone, and the strongest checks with all their results together."""
    for act in acts:
        yield max(values[c.id] for c in act.checks), (act,)
    checks = sorted((c for act in acts for c in act.checks), key=lambda c: (-values[c.id], c.id))
    together = joinable(checks, valued.left, valued.basis, TOGETHER)
    value = value_of(joint_results(together, valued.basis), valued.left.mean, valued.gain or 0.0)
    ids = {c.id for c in together}
    yield value, tuple(act for act in acts if any(c.id in ids for c in act.checks))
