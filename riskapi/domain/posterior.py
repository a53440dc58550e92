"""What the findings mean: posterior of roots and states, and what each finding did (model: findings, roots).

Root combinations of one engine candidate share their symptom tables and are swept side by side, together with
what-if columns: no findings, all, each alone, each left out. Column order: none, all, alone 0.., without 0...
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from riskapi.domain.evidence import Observed, SymptomTables, observe, symptom_tables
from riskapi.domain.identify import EngineIdentity
from riskapi.domain.knowledge import Pack, WeakPoint
from riskapi.domain.lanes import Root
from riskapi.domain.readings import CountedFinding
from riskapi.domain.sweep import Sweep
from riskapi.domain.timeline import Floats
from riskapi.errors import CaseError, Fault, FindingsClash

NONE, ALL = 0, 1
MOST = 99.0  # decibans at which a weight of evidence is cut off


@dataclass(frozen=True, slots=True)
class Group:
    """Root combinations (indices) of one candidate engine, its symptom tables and what was observed under them."""

    roots: tuple[int, ...]
    tables: dict[str, SymptomTables]
    observed: Observed


@dataclass(frozen=True, slots=True)
class Posterior:
    """Everything per root combination r carries the root's chance given all findings and the history.

    root_chance (R,); prior_root_chance (R,): given the history only; state (W, 3, R) joint with the root, summing
    to root_chance; prior (W, 3): with history, without findings; alone, last_in (findings, W) [decibans];
    root_factor (R,): root weight times likelihood of what reads roots, times constants.
    """

    groups: tuple[Group, ...]
    root_chance: Floats
    prior_root_chance: Floats
    state: Floats
    prior: Floats
    alone: Floats
    last_in: Floats
    root_factor: Floats


def group_roots(
    pack: Pack,
    identity: EngineIdentity,
    roots: Sequence[Root],
    weak_points: Sequence[WeakPoint],
    findings: Sequence[CountedFinding],
) -> tuple[Group, ...]:
    """One group per candidate engine, with the plan for all findings."""
    groups = []
    for index, candidate in enumerate(identity.candidates):
        mine = tuple(i for i, root in enumerate(roots) if root.candidate == index)
        tables = symptom_tables(pack, weak_points, candidate.traits)
        seen = _likelihoods(findings, np.ones((1, len(findings)), dtype=bool), tables)
        groups.append(Group(mine, tables, observe(len(weak_points), tables, seen, 1)))
    return tuple(groups)


def _likelihoods(
    findings: Sequence[CountedFinding], used: np.typing.NDArray[np.bool_], tables: dict[str, SymptomTables]
) -> dict[str, Floats]:
    """Per symptom the product of its readings, (levels, columns); used[column, finding]."""
    result: dict[str, Floats] = {}
    for i, finding in enumerate(findings):
        if finding.check.symptom is None:
            continue
        own = np.array(finding.likelihood)[:, None]
        column = np.where(used[:, i], own, 1.0)
        known = result.get(finding.check.symptom)
        result[finding.check.symptom] = column if known is None else known * column
    return result


def root_likelihood(finding: CountedFinding, roots: Sequence[Root], identity: EngineIdentity) -> Floats:
    """P(result | root combination), (R,); ones for a finding that reads a symptom."""
    check = finding.check
    if check.root == "care":
        return np.array([finding.likelihood[root.care] for root in roots])
    if check.root == "revision":
        return np.array([_feature(finding, identity, root) for root in roots])
    return np.ones(len(roots))


def _feature(finding: CountedFinding, identity: EngineIdentity, root: Root) -> float:
    """A feature seen: certain for the revisions that have it, impossible for those that have another one.

    A revision that the check knows nothing of gives every result the same chance.
    """
    revision = identity.candidates[root.candidate].revision
    features = finding.check.features
    owners = [revision is not None and revision.id in named for named in features]
    return owners[finding.result] / sum(owners) if any(owners) else 1.0 / len(features)


def what_if_columns(count: int) -> np.typing.NDArray[np.bool_]:
    """used[column, finding] for the columns none, all, alone 0.., without 0.."""
    eye = np.eye(count, dtype=bool)
    return np.concatenate([np.zeros((1, count), bool), np.ones((1, count), bool), eye, ~eye])


def infer(
    groups: Sequence[Group],
    roots: Sequence[Root],
    identity: EngineIdentity,
    findings: Sequence[CountedFinding],
    masses: Floats,
) -> Posterior:
    """Posterior from the masses (W, 3, R) joint with the history.

    Raises FindingsClash, naming a smallest set, when the findings cannot be true together.
    """
    used = what_if_columns(len(findings))
    reads_roots = np.array([root_likelihood(f, roots, identity) for f in findings]).reshape(len(findings), len(roots))
    factor = np.array([root.weight for root in roots]) * np.where(used[:, :, None], reads_roots[None], 1.0).prod(
        axis=1
    )  # (C, R)
    joint = np.zeros((used.shape[0], *masses.shape))  # (C, W, 3, R)
    for group in groups:
        index = np.array(group.roots)
        joint[..., index] = _columns(group, findings, used, masses[..., index])
    joint *= factor[:, None, None, :]
    totals = joint[:, 0].sum(axis=(1, 2)) if masses.shape[0] else factor.sum(axis=1)
    if not totals[NONE] > 0.0:
        raise CaseError([_impossible_history()])
    if not totals[ALL] > 0.0:
        raise FindingsClash(_clash(groups, roots, identity, findings, masses))
    chances = joint.sum(axis=3) / np.where(totals > 0.0, totals, 1.0)[:, None, None]
    odds = _log_odds(chances)
    n = len(findings)
    return Posterior(
        groups=tuple(groups),
        root_chance=joint[ALL, 0].sum(axis=0) / totals[ALL],
        prior_root_chance=joint[NONE, 0].sum(axis=0) / totals[NONE],
        state=joint[ALL] / totals[ALL],
        prior=chances[NONE],
        alone=np.clip(odds[2 : 2 + n] - odds[NONE], -MOST, MOST),
        last_in=np.clip(odds[ALL] - odds[2 + n :], -MOST, MOST),
        root_factor=factor[ALL] / totals[ALL],
    )


def _columns(
    group: Group, findings: Sequence[CountedFinding], used: np.typing.NDArray[np.bool_], masses: Floats
) -> Floats:
    """Joint masses (C, W, 3, Rg) of states and findings for every what-if column."""
    columns, roots = used.shape[0], masses.shape[2]
    seen = _likelihoods(findings, used, group.tables)
    observed = observe(masses.shape[0], group.tables, seen, columns)
    batch = (observed.factors[..., None] * masses[:, :, None, :]).reshape(*masses.shape[:2], columns * roots)
    weights = [np.repeat(w, roots, axis=1) for w in observed.weights]
    _, joint = Sweep(observed.plan, weights).marginals(batch)
    joint = joint.reshape(*masses.shape[:2], columns, roots) * observed.constant[:, None]
    return np.moveaxis(joint, 2, 0)


def _log_odds(chances: Floats) -> Floats:
    """10 log10 odds of 'not sound', (C, W) from (C, W, 3)."""
    bad = chances[..., 1] + chances[..., 2]
    with np.errstate(divide="ignore"):
        odds = 10.0 * (np.log10(bad) - np.log10(chances[..., 0]))
    return np.asarray(np.clip(np.nan_to_num(odds, nan=0.0, posinf=1e3, neginf=-1e3), -1e3, 1e3))


def _impossible_history() -> Fault:
    return Fault(
        "/service_history",
        "What the history says cannot have happened to any engine of this kind as the knowledge pack describes it.",
        "Look at 'never_renewed' entries and past checks first; mark what is only told as evidence 'told'.",
    )


def _clash(
    groups: Sequence[Group],
    roots: Sequence[Root],
    identity: EngineIdentity,
    findings: Sequence[CountedFinding],
    masses: Floats,
) -> list[Fault]:
    """A smallest clashing set: leave findings out one by one as long as the rest still clashes."""
    kept = list(range(len(findings)))
    for i in range(len(findings)):
        trial = [k for k in kept if k != i]
        if not evidence_of(groups, roots, identity, [findings[k] for k in trial], masses) > 0.0:
            kept = trial
    names = ", ".join(f"{findings[k].check.id} = {findings[k].check.results[findings[k].result].id}" for k in kept)
    return [
        Fault(
            findings[k].pointer,
            f"These findings cannot all be true of one engine: {names}.",
            "Check which of them was entered wrongly, or leave the doubtful one out.",
        )
        for k in kept
    ]


def evidence_of(
    groups: Sequence[Group],
    roots: Sequence[Root],
    identity: EngineIdentity,
    findings: Sequence[CountedFinding],
    masses: Floats,
) -> float:
    """Probability of these findings together with the history."""
    total = 0.0
    factor = np.array([root.weight for root in roots])
    for finding in findings:
        factor = factor * root_likelihood(finding, roots, identity)
    for group in groups:
        index = np.array(group.roots)
        everything = np.ones((1, len(findings)), dtype=bool)
        joint = _columns(group, findings, everything, masses[..., index])[0]
        total += float(joint[0].sum(axis=0) @ factor[index])
    return total
