"""The truth of a simulated car: roots, traits, what every part did, what shows today, and what ownership will cost.

Drawn from the prior by the simulator's own play. Papers that say something of single weak points (never renewed,
a past check that found nothing) are made true by rejection: whole cars are drawn until one agrees with its papers.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace

import numpy as np
from numpy.random import Generator

from riskapi.domain.case import Case, HistoryEntry
from riskapi.domain.knowledge import CARES, Pack, Traits, WeakPoint
from tests.simulator.findings import every_sign, odds
from tests.simulator.look import Ints, Sign, played
from tests.simulator.parts import Life
from tests.simulator.play import Past, continued, started, states_today
from tests.simulator.pools import Terms, spend
from tests.simulator.scene import Builder, built_on, candidates_of, prices_of
from tests.simulator.scenery import Candidate

TRIES = 400


@dataclass(frozen=True)
class Packs:
    """The pack as its authors wrote it, which is the world, and as the model computes with it."""

    written: Pack
    folded: Pack


@dataclass(frozen=True)
class Truth:
    """`states` of the weak points the engine has; `spent`: surprise repairs over the ownership term [money]."""

    revision: str | None
    care: int
    tuned: bool
    traits: Traits
    states: dict[str, int]
    levels: dict[str, int]
    spent: float


@dataclass(frozen=True)
class Roots:
    candidate: Candidate
    care: int
    tuned: bool


def draw(case: Case, packs: Packs, rng: Generator) -> Truth | None:
    """A car that agrees with its papers; None when TRIES cars did not, which says nothing about the one that would."""
    world = _World(case, packs, rng)
    for _ in range(TRIES):
        car = world.car()
        if car is not None:
            return car
    return None


class _World:
    """Draws cars for one case."""

    def __init__(self, case: Case, packs: Packs, rng: Generator) -> None:
        self.case, self.packs, self.rng = case, packs, rng
        self.candidates = candidates_of(case, packs.folded)
        self.years = float(case.ownership.years or packs.folded.defaults.ownership_years)
        self.builder = Builder(case, packs.folded, built_on(case, packs.folded, self.candidates), self.years)
        self.looks = sorted((e for e in case.history if e.work == "checked"), key=lambda e: e.on)
        self.papers = {e.item for e in case.history if e.work == "never_renewed"}
        if any(e.work == "engine_replaced" and e.item == "used" for e in case.history):
            self.papers = {p.id for p in packs.folded.weak_points}

    def car(self) -> Truth | None:
        """One car, or None as soon as something contradicts the papers."""
        roots = self._roots()
        points = [
            p for p in self.packs.folded.weak_points if odds(p.applies, roots.candidate.traits, self.packs.folded)
        ]
        seen = {look.item for look in self.looks}
        symptoms = {self.packs.folded.check(str(item)).symptom for item in seen}
        first = [p for p in points if p.id in self.papers or any(e.symptom in symptoms for e in p.effects)]
        lives: dict[str, _Played] = {}
        for point in first:
            lives[point.id] = self._life(point, roots)
            if not lives[point.id].possible:
                return None
        if not all(self._found_nothing(k, look, first, lives, roots) for k, look in enumerate(self.looks)):
            return None
        lives |= {p.id: self._life(p, roots) for p in points if p.id not in lives}
        return self._today(roots, points, lives)

    def _roots(self) -> Roots:
        rng, defaults = self.rng, self.packs.folded.defaults
        candidate = self.candidates[rng.choice(len(self.candidates), p=[c.weight for c in self.candidates])]
        care = int(rng.choice(len(CARES), p=[share.prior for share in defaults.care]))
        stated = self.case.vehicle.software_tune
        tuned = rng.random() < defaults.tune_base_rate if stated == "unknown" else stated == "yes"
        return Roots(replace(candidate, traits=self._filled(candidate.traits)), care, bool(tuned))

    def _filled(self, traits: Traits) -> Traits:
        """Every trait that nobody stated drawn by how common it is."""
        known = dict(traits.items)
        if self.case.vehicle.installation is not None:
            known.setdefault("installation", self.case.vehicle.installation)
        for word in self.packs.folded.traits:
            if word.name not in known and word.values:
                rates = np.array(word.base_rates)
                known[word.name] = str(self.rng.choice(word.values, p=rates / rates.sum()))
        return Traits(tuple(sorted(known.items())))

    def _life(self, point: WeakPoint, roots: Roots) -> _Played:
        variants = self.builder.slot(point, roots.candidate, roots.care, roots.tuned).variants
        shares = np.array([share for share, _ in variants])
        life = variants[self.rng.choice(len(variants), p=shares / shares.sum())][1]
        times = [self.builder.at(look) for look in self.looks]
        return _Played(life, times, self.rng)

    def _found_nothing(
        self, k: int, look: HistoryEntry, points: Sequence[WeakPoint], lives: dict[str, _Played], roots: Roots
    ) -> bool:
        """Whether a past check found nothing, played from the states of that day."""
        check = self.packs.written.check(str(look.item))
        then = {p.id: lives[p.id].then[k] for p in points} or {"nothing": np.zeros(1, dtype=np.int64)}
        written = [self.packs.written.weak_point(p.id) for p in points]
        signs = [s for s in every_sign(self.packs.written, written, roots.candidate.traits) if s.id == check.symptom]
        level = played(signs, then, self.rng)[str(check.symptom)][0]
        return bool(self.rng.random() < check.table[level][check.result_index(str(look.result))])

    def _today(self, roots: Roots, points: Sequence[WeakPoint], lives: dict[str, _Played]) -> Truth:
        folded, written = self.packs.folded, self.packs.written
        traits = roots.candidate.traits
        states = {name: life.state for name, life in lives.items()}
        signs: list[Sign] = every_sign(written, [written.weak_point(p.id) for p in points], traits)
        prices = replace(prices_of(self.case, folded), installation=str(traits.get("installation")))
        terms = Terms(prices, (0.0, self.years), None, folded)
        revision = roots.candidate.revision
        return Truth(
            revision=revision.id if revision else None,
            care=roots.care,
            tuned=roots.tuned,
            traits=traits,
            states={name: int(state[0]) for name, state in states.items()},
            levels={name: int(level[0]) for name, level in played(signs, states, self.rng).items()},
            spent=sum(life.spent(terms, traits, self.rng) for life in lives.values()),
        )


class _Played:
    """One weak point of one car, all its copies, up to today; `then[k]`: the worst state at the k-th look."""

    def __init__(self, life: Life | None, looks: Sequence[float], rng: Generator) -> None:
        self.life = life
        self.possible, self.state = True, np.zeros(1, dtype=np.int64)
        self.then: list[Ints] = [np.zeros(1, dtype=np.int64) for _ in looks]
        self.copies: list[Past] = []
        if life is None:
            return
        self.doubt = rng.standard_normal(1)
        for _ in range(life.copies):
            self._play_copy(replace(life, looks=()), looks, rng)

    def _play_copy(self, life: Life, looks: Sequence[float], rng: Generator) -> None:
        past = started(life, self.doubt, rng)
        for k, time in enumerate(looks):
            if time > life.started:
                continued(replace(life, today=time), past, self.doubt, rng)
                self.then[k] = np.maximum(self.then[k], states_today(replace(life, today=time), past))
        continued(life, past, self.doubt, rng)
        self.copies.append(past)
        self.possible &= bool(past.weight[0] > 0)
        self.state = np.maximum(self.state, states_today(life, past))

    def spent(self, terms: Terms, traits: Traits, rng: Generator) -> float:
        """Surprise repairs up to the end of the term [money]."""
        if self.life is None:
            return 0.0
        return sum(float(spend(self.life, terms, traits, past, self.doubt, rng)[0][0, -1]) for past in self.copies)
