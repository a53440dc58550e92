"""Sentences made from numbers and the pack's texts: nothing here is written for one case.

Weights of evidence [decibans: 10 log10 of an odds ratio, I. J. Good] become words at thresholds of our own choosing,
rounded odds that people can feel: below 1 (odds times 1.26, about the least a person notices) no weight, below 3
(times 2) a little, below 7 (times 5) clearly, below 13 (times 20) strongly, from there very strongly.
"""

from __future__ import annotations

import math

from riskapi.domain.assessment import Assessment, Evidence, Spread, StateChances, WeakPointResult
from riskapi.domain.knowledge import Pack, WeakPoint
from riskapi.errors import NotFound
from riskapi.report import format as fmt
from riskapi.report.texts import say

WEIGHT_STEPS = ((3.0, "little"), (7.0, "clear"), (13.0, "strong"))
NO_WEIGHT, CLEAR = 1.0, 3.0
WELL_KNOWN, FAIRLY_KNOWN = 8.0, 20.0  # widths of the band, in cars of 100


def weight_words(decibans: float) -> str:
    """'speaks strongly for it', 'speaks a little against it', 'carries no weight here'."""
    return say(f"weight_{_weight_key(decibans)}")


def short_weight_words(decibans: float) -> str:
    """'strongly for', 'a little against', 'no weight'."""
    return say(f"short_{_weight_key(decibans)}")


def _weight_key(decibans: float) -> str:
    size = abs(decibans)
    if size < NO_WEIGHT:
        return "none"
    step = next((word for limit, word in WEIGHT_STEPS if size < limit), "very_strong")
    return f"{'for' if decibans > 0 else 'against'}_{step}"


def shift(prior: StateChances, state: StateChances) -> float:
    """Weight of all findings together on 'not sound' [decibans], from the chances before and after."""
    return 10.0 * (_log_odds(1.0 - state.sound) - _log_odds(1.0 - prior.sound))


def _log_odds(share: float) -> float:
    held = min(1.0 - 1e-12, max(1e-12, share))
    return math.log10(held / (1.0 - held))


def not_sound(state: StateChances) -> float:
    """Chance of degraded or faulty, held within 0..1."""
    return min(1.0, max(0.0, state.degraded + state.faulty))


# ---- the score -------------------------------------------------------------------------------------------------


def has_band(assessment: Assessment) -> bool:
    """Whether parameter doubt was computed: with one sample there is no range to speak of."""
    risk = assessment.risk
    return risk.band_sample_size > 1.0 and risk.band[1] > risk.band[0]


def band_words(assessment: Assessment) -> str:
    """'25 to 52: a wide range'."""
    if not has_band(assessment):
        return say("band_point")
    low, high = assessment.risk.band
    width = high - low
    known = "well" if width <= WELL_KNOWN else "fairly" if width <= FAIRLY_KNOWN else "thinly"
    return say("band", range=fmt.span(low, high), known=say(f"known_{known}"))


def score_sentence(assessment: Assessment, years: float) -> str:
    """'Of 100 cars like this about 38 need more than 1,200 EUR for surprise repairs ...'."""
    share = assessment.risk.score / 100.0
    count = fmt.of_hundred(share)
    return say(
        "score",
        count=count,
        need=say("need_one" if fmt.one_of_hundred(share) else "need_many"),
        budget=fmt.money_exact(assessment.risk.repair_budget, assessment.cost.currency),
        years=fmt.years(years),
        band=band_words(assessment),
    )


def surprise_sentence(spread: Spread, currency: str, years: float) -> str:
    """'No surprise 55 %, typical if any 900 EUR, 1 in 10 above 3,800 EUR; 1,350 EUR on average.'"""
    if spread.p_zero >= 1.0 or spread.mean <= 0.0:
        return say("surprise_none", years=fmt.years(years))
    zero, mean = fmt.percent(spread.p_zero), fmt.money(spread.mean, currency)
    if spread.p90 <= 0.0:
        return say("surprise_rare", zero=zero, mean=mean)
    high = fmt.money(spread.p90, currency)
    if spread.typical_if_any is None:
        return say("surprise_no_typical", zero=zero, high=high, mean=mean)
    return say("surprise", zero=zero, typical=fmt.money(spread.typical_if_any, currency), high=high, mean=mean)


# ---- weak points -----------------------------------------------------------------------------------------------


def finding_sentence(entry: Evidence, pack: Pack, *, repeats: bool = True) -> str:
    """What one finding says about a weak point; with `repeats` also whether the other findings already say it."""
    repeated = repeats and abs(entry.alone) >= CLEAR and abs(entry.last_in) < abs(entry.alone) / 3.0
    return say(
        "wp_finding",
        check=check_name(pack, entry.check),
        result=result_name(pack, entry.check, entry.result),
        words=weight_words(entry.alone),
        repeat=say("wp_repeat") if repeated else "",
    )


def findings_words(item: WeakPointResult) -> str:
    """What all findings together say about a weak point, in a few words for a table cell."""
    weight = shift(item.prior, item.state)
    if abs(weight) >= NO_WEIGHT:
        return short_weight_words(weight)
    return say("total_no_look") if item.no_look_can_see or item.warning == "none" else say("total_none")


def reason_sentence(assessment: Assessment, reason: str) -> str:
    """A reason of the decision as a sentence: one that names a weak point tells what it carries; a text stays."""
    item = next((item for item in assessment.weak_points if item.id == reason), None)
    if item is None:
        return fmt.sentence(fmt.plain(reason, 240))
    today = fmt.percent(not_sound(item.state))
    mean = assessment.cost.unplanned.mean
    if mean <= 0.0:
        return say("reason_state", name=item.name, today=today)
    share = fmt.percent(min(1.0, max(0.0, item.expected_cost / mean)))
    return say("reason_cost", name=item.name, share=share, today=today)


def weak_point_sentences(item: WeakPointResult, pack: Pack, currency: str, years: float) -> tuple[str, ...]:
    """What a technician would say about this weak point on this car."""
    known = pack.weak_point(item.id)
    sentences = [
        say(
            "wp_today",
            degraded=fmt.of_hundred(item.state.degraded),
            faulty=fmt.of_hundred(item.state.faulty),
            before=fmt.of_hundred(not_sound(item.prior)),
        ),
        say(
            "wp_period",
            count=fmt.of_hundred(item.failure_probability),
            years=fmt.years(years),
            money=fmt.money(item.expected_cost, currency),
        ),
    ]
    told = [entry for entry in item.evidence if abs(entry.alone) >= NO_WEIGHT]
    strongest = sorted(told, key=lambda entry: (-abs(entry.alone), entry.check))[:4]
    sentences += [finding_sentence(entry, pack) for entry in strongest] or [say("wp_no_finding")]
    if item.no_look_can_see or item.warning == "none":
        sentences.append(say("wp_no_warning"))
    elif item.warning == "short":
        sentences.append(say("wp_short_warning"))
    if item.hazard != "none":
        sentences.append(say("wp_hazard", hazard=hazard_words(item.hazard)))
    sentences.append(_meaning(known, seen_before=item.warning != "none"))
    return tuple(sentences)


def _meaning(known: WeakPoint, *, seen_before: bool) -> str:
    """What counts as worn and as failed; without a warning there is no worn to describe."""
    failed = fmt.sentence(known.failed_means)
    if not seen_before:
        return say("wp_means_failed", failed=failed)
    return say("wp_means", degraded=fmt.sentence(known.degraded_means), failed=failed)


def hazard_words(hazard: str) -> str:
    """'can start a fire'; hazard is not 'none'."""
    return say(f"hazard_{hazard}")


# ---- names -----------------------------------------------------------------------------------------------------


def check_name(pack: Pack, identifier: str) -> str:
    """The check's name in the pack. Raises NotFound."""
    return pack.check(identifier).name


def result_name(pack: Pack, check: str, result: str) -> str:
    """The result's own words, from its id; what is no id of this check is words already."""
    known = pack.check(check)
    try:
        return known.results[known.result_index(result)].name
    except NotFound:
        return result


def names(items: tuple[WeakPointResult, ...], at_most: int = 3) -> str:
    """'Chain tensioner and coolant pump', 'a, b, c and 4 more'."""
    words = tuple(item.name for item in items[:at_most])
    rest = len(items) - at_most
    return fmt.listing((*words, say("more", count=fmt.number(rest))) if rest > 0 else words)
