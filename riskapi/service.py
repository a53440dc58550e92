"""The pipeline, one call per step: a case and a knowledge pack in, an assessment out."""

from __future__ import annotations

from riskapi.domain.account import all_cautions, assumptions_of, coverage_of, judgement_share, weak_point_results
from riskapi.domain.assessment import Assessment, CareChances
from riskapi.domain.case import Case
from riskapi.domain.export import network_of
from riskapi.domain.identify import identify
from riskapi.domain.knowledge import Pack
from riskapi.domain.lanes import lane_set
from riskapi.domain.lifetime import NODES
from riskapi.domain.money import expected
from riskapi.domain.outlook import look_ahead, mass_table
from riskapi.domain.posterior import group_roots, infer
from riskapi.domain.pricing import price_table
from riskapi.domain.readings import read_findings
from riskapi.domain.summary import cost_and_risk, decide, engine_as_identified, inputs_of, root_shares
from riskapi.domain.terms import terms_of


def assess(case: Case, pack: Pack, nodes: int = NODES) -> Assessment:
    """Assess one car. `nodes` is the number of doubt nodes per weak point (1 leaves doubt out).

    Raises CaseError (the case is at fault), FindingsClash (findings that cannot be together), TooComplex.
    """
    identity = identify(case, pack)
    readings = read_findings(case, pack)
    terms = terms_of(case, pack)
    lanes = lane_set(case, pack, identity, terms.annual, terms.years)
    outlook = look_ahead(lanes, terms.years, terms.horizons, pack.defaults.discount_rate, nodes)
    table = mass_table(outlook, range(len(lanes.roots)))
    groups = group_roots(pack, identity, lanes.roots, lanes.weak_points, readings.counted)
    posterior = infer(groups, lanes.roots, identity, readings.counted, table.masses)
    prices = price_table(pack, terms.level, identity, lanes.weak_points)
    means = expected(posterior, table, prices, lanes.roots)
    results = weak_point_results(lanes, posterior, table, means, readings)
    coverage = coverage_of(case, pack, readings)
    cost, risk = cost_and_risk(case, pack, identity, terms, outlook, posterior, table, prices, means, results, nodes)
    care, tune = root_shares(posterior, lanes.roots)
    return Assessment(
        as_of=case.as_of,
        reference=case.reference,
        knowledge_version=pack.version,
        knowledge_digest=pack.digest,
        judgement_share=judgement_share(pack, lanes, means),
        identification=engine_as_identified(identity, posterior, lanes.roots),
        care=CareChances(*care),
        tune=tune,
        risk=risk,
        weak_points=results,
        cost=cost,
        decision=decide(case, pack, results, risk, coverage),
        coverage=coverage,
        facts=lanes.timeline.facts,
        assumptions=assumptions_of(case, pack, identity, lanes, terms),
        cautions=all_cautions(pack, results, readings),
        network=network_of(identity, lanes.roots, lanes.weak_points, table, groups, readings.counted),
        inputs=inputs_of(identity, outlook, prices, terms, nodes),
    )
