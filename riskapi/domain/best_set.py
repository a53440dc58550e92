"""The best set of acts within the minutes and the number of acts of a visit, every set-up counted once.

What is maximised is the value of riskapi.domain.told. Where all acts fit they are the best set; where there are few,
every set is compared; else acts are added greedily by gain per minute (a set-up also as a bundle of its acts), and the
best single act is tried against the outcome. The greedy answer comes with a bound that is proved for the case at hand:
no set within the limits is worth more than the smaller of

    the value of all acts together,     value(S) + (best sum of single gains on top of S within the limits) / e,

for S the empty and the chosen set, with e of `Told.least_independence` (Das & Kempe 2011) and the best sum relaxed to
fractions of acts without set-up minutes (Dantzig 1957).
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass
from math import sqrt

from riskapi.domain.acts import Act, Limits, total_minutes, unproved, within
from riskapi.domain.told import Told

FEW = 9  # acts up to which every set is compared
NOTHING = 1e-9  # share of what all acts explain that counts as no gain


@dataclass(frozen=True)
class Chosen:
    """Indices of the chosen acts in the order in which they were taken, what they explain [money^2], how they were
    found (exact | greedy), and a value that no set within the limits exceeds [money^2]."""

    acts: tuple[int, ...]
    explained: float
    method: str
    at_most: float

    @property
    def assured(self) -> float:
        """Share [0..1] of the best possible standard deviation that this set reaches for certain."""
        return sqrt(min(self.explained / self.at_most, 1.0)) if self.at_most > 0.0 else 1.0


@dataclass(frozen=True)
class Choice:
    """Acts to choose from with their moments; `shared` minutes of set-ups and proofs [min]; `start` are acts that are
    in the set already."""

    acts: tuple[Act, ...]
    told: Told
    shared: Mapping[str, float]
    start: tuple[int, ...] = ()

    def fits(self, limits: Limits, chosen: Iterable[int]) -> bool:
        """Whether these acts are within the limits."""
        mine = list(chosen)
        return within(limits, self.minutes(mine), len(mine) + len(unproved(self.acts[i] for i in mine)))

    def minutes(self, chosen: Iterable[int]) -> float:
        """Of these acts with their set-ups and proofs [min]."""
        return total_minutes([self.acts[i] for i in chosen], self.shared)


def best_set(choice: Choice, limits: Limits) -> Chosen:
    """The best set within the limits that contains `choice.start`."""
    everything = range(len(choice.acts))
    worth = choice.told.together(list(everything))
    if choice.fits(limits, everything):
        return Chosen(_grown(choice, limits, worth), worth, "exact", worth)
    if len(choice.acts) - len(choice.start) <= FEW:
        return _compared(choice, limits)
    taken = _grown(choice, limits, worth)
    reached = choice.told.together(taken)
    alone = _single(choice, limits)
    if alone is not None and alone[1] > reached:
        taken, reached = alone
    at_most = min(worth, *(_bound(choice, limits, known) for known in (choice.start, taken)))
    return Chosen(taken, reached, "greedy", max(at_most, reached))


def _compared(choice: Choice, limits: Limits) -> Chosen:
    """Every set; of two that explain the same the shorter."""
    free = [i for i in range(len(choice.acts)) if i not in choice.start]
    best, found = (choice.told.together(choice.start), -choice.minutes(choice.start)), choice.start
    for mine in _subsets(free):
        chosen = (*choice.start, *mine)
        if choice.fits(limits, chosen):
            rank = (choice.told.together(chosen), -choice.minutes(chosen))
            if rank[0] > best[0] * (1.0 + NOTHING) or (rank[0] >= best[0] and rank[1] > best[1]):
                best, found = rank, chosen
    return Chosen(found, best[0], "exact", best[0])


def _subsets(items: Sequence[int]) -> Iterator[tuple[int, ...]]:
    for mask in range(1 << len(items)):
        yield tuple(item for bit, item in enumerate(items) if mask >> bit & 1)


def _single(choice: Choice, limits: Limits) -> tuple[tuple[int, ...], float] | None:
    """The start with the one act that explains most on top: what saves the greedy rule from many small acts."""
    told = _told_after(choice, choice.start)
    free = [i for i in range(len(choice.acts)) if i not in choice.start]
    fitting = [i for i in free if choice.fits(limits, (*choice.start, i))]
    if not fitting:
        return None
    best = max(fitting, key=told.gain)
    return (*choice.start, best), choice.told.together(choice.start) + told.gain(best)


def _told_after(choice: Choice, known: Iterable[int]) -> Told:
    told = choice.told
    for act in known:
        told = told.after(act)
    return told


# ---- greedy --------------------------------------------------------------------------------------------------------


def _grown(choice: Choice, limits: Limits, worth: float) -> tuple[int, ...]:
    """Acts added by gain per minute until nothing that fits explains more."""
    taken, told = choice.start, _told_after(choice, choice.start)
    while True:
        offers = list(_offers(choice, limits, taken, told, NOTHING * worth))
        if not offers:
            return taken
        for act in max(offers, key=lambda offer: offer[0])[1]:
            taken, told = (*taken, act), told.after(act)


Offer = tuple[float, tuple[int, ...]]  # gain per minute, acts


def _offers(choice: Choice, limits: Limits, taken: tuple[int, ...], told: Told, least: float) -> Iterator[Offer]:
    """Each act that fits; and for a set-up not made yet its acts one after the other, up to their best rate."""
    before = choice.minutes(taken)
    ready = {choice.acts[i].set_up for i in taken} | {None}
    left = [i for i in range(len(choice.acts)) if i not in taken and choice.fits(limits, (*taken, i))]
    left = [i for i in left if told.gain(i) > least]
    for i in left:
        yield _rate(told.gain(i), choice.minutes((*taken, i)) - before), (i,)
    for set_up in sorted({str(choice.acts[i].set_up) for i in left if choice.acts[i].set_up not in ready}):
        mine = [i for i in left if choice.acts[i].set_up == set_up]
        if len(mine) > 1:
            yield _bundle(choice, limits, taken, told, mine)


def _bundle(choice: Choice, limits: Limits, taken: tuple[int, ...], told: Told, acts: Sequence[int]) -> Offer:
    """The first acts of one set-up, most gain per minute first, that together have the best rate."""
    before, gain = choice.minutes(taken), 0.0
    best: Offer = (0.0, (acts[0],))
    ordered: tuple[int, ...] = ()
    told, left = told.only(acts), list(range(len(acts)))
    while left:
        act = max(left, key=lambda i: _rate(told.gain(i), choice.acts[acts[i]].minutes))
        left.remove(act)
        if choice.fits(limits, (*taken, *ordered, acts[act])):
            gain, ordered, told = gain + told.gain(act), (*ordered, acts[act]), told.after(act)
            rate = _rate(gain, choice.minutes((*taken, *ordered)) - before)
            best = max(best, (rate, ordered), key=lambda offer: offer[0])
    return best


def _rate(gain: float, minutes: float) -> float:
    """Gain per minute; what takes no time of its own counts a tenth of a minute."""
    return gain / max(minutes, 0.1)


# ---- the bound -----------------------------------------------------------------------------------------------------


def _bound(choice: Choice, limits: Limits, known: Sequence[int]) -> float:
    """A value that no set within the limits exceeds, seen from the set `known` [money^2]."""
    told = _told_after(choice, known)
    left = [i for i in range(len(choice.acts)) if i not in known]
    least = told.least_independence(left)
    gains = [(told.gain(i), choice.acts[i].minutes) for i in left]
    if least <= 0.0:
        return float("inf")
    return choice.told.together(known) + _most(gains, limits) / least


def _most(gains: Sequence[tuple[float, float]], limits: Limits) -> float:
    """The best sum of gains within minutes or number of acts, whichever binds more; acts may be split."""
    by_number = sum(sorted((gain for gain, _ in gains), reverse=True)[: limits.acts])
    if limits.minutes is None:
        return by_number
    left, total = limits.minutes, 0.0
    for gain, minutes in sorted(gains, key=lambda each: -_rate(each[0], each[1])):
        share = 1.0 if minutes <= left else left / minutes
        total, left = total + share * gain, max(left - minutes, 0.0)
    return min(by_number, total)
