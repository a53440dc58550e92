"""How much of the doubt about the cost a set of checks takes away, from first and second moments alone.

The value of a set is the variance of the expected cost that its results explain by adding up: that of the best
prediction which gives every result of every check a fixed amount and adds the amounts (linear regression on the
results). For one check it is exactly the variance of E[cost | result]. For several it is a floor of the variance of
E[cost | all results], which also sees what results say only together; it never falls as checks are added.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from riskapi.domain.result_moments import Moments
from riskapi.domain.timeline import Floats

NO_VARIANCE = 1e-13  # of a feature, below which its result never comes out
RANK = 1e-9  # relative size of an eigenvalue that counts as zero


@dataclass(frozen=True)
class Told:
    """Residual covariance of the features (scaled to variance one at the start) and with the cost [money], after what
    is already in the set; `members` are the features of each candidate."""

    members: tuple[Floats, ...]
    covariance: Floats
    with_cost: Floats

    def gain(self, candidate: int) -> float:
        """Variance of the cost that this candidate explains on top [money^2], never negative."""
        at = self.members[candidate]
        inverse, mine = _inverse(self.covariance[np.ix_(at, at)]), self.with_cost[at]
        return max(float(mine @ inverse @ mine), 0.0)

    def together(self, candidates: Sequence[int]) -> float:
        """Variance that these candidates explain on top, all of them [money^2]."""
        at = np.concatenate([self.members[c] for c in candidates]) if candidates else np.zeros(0, dtype=int)
        mine = self.with_cost[at]
        return max(float(mine @ _inverse(self.covariance[np.ix_(at, at)]) @ mine), 0.0)

    def after(self, candidate: int) -> Told:
        """What is left once this candidate is in the set."""
        at = self.members[candidate]
        across = self.covariance[:, at] @ _inverse(self.covariance[np.ix_(at, at)])
        covariance = self.covariance - across @ self.covariance[at]
        return Told(self.members, covariance, self.with_cost - across @ self.with_cost[at])

    def only(self, candidates: Sequence[int]) -> Told:
        """The same with nothing but the features of these candidates, numbered from 0."""
        at = np.concatenate([self.members[c] for c in candidates])
        ends = np.cumsum([self.members[c].size for c in candidates])
        places = tuple(np.arange(end - self.members[c].size, end) for c, end in zip(candidates, ends, strict=True))
        return Told(places, self.covariance[np.ix_(at, at)], self.with_cost[at])

    def least_independence(self, candidates: Sequence[int]) -> float:
        """Smallest eigenvalue of the covariance of these candidates, each whitened by itself [0..1].

        What a set explains is at most the sum of its members' gains over this (Das & Kempe 2011, Submodular meets
        spectral, lemma 2.4: the submodularity ratio is at least the smallest eigenvalue).
        """
        white = [_root_inverse(self.covariance[np.ix_(self.members[c], self.members[c])]) for c in candidates]
        if not white:
            return 1.0
        at = np.concatenate([self.members[c] for c in candidates])
        spread = _blocks(white)
        whitened = spread.T @ self.covariance[np.ix_(at, at)] @ spread
        return float(min(max(np.linalg.eigvalsh(whitened)[0], 0.0), 1.0)) if whitened.size else 1.0


def told_by(moments: Moments, members: Sequence[Sequence[str]]) -> Told:
    """Nothing done yet; each candidate is the checks (ids) that it answers."""
    variance = np.diag(moments.covariance)
    alive = variance > NO_VARIANCE
    scale = np.where(alive, 1.0 / np.sqrt(np.where(alive, variance, 1.0)), 0.0)
    places = [[np.arange(moments.place[c].start, moments.place[c].stop) for c in checks] for checks in members]
    features = tuple(np.concatenate(each)[alive[np.concatenate(each)]] for each in places)
    return Told(features, moments.covariance * np.outer(scale, scale), moments.with_cost * scale)


def _inverse(matrix: Floats) -> Floats:
    """Inverse on what is not empty of a covariance (Moore & Penrose)."""
    values, vectors = np.linalg.eigh(matrix)
    kept = values > RANK
    return np.asarray((vectors[:, kept] / values[kept]) @ vectors[:, kept].T)


def _root_inverse(matrix: Floats) -> Floats:
    """Columns that whiten a covariance on what is not empty of it, (n, rank)."""
    values, vectors = np.linalg.eigh(matrix)
    kept = values > RANK
    return np.asarray(vectors[:, kept] / np.sqrt(values[kept]))


def _blocks(parts: Sequence[Floats]) -> Floats:
    """Matrices along a diagonal."""
    rows, columns = (sum(part.shape[axis] for part in parts) for axis in (0, 1))
    result, row, column = np.zeros((rows, columns)), 0, 0
    for part in parts:
        result[row : row + part.shape[0], column : column + part.shape[1]] = part
        row, column = row + part.shape[0], column + part.shape[1]
    return result
