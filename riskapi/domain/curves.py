"""The distributions of an assessment, each on a lattice that fits it."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from riskapi.domain.costing import IMMEDIATE, REPAIRS, Basis, Transforms, distribution, make_transforms, unplanned
from riskapi.domain.lattice import Lattice, beyond, make_lattice, quantile
from riskapi.domain.timeline import Floats

POINTS, COARSE_POINTS, PILOT_POINTS = 512, 256, 128
FINEST = 0.004  # the step is never wanted finer than this share of the larger of budget and P90


@dataclass(frozen=True, slots=True)
class Curve:
    """Probabilities (N,) of a cost on a lattice."""

    pmf: Floats
    lattice: Lattice

    def quantile(self, level: float) -> float:
        """Smallest cost not exceeded with chance `level` [money]."""
        return quantile(self.pmf, self.lattice, level)

    def beyond(self, amount: float) -> float:
        """P(cost > amount [money])."""
        return float(beyond(self.pmf, self.lattice, amount))


@dataclass(frozen=True, slots=True)
class Curves:
    """Surprise cost of the whole term, up to each earlier horizon, and of it the immediate part.

    `transforms` are those on the lattice of the whole term; the others stand on a coarser one.
    """

    whole: Curve
    earlier: tuple[Curve, ...]
    immediate: Curve
    transforms: Transforms

    @property
    def span(self) -> float:
        """Length N h of the lattice of the whole term [money]."""
        return self.whole.lattice.step * self.whole.lattice.size


def draw_curves(basis: Basis, budget: float, mean: float) -> Curves:
    """Distributions on lattices whose midpoints hit the budget; `mean` is the expected surprise cost [money]."""
    lattice = fitted_lattice(basis, budget, mean)
    transforms = make_transforms(basis.prices, lattice, REPAIRS)
    coarse = make_lattice(budget, lattice.step * lattice.size / 2.0, COARSE_POINTS, 1.0 / COARSE_POINTS)
    rough = make_transforms(basis.prices, coarse, REPAIRS)
    return Curves(
        whole=Curve(distribution(basis, transforms, unplanned(basis.term)), lattice),
        earlier=tuple(Curve(distribution(basis, rough, unplanned(h)), coarse) for h in range(basis.term)),
        immediate=Curve(distribution(basis, rough, IMMEDIATE), coarse),
        transforms=transforms,
    )


def fitted_lattice(basis: Basis, budget: float, mean: float, size: int = POINTS) -> Lattice:
    """Step from the larger of budget and the P90 that a coarse pilot finds; N h is at least twice that."""
    largest = max(3.0 * mean, budget)
    pilot = make_lattice(budget, 2.0 * largest, PILOT_POINTS, 2.0 / PILOT_POINTS)
    rough = distribution(basis, make_transforms(basis.prices, pilot, REPAIRS), unplanned(basis.term))
    p90 = quantile(rough, pilot, 0.9) + pilot.step
    return make_lattice(budget, p90, size, max(2.0 / size, FINEST))


def after_work(basis: Basis, curves: Curves, work: Sequence[str]) -> Curve:
    """Surprise cost of the term once these weak points are put right on day 0; that work is no surprise any more."""
    renewed = [w for w, wp in enumerate(basis.outlook.lanes.weak_points) if wp.id in work]
    if not renewed:
        return curves.whole
    pmf = distribution(basis, curves.transforms, unplanned(basis.term), renewed)
    return Curve(pmf, curves.whole.lattice)
