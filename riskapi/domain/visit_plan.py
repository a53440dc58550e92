"""From everything computed before the visit to its checklist."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, replace
from math import sqrt

from riskapi.domain import preparation
from riskapi.domain.account import judgement_share, weak_point_results
from riskapi.domain.acts import Act, Limits, acts_of, limits_of, possible_acts, unproved
from riskapi.domain.assessment import Assumption, Identification, WeakPointResult
from riskapi.domain.best_set import Choice
from riskapi.domain.case import Case, Visit
from riskapi.domain.checklist import Barred, Checklist, Look
from riskapi.domain.costing import Basis
from riskapi.domain.decision import dealt_with
from riskapi.domain.identify import EngineIdentity
from riskapi.domain.knowledge import CONSENTS, EQUIPMENT, Check, Pack
from riskapi.domain.means import Means
from riskapi.domain.next_checks import SMALLEST, OpenChecks, open_checks
from riskapi.domain.readings import Readings
from riskapi.domain.result_moments import moments
from riskapi.domain.sentence import told
from riskapi.domain.speaks_to import spoken_to
from riskapi.domain.terms import Terms
from riskapi.domain.tiers import TEN, tiers_of
from riskapi.domain.told import told_by
from riskapi.domain.visit_order import in_visit_order
from riskapi.domain.visit_set import CANDIDATES, choice_of

MOST_BARRED = 8
ANY = Limits(None, None, EQUIPMENT[-1], CONSENTS[-1])


@dataclass(frozen=True)
class Known:
    """What is known of the car before the visit; `gain` is what buying at the asking price gains (None: no price)."""

    case: Case
    pack: Pack
    identity: EngineIdentity
    identified: Identification
    readings: Readings
    terms: Terms
    basis: Basis
    means: Means
    gain: float | None
    assumptions: tuple[Assumption, ...]


def visit_plan(known: Known) -> Checklist:
    """The checklist for this car and this visit."""
    pack, basis, case = known.pack, known.basis, known.case
    results = weak_point_results(basis, known.means, known.readings)
    done = dealt_with(known.readings)
    left = open_checks(pack, basis, known.readings.counted, done)
    seen = replace(left, outcomes=tuple((c, s) for c, s in left.outcomes if c.told_by == "self"))
    limits = limits_of(case.visit)
    choice = choice_of(pack, basis, seen, limits, CANDIDATES, first=TEN)
    found = tiers_of(choice, limits, seen, basis, known.gain)
    looks = _looks(known, choice, found.tier_of, seen, results)
    candidate, traits = preparation.likeliest_traits(basis.posterior, basis.outlook.lanes)
    looked = [pack.check(name) for look in looks for name in look.reads]
    unseen = preparation.unseen(pack, results)
    return Checklist(
        as_of=case.as_of,
        reference=case.reference,
        knowledge_version=pack.version,
        knowledge_digest=pack.digest,
        judgement_share=judgement_share(pack, basis.outlook.lanes, known.means),
        identification=known.identified,
        currency=known.terms.level.currency,
        years=known.terms.years,
        place=case.visit.place,
        limits=limits,
        expected_cost=float(known.means.unplanned.sum()),
        knowable=sqrt(choice.told.together(range(len(choice.acts)))),
        tiers=tuple(replace(t, added=tuple(k.check for k in looks if k.tier == t.name)) for t in found.tiers),
        looks=looks,
        core_total=sum(check.core for check in pack.checks),
        questions=preparation.questions(pack, basis, known.readings, done, known.gain, traits),
        papers=preparation.papers(pack, traits),
        invoices=preparation.invoices(pack, known.identity, candidate, results),
        bring=preparation.things(pack, looked, traits),
        unseen=unseen,
        barred=_barred(pack, basis, seen, limits, {look.check for look in looks}),
        facts=(*basis.outlook.lanes.timeline.facts, *known.identity.facts),
        assumptions=(*known.assumptions, *_of_visit(case.visit, pack)),
        cautions=_cautions(pack, looked),
    )


def _looks(
    known: Known,
    choice: Choice,
    tier_of: Mapping[int, str],
    seen: OpenChecks,
    results: Sequence[WeakPointResult],
) -> tuple[Look, ...]:
    """The chosen acts in visit order."""
    chosen = [choice.acts[i] for i in sorted(tier_of)]
    tiers = {choice.acts[i].id: name for i, name in tier_of.items()}
    proofs = acts_of([known.pack.check(name) for name in sorted(unproved(chosen))])
    for proof in proofs:  # it belongs to the first tier that needs it
        tiers[proof.id] = next(name for i, name in tier_of.items() if proof.id in choice.acts[i].proofs)
    ordered = in_visit_order([*proofs, *chosen], known.pack.conditions)
    values = {choice.acts[i].id: sqrt(choice.told.gain(i)) for i in tier_of} | {proof.id: 0.0 for proof in proofs}
    basis = "spread"
    by_decision = seen.values(known.gain) if known.gain is not None else {}
    if any(value > SMALLEST for value in by_decision.values()):
        basis = "decision"
        values = {act.id: max(by_decision.get(c.id, 0.0) for c in act.checks) for act in ordered}
    named = {result.id: result for result in results}
    ready: set[str | None] = {None}
    looks = []
    for act in ordered:
        looks.append(_look(known, act, tiers[act.id], values[act.id], basis, act.set_up not in ready, named))
        ready.add(act.set_up)
    return tuple(looks)


def _look(
    known: Known,
    act: Act,
    tier: str,
    value: float,
    basis: str,
    opens: bool,
    results: Mapping[str, WeakPointResult],
) -> Look:
    index, _ = preparation.likeliest_traits(known.basis.posterior, known.basis.outlook.lanes)
    tables = known.basis.posterior.groups[index].tables
    return Look(
        check=act.id,
        tier=tier,
        set_up=act.set_up,
        opens_set_up=opens,
        reads=tuple(check.id for check in act.checks),
        minutes=act.minutes,
        check_cost=act.price,
        value=value,
        basis=basis,
        speaks_to=spoken_to(act.checks, tables, known.basis.outlook.lanes.weak_points, results),
        roots=tuple(sorted({check.root for check in act.checks if check.root is not None})),
        proves=tuple(word.id for word in known.pack.conditions if word.shown_by == act.id),
    )


def _barred(pack: Pack, basis: Basis, seen: OpenChecks, limits: Limits, taken: set[str]) -> tuple[Barred, ...]:
    """Acts that are not on the list though they tell something, and which limit rules them out, most telling first."""
    values = seen.values(None)
    allowed = {act.id for act in possible_acts([c for c, _ in seen.outcomes], pack, replace(limits, minutes=None))}
    found = []
    for act in possible_acts([c for c, _ in seen.outcomes], pack, ANY):
        value = values[act.id] if len(act.checks) == 1 else _together(act, seen, basis)
        if act.id not in taken and value > max(act.price, SMALLEST):
            reason = "time" if act.id in allowed else _reason(pack, act, limits)
            found.append(Barred(act.id, reason, value, act.minutes))
    return tuple(sorted(found, key=lambda b: (-b.value, b.check))[:MOST_BARRED])


def _together(act: Act, seen: OpenChecks, basis: Basis) -> float:
    """How far all results of an act move the expected cost [money]."""
    found = moments(seen, basis, act.checks)
    return sqrt(told_by(found, [[check.id for check in act.checks]]).gain(0))


def _reason(pack: Pack, act: Act, limits: Limits) -> str:
    set_ups = {item.id: item for item in pack.set_ups}
    equipment = [act.checks[0].equipment, *([set_ups[act.set_up].equipment] if act.set_up else [])]
    short = any(EQUIPMENT.index(word) > EQUIPMENT.index(limits.equipment) for word in equipment)
    return "equipment" if short else "consent"


def _of_visit(visit: Visit, pack: Pack) -> Iterable[Assumption]:
    """What was assumed of the visit because the case is silent."""
    source = pack.source(pack.defaults.source).citation
    if visit.equipment is None:
        yield Assumption(told("Equipment not stated: nothing but hands, eyes and ears."), source)
    if not visit.consents:
        text = told("Consent not stated: what can be asked for beside the car, nothing that needs writing.")
        yield Assumption(text, source)
    if visit.minutes is None:
        yield Assumption(told("Time not stated: as long as it takes."), source)


def _cautions(pack: Pack, looked: Iterable[Check]) -> tuple[str, ...]:
    """Cautions of the set-ups and checks on the list, each once, set-ups first."""
    checks = list(looked)
    set_ups = {check.set_up for check in checks}
    found = dict.fromkeys(text for item in pack.set_ups if item.id in set_ups for text in item.cautions)
    found.update(dict.fromkeys(text for check in checks for text in check.cautions))
    return tuple(found)
