"""Which look would settle the revision: features on the engine, by how much doubt each is expected to take away."""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np

from riskapi.domain.identify import Candidate
from riskapi.domain.knowledge import Check, Pack
from riskapi.domain.readings import CountedFinding, Readings
from riskapi.domain.roots import Root, root_likelihood
from riskapi.domain.timeline import Floats

WORTH_TELLING = 0.01  # [bits]


def settling_checks(
    pack: Pack, candidates: Sequence[Candidate], chances: Sequence[float], readings: Readings
) -> tuple[str, ...]:
    """Ids of checks not done yet whose features or traits tell the revisions apart, best first.

    `chances[c]` is the chance of candidate c given all findings. Best is the largest expected drop in the entropy of
    the revisions (the mutual information of check and revision; Shannon 1948).
    """
    dealt_with = {f.check.id for f in readings.counted} | {name for name, _ in (*readings.not_checked, *readings.void)}
    gains = {
        check.id: information(*_per_revision(feature_table(check, candidates), candidates, chances))
        for check in pack.checks
        if check.root not in (None, "care") and check.id not in dealt_with
    }
    return tuple(sorted((name for name in gains if gains[name] > WORTH_TELLING), key=lambda name: -gains[name]))


def feature_table(check: Check, candidates: Sequence[Candidate]) -> Floats:
    """P(result | candidate) of a check that reads the revision or a trait, (results, candidates)."""
    roots = [Root(c, 0, False, 1.0) for c in range(len(candidates))]
    looks = [CountedFinding(check.id, check, k, check.table, "", "self", "") for k in range(len(check.results))]
    return np.array([root_likelihood(look, roots, candidates) for look in looks])


def _per_revision(table: Floats, candidates: Sequence[Candidate], chances: Sequence[float]) -> tuple[Floats, Floats]:
    """P(result | revision) and the chances of the revisions, from those of candidates split by open traits."""
    revisions = [candidate.revision for candidate in candidates]
    mine = np.array([[revision == other for other in dict.fromkeys(revisions)] for revision in revisions], dtype=float)
    weights = np.asarray(chances, dtype=float)[:, None] * mine
    totals = weights.sum(axis=0)
    return np.asarray(table @ weights / np.where(totals > 0.0, totals, 1.0)), totals


def information(table: Floats, chances: Floats) -> float:
    """Expected drop in entropy [bits] over chances (C,) from a look with P(result | candidate) (K, C); at least 0."""
    joint = table * chances
    return max(_entropy(joint.sum(axis=0)) + _entropy(joint.sum(axis=1)) - _entropy(joint.ravel()), 0.0)


def _entropy(chances: Floats) -> float:
    """Entropy [bits]; what cannot be adds nothing."""
    possible = chances[chances > 0.0]
    return float(-(possible * np.log2(possible)).sum())
