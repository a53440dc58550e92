"""The distributions of an assessment, each on a lattice that fits it."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from riskapi.domain.costing import (
    IMMEDIATE,
    REPAIRS,
    Basis,
    Transforms,
    distribution,
    distributions,
    make_transforms,
    unplanned,
)
from riskapi.domain.lattice import Lattice, beyond, make_lattice, quantile
from riskapi.domain.timeline import Floats

POINTS, COARSE_POINTS, PILOT_POINTS = 512, 256, 128
YEAR_POINTS = 160  # of the coarse ones: a lattice spans the P90 1.8 times at least, and no earlier year's is higher
FAR = 0.5  # share of the lattice of the whole term beyond which a budget gets a lattice of its own
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

    `score` is the whole term on a lattice that reaches the budget (the same curve unless the budget is far beyond the
    90th percentile), with its `transforms`. Earlier horizons and the immediate part stand on a coarser lattice; that of
    the horizons ends beyond the 90th percentile of the whole.
    """

    whole: Curve
    score: Curve
    earlier: tuple[Curve, ...]
    immediate: Curve
    transforms: Transforms

    @property
    def span(self) -> float:
        """Length N h of the lattice of the score [money]."""
        return self.score.lattice.span


def draw_curves(basis: Basis, budget: float, mean: float) -> Curves:
    """Distributions on lattices whose midpoints hit the budget; `mean` is the expected surprise cost [money]."""
    whole, score, transforms = draw_term(basis, budget, mean)
    immediate = Lattice(whole.lattice.span / COARSE_POINTS, COARSE_POINTS)
    at_once = Curve(distribution(basis, make_transforms(basis.prices, immediate, REPAIRS), IMMEDIATE), immediate)
    return Curves(whole, score, draw_years(basis, whole), at_once, transforms)


def draw_years(basis: Basis, whole: Curve) -> tuple[Curve, ...]:
    """The cost up to every horizon before the term, on half the points and only beyond the P90 of the whole term."""
    if not basis.term:
        return ()
    lattice = Lattice(whole.lattice.span / COARSE_POINTS, YEAR_POINTS)
    rough = make_transforms(basis.prices, lattice, REPAIRS)
    years = [unplanned(horizon) for horizon in range(basis.term)]
    return tuple(Curve(pmf, lattice) for pmf in distributions(basis, rough, years))


def draw_term(basis: Basis, budget: float, mean: float) -> tuple[Curve, Curve, Transforms]:
    """Of these curves `whole`, `score` and `transforms` alone."""
    whole, transforms = _whole_term(basis, fitted_lattice(basis, budget, mean))
    if budget <= FAR * whole.lattice.span:
        return whole, whole, transforms
    score, transforms = _whole_term(basis, make_lattice(budget, budget, POINTS, max(2.0 / POINTS, FINEST)))
    return whole, score, transforms


def _whole_term(basis: Basis, lattice: Lattice) -> tuple[Curve, Transforms]:
    transforms = make_transforms(basis.prices, lattice, REPAIRS)
    return Curve(distribution(basis, transforms, unplanned(basis.term)), lattice), transforms


def fitted_lattice(basis: Basis, budget: float, mean: float, size: int = POINTS) -> Lattice:
    """Step from the larger of budget and the P90 that a coarse pilot finds; N h is at least twice that.

    A budget far beyond the P90 is left to a lattice of its own: quantiles would drown in its step.
    """
    pilot = Lattice(12.0 * max(mean, 1.0) / PILOT_POINTS, PILOT_POINTS)
    rough = distribution(basis, make_transforms(basis.prices, pilot, REPAIRS), unplanned(basis.term))
    p90 = quantile(rough, pilot, 0.9) + pilot.step
    anchor = budget if budget <= 4.0 * p90 else p90
    return make_lattice(anchor, p90, size, max(2.0 / size, FINEST))


def after_work(basis: Basis, curves: Curves, work: Sequence[str]) -> Curve:
    """Surprise cost of the term once these weak points are put right on day 0; that work is no surprise any more."""
    renewed = [w for w, wp in enumerate(basis.outlook.lanes.weak_points) if wp.id in work]
    if not renewed:
        return curves.score
    pmf = distribution(basis, curves.transforms, unplanned(basis.term, renewed))
    return Curve(pmf, curves.score.lattice)
