"""How often what is only told of a failure would be true of engines of which nothing else is known."""

from __future__ import annotations

from dataclasses import replace

from numpy.random import Generator

from tests.simulator.parts import Life
from tests.simulator.play import play_recorded
from tests.simulator.pools import doubts
from tests.simulator.scenery import Roots, Slot
from tests.simulator.simulate import Car


def balanced(car: Car, count: int, rng: Generator) -> Car:
    """With the usual chance of what is only told of a failure, so that a tale is as likely as it is said to be."""
    roots, chances = car.roots, _Chances(car, count, rng)
    for place in range(len(roots[0].slots)):
        true = all_in_all = 0.0
        for one in roots:
            for share, life in one.slots[place].variants:
                for kind in () if life is None else (life, *life.apart):
                    for k, end in enumerate(kind.ended):
                        if end.tale:
                            mass = chances.of(replace(kind, ended=(*kind.ended[:k], replace(end, failed=False))))
                            all_in_all += one.prior * share * mass
                            true += one.prior * share * chances.of(replace(kind, ended=kind.ended[: k + 1]))
        if true > 0.0:
            roots = tuple(_with_usual(one, place, true / all_in_all) for one in roots)
    return replace(car, roots=roots)


class _Chances:
    """Plays every distinct life once."""

    def __init__(self, car: Car, count: int, rng: Generator) -> None:
        self._car, self._count, self._rng = car, count, rng
        self._found: dict[Life, float] = {}

    def of(self, life: Life) -> float:
        """Chance of what the papers say of it."""
        life = replace(life, apart=())
        if life not in self._found:
            doubt = doubts(self._car.terms, self._count, self._rng)
            self._found[life] = play_recorded(life, doubt, self._rng)[2]
        return self._found[life]


def _with_usual(roots: Roots, place: int, usual: float) -> Roots:
    def of(life: Life) -> Life:
        ended = tuple(replace(end, usual=usual) if end.tale else end for end in life.ended)
        return replace(life, ended=ended, apart=tuple(map(of, life.apart)))

    slot = roots.slots[place]
    new = Slot(slot.weak_point, tuple((share, life and of(life)) for share, life in slot.variants))
    return replace(roots, slots=(*roots.slots[:place], new, *roots.slots[place + 1 :]))
