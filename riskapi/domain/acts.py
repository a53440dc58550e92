"""What can be done at a visit: acts (a check with the checks that the same act answers), their set-ups, and limits."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass

from riskapi.domain.case import Visit
from riskapi.domain.knowledge import CONSENTS, EQUIPMENT, Check, Pack, SetUp


@dataclass(frozen=True, slots=True)
class Limits:
    """What a visit allows: `minutes` and number of `acts` (None: no limit), equipment up to this class, consent up to
    this kind."""

    minutes: float | None
    acts: int | None
    equipment: str
    consent: str

    def allows(self, thing: Check | SetUp) -> bool:
        """Whether equipment and consent are there for a check or a set-up."""
        by_equipment = EQUIPMENT.index(thing.equipment) <= EQUIPMENT.index(self.equipment)
        return by_equipment and CONSENTS.index(thing.consent) <= CONSENTS.index(self.consent)


def limits_of(visit: Visit) -> Limits:
    """As the visit states them. Equipment not stated is none; consent not stated is what can be asked for on the spot,
    never one in writing."""
    given = [CONSENTS.index(word) for word in visit.consents]
    consent = CONSENTS[max(given)] if given else "ask"
    return Limits(visit.minutes, None, visit.equipment or "none", consent)


@dataclass(frozen=True, slots=True)
class Act:
    """One thing to do: `id` is its check's, `checks` are all that it answers; minutes without the set-up [min].

    `proofs` are checks that tell whether it counts at all (whether the engine is really cold): done once for all.
    """

    id: str
    checks: tuple[Check, ...]
    set_up: str | None
    minutes: float
    price: float
    proofs: tuple[str, ...] = ()


def acts_of(checks: Sequence[Check], proofs: Mapping[str, str] | None = None) -> tuple[Act, ...]:
    """Checks gathered into acts, in the order given; a part whose act is not among them stands alone.

    `proofs`: condition -> the check that tells whether it holds.
    """
    known = {check.id for check in checks}
    members: dict[str, list[Check]] = {}
    for check in checks:
        lead = check.part_of if check.part_of in known and check.part_of is not None else check.id
        members.setdefault(lead, []).append(check)
    leads = {check.id: check for check in checks}
    return tuple(_act(leads[lead], mine, proofs or {}) for lead, mine in members.items())


def _act(lead: Check, members: Sequence[Check], proofs: Mapping[str, str]) -> Act:
    ordered = (lead, *(check for check in members if check.id != lead.id))
    needed = dict.fromkeys(proofs[need] for need in lead.needs if need in proofs)
    minutes, price = sum(c.minutes for c in ordered), sum(c.price for c in ordered)
    return Act(lead.id, ordered, lead.set_up, minutes, price, tuple(needed))


def possible_acts(checks: Sequence[Check], pack: Pack, limits: Limits) -> tuple[Act, ...]:
    """The acts among these checks for which equipment, consent and, each by itself, time are there."""
    set_ups, listed = {item.id: item for item in pack.set_ups}, {check.id for check in checks}
    fit = [c for c in checks if limits.allows(c) and (c.set_up is None or limits.allows(set_ups[c.set_up]))]
    barred = listed - {check.id for check in fit}
    ready = {check.id for check in fit}
    proofs = {
        word.id: word.shown_by for word in pack.conditions if word.shown_by is not None and word.shown_by in ready
    }
    acts = acts_of([check for check in fit if check.part_of not in barred], proofs)
    minutes = shared_minutes(pack)
    return tuple(act for act in acts if within(limits, total_minutes([act], minutes), 1 + len(unproved([act]))))


def shared_minutes(pack: Pack) -> dict[str, float]:
    """Minutes of what is done once for several acts: set-ups, and checks that prove a condition [min]."""
    proofs = [pack.check(word.shown_by) for word in pack.conditions if word.shown_by is not None]
    return {proof.id: proof.minutes for proof in proofs} | {item.id: item.minutes for item in pack.set_ups}


def unproved(acts: Iterable[Act]) -> set[str]:
    """The proofs that these acts need and that are not among them."""
    chosen = list(acts)
    return {proof for act in chosen for proof in act.proofs} - {act.id for act in chosen}


def total_minutes(acts: Iterable[Act], shared: Mapping[str, float]) -> float:
    """Minutes of the acts with every set-up and every proof counted once [min]; `shared` of `shared_minutes`."""
    chosen = list(acts)
    needed = {act.set_up for act in chosen if act.set_up is not None} | unproved(chosen)
    return sum(act.minutes for act in chosen) + sum(shared[name] for name in needed)


def within(limits: Limits, minutes: float, acts: int) -> bool:
    """Whether so many minutes and acts are inside the limits."""
    in_time = limits.minutes is None or minutes <= limits.minutes + 1e-9
    return in_time and (limits.acts is None or acts <= limits.acts)
