"""What a publication shows of an assessment: facts, in one language, as JSON data. No score, no price, no advice, no
names, no notes, nothing of an identity: of the VIN the page adds the last four characters as long as it is kept.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from datetime import datetime

from riskapi.domain.assessment import Assessment, Checked, WeakPointResult
from riskapi.domain.case import Case
from riskapi.domain.knowledge import Pack
from riskapi.errors import NotFound
from riskapi.report import format as fmt
from riskapi.report import words
from riskapi.report.closing_pages import reason_words
from riskapi.report.figures import Json, chance
from riskapi.report.first_page import hazard_reason
from riskapi.report.identity_page import engine_name
from riskapi.report.language import speaking
from riskapi.report.publication_texts import tell
from riskapi.report.translate import in_words, pack_in_words
from riskapi.report.verdicts import measured_words
from riskapi.report.view import View

CARRYING = 6  # weak points that carry the remaining risk
LOOKS_NAMED = 3  # checks not done that would speak to one of them
UNSTATED = ""


@dataclass(frozen=True, slots=True)
class Earlier:
    """An earlier assessment of the same car: its number, when it was made, what was found, and its pack."""

    number: int
    made_at: datetime
    checked: tuple[tuple[str, str], ...]  # (check, result)
    pack: Pack


def card(
    assessment: Assessment, case: Case, pack: Pack, earlier: Sequence[Earlier], language: str, made_at: datetime
) -> Json:
    """Everything that a publication shows of one assessment, in a language of LANGUAGES.

    Raises NotFound when the pack lacks something the assessment names.
    """
    with speaking(language):
        view = View(in_words(assessment, pack), case, pack_in_words(pack), "", made_at)
        done = view.assessment.coverage.checked
        return {
            "engine": fmt.capital(engine_name(view)),
            "revisions": [
                {"name": item.name, "probability": chance("identified", item.probability)}
                for item in view.assessment.identification.candidates
                if item.probability >= 0.005 and not view.assessment.identification.generic
            ],
            "as_of": assessment.as_of.isoformat(),
            "odometer_km": round(case.vehicle.odometer_km),
            "built": None if case.vehicle.build_date is None else case.vehicle.build_date.isoformat(),
            "registered": None if case.vehicle.first_registered is None else case.vehicle.first_registered.isoformat(),
            "stood_out": [_found(view, item) for item in done if stands_out(pack, item.check, item.result)],
            "nothing_stood_out": _quiet(view),
            "not_looked_at": [_open(view, *item) for item in _not_done(view)],
            "without_weight": [_open(view, item.check, item.reason) for item in view.assessment.coverage.void],
            "carries_the_risk": [_carrying(view, item) for item in _heaviest(view)],
            "fixed": [_fixed(view, index) for index in range(len(view.assessment.risk.fixed))],
            "currency": pack.defaults.currency,
            "core_done": sum(pack.check(item.check).core for item in done),
            "core_total": view.assessment.coverage.core_total,
            "danger": hazard_reason(view) if assessment.decision.advice == "do_not_drive" else "",
            "dropped": _dropped(view, earlier),
            "asking_price": _asking(case, pack),
            "judgement_share": chance("judgement_share", assessment.judgement_share),
            "knowledge_version": assessment.knowledge_version,
        }


def stands_out(pack: Pack, check: str, result: str) -> bool:
    """Whether a result of a check speaks of a fault: not its first one, and not only of which engine it is."""
    try:
        known = pack.check(check)
        return (known.symptom is not None or known.root == "care") and known.result_index(result) > 0
    except NotFound:
        return False


def _found(view: View, item: Checked) -> Json:
    reading = measured_words(fmt.plain(item.reading, 120), item) if item.reading else ""
    origin = tell(f"by_{item.observed_by}") if item.observed_by in ("seller", "papers") else ""
    return {
        "check": item.check,
        "name": words.check_name(view.pack, item.check),
        "result": words.result_name(view.pack, item.check, item.result),
        "reading": reading,
        "told_by": origin,
    }


def _quiet(view: View) -> list[Json]:
    """Checks that found nothing; a result read off another act is covered by that act."""
    done = view.assessment.coverage.checked
    return [
        _found(view, item)
        for item in done
        if not stands_out(view.pack, item.check, item.result) and view.pack.check(item.check).part_of is None
    ]


def _not_done(view: View) -> list[tuple[str, str]]:
    """(check, reason): what was stated as not done, then core checks and the most telling that nobody speaks of."""
    coverage = view.assessment.coverage
    stated = [(item.check, item.reason) for item in coverage.not_checked]
    spoken = {name for name, _ in stated} | {item.check for item in coverage.checked}
    spoken |= {item.check for item in coverage.void}
    core = [check.id for check in view.pack.checks if check.core]
    telling = [item.check for item in view.assessment.decision.next_checks]
    left = [name for name in dict.fromkeys((*core, *telling)) if name not in spoken]
    acts = [
        name for name in left if view.pack.check(name).part_of not in {*left, *spoken}
    ]  # an act has its parts in it
    return [*stated, *((name, UNSTATED) for name in acts)]


def _open(view: View, check: str, reason: str) -> Json:
    told = "" if reason == UNSTATED else reason_words(view, reason)
    return {"check": check, "name": words.check_name(view.pack, check), "reason": told}


def _heaviest(view: View) -> Iterable[WeakPointResult]:
    return [item for item in view.assessment.weak_points if item.expected_cost > 0.0][:CARRYING]


def _carrying(view: View, item: WeakPointResult) -> Json:
    """A weak point that carries much of what may still come, and which looks nobody took at it."""
    share = words.not_sound(item.state)
    blind = item.no_look_can_see or item.warning == "none"
    return {
        "weak_point": item.id,
        "name": item.name,
        "not_sound": chance(f"weak_points.{item.id}", share),
        "words": tell("not_sound", count=fmt.of_hundred(share)),
        "no_look_can_see": blind,
        "not_looked_at": [] if blind else _looks_left(view, item),
    }


def _looks_left(view: View, item: WeakPointResult) -> list[str]:
    symptoms = {link.symptom for link in view.pack.weak_point(item.id).effects}
    open_checks = [view.pack.check(name) for name, _ in _not_done(view)]
    return [check.name for check in open_checks if check.symptom in symptoms][:LOOKS_NAMED]


def _fixed(view: View, index: int) -> Json:
    item = view.assessment.risk.fixed[index]
    amount = fmt.money_exact(item.amount, view.pack.defaults.currency)
    share = chance("fixed", item.probability)
    said = tell("fixed", count=fmt.of_hundred(share), amount=amount, years=fmt.years(item.years))
    return {"amount": item.amount, "years": item.years, "probability": share, "words": said}


def _dropped(view: View, earlier: Sequence[Earlier]) -> list[Json]:
    """Findings that stood out in an earlier assessment and do not stand here as they did, each as it was told last."""
    now = {item.check: item.result for item in view.assessment.coverage.checked}
    last: dict[tuple[str, str], Earlier] = {}
    for each in earlier:
        gone = [(check, result) for check, result in each.checked if now.get(check) != result]
        last |= {pair: each for pair in gone if stands_out(each.pack, *pair)}
    return [_dropped_line(view, check, result, each, now.get(check)) for (check, result), each in last.items()]


def _dropped_line(view: View, check: str, result: str, then: Earlier, now: str | None) -> Json:
    pack = pack_in_words(then.pack)
    return {
        "check": check,
        "name": words.check_name(pack, check),
        "result": words.result_name(pack, check, result),
        "number": then.number,
        "made_at": fmt.instant(then.made_at),
        "now": tell("dropped_gone") if now is None else words.result_name(view.pack, check, now),
    }


def _asking(case: Case, pack: Pack) -> Json | None:
    market = case.market
    if market.asking_price is None:
        return None
    return {"amount": market.asking_price, "currency": market.currency or pack.defaults.currency}
