"""The first page: what to do and why, the score, the price, three reasons, and how well all this is known."""

from __future__ import annotations

from riskapi.domain.assessment import PriceLine, WeakPointResult
from riskapi.report import format as fmt
from riskapi.report import words
from riskapi.report.edition_texts import tell
from riskapi.report.sections import (
    Amount,
    Block,
    Bullets,
    Chance,
    ChanceBar,
    Column,
    Photo,
    Reason,
    Reasons,
    Section,
    Table,
    Text,
)
from riskapi.report.texts import say
from riskapi.report.view import View

SMALL_LINE = 0.02  # of the usual price, below which lines about weak points are told together
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
        blocks.append(Text(say("after_work", names=words.names(view.named(risk.work), 5), count=count)))
    return Section("advice", say("h_advice"), tuple(blocks))


def chances_section(view: View) -> Section:
    """The score without advice: what to expect, and what may not be driven, which is no matter of advice."""
    blocks: list[Block] = []
    if view.assessment.decision.advice == "do_not_drive":
        blocks += [Text(say("advice_do_not_drive"), "alarm"), Text(_hazard_reason(view), "lead")]
    budget = view.exact(view.assessment.risk.repair_budget)
    blocks += [
        Text(words.score_sentence(view.assessment, view.years), "lead"),
        ChanceBar(say("score_label", budget=budget), _score_chance(view)),
        Text(words.surprise_sentence(view.assessment.cost.unplanned, view.currency, view.years)),
    ]
    return Section("chances", tell("h_chances"), tuple(blocks))


def _headline(view: View) -> tuple[Block, Block]:
    """The advice and its reason; a hazard overrules everything, and without the core checks there is no verdict."""
    decision, coverage = view.assessment.decision, view.assessment.coverage
    if decision.advice == "do_not_drive":
        return Text(say("advice_do_not_drive"), "alarm"), Text(_hazard_reason(view), "lead")
    if decision.advice != "repair_first" and coverage.core_done < coverage.core_total:
        done, total = fmt.number(coverage.core_done), fmt.number(coverage.core_total)
        return Text(say("advice_no_verdict", done=done, total=total), "headline"), Text(say("why_no_verdict"), "lead")
    immediate = view.money(view.assessment.cost.immediate.mean)
    why = say(f"why_{decision.advice}", immediate=immediate, heaviest=_heaviest_words(view))
    return Text(say(f"advice_{decision.advice}"), "headline"), Text(why, "lead")


def _hazard_reason(view: View) -> str:
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


# ---- price -----------------------------------------------------------------------------------------------------


def price_section(view: View) -> Section | None:
    """The price these findings support, when the case gives what it needs; None when no price was stated at all."""
    decision, market = view.assessment.decision, view.case.market
    if decision.price_for_findings is None:
        return _price_unknown(view)
    rows = [
        ("price_cautious", decision.cautious_price),
        ("price_asking", market.asking_price),
        ("price_sound", market.sound_value),
    ]
    facts = tuple((say(key), view.exact(amount)) for key, amount in rows if amount is not None)
    blocks: list[Block] = [Amount(tell("highest_price"), view.exact(decision.price_for_findings), facts)]
    if market.asking_price is not None:
        blocks.append(Text(_gap(view, market.asking_price - decision.price_for_findings)))
    return Section("price", say("h_price"), tuple(blocks))


def _price_unknown(view: View) -> Section | None:
    market = view.case.market
    if market.asking_price is None:
        return None
    key = "price_none" if market.sound_value is None else "price_not_computed"
    return Section("price", say("h_price"), (Text(say(key)),))


def _gap(view: View, gap: float) -> str:
    if abs(gap) < 1.0:
        return say("price_even")
    return say("price_below" if gap > 0.0 else "price_above", gap=view.exact(abs(gap)))


def price_items_section(view: View) -> Section | None:
    """How the price comes about, line by line, small ones together; None without lines."""
    items = view.assessment.decision.items
    if not items:
        return None
    columns = (Column(say("col_line"), 0.76), Column(say("col_amount"), 0.24, "right"))
    amounts = fmt.adding_up(tuple(item.amount for item in items))
    lines = [(item, amount) for item, amount in zip(items, amounts, strict=True) if amount]
    small = [line for line in lines if line[0].weak_point is not None and abs(line[1]) < SMALL_LINE * max(amounts)]
    if len(small) < 3:
        small = []
    rows = [
        (_line_words(item), fmt.money_signed(amount, view.currency))
        for item, amount in lines
        if not any(item is other for other, _ in small)
    ]
    if small:
        together = fmt.money_signed(sum(amount for _, amount in small), view.currency)
        rows.append((tell("price_small_lines", count=fmt.number(len(small))), together))
    total = (say("price_cautious"), fmt.money_signed(sum(amounts), view.currency).removeprefix("+"))
    intro = Text(say("price_items_intro"))
    return Section("price_items", say("price_items"), (intro, Table(columns, (*rows, total), total_row=True)))


def _line_words(item: PriceLine) -> str:
    """The line, with how many of such cars need the repair now where it is about one."""
    label = fmt.capital(fmt.plain(item.label))
    return label if item.chance is None else say("price_line_chance", label=label, count=fmt.of_hundred(item.chance))


# ---- reasons and what is open ----------------------------------------------------------------------------------


def reasons_section(view: View) -> Section | None:
    """Three reasons: those of the decision first, then what else carries cost, then what nobody could see."""
    assessment = view.assessment
    mean = assessment.cost.unplanned.mean
    heavy = [item.id for item in assessment.weak_points[:3] if mean > 0.0 and item.expected_cost >= 0.1 * mean]
    stated = [reason for reason in assessment.decision.reasons if reason.strip()]
    reasons = [_reason(view, reason) for reason in dict.fromkeys((*stated, *heavy))]
    if view.blind:
        reasons.append(Reason("", say("reason_unseen", names=words.names(view.blind))))
    heading = say("h_reasons" if len(reasons) >= 3 else "h_reasons_fewer")
    return Section("reasons", heading, (Reasons(tuple(reasons[:3])),)) if reasons else None


def _reason(view: View, reason: str) -> Reason:
    item = next((item for item in view.assessment.weak_points if item.id == reason), None)
    if item is None:
        return Reason("", words.reason_sentence(view.assessment, reason))
    today, mean = words.not_sound(item.state), view.assessment.cost.unplanned.mean
    chance = Chance(today, fmt.percent(today))
    text = tell("reason_today", count=fmt.of_hundred(today), before=fmt.of_hundred(words.not_sound(item.prior)))
    if mean > 0.0:
        share = fmt.percent(min(1.0, max(0.0, item.expected_cost / mean)))
        text = f"{text} {tell('reason_share', money=view.money(item.expected_cost), share=share)}"
    return Reason(item.name, f"{text} {_strongest_words(view, item)}".strip(), chance, _picture(view, item))


def _strongest_words(view: View, item: WeakPointResult) -> str:
    """The finding that weighs most on this weak point, if one speaks at least clearly."""
    told = [entry for entry in item.evidence if abs(entry.alone) >= words.CLEAR]
    if not told:
        return ""
    return words.finding_sentence(max(told, key=lambda entry: (abs(entry.alone), entry.check)), view.pack)


def _picture(view: View, item: WeakPointResult) -> Photo | None:
    """The first picture that was taken with the finding that speaks loudest for this weak point and has one."""
    for entry in sorted(item.evidence, key=lambda entry: (-entry.alone, entry.check)):
        caption = words.check_name(view.pack, entry.check)
        shown = [photo for photo in view.photos(entry.check, caption) if photo.content]
        if shown and entry.alone >= words.NO_WEIGHT:
            return shown[0]
    return None


def next_section(view: View) -> Section | None:
    """The looks worth most that were not taken; None when there is none worth naming."""
    lines = _next_lines(view)
    return Section("next", say("h_next"), (Bullets(lines),)) if lines else None


def known_section(view: View) -> Section:
    """How much was looked at, what nobody could see, how much is judgement, and the scope."""
    assessment = view.assessment
    done, total = fmt.number(assessment.coverage.core_done), fmt.number(assessment.coverage.core_total)
    lines = [say("core", done=done, total=total), *_open_lines(view)]
    if view.blind:
        cost = view.money(sum(item.expected_cost for item in view.blind))
        lines.append(say("unseen", names=words.names(view.blind), money=cost))
    lines.append(say("judgement", share=fmt.percent(assessment.judgement_share)))
    lines.append(say("scope"))
    return Section("known", say("h_known"), (Bullets(tuple(lines)),))


def _open_lines(view: View) -> tuple[str, ...]:
    """Core checks nobody has spoken of yet."""
    coverage = view.assessment.coverage
    spoken = {item.check for item in coverage.checked} | {item.check for item in coverage.not_checked}
    missing = tuple(check.name for check in view.pack.checks if check.core and check.id not in spoken)
    told = bool(missing) and coverage.core_done < coverage.core_total
    return (say("core_open", checks=", ".join(missing)),) if told else ()


def _next_lines(view: View) -> tuple[str, ...]:
    """The one or two looks worth most."""
    return tuple(
        say(
            "next_decision" if item.basis == "decision" else "next_spread",
            check=words.check_name(view.pack, item.check),
            minutes=fmt.minutes(item.minutes),
            value=view.money(item.value),
        )
        for item in [n for n in view.assessment.decision.next_checks if view.pack.check(n.check).part_of is None][:2]
        if item.value > 0.0
    )
