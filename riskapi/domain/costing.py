"""From posterior masses to the exact cost distribution, with every root combination and symptom kept in it.

The masses of each weak point's states are multiplied by characteristic functions of its spend and swept like
any other masses; the mixture over root combinations is summed before one inverse transform.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from functools import cached_property

import numpy as np
import numpy.typing as npt

from riskapi.domain.jobs import Severity
from riskapi.domain.lattice import Complex, Lattice, discretise, transform
from riskapi.domain.outlook import Outlook
from riskapi.domain.posterior import Group, Posterior, together
from riskapi.domain.spending import IMMEDIATE, PLANNED, Singles, Spender, SpendKind, unplanned
from riskapi.domain.sweep_shared import SharedSweep
from riskapi.domain.timeline import Floats
from riskapi.domain.uses import Lives, Uses, uses_of

__all__ = ["IMMEDIATE", "PLANNED", "SpendKind", "unplanned"]

Indices = npt.NDArray[np.intp]

ROOT_FLOOR = 1e-9  # root combinations below this chance are left out of cost distributions (their share is dropped)


@dataclass(frozen=True, slots=True)
class Prices:
    """Severities of a weak point (by index) under a candidate engine: in service, found faulty, planned renewal."""

    in_service: Severity
    found: Severity
    planned: Severity | None


PriceTable = Mapping[tuple[int, int], Prices]  # (weak point, candidate)


@dataclass(frozen=True)
class Basis:
    """What every cost figure is computed from; `like` is another basis of the same car, of other plans or prices."""

    outlook: Outlook
    posterior: Posterior
    prices: PriceTable
    like: Basis | None = None

    @property
    def term(self) -> int:
        """Index of the last horizon: the whole ownership period."""
        return len(self.outlook.horizons) - 1

    @cached_property
    def counting(self) -> tuple[Counting, ...]:
        """Root combinations that are not too improbable to matter, with the lanes in use under them."""
        if self.like is not None and self.like.alike == self.alike:
            return self.like.counting
        chance, found = self.posterior.root_chance, []
        for group in together(self.posterior.groups):
            roots = [r for r in group.roots if chance[r] > ROOT_FLOOR]
            if roots:
                found.append(Counting(group, roots, uses_of(self.outlook.lanes, roots, self.alike)))
        return tuple(found)

    @cached_property
    def alike(self) -> dict[tuple[int, int], int]:
        """For each weak point under a candidate engine the first engine with the same prices."""
        known: dict[tuple[int, int, int, int], int] = {}
        return {
            (w, c): known.setdefault((w, id(each.in_service), id(each.found), id(each.planned)), c)
            for (w, c), each in self.prices.items()
        }


@dataclass(frozen=True)
class Counting:
    """Root combinations (indices) that count, of candidate engines that show alike, and the lanes in use under them."""

    group: Group
    roots: list[int]
    uses: Uses

    @cached_property
    def touched(self) -> tuple[list[int], Uses]:
        """The weak points that an open symptom hangs together with, and their lanes."""
        lone = set(self.group.observed.plan.lone)
        mine = [w for w in range(self.uses.absent.shape[0]) if w not in lone]
        return mine, self.uses.of(mine)

    @cached_property
    def shared(self) -> SharedSweep:
        """The sweep of those, as far as root combinations share their lives."""
        mine, uses = self.touched
        lives = np.zeros(self.uses.absent.shape, dtype=np.intp)
        lives[mine] = uses.lives.index
        return SharedSweep(self.group.observed.sweep, lives)

    @cached_property
    def lone(self) -> tuple[Uses, Lives, Floats]:
        """The lanes of all other weak points, how they mix, and the factors of their states (uses, 3)."""
        mine = sorted(self.group.observed.plan.lone)
        uses = self.uses.of(mine)
        return uses, uses.lives, self.group.observed.factors[uses.weak_points, :, 0]


@dataclass(frozen=True, slots=True)
class Transforms:
    """Transforms of single costs on one lattice: `single` (D + 1, F) of the distinct ones, the last of no cost at all.

    `row[kind][weak point, candidate]` is the row to use, for each of the kinds 'service' and 'found', or 'planned'.
    """

    lattice: Lattice
    single: Complex
    row: Mapping[str, Indices]

    def of(self, kind: str, uses: Uses) -> Singles:
        """The single costs of the weak points in use."""
        return Singles(self.single, self.row[kind][uses.weak_points, uses.candidates])


REPAIRS, RENEWALS = ("service", "found"), ("planned",)
EARLY = "early"  # failures in service that come early, where they cost something else than late ones


def make_transforms(prices: PriceTable, lattice: Lattice, kinds: Sequence[str]) -> Transforms:
    """Discretise each distinct severity once; `kinds` are REPAIRS or RENEWALS."""
    shape = (1 + max((w for w, _ in prices), default=0), 1 + max((c for _, c in prices), default=0))
    rows: dict[str, Indices] = {}
    distinct: dict[Severity, int] = {}
    for kind in kinds:
        rows[kind] = np.full(shape, -1)  # the last row
        for key, price in prices.items():
            severity = {"service": price.in_service, "found": price.found, "planned": price.planned}[kind]
            if severity is not None:
                rows[kind][key] = distinct.setdefault(severity, len(distinct))
    single = transform(discretise(list(distinct), lattice), lattice)
    return Transforms(lattice, np.concatenate([single, np.ones((1, lattice.frequencies))]), rows)


def distribution(basis: Basis, transforms: Transforms, spend: SpendKind) -> Floats:
    """Probabilities (N,) of a spend on the lattice."""
    return np.asarray(distributions(basis, transforms, [spend])[0])


def distributions(basis: Basis, transforms: Transforms, spends: Sequence[SpendKind]) -> Floats:
    """The same for several spends, (spends, N); planned work goes by itself."""
    total = np.zeros((len(spends), transforms.lattice.frequencies), dtype=complex)
    for one in basis.counting:
        z = _swept(basis.outlook, transforms, one, spends) * _lone(basis.outlook, transforms, one, spends)
        total += one.group.observed.constant[0] * np.einsum("r,srf->sf", basis.posterior.root_factor[one.roots], z)
    return transforms.lattice.pmf(total)


def _swept(outlook: Outlook, transforms: Transforms, one: Counting, spends: Sequence[SpendKind]) -> Complex:
    """What the sweep makes of the weak points that open symptoms touch, (spends, R, F)."""
    touched, uses = one.touched
    if not touched:
        return np.ones((len(spends), len(one.roots), transforms.lattice.frequencies), dtype=complex)
    factors = one.group.observed.factors[uses.weak_points, :, 0]
    rows = spender_of(outlook, transforms, uses, _kinds(spends)).rows(spends) * factors[:, None, :, None]
    flat = rows.transpose(0, 2, 1, 3).reshape(len(rows), 3, -1)
    z = one.shared.evidence(uses.lives.extended(flat))
    return z.reshape(len(one.roots), len(spends), -1).transpose(1, 0, 2)


def _lone(outlook: Outlook, transforms: Transforms, one: Counting, spends: Sequence[SpendKind]) -> Complex:
    """The product over all other weak points, (spends, R, F)."""
    uses, lives, factors = one.lone
    rows = spender_of(outlook, transforms, uses, _kinds(spends)).rows(spends, factors)[:, :, 0]
    product = lives.product(rows.reshape(len(rows), len(spends) * rows.shape[2]))
    return np.asarray(product.reshape(len(one.roots), len(spends), -1).transpose(1, 0, 2))


def spender_of(outlook: Outlook, transforms: Transforms, uses: Uses, kinds: Sequence[str] = REPAIRS) -> Spender:
    """The lanes in use with what one repair costs; `kinds` are REPAIRS or RENEWALS."""
    early = transforms.of(EARLY, uses) if EARLY in transforms.row else None
    return Spender(outlook, uses, transforms.of(kinds[0], uses), transforms.of(kinds[-1], uses), early)


def _kinds(spends: Sequence[SpendKind]) -> Sequence[str]:
    return RENEWALS if PLANNED in spends else REPAIRS
