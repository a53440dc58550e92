"""What the findings mean: posterior of roots and states, and what each finding did (model: findings, roots).

Root combinations of one engine candidate share their symptom tables and are swept side by side, together with
what-if columns: no findings, all, each alone, each left out. Column order: none, all, alone 0.., without 0...
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace

import numpy as np
import numpy.typing as npt

from riskapi.domain.earlier_lives import impossible_failures
from riskapi.domain.evidence import Observed, SymptomTables, content_of, observe, tables_of
from riskapi.domain.knowledge import Pack
from riskapi.domain.lanes import LaneSet
from riskapi.domain.readings import CountedFinding
from riskapi.domain.roots import root_likelihood
from riskapi.domain.sentence import at_fault, told
from riskapi.domain.sweep import Sweep
from riskapi.domain.sweep_columns import Columns
from riskapi.domain.sweep_plan import LIMIT
from riskapi.domain.timeline import Floats
from riskapi.errors import CaseError, Fault, FindingsClash, TooComplex

Bools = npt.NDArray[np.bool_]

NONE, ALL = 0, 1
ONE_SWEEP = 8 * LIMIT  # entries up to which a what-if column is swept, which happens once and not per frequency
SIDE_BY_SIDE = 1024  # entries of the sweep's array up to which all what-if columns share it
MANY = 2**16  # entries of a whole array from which it is worth finding columns and roots that are alike
MOST = 99.0  # decibans at which a weight of evidence is cut off


@dataclass(frozen=True, slots=True)
class Group:
    """Root combinations (indices) of one candidate engine, its symptom tables and what was observed under them."""

    roots: tuple[int, ...]
    tables: Mapping[str, SymptomTables]
    observed: Observed


@dataclass(frozen=True, slots=True)
class Posterior:
    """Everything per root combination r carries the root's chance given all findings and the history.

    root_chance (R,); prior_root_chance (R,): given the history only; state (W, 3, R) joint with the root, summing
    to root_chance; prior (W, 3): with history, without findings; alone, last_in (findings, W) [decibans];
    root_factor (R,): root weight times likelihood of what reads roots, over the probability of all findings;
    root_alone (findings, R): given the history and this finding by itself.
    """

    groups: tuple[Group, ...]
    root_chance: Floats
    prior_root_chance: Floats
    state: Floats
    prior: Floats
    alone: Floats
    last_in: Floats
    root_factor: Floats
    root_alone: Floats


def group_roots(pack: Pack, lanes: LaneSet, findings: Sequence[CountedFinding]) -> tuple[Group, ...]:
    """One group per candidate engine, with the plan for all findings; engines that show alike share `observed`.

    Raises TooComplex.
    """
    everything = np.ones((1, len(findings)), dtype=bool)
    names = tuple(wp.id for wp in lanes.weak_points)
    known: dict[tuple[tuple[int, bytes], ...], Group] = {}
    groups = []
    for mine, candidate in zip(_by_candidate(lanes), lanes.candidates, strict=True):
        content = content_of(pack, names, candidate.traits)
        if content not in known:
            tables = tables_of(pack, names, candidate.traits)
            known[content] = Group(mine, tables, _observed(len(names), tables, findings, everything))
        groups.append(replace(known[content], roots=mine))
    return tuple(groups)


def together(groups: Sequence[Group]) -> tuple[Group, ...]:
    """Groups that share `observed` as one, so that their root combinations are swept side by side."""
    found: dict[int, Group] = {}
    for group in groups:
        before = found.get(id(group.observed))
        found[id(group.observed)] = group if before is None else replace(before, roots=before.roots + group.roots)
    return tuple(found.values())


def candidate_chances(posterior: Posterior, lanes: LaneSet) -> list[float]:
    """Chance of each candidate engine given everything."""
    return [float(posterior.root_chance[list(mine)].sum()) for mine in _by_candidate(lanes)]


def unseen_roots(lanes: LaneSet) -> tuple[Group, ...]:
    """The groups of a car that nobody has looked at: no symptom matters."""
    nothing = observe(len(lanes.weak_points), {}, {}, 1)
    return tuple(Group(mine, {}, nothing) for mine in _by_candidate(lanes))


def _by_candidate(lanes: LaneSet) -> list[tuple[int, ...]]:
    """The root combinations of each candidate engine."""
    roots = list(enumerate(lanes.roots))
    return [tuple(i for i, root in roots if root.candidate == index) for index in range(len(lanes.candidates))]


def _likelihoods(findings: Sequence[CountedFinding], used: Bools) -> dict[str, Floats]:
    """Per symptom the product of its readings, (levels, columns); used[column, finding]."""
    result: dict[str, Floats] = {}
    for i, finding in enumerate(findings):
        symptom = finding.check.symptom
        if symptom is not None:
            column = np.where(used[:, i], np.array(finding.likelihood)[:, None], 1.0)
            result[symptom] = result[symptom] * column if symptom in result else column
    return result


def _observed(
    count: int,
    tables: Mapping[str, SymptomTables],
    findings: Sequence[CountedFinding],
    used: Bools,
    limit: int = LIMIT,
) -> Observed:
    """The sweep's input for the used findings, used[column, finding]. Raises TooComplex, naming findings."""
    try:
        return observe(count, tables, _likelihoods(findings, used), used.shape[0], limit)
    except TooComplex as error:
        raise TooComplex(error.message, error.causes, _knotted(findings, error.causes)) from error


def _knotted(findings: Sequence[CountedFinding], symptoms: Sequence[str]) -> list[Fault]:
    """The findings that read these symptoms, each with its place."""
    return [
        at_fault(
            finding.pointer,
            told(
                "{finding} hangs together with the others named here: the same weak points show in all of them.",
                finding=finding.said,
            ),
            told("Leave out the least telling of these findings; the answer is then exact for the rest."),
        )
        for finding in findings
        if finding.check.symptom in symptoms
    ]


def what_if_columns(count: int) -> Bools:
    """used[column, finding] for the columns none, all, alone 0.., without 0.."""
    eye = np.eye(count, dtype=bool)
    return np.concatenate([np.zeros((1, count), bool), np.ones((1, count), bool), eye, ~eye])


def infer(lanes: LaneSet, groups: Sequence[Group], findings: Sequence[CountedFinding], masses: Floats) -> Posterior:
    """Posterior from the masses (W, 3, R) joint with the history.

    Raises CaseError when the history by itself cannot have happened, FindingsClash, naming a smallest set, when the
    findings cannot be true together.
    """
    used = what_if_columns(len(findings))
    factor = _root_factors(lanes, findings, used)
    chance, joint = factor.copy(), np.zeros((used.shape[0], *masses.shape))  # (C, R) and (C, W, 3, R)
    for group in together(groups):
        index = np.array(group.roots)
        evidence, joint[..., index] = _columns(group, findings, used, masses[..., index])
        chance[:, index] *= evidence
    joint *= factor[:, None, None, :]
    totals = chance.sum(axis=1)
    if not totals[NONE] > 0.0:
        raise CaseError(impossible_failures(lanes, masses) or [_impossible_history()])
    if not totals[ALL] > 0.0:
        raise FindingsClash(_clash(lanes, groups, findings, masses))
    alone, last_in, prior = _weights_of_evidence(joint, totals)
    return Posterior(
        groups=tuple(groups),
        root_chance=chance[ALL] / totals[ALL],
        prior_root_chance=chance[NONE] / totals[NONE],
        state=joint[ALL] / totals[ALL],
        prior=prior,
        alone=alone,
        last_in=last_in,
        root_factor=factor[ALL] / totals[ALL],
        root_alone=_shares(chance[2 : 2 + len(findings)]),
    )


def without_each(lanes: LaneSet, groups: Sequence[Group], findings: Sequence[CountedFinding], masses: Floats) -> Floats:
    """States with one finding left out at a time, (findings, W, 3, R), each summing to 1 over R; NaN where the others
    cannot be true together."""
    used = ~np.eye(len(findings), dtype=bool)
    factor = _root_factors(lanes, findings, used)
    chance, joint = factor.copy(), np.zeros((len(findings), *masses.shape))
    for group in together(groups) if len(findings) else ():
        index = np.array(group.roots)
        evidence, joint[..., index] = _columns(group, findings, used, masses[..., index])
        chance[:, index] *= evidence
    totals = chance.sum(axis=1)
    return joint * factor[:, None, None, :] / np.where(totals > 0.0, totals, np.nan)[:, None, None, None]


def _shares(rows: Floats) -> Floats:
    """Each row over its sum."""
    totals = rows.sum(axis=1, keepdims=True)
    return np.asarray(rows / np.where(totals > 0.0, totals, 1.0))


def _root_factors(lanes: LaneSet, findings: Sequence[CountedFinding], used: Bools) -> Floats:
    """Weight of each root times the likelihood of the used findings that read roots, (C, R)."""
    rows = [root_likelihood(finding, lanes.roots, lanes.candidates) for finding in findings]
    reads = np.array(rows).reshape(len(findings), len(lanes.roots))
    weights = np.array([root.weight * root.way_weight for root in lanes.roots])
    return np.asarray(weights * np.where(used[:, :, None], reads[None], 1.0).prod(axis=1))


def _columns(group: Group, findings: Sequence[CountedFinding], used: Bools, masses: Floats) -> tuple[Floats, Floats]:
    """Probability of the findings (C, Rg) of every what-if column, and jointly with the states (C, W, 3, Rg).

    Columns side by side need the levels kept apart that any of them tells apart. Where that makes the array large they
    are taken in halves, down to single ones. Raises TooComplex when one column by itself is too much.
    """
    try:
        observed = _observed(masses.shape[0], group.tables, findings, used, ONE_SWEEP)
    except TooComplex:
        if len(used) == 1:
            raise
        return _in_halves(group, findings, used, masses)
    if observed.plan.largest > SIDE_BY_SIDE and len(used) > 1:
        return _in_halves(group, findings, used, masses)
    return _swept(observed, masses)


def _in_halves(group: Group, findings: Sequence[CountedFinding], used: Bools, masses: Floats) -> tuple[Floats, Floats]:
    halves = [_columns(group, findings, half, masses) for half in np.array_split(used, 2)]
    evidence, joint = zip(*halves, strict=True)
    return np.concatenate(evidence), np.concatenate(joint)


def _swept(observed: Observed, masses: Floats) -> tuple[Floats, Floats]:
    """The same for what was observed in these columns."""
    columns, roots = observed.constant.size, masses.shape[2]
    constant = observed.constant[:, None]
    weighed = observed.factors[..., None] * masses[:, :, None, :]
    if observed.plan.largest * columns * roots >= MANY:
        evidence, slopes = Columns(observed.plan, observed.weights, observed.factors, masses).gradients()
        joint = slopes * weighed
    else:
        weights = [np.repeat(w, roots, axis=1) for w in observed.weights]
        evidence, joint = Sweep(observed.plan, weights).marginals(weighed.reshape(*masses.shape[:2], columns * roots))
    joint = joint.reshape(weighed.shape) * constant
    return evidence.reshape(columns, roots) * constant, np.moveaxis(joint, 2, 0)


def _weights_of_evidence(joint: Floats, totals: Floats) -> tuple[Floats, Floats, Floats]:
    """What each finding did, alone and last in (findings, W) [decibans, I. J. Good], and the states without any."""
    n = (joint.shape[0] - 2) // 2
    chances = joint.sum(axis=3) / np.where(totals > 0.0, totals, 1.0)[:, None, None]
    odds = _log_odds(chances)
    alone = np.clip(odds[2 : 2 + n] - odds[NONE], -MOST, MOST)
    last_in = np.clip(odds[ALL] - odds[2 + n :], -MOST, MOST)
    return alone, last_in, chances[NONE]


def _log_odds(chances: Floats) -> Floats:
    """10 log10 odds of 'not sound', (C, W) from (C, W, 3)."""
    bad = chances[..., 1] + chances[..., 2]
    with np.errstate(divide="ignore"):
        odds = 10.0 * (np.log10(bad) - np.log10(chances[..., 0]))
    return np.asarray(np.clip(np.nan_to_num(odds, nan=0.0, posinf=1e3, neginf=-1e3), -1e3, 1e3))


# ---- what cannot be --------------------------------------------------------------------------------------


def _impossible_history() -> Fault:
    return at_fault(
        "/service_history",
        told(
            "What the history says cannot have happened to any engine of this kind as the knowledge pack describes it."
        ),
        told("Look at 'never_renewed' entries and past checks first; mark what is only told as evidence 'told'."),
    )


def _clash(lanes: LaneSet, groups: Sequence[Group], findings: Sequence[CountedFinding], masses: Floats) -> list[Fault]:
    """A smallest clashing set: leave findings out one by one as long as the rest still clashes."""
    kept = list(findings)
    for finding in findings:
        trial = [other for other in kept if other is not finding]
        if not evidence_of(lanes, groups, trial, masses) > 0.0:
            kept = trial
    message = told(
        "These findings cannot all be true of one engine: {findings}.", findings=tuple(item.said for item in kept)
    )
    mend = told("Check which of them was entered wrongly, or leave the doubtful one out.")
    return [at_fault(finding.pointer, message, mend) for finding in kept]


def evidence_of(lanes: LaneSet, groups: Sequence[Group], findings: Sequence[CountedFinding], masses: Floats) -> float:
    """Probability of these findings together with the history; `masses` (W, 3, R)."""
    everything = np.ones((1, len(findings)), dtype=bool)
    factor = _root_factors(lanes, findings, everything)[0]
    total = 0.0
    for group in together(groups):
        index = np.array(group.roots)
        evidence, _ = _columns(group, findings, everything, masses[..., index])
        total += float(evidence[0] @ factor[index])
    return total
