"""The first lines of a report: what to do and why, and the score."""

from __future__ import annotations

from riskapi.report import format as fmt
from riskapi.report import words
from riskapi.report.edition_texts import tell
from riskapi.report.sections import Block, Chance, ChanceBar, Section, Text
from riskapi.report.texts import say
from riskapi.report.view import View

URGENT = ("do_not_drive", "repair_first")


def advice_section(view: View) -> Section:
    """First lines: what to do and why; then the score in words and as a bar."""
    assessment = view.assessment
    risk, cost = assessment.risk, assessment.cost
    budget = view.exact(risk.repair_budget)
    blocks: list[Block] = [
        *_headline(view),
        Text(words.score_sentence(assessment, view.years), "lead"),
        ChanceBar(say("score_label", budget=budget), _score_chance(view)),
        Text(words.surprise_sentence(cost.unplanned, view.currency, view.years)),
    ]
    if cost.immediate.mean > 0.0:
        zero = fmt.percent(cost.immediate.p_zero)
        blocks.append(Text(say("immediate", mean=view.money(cost.immediate.mean), zero=zero)))
    if risk.work:
        count = fmt.of_hundred(risk.after_work_score / 100.0)
        blocks.append(Text(say("after_work", names=words.names(view.named(risk.work), 2), count=count)))
    return Section("advice", say("h_advice"), tuple(blocks))


def chances_section(view: View) -> Section:
    """The score without advice: what to expect. What may not be driven is no matter of advice; an inspector says it on
    his first page."""
    blocks: list[Block] = [] if view.edition.kind == "inspector" else [*alarm(view)]
    budget = view.exact(view.assessment.risk.repair_budget)
    blocks += [
        Text(words.score_sentence(view.assessment, view.years), "lead"),
        ChanceBar(say("score_label", budget=budget), _score_chance(view)),
        Text(words.surprise_sentence(view.assessment.cost.unplanned, view.currency, view.years)),
    ]
    return Section("chances", tell("h_chances"), tuple(blocks))


def _headline(view: View) -> tuple[Block, ...]:
    """The advice and its reason; a hazard overrules everything, and without the core checks there is no verdict."""
    decision, coverage = view.assessment.decision, view.assessment.coverage
    if danger := alarm(view):
        return danger
    if without_verdict(view):
        done, total = fmt.number(coverage.core_done), fmt.number(coverage.core_total)
        return Text(say("advice_no_verdict", done=done, total=total), "headline"), Text(say("why_no_verdict"), "lead")
    immediate = view.money(view.assessment.cost.immediate.mean)
    why = say(f"why_{decision.advice}", immediate=immediate, heaviest=_heaviest_words(view))
    return Text(say(f"advice_{decision.advice}"), "headline"), Text(why, "lead")


def alarm(view: View) -> tuple[Block, ...]:
    """That the car may not be driven, and why; nothing where it may."""
    if view.assessment.decision.advice != "do_not_drive":
        return ()
    return Text(say("advice_do_not_drive"), "alarm"), Text(hazard_reason(view), "lead")


def without_verdict(view: View) -> bool:
    """Whether core checks are open and nothing that was found comes before them."""
    coverage = view.assessment.coverage
    return view.assessment.decision.advice not in URGENT and coverage.core_done < coverage.core_total


def hazard_reason(view: View) -> str:
    """What may not be driven and why, and what to do then."""
    dangerous = view.named(view.assessment.decision.hazards)
    kinds = tuple(dict.fromkeys(words.hazard_words(item.hazard) for item in dangerous if item.hazard != "none"))
    return say("why_do_not_drive", names=words.names(dangerous, 3), hazards=fmt.listing(kinds))


def _heaviest_words(view: View) -> str:
    """Which one or two weak points carry how much of the expected cost."""
    items, mean = view.assessment.weak_points[:2], view.assessment.cost.unplanned.mean
    if not items or mean <= 0.0:
        return say("heaviest_none", years=fmt.years(view.years))
    if len(items) > 1 and items[1].expected_cost < 0.5 * items[0].expected_cost:
        items = items[:1]
    share = min(1.0, sum(item.expected_cost for item in items) / mean)
    return say(
        "heaviest",
        mean=view.money(mean),
        years=fmt.years(view.years),
        share=fmt.percent(share),
        names=words.names(items),
    )


def _score_chance(view: View) -> Chance:
    risk = view.assessment.risk
    share = risk.score / 100.0
    if not words.has_band(view.assessment):
        return Chance(share, fmt.of_hundred(share))
    return Chance(share, fmt.of_hundred(share), risk.band[0] / 100.0, risk.band[1] / 100.0)
