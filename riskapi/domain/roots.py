"""What is unknown about the whole car: which revision, which care, whether a tune; and what reads these directly."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from itertools import product

import numpy as np

from riskapi.domain.case import Case
from riskapi.domain.identify import Candidate
from riskapi.domain.knowledge import Pack, WeakPoint
from riskapi.domain.readings import CountedFinding
from riskapi.domain.stress import TUNE
from riskapi.domain.timeline import Floats


@dataclass(frozen=True, slots=True)
class Root:
    """One combination: index of the candidate engine and of the care, tuned or not, and its chance before findings
    and history; with it one of the ways in which past results can have come about, and the weight of that."""

    candidate: int
    care: int
    tuned: bool
    weight: float
    way: int = 0
    way_weight: float = 1.0


def root_combinations(
    case: Case, pack: Pack, candidates: Sequence[Candidate], weak_points: Sequence[WeakPoint]
) -> tuple[Root, ...]:
    """Candidate engine (revision and open traits) x care x tune, row-major."""
    cares = [(index, share.prior) for index, share in enumerate(pack.defaults.care)]
    return tuple(
        Root(i, care, tuned, candidate.weight * prior * rate)
        for (i, candidate), (care, prior), (tuned, rate) in product(
            enumerate(candidates), cares, tunes(case, pack, weak_points)
        )
    )


def tunes(case: Case, pack: Pack, weak_points: Sequence[WeakPoint]) -> tuple[tuple[bool, float], ...]:
    """(tuned, chance): a root only when it is unknown and some weak point feels it."""
    felt = any(stress.condition == TUNE for wp in weak_points for stress in wp.stresses)
    base, stated = pack.defaults.tune_base_rate, case.vehicle.software_tune
    if stated != "unknown" or not felt:
        return ((stated == "yes", 1.0),)
    return ((False, 1.0 - base), (True, base))


def root_likelihood(finding: CountedFinding, roots: Sequence[Root], candidates: Sequence[Candidate]) -> Floats:
    """P(result | root combination), (R,); ones for a finding that reads a symptom."""
    if finding.check.root == "care":
        return np.array([finding.likelihood[root.care] for root in roots])
    if finding.check.root == "revision":
        return np.array([_feature(finding, candidates[root.candidate]) for root in roots])
    if finding.check.root is not None:
        return np.array([_by_trait(finding, candidates[root.candidate]) for root in roots])
    return np.ones(len(roots))


def _by_trait(finding: CountedFinding, candidate: Candidate) -> float:
    """A trait seen: P(result) over the values that it may have in this engine."""
    usual = finding.check.trait_values
    rows = dict(zip((value for value, _ in usual), finding.likelihood, strict=True))
    return sum(share * rows[value] for value, share in candidate.values_of(str(finding.check.root), usual))


def _feature(finding: CountedFinding, candidate: Candidate) -> float:
    """A feature seen: certain for the revisions that have it, impossible for those that have another one.

    A revision that the check knows nothing of gives every result the same chance, and so does hearsay to the share that
    its power leaves.
    """
    features = finding.check.features
    owners = [candidate.revision is not None and candidate.revision.id in named for named in features]
    seen = owners[finding.result] / sum(owners) if any(owners) else 1.0 / len(features)
    return finding.power * seen + (1.0 - finding.power) / len(features)
