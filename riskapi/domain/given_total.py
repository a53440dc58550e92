"""What each weak point costs on average in the cars whose surprise repairs come to a given total.

The transform of a spend with one weak point's share weighted by that share's size needs that weak point's factor
alone replaced by its derivative, so one forward and backward sweep gives every weak point. The lattice has a point at
the total itself: the shares add up to it.
"""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np

from riskapi.domain.costing import REPAIRS, Basis, Counting, Transforms, make_transforms, spender_of, unplanned
from riskapi.domain.jobs import Severity
from riskapi.domain.lattice import Complex, Lattice, compound, discretise, transform
from riskapi.domain.timeline import Floats

SIZES = (128, 256, 512)  # points to choose from
FEWEST = 12  # steps that the total should have at least
REACH = 2.5  # the lattice reaches at least so many times the 90th percentile


def means_given_total(basis: Basis, total: float, p90: float) -> Floats:
    """Expected surprise cost of every weak point (W,) [money] over the term, given that all together cost `total`,
    to within half a step; zeros where no car costs that. `p90` is the 90th percentile of the total [money]."""
    return means_at(basis, *_lattice(total, p90)) if total > 0.0 else np.zeros(len(basis.outlook.lanes.weak_points))


def means_at(basis: Basis, lattice: Lattice, point: int) -> Floats:
    """The same at a point of a lattice."""
    count = len(basis.outlook.lanes.weak_points)
    transforms = make_transforms(basis.prices, lattice, REPAIRS)
    slopes = _single_slopes(basis, transforms)
    wave = _at(point, lattice)
    chance, shares = 0.0, np.zeros(count)
    for one in basis.counting:
        uses, scale = one.uses, one.group.observed.constant[0] * basis.posterior.root_factor[one.roots]
        rows = spender_of(basis.outlook, transforms, uses).rows([unplanned(basis.term)])[:, 0]
        z, others = one.group.observed.gradients(uses.by_root(rows))
        weights = scale[:, None] * wave
        chance += float((weights * z).sum().real)
        own = np.einsum("usf,usf->u", _weighted_spend(basis, transforms, slopes, one), uses.to_uses(others * weights))
        np.add.at(shares, uses.weak_points, own.real)
    return np.maximum(shares / chance, 0.0) if chance > 0.0 else np.zeros(count)


def _lattice(total: float, p90: float) -> tuple[Lattice, int]:
    """A lattice with a point at the total, and which point that is."""
    reach = REACH * max(p90, total)
    size = next((n for n in SIZES if n * total / reach >= FEWEST), SIZES[-1])
    point = max(int(size * total / reach), 1)
    return Lattice(total / point, size), point


def _at(point: int, lattice: Lattice) -> Complex:
    """Weights c with P(cost = point) = Re sum_f c[f] Z[f], from the inverse real transform."""
    f = np.arange(lattice.frequencies)
    double = np.where((f == 0) | (2 * f == lattice.size), 1.0, 2.0)
    return np.asarray(double * np.exp(2j * np.pi * f * point / lattice.size) / (lattice.size * lattice.tilt[point]))


def _single_slopes(basis: Basis, transforms: Transforms) -> Complex:
    """Transforms of cost times its chance, in the rows of `transforms.single`."""
    lattice, severities = transforms.lattice, dict[int, Severity]()
    for key, price in basis.prices.items():
        severities[int(transforms.row["service"][key])] = price.in_service
        severities[int(transforms.row["found"][key])] = price.found
    rows = discretise([severities[row] for row in sorted(severities)], lattice)
    return transform(rows * (lattice.step * np.arange(lattice.size)), lattice)


def _weighted_spend(basis: Basis, transforms: Transforms, slopes: Complex, one: Counting) -> Complex:
    """(uses, 3, F): masses of the states times the transform of their spend weighted with the spend itself."""
    uses, single = one.uses, transforms.single
    service, found = (transforms.row[kind][uses.weak_points, uses.candidates] for kind in REPAIRS)
    counts = _stacked([basis.outlook.mean_events[lane][basis.term, :3] for lane in uses.lanes])
    copies, failures = np.arange(counts.shape[2]), np.arange(counts.shape[3])
    one_failure = (counts * failures)[..., 1:]
    one_copy = (counts * copies[:, None])[:, :, 1:]
    return np.asarray(
        slopes[service][:, None] * _spend(one_failure, single[service], single[found])
        + slopes[found][:, None] * _spend(one_copy, single[service], single[found])
    )


def _stacked(rows: Sequence[Floats]) -> Floats:
    """(uses, 3, F, N), filled up with zeros."""
    result = np.zeros((len(rows), 3, *(max(row.shape[axis] for row in rows) for axis in (1, 2))))
    for i, row in enumerate(rows):
        result[i, :, : row.shape[1], : row.shape[2]] = row
    return result


def _spend(counts: Floats, service: Complex, found: Complex) -> Complex:
    """sum_f sum_n counts[use, state, f, n] found**f service**n, (uses, 3, F); only where there is mass."""
    result = np.zeros((*counts.shape[:2], service.shape[1]), dtype=complex)
    use, state, copies = np.nonzero(counts.any(axis=3)) if counts.size else (np.zeros(0, dtype=int),) * 3
    if use.size:
        several = compound(counts[use, state, copies], service[use]) * found[use] ** copies[:, None]
        np.add.at(result, (use, state), several)
    return result
