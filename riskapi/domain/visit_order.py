"""The order of a visit: the pack's, bent where one check would spoil another (a warm engine has no cold start)."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence

from riskapi.domain.acts import Act
from riskapi.domain.knowledge import Check, ConditionWord


def arcs(checks: Sequence[Check], conditions: Iterable[ConditionWord]) -> dict[str, tuple[str, ...]]:
    """Check -> the checks that must come after it: by what they need, by `before` and by `after`."""
    spoilt = {word.id: set(word.before) for word in conditions}
    later = {check.id: {other.id for other in checks if _comes_later(check, other, spoilt)} for check in checks}
    return {name: tuple(sorted(others - {name})) for name, others in later.items()}


def _comes_later(first: Check, second: Check, spoilt: Mapping[str, set[str]]) -> bool:
    by_need = any(spoilt.get(need, set()) & set(second.needs) for need in first.needs)
    return by_need or bool(set(first.before) & _names(second)) or bool(set(second.after) & _names(first))


def _names(check: Check) -> set[str]:
    """What `before` and `after` may call a check by."""
    return {check.id, *check.needs} | ({check.set_up} if check.set_up else set())


def in_visit_order(acts: Sequence[Act], conditions: Iterable[ConditionWord]) -> tuple[Act, ...]:
    """All acts, each after those that must come first; of those free to come next, one of the set-up that is made
    already, else the first in the order of the pack.

    Raises ValueError when no order can be kept (the catalogue refuses such a pack).
    """
    later = arcs([act.checks[0] for act in acts], conditions)
    left, done, ready = list(acts), [], None
    while left:
        waiting = {name for act in left for name in later[act.id]}
        free = [act for act in left if act.id not in waiting]
        if not free:
            raise ValueError(f"no order of a visit can be kept: {', '.join(act.id for act in left)}")
        act = min(free, key=lambda a: (a.set_up is None or a.set_up != ready, a.checks[0].order))
        left.remove(act)
        done.append(act)
        ready = act.set_up
    return tuple(done)
