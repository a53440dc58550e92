"""Simulated cars, each reduced to what the tests of calibration need. Every car has a seed of its own."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from dataclasses import dataclass, replace
from functools import cache
from multiprocessing import get_context
from pathlib import Path

import numpy as np
from numpy.random import Generator

from riskapi.catalogue.fold import fold_single_readers
from riskapi.catalogue.load import pack_as_written
from riskapi.domain.case import Case
from riskapi.domain.curves import Curve
from riskapi.domain.knowledge import Pack
from riskapi.domain.timeline import Floats
from tests.calibration.answer import ALL, Answer, answer_to
from tests.calibration.inspector import visit
from tests.calibration.skeletons import skeleton
from tests.calibration.truth import Packs, Truth, draw

KNOWLEDGE = Path(__file__).resolve().parents[2] / "knowledge"
Wrong = Callable[[Pack], Pack]


@dataclass(frozen=True)
class State:
    """Chances of degraded and faulty of one weak point, and its true state."""

    weak_point: str
    system: str
    degraded: float
    faulty: float
    truth: int


@dataclass(frozen=True)
class Root:
    """Chances of the values of a root, and which of them is true."""

    chances: tuple[float, ...]
    truth: int


@dataclass(frozen=True)
class Record:
    """One car. `ranks`: randomised probability integral transforms, uniform if the model is right."""

    index: int
    findings: int
    papers: int
    score: float
    exceeds: bool
    expected: float
    spent: float
    ranks: dict[str, float]
    states: tuple[State, ...]
    roots: dict[str, Root]


@cache
def packs() -> Packs:
    """The shipped knowledge."""
    written = pack_as_written(KNOWLEDGE)
    return Packs(written, fold_single_readers(written))


def simulated(index: int, seed: int, world: Packs) -> tuple[Case, Truth] | None:
    """A car with its findings and its truth; None when its papers are too improbable to be made true."""
    rng = np.random.default_rng((seed, index))
    case = skeleton(world.folded, rng)
    truth = draw(case, world, rng)
    if truth is None:
        return None
    findings, moves = visit(world.written, case, truth, rng)
    vehicle = replace(case.vehicle, moves_under_own_power=moves)
    return replace(case, findings=findings, vehicle=vehicle), truth


def record(index: int, seed: int, wrong: Wrong | None = None) -> Record | None:
    """The car of this index, assessed with the pack of the world, or with another one made of it."""
    world = packs()
    car = simulated(index, seed, world)
    if car is None:
        return None
    case, truth = car
    answer = answer_to(case, wrong(world.folded) if wrong else world.folded)
    return compared(index, case, truth, answer, world.folded, np.random.default_rng((seed, index, 1)))


def compared(index: int, case: Case, truth: Truth, answer: Answer, pack: Pack, rng: Generator) -> Record:
    """What the model said beside what is true; `rng` breaks ties."""
    systems = {p.id: p.system for p in pack.weak_points}
    states = tuple(
        State(name, systems[name], float(chances[1]), float(chances[2]), truth.states.get(name, 0))
        for name, chances in answer.states.items()
    )
    ranks = {"surprise cost": cost_rank(answer.curve, truth.spent, rng)}
    for system, chances in answer.counts.items():
        bad = sum(s.truth > 0 for s in states if system in (ALL, s.system))
        ranks[f"number not sound, {system}"] = rank(chances, bad, rng)
    return Record(
        index=index,
        findings=sum(f.not_checked is None for f in case.findings),
        papers=len(case.history),
        score=answer.score,
        exceeds=truth.spent > answer.budget,
        expected=answer.mean,
        spent=truth.spent,
        ranks=ranks,
        states=states,
        roots=_roots(truth, answer),
    )


def rank(chances: Floats, value: int, rng: Generator) -> float:
    """Randomised probability integral transform F(x-) + v P(x)."""
    return float(min(chances[:value].sum() + rng.random() * chances[value], 1.0))


def cost_rank(curve: Curve, spent: float, rng: Generator) -> float:
    """The same of a cost, on the points of the lattice; what lies beyond the lattice is one last point."""
    points = np.append(curve.pmf, max(1.0 - curve.pmf.sum(), 0.0))
    return rank(points, min(round(spent / curve.lattice.step), curve.pmf.size), rng)


def _roots(truth: Truth, answer: Answer) -> dict[str, Root]:
    """Care always; revision and tune where more than one value is possible."""
    revisions = list(answer.revision)
    found = {"care": Root(answer.care, truth.care)}
    if len(revisions) > 1:
        found["revision"] = Root(tuple(answer.revision.values()), revisions.index(truth.revision))
    if 0.0 < answer.tune < 1.0:
        found["tune"] = Root((1.0 - answer.tune, answer.tune), int(truth.tuned))
    return found


def records(count: int, seed: int, jobs: int = 1, wrong: Wrong | None = None) -> Iterator[Record]:
    """`count` cars in the order of their indices, in `jobs` processes."""
    tasks = ((index, seed, wrong) for index in range(10 * count))
    if jobs == 1:
        yield from _first(count, (record(*task) for task in tasks))
        return
    with get_context("fork").Pool(jobs) as pool:
        yield from _first(count, pool.imap(_record, tasks, chunksize=4))


def _record(task: tuple[int, int, Wrong | None]) -> Record | None:
    return record(*task)


def _first(count: int, made: Iterator[Record | None]) -> Iterator[Record]:
    for one in made:
        if one is not None:
            yield one
            count -= 1
        if count == 0:
            return
