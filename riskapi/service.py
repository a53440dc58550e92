"""The pipeline, one call per step: a case and a knowledge pack in, an assessment or a checklist out."""

from __future__ import annotations

from dataclasses import replace

from riskapi.domain.account import all_cautions, judgement_share
from riskapi.domain.advice import work_now
from riskapi.domain.assessment import Assessment
from riskapi.domain.assumptions import assumptions_of
from riskapi.domain.case import Case
from riskapi.domain.checklist import Checklist
from riskapi.domain.contract import contract_figures
from riskapi.domain.cost_figures import cost_figures
from riskapi.domain.costing import Basis
from riskapi.domain.curves import draw_curves
from riskapi.domain.decision import decide, gain_of_buying, priced
from riskapi.domain.export import network_of
from riskapi.domain.glance import Glance, Standing, glance
from riskapi.domain.identify import identify
from riskapi.domain.knowledge import Pack
from riskapi.domain.lanes import lane_set
from riskapi.domain.lifetime import NODES
from riskapi.domain.means import expected
from riskapi.domain.open_traits import with_open_traits
from riskapi.domain.outlook import look_ahead
from riskapi.domain.posterior import group_roots, infer
from riskapi.domain.pricing import price_table, service_items
from riskapi.domain.purchase import plan_purchase
from riskapi.domain.readings import read_findings
from riskapi.domain.risk import fixed_chances, risk_figures
from riskapi.domain.root_evidence import care_says, trait_chances, tune_says
from riskapi.domain.sensitivity import sensitivity
from riskapi.domain.summary import care_chances, engine_as_identified, inputs_of, tune_chance
from riskapi.domain.terms import terms_of
from riskapi.domain.visit_plan import Known, visit_plan
from riskapi.domain.what_if import Base, Changes, Figures, base_of, what_if

__all__ = [
    "Base",
    "Changes",
    "Figures",
    "Glance",
    "Standing",
    "assess",
    "assess_from",
    "base_of",
    "checklist",
    "glance",
    "sensitivity",
    "what_if",
]


def assess(case: Case, pack: Pack, nodes: int = NODES) -> Assessment:
    """Assess one car. `nodes` is the number of doubt nodes per weak point (1 leaves doubt out).

    Raises CaseError (the case is at fault), FindingsClash (findings that cannot be together), TooComplex.
    """
    return assess_from(base_of(case, pack, nodes))


def assess_from(base: Base) -> Assessment:
    """The assessment of a car of which the base is computed: it also answers questions of what if."""
    case, pack, identity, readings, terms = base.case, base.pack, base.identity, base.readings, base.terms
    basis, weak_points, coverage = base.own, base.results, base.coverage
    outlook, posterior, lanes = basis.outlook, basis.posterior, basis.outlook.lanes
    means = expected(basis)
    curves = draw_curves(basis, terms.budget, float(means.unplanned.sum()))
    services = service_items(identity.family, pack, terms.level, lanes.timeline)
    cost = cost_figures(basis, curves, means, services, terms.level)
    fixed = fixed_chances(case, pack, identity, basis)
    risk = risk_figures(basis, curves, terms, work_now(weak_points), fixed)
    value, scrap = case.market.sound_value, pack.defaults.scrap_value
    prices = None if value is None else priced(value, scrap, basis, means, cost, base.reference_cost)
    buying = plan_purchase(case, pack, identity, readings, terms, basis, curves, weak_points, risk, prices)
    return Assessment(
        as_of=case.as_of,
        reference=case.reference,
        knowledge_version=pack.version,
        knowledge_digest=pack.digest,
        judgement_share=judgement_share(pack, lanes, means),
        identification=engine_as_identified(pack, identity, posterior, lanes.roots, readings),
        care=care_chances(posterior, lanes.roots),
        tune=tune_chance(posterior, lanes.roots),
        risk=risk,
        weak_points=weak_points,
        cost=cost,
        decision=replace(
            decide(pack, case, basis, readings, prices, weak_points, risk, coverage, terms.level.labour_rate),
            repair_plan=buying.plan,
            before_sale=buying.before_sale,
        ),
        coverage=coverage,
        facts=(*lanes.timeline.facts, *identity.facts),
        assumptions=assumptions_of(case, pack, identity, lanes, terms),
        cautions=all_cautions(pack, weak_points, readings),
        network=network_of(lanes, outlook.table, posterior.groups, readings.counted),
        inputs=inputs_of(basis, terms),
        traits=trait_chances(pack, identity, posterior, lanes.roots, readings),
        care_says=care_says(posterior, lanes.roots, readings),
        tune_says=tune_says(posterior, lanes.roots, readings),
        after_purchase=buying.after,
        contract=contract_figures(case.market.contract, pack, basis, terms, curves.score.lattice),
    )


def checklist(case: Case, pack: Pack, nodes: int = NODES) -> Checklist:
    """What to look at on one car, before the visit or between two; `nodes` and errors as in `assess`."""
    readings = read_findings(case, pack)
    identity = with_open_traits(case, pack, identify(case, pack), readings.counted)
    terms = terms_of(case, pack)
    lanes = lane_set(case, pack, identity, terms.annual, terms.years)
    outlook = look_ahead(lanes, (terms.years,), pack.defaults.discount_rate, nodes)
    groups = group_roots(pack, lanes, readings.counted)
    posterior = infer(lanes, groups, readings.counted, outlook.table.masses)
    basis = Basis(outlook, posterior, price_table(pack, terms.level, lanes))
    means = expected(basis)
    identified = engine_as_identified(pack, identity, posterior, lanes.roots, readings)
    gain = gain_of_buying(case, pack, identity, terms, basis, means)
    assumptions = assumptions_of(case, pack, identity, lanes, terms)
    return visit_plan(Known(case, pack, identity, identified, readings, terms, basis, means, gain, assumptions))
