"""One check of the checklist in words: how, why on this car, what to write down, limits, conditions, consent."""

from __future__ import annotations

from collections.abc import Callable

from riskapi.domain.checklist import Look
from riskapi.domain.knowledge import Check, Measure, Pack, SetUp
from riskapi.report import format as fmt
from riskapi.report.checklist_texts import tell

PARTS_TOLD = 6

Row = tuple[str, str]


def set_up_of(look: Look, pack: Pack) -> SetUp | None:
    """The set-up of this act."""
    return next((item for item in pack.set_ups if item.id == look.set_up), None)


def rows_of(look: Look, pack: Pack, money: Callable[[float], str]) -> tuple[Row, ...]:
    """What is told of one act, as pairs of a word and its text; what there is nothing to say about is left out."""
    check = pack.check(look.check)
    rows = (
        (tell("one_how"), check.how),
        (tell("one_why"), why(look, pack)),
        (tell("one_results"), "; ".join(item.name for item in check.results)),
        (tell("one_thresholds"), thresholds(check, pack)),
        (tell("one_also"), also(look, pack)),
        (tell("one_needs"), _needs(check, pack)),
        (tell("one_minutes"), _time(look, pack, money)),
        (tell("one_consent"), tell(f"needs_{check.consent}") if check.consent != "none" else ""),
        (tell("one_cautions"), " ".join(_cautions(look, check, pack))),
    )
    return tuple(row for row in rows if row[1])


def why(look: Look, pack: Pack) -> str:
    """The weak points that it speaks to, what it tells of the whole car, and which conditions it shows."""
    told = [
        tell("why_weak_point", name=item.name, count=fmt.of_hundred(1.0 - item.state.sound)) for item in look.speaks_to
    ]
    told += [tell(f"why_{root}") for root in look.roots]
    words = {word.id: fmt.within(word.name) for word in pack.conditions}
    told += [tell("why_proof", condition=words[name]) for name in look.proves]
    return fmt.capital("; ".join(told or [tell("why_none")]))


def thresholds(check: Check, pack: Pack) -> str:
    """From which value each result holds, with the source; '' where nothing is measured."""
    measure = check.measure
    if measure is None:
        return ""
    names = [item.name for item in check.results]
    if measure.descending:
        names.reverse()
    bounds = [_bound(measure, bound) for bound in measure.bounds]
    limits = [tell("below", result=names[0], bound=bounds[0])]
    limits += [
        tell("between", result=name, low=low, high=high)
        for name, low, high in zip(names[1:-1], bounds, bounds[1:], strict=False)
    ]
    limits.append(tell("above", result=names[-1], bound=bounds[-1]))
    how = tell(f"reduce_{measure.reduce}", floor=fmt.percent(measure.floor_share))
    citation = pack.source(measure.source).citation
    return tell("thresholds", limits=fmt.capital(how + "; ".join(limits)), source=citation)


def _bound(measure: Measure, bound: float) -> str:
    if measure.reduce == "lowest_share":
        return fmt.percent(bound)
    unit = "" if measure.reduce == "low_neighbours" else measure.unit
    digits = 0 if bound == round(bound) else 2
    shown = bound * 100.0 if unit == "%" and measure.reduce == "lowest_share" else bound
    return fmt.quantity(shown, unit) if unit else fmt.number(shown, digits)


def also(look: Look, pack: Pack) -> str:
    """What else the same act answers."""
    names = [pack.check(name).name for name in look.reads[1:]]
    more = len(names) - PARTS_TOLD
    told = names[:PARTS_TOLD] + ([tell("also_more", count=fmt.number(more))] if more > 0 else [])
    return "; ".join(told)


def _needs(check: Check, pack: Pack) -> str:
    words = {word.id: word for word in pack.conditions}
    return " ".join(f"{fmt.sentence(words[n].name)} {fmt.sentence(words[n].if_not)}".strip() for n in check.needs)


def _time(look: Look, pack: Pack, money: Callable[[float], str]) -> str:
    minutes, set_up = fmt.minutes(look.minutes), set_up_of(look, pack)
    if set_up is not None and look.opens_set_up:
        first = fmt.minutes(set_up.minutes)
        minutes = tell("one_minutes_set_up", minutes=minutes, set_up=fmt.within(set_up.name), set_up_minutes=first)
    elif set_up is not None:
        minutes = tell("one_minutes_in", minutes=minutes, set_up=fmt.within(set_up.name))
    if look.check_cost > 0.0:
        return tell("one_price", minutes=minutes, price=money(look.check_cost))
    return minutes


def _cautions(look: Look, check: Check, pack: Pack) -> tuple[str, ...]:
    set_up = set_up_of(look, pack)
    first = set_up.cautions if set_up is not None and look.opens_set_up else ()
    return tuple(dict.fromkeys((*first, *check.cautions)))
