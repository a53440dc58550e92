"""Three reasons, what is worth looking at next, and how well all this is known."""

from __future__ import annotations

from riskapi.domain.assessment import NextCheck, WeakPointResult
from riskapi.report import format as fmt
from riskapi.report import words
from riskapi.report.edition_texts import tell
from riskapi.report.first_page import without_verdict
from riskapi.report.sections import Bullets, Chance, Photo, Reason, Reasons, Section, Text
from riskapi.report.texts import say
from riskapi.report.view import View

THREE = 3
HEAVY = 0.05  # share of the expected cost from which a weak point is a reason of its own
TEN_MINUTES = 10.0
NEXT = 2  # looks named

# ---- reasons ---------------------------------------------------------------------------------------------------


def reasons_section(view: View) -> Section | None:
    """Three reasons: what speaks for the engine where nothing stands out; else those of the decision first, then what
    else carries cost, then what no look can see. Without a verdict there is nothing to give a reason for."""
    reasons = _relieved(view) if view.assessment.decision.advice == "nothing_stands_out" else []
    if len(reasons) < THREE:
        reasons = [*reasons, *_burdens(view)][:THREE]
    if not reasons:
        return None
    heading = say("h_reasons" if len(reasons) == THREE else "h_reasons_fewer")
    return Section("reasons", tell("h_carries") if without_verdict(view) else heading, (Reasons(tuple(reasons)),))


def _relieved(view: View) -> list[Reason]:
    """The weak points that findings speak against and that would cost most, by what they would cost less."""
    found = [(_relief(item), item) for item in view.assessment.weak_points]
    found.sort(key=lambda pair: (-pair[0], pair[1].id))
    return [_reason(view, item, share=False) for relief, item in found[:THREE] if relief > 0.0]


def _relief(item: WeakPointResult) -> float:
    """By how much the findings lowered what it may cost today [money]; 0 where none speaks clearly against it."""
    if item.failure_probability <= 0.0 or not any(entry.alone <= -words.CLEAR for entry in item.evidence):
        return 0.0
    dear = item.expected_cost / item.failure_probability
    return dear * (words.not_sound(item.prior) - words.not_sound(item.state))


def _burdens(view: View) -> list[Reason]:
    assessment = view.assessment
    mean = assessment.cost.unplanned.mean
    heavy = [item.id for item in assessment.weak_points[:THREE] if mean > 0.0 and item.expected_cost >= HEAVY * mean]
    stated = [reason for reason in assessment.decision.reasons if reason.strip()]
    reasons = [_stated(view, reason) for reason in dict.fromkeys((*stated, *heavy))]
    if view.blind:
        reasons.append(Reason("", say("reason_unseen", names=words.names(view.blind))))
    return reasons


def _stated(view: View, reason: str) -> Reason:
    item = next((item for item in view.assessment.weak_points if item.id == reason), None)
    if item is None:
        return Reason("", words.reason_sentence(view.assessment, reason))
    return _reason(view, item, share=view.assessment.cost.unplanned.mean > 0.0)


def _reason(view: View, item: WeakPointResult, *, share: bool) -> Reason:
    today, mean = words.not_sound(item.state), view.assessment.cost.unplanned.mean
    count, before = fmt.of_hundred(today), fmt.of_hundred(words.not_sound(item.prior))
    told = [tell("reason_today", count=count, before="" if before == count else tell("reason_before", before=before))]
    if share:
        carried = fmt.percent(min(1.0, max(0.0, item.expected_cost / mean)))
        told.append(tell("reason_share", money=view.money(item.expected_cost), share=carried))
    told.append(_strongest_words(view, item))
    return Reason(item.name, " ".join(filter(None, told)), Chance(today, fmt.percent(today)), _picture(view, item))


def _strongest_words(view: View, item: WeakPointResult) -> str:
    """The finding that weighs most on this weak point, if one speaks at least clearly."""
    told = [entry for entry in item.evidence if abs(entry.alone) >= words.CLEAR]
    if not told:
        return ""
    strongest = max(told, key=lambda entry: (abs(entry.alone), entry.check))
    return words.finding_sentence(strongest, view.pack, repeats=False)


def _picture(view: View, item: WeakPointResult) -> Photo | None:
    """The first picture that was taken with the finding that speaks loudest for this weak point and has one."""
    for entry in sorted(item.evidence, key=lambda entry: (-entry.alone, entry.check)):
        caption = words.check_name(view.pack, entry.check)
        shown = [photo for photo in view.photos(entry.check, caption) if photo.content]
        if shown and entry.alone >= words.NO_WEIGHT:
            return shown[0]
    return None


# ---- what to look at next --------------------------------------------------------------------------------------


def next_section(view: View) -> Section | None:
    """The looks worth most that were not taken, those of ten minutes first; None when there is none worth naming."""
    open_looks = [item for item in view.assessment.decision.next_checks if _worth_naming(view, item)]
    open_looks.sort(key=lambda item: _minutes(item) > TEN_MINUTES)
    lines = tuple(_next_words(view, item) for item in open_looks[:NEXT])
    if not lines:
        return None
    danger = (Text(say("next_danger")),) if view.assessment.decision.advice == "do_not_drive" else ()
    return Section("next", say("h_next"), (*danger, Bullets(lines)))


def _worth_naming(view: View, item: NextCheck) -> bool:
    return view.pack.check(item.check).part_of is None and fmt.rough(item.value) > 0.0


def _minutes(item: NextCheck) -> float:
    return item.minutes + item.set_up_minutes


def _next_words(view: View, item: NextCheck) -> str:
    return say(
        "next_decision" if item.basis == "decision" else "next_spread",
        check=words.check_name(view.pack, item.check),
        minutes=fmt.minutes(_minutes(item)),
        value=view.money(item.value),
    )


# ---- how well it is known --------------------------------------------------------------------------------------


def known_section(view: View) -> Section:
    """How much was looked at, what no look can see, how much is judgement, and the scope."""
    assessment = view.assessment
    lines = [_core_words(view), *_open_lines(view)]
    if view.blind:
        cost = view.money(sum(item.expected_cost for item in view.blind))
        lines.append(say("unseen", names=words.names(view.blind), money=cost))
    judged = say("judgement", share=fmt.percent(assessment.judgement_share))
    if words.has_band(assessment):
        judged = f"{judged} {say('judgement_band', range=fmt.span(*assessment.risk.band))}"
    return Section("known", say("h_known"), (Bullets((*lines, judged, say("scope_brief"))),))


def _core_words(view: View) -> str:
    """How many core checks were done, and of how many the reason is known why not."""
    coverage = view.assessment.coverage
    core = {check.id for check in view.pack.checks if check.core}
    done = len(core & {item.check for item in coverage.checked})
    said = coverage.core_done - done
    if done == coverage.core_total:
        return say("core_all", total=fmt.number(done))
    counts = {"done": fmt.number(done), "total": fmt.number(coverage.core_total)}
    return say("core_said", said=fmt.number(said), **counts) if said > 0 else say("core_done", **counts)


def _open_lines(view: View) -> tuple[str, ...]:
    """Core checks nobody has spoken of yet."""
    coverage = view.assessment.coverage
    spoken = {item.check for item in coverage.checked} | {item.check for item in coverage.not_checked}
    missing = tuple(check.name for check in view.pack.checks if check.core and check.id not in spoken)
    told = bool(missing) and coverage.core_done < coverage.core_total
    return (say("core_open", checks=", ".join(missing)),) if told else ()
