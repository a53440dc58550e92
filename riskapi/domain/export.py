"""The network of one case as plain numbers, for anyone who wants to recompute the posterior (see Network)."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import replace

import numpy as np

from riskapi.domain.evidence import SymptomTables
from riskapi.domain.identify import TraitClass
from riskapi.domain.knowledge import WeakPoint
from riskapi.domain.lanes import LaneSet
from riskapi.domain.network import CheckNode, Network, ParentLink, SymptomNode, WeakPointNode
from riskapi.domain.outlook import MassTable
from riskapi.domain.posterior import Group
from riskapi.domain.readings import CountedFinding
from riskapi.domain.root_axes import RootAxes
from riskapi.domain.roots import root_likelihood
from riskapi.domain.timeline import Floats


def network_of(
    lanes: LaneSet, table: MassTable, groups: Sequence[Group], findings: Sequence[CountedFinding]
) -> Network:
    """Roots, weak points given roots and history, every symptom that was looked at or feeds one, and the findings."""
    axes = RootAxes(lanes)
    totals = table.masses.sum(axis=1)  # (W, R)
    chances = np.where(totals[:, None] > 0.0, table.masses / np.where(totals > 0.0, totals, 1.0)[:, None], 1.0 / 3.0)
    likelihood = axes.spread(totals.prod(axis=0)) * axes.correction
    chances = axes.spread(np.maximum(chances, 0.0))  # rounding of what cannot be
    names = _looked_at(groups[0].tables, findings)
    return Network(
        roots=axes.nodes,
        history_likelihood=tuple(float(x) for x in likelihood / max(float(likelihood.max()), 1e-300)),
        weak_points=tuple(
            WeakPointNode(wp.id, tuple((float(a), float(b), float(c)) for a, b, c in chances[w].T))
            for w, wp in enumerate(lanes.weak_points)
        ),
        symptoms=tuple(_symptom_node(name, groups, lanes.weak_points, axes) for name in names),
        checks=tuple(_check_node(finding, lanes) for finding in findings),
        evidence=tuple((finding.node, finding.check.results[finding.result].id) for finding in findings),
    )


def _looked_at(tables: Mapping[str, SymptomTables], findings: Sequence[CountedFinding]) -> list[str]:
    """Symptoms with a finding and every zone above them, in the order of the pack."""
    wanted = {finding.check.symptom for finding in findings if finding.check.symptom is not None}
    grew = True
    while grew:
        above = {name for name, table in tables.items() if any(lower in wanted for lower, _ in table.runs_down)}
        grew = not above <= wanted
        wanted |= above
    return [name for name in tables if name in wanted]


def _rows(cdf: Floats) -> tuple[tuple[float, ...], ...]:
    return tuple(tuple(row) for row in cdf.tolist())


def _symptom_node(name: str, groups: Sequence[Group], weak_points: Sequence[WeakPoint], axes: RootAxes) -> SymptomNode:
    """A symptom with its weak points in the pack's order, then the zones above it."""
    tables = [group.tables[name] for group in groups]
    levels = tables[0].background.size
    links = []
    for index in sorted({index for table in tables for index in table.parents}):
        cdfs = np.array([table.parents.get(index, np.ones((3, levels))) for table in tables])
        by, kept = axes.by_engine(cdfs)
        links.append(ParentLink(weak_points[index].id, "weak_point", tuple(map(_rows, kept)), by))
    for higher, table in groups[0].tables.items():
        links += [ParentLink(higher, "symptom", (_rows(arc),)) for lower, arc in table.runs_down if lower == name]
    return SymptomNode(name, tables[0].symptom.levels, tuple(tables[0].background.tolist()), tuple(links))


def _check_node(finding: CountedFinding, lanes: LaneSet) -> CheckNode:
    check = finding.check
    results = tuple(result.id for result in check.results)
    trait = next((trait for trait in lanes.open_traits if trait.name == check.root), None)
    if trait is not None:
        rows = dict(zip((value for value, _ in check.trait_values), finding.table, strict=True))
        table = _rows(np.array([_mean_row(rows, group) for group in trait.classes]))
        return CheckNode(finding.node, "root", trait.name, results, table)
    if check.root not in (None, "care"):
        return CheckNode(finding.node, "root", "revision", results, _feature_table(finding, lanes))
    if check.root is not None:
        return CheckNode(finding.node, "root", check.root, results, finding.table)
    return CheckNode(finding.node, "symptom", str(check.symptom), results, finding.table)


def _mean_row(rows: Mapping[str, Sequence[float]], group: TraitClass) -> Floats:
    """P(result | one of these values)."""
    usual = np.array([rate for _, rate in group])
    return np.asarray(usual / usual.sum() @ np.array([rows[value] for value, _ in group]))


def _feature_table(finding: CountedFinding, lanes: LaneSet) -> tuple[tuple[float, ...], ...]:
    """P(result | revision), one row per revision."""
    results = [replace(finding, result=k) for k in range(len(finding.check.results))]
    revisions = [candidate.revision for candidate in lanes.candidates]
    numbers = [revisions.index(revision) for revision in dict.fromkeys(revisions)]
    first = [next(r for r in lanes.roots if r.candidate == c) for c in numbers]
    return _rows(np.array([root_likelihood(result, first, lanes.candidates) for result in results]).T)
