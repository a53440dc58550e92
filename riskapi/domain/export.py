"""The network of one case as plain numbers, for anyone who wants to recompute the posterior (see Network)."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace

import numpy as np

from riskapi.domain.evidence import SymptomTables
from riskapi.domain.identify import EngineIdentity
from riskapi.domain.knowledge import CARES, WeakPoint
from riskapi.domain.lanes import Root
from riskapi.domain.network import CheckNode, Network, ParentLink, RootNode, SymptomNode, WeakPointNode
from riskapi.domain.outlook import MassTable
from riskapi.domain.posterior import Group, root_likelihood
from riskapi.domain.readings import CountedFinding
from riskapi.domain.timeline import Floats

GENERIC = "generic"


def network_of(
    identity: EngineIdentity,
    roots: Sequence[Root],
    weak_points: Sequence[WeakPoint],
    table: MassTable,
    groups: Sequence[Group],
    findings: Sequence[CountedFinding],
) -> Network:
    """Roots, weak points given roots and history, every symptom that was looked at or feeds one, and the findings."""
    totals = table.masses.sum(axis=1)  # (W, R)
    likelihood = totals.prod(axis=0)
    chances = np.where(totals[:, None] > 0.0, table.masses / np.where(totals > 0.0, totals, 1.0)[:, None], 1.0 / 3.0)
    names = _looked_at(groups[0].tables, findings)
    return Network(
        roots=_root_nodes(identity, roots),
        history_likelihood=tuple(float(x) for x in likelihood / max(float(likelihood.max()), 1e-300)),
        weak_points=tuple(
            WeakPointNode(wp.id, tuple((float(a), float(b), float(c)) for a, b, c in chances[w].T))
            for w, wp in enumerate(weak_points)
        ),
        symptoms=tuple(_symptom_node(name, groups, weak_points) for name in names),
        checks=tuple(_check_node(finding, identity, roots) for finding in findings),
        evidence=tuple((finding.node, finding.check.results[finding.result].id) for finding in findings),
    )


def _root_nodes(identity: EngineIdentity, roots: Sequence[Root]) -> tuple[RootNode, ...]:
    revisions = tuple(c.revision.id if c.revision else GENERIC for c in identity.candidates)
    nodes = [RootNode("revision", revisions, tuple(c.weight for c in identity.candidates))]
    cares = {root.care: 0.0 for root in roots}
    for root in roots:
        cares[root.care] += root.weight
    nodes.append(RootNode("care", tuple(CARES[c] for c in cares), tuple(cares.values())))
    tunes = {root.tuned: 0.0 for root in roots}
    for root in roots:
        tunes[root.tuned] += root.weight
    if len(tunes) > 1:
        nodes.append(RootNode("tune", tuple("yes" if t else "no" for t in tunes), tuple(tunes.values())))
    return tuple(nodes)


def _looked_at(tables: dict[str, SymptomTables], findings: Sequence[CountedFinding]) -> list[str]:
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


def _symptom_node(name: str, groups: Sequence[Group], weak_points: Sequence[WeakPoint]) -> SymptomNode:
    tables = [group.tables[name] for group in groups]
    links = []
    for index in sorted({index for table in tables for index in table.parents}):
        levels = tables[0].background.size
        cdfs = [table.parents.get(index, np.ones((3, levels))) for table in tables]
        same = all(np.array_equal(cdfs[0], cdf) for cdf in cdfs)
        links.append(
            ParentLink(weak_points[index].id, "weak_point", tuple(_rows(c) for c in (cdfs[:1] if same else cdfs)))
        )
    for higher, table in groups[0].tables.items():
        links += [ParentLink(higher, "symptom", (_rows(arc),)) for lower, arc in table.runs_down if lower == name]
    return SymptomNode(name, tables[0].symptom.levels, tuple(tables[0].background.tolist()), tuple(links))


def _check_node(finding: CountedFinding, identity: EngineIdentity, roots: Sequence[Root]) -> CheckNode:
    check = finding.check
    results = tuple(result.id for result in check.results)
    if check.root == "revision":
        table = _feature_table(finding, identity, roots)
        return CheckNode(finding.node, "root", "revision", results, table)
    if check.root is not None:
        return CheckNode(finding.node, "root", check.root, results, finding.table)
    return CheckNode(finding.node, "symptom", str(check.symptom), results, finding.table)


def _feature_table(
    finding: CountedFinding, identity: EngineIdentity, roots: Sequence[Root]
) -> tuple[tuple[float, ...], ...]:
    """P(result | revision), one row per candidate."""
    results = [replace(finding, result=k) for k in range(len(finding.check.results))]
    first = [next(i for i, r in enumerate(roots) if r.candidate == c) for c in range(len(identity.candidates))]
    return tuple(tuple(float(root_likelihood(r, roots, identity)[root]) for r in results) for root in first)
