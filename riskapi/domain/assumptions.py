"""Everything that was assumed because the case is silent, in words, and the known simplifications of the model."""

from __future__ import annotations

from riskapi.domain.assessment import Assumption
from riskapi.domain.case import Case, HistoryEntry, PriceFeed
from riskapi.domain.history import DOCUMENTS
from riskapi.domain.identify import EngineIdentity
from riskapi.domain.knowledge import Family, Pack
from riskapi.domain.lanes import LaneSet
from riskapi.domain.open_traits import shared_unknown, uses_of
from riskapi.domain.sentence import Kilometres, Sentence, told
from riskapi.domain.stress import TOLERANCE, oil_interval, oil_service
from riskapi.domain.terms import Terms


def assumptions_of(
    case: Case, pack: Pack, identity: EngineIdentity, lanes: LaneSet, terms: Terms
) -> tuple[Assumption, ...]:
    """Everything that was assumed because the case is silent, then the model's known simplifications."""
    source = pack.source(pack.defaults.source).citation
    texts = [Assumption(text, source) for text in identity.assumed]
    texts += [Assumption(text, source) for text in _defaults(case, pack, terms)]
    texts += [Assumption(text, feed.source) for feed in (case.market.price_feed,) if feed for text in _fed(case, feed)]
    texts += [Assumption(text, source) for text in _history(case, pack, lanes)]
    texts += [
        Assumption(text, told("base rates of the knowledge pack")) for text in _traits(case, pack, identity, lanes)
    ]
    texts.append(_oil(pack, identity.family))
    return (*texts, *(Assumption(text, told("the model")) for text in SIMPLIFICATIONS))


OPENED = (
    "Not stated, so that every figure is the mixture over the values, weighed by how common each is and by the "
    "findings: {traits}."
)
CROWDED = (
    "Not stated although several things hang on each, and too many to tell all combinations apart: {traits}. "
    "Each weak point is averaged over the values by itself, which is an approximation; stating them makes it exact."
)
SAID_UNKNOWN = (
    "Said to be unknown although several things hang on it: {traits}. Each weak point is averaged over the values by "
    "itself, which is an approximation."
)
AVERAGED = "Not stated, and therefore averaged over how common each is: {traits}."
SIMPLIFICATIONS = (
    told(
        "What is faulty is repaired on day 0, everything else runs until it fails and is repaired at once with the "
        "part on sale then; planned work is done when due, overdue planned work on day 0."
    ),
    told("Consequential damage is money inside the weak point that causes it: it resets no other part's age."),
    told("A car may be for sale because it is ill; this is not in the figures."),
    told("All money is at the prices of the assessment date."),
)


SILENT_DAYS = 2  # from which on a price feed counts as down
YEAR, YEARS = "{years:g} year", "{years:g} years"


def _defaults(case: Case, pack: Pack, terms: Terms) -> list[Sentence]:
    d, market, own = pack.defaults, case.market, case.ownership
    usual = [
        (own.years, told("Ownership taken as {years:g} years.", years=d.ownership_years)),
        (own.annual_distance_km, told("Distance taken as {far} a year.", far=Kilometres(d.annual_distance_km))),
        (
            market.labour_rate,
            told(
                "Labour taken at {rate:g} {currency} an hour without tax.",
                rate=d.labour_rate,
                currency=terms.level.currency,
            ),
        ),
        (market.parts_index, told("Parts at the prices of the knowledge pack.")),
        (market.tax, told("Tax taken as {share:g} %.", share=100 * d.tax)),
        (
            case.vehicle.installation,
            told("Fitting not stated: access hours are the mean of transverse and longitudinal."),
        ),
        (case.vehicle.parts_class, told("Parts price class taken as mid.")),
    ]
    texts = [text for value, text in usual if value is None]
    if market.sound_value is None and market.asking_price is None:
        texts.append(
            told("No price stated, so repairs are not capped by the value of the car, only by another engine.")
        )
    elif market.sound_value is None:
        texts.append(
            told("Value of the car as usually sold not stated: repairs are capped by the asking price less scrap.")
        )
    if market.workshop_rate is not None and market.sound_value is None:
        texts.append(told("Value of the car as usually sold not stated, so work before the sale is not weighed."))
    if not case.usage.planned:
        texts.append(told("The buyer's use taken as ordinary: no short trips, towing or tune, oil service in time."))
    if case.vehicle.software_tune == "unknown":
        texts.append(
            told("Software tune unknown: {count:g} of 100 cars are taken to have one.", count=100 * d.tune_base_rate)
        )
    return texts


def _fed(case: Case, feed: PriceFeed) -> list[Sentence]:
    """What came from a price feed, how old it is, and that it has been silent, where it has."""
    market, source, day = case.market, feed.source, feed.as_of
    rate, index, count = market.labour_rate or 0.0, market.parts_index or 0.0, len(market.parts_prices)
    texts = {
        "labour_rate": told(
            "Labour taken at {rate:g} an hour without tax: {source}, {day}.", rate=rate, source=source, day=day
        ),
        "parts_index": told(
            "Parts taken at {index:g} times the prices of the knowledge pack: {source}, {day}.",
            index=index,
            source=source,
            day=day,
        ),
        "parts_prices": told(
            "Prices of the parts of {count} operations: {source}, {day}.", count=count, source=source, day=day
        ),
    }
    return [*(texts[key] for key in feed.filled), _age(feed)]


def _age(feed: PriceFeed) -> Sentence:
    age, silent = (feed.used - feed.as_of).days, (feed.used - feed.checked).days
    if silent >= SILENT_DAYS:
        return told(
            "The price feed has not answered for {days} days. Its last prices are used, which are {age} days old.",
            days=silent,
            age=age,
        )
    return told("Prices of the price feed are {age} days old.", age=age)


def _oil(pack: Pack, family: Family | None) -> Assumption:
    """Which oil interval the history is held against, and whose it is."""
    interval, service = oil_interval(pack, family), oil_service(family)
    due = _due(interval.distance_km, interval.age_years)
    late = told(
        "Oil services count as in time up to {share:.0f} % beyond {due}, careful practice",
        share=100 * (TOLERANCE - 1),
        due=due,
    )
    source = pack.source(interval.source).citation
    if family is None or service is None or service.careful is None:
        return Assumption(told("{late} for engines in general.", late=late), source)
    makers = _due(service.distance_km, service.age_years)
    text = told("{late} for the {family}; its maker asks for {makers}.", late=late, family=family.name, makers=makers)
    return Assumption(text, source)


def _due(distance_km: float | None, age_years: float | None) -> Sentence:
    far = None if distance_km is None else told("{far}", far=Kilometres(distance_km))
    long = None if age_years is None else told(YEAR if age_years == 1.0 else YEARS, years=age_years)
    if far is None or long is None:
        return far or long or told("")
    return told("{far} or {long}", far=far, long=long)


def _history(case: Case, pack: Pack, lanes: LaneSet) -> list[Sentence]:
    unused = dict(lanes.past.unused)
    texts = [_about(entry, pack, unused.get(entry.pointer, "")) for entry in case.history]
    return [text for text in texts if text is not None]


def _about(entry: HistoryEntry, pack: Pack, unused: str) -> Sentence | None:
    """What was made of an entry of the history, where that needs saying; `unused`: why it moves no number."""
    if entry.work == "renewed" and entry.evidence not in DOCUMENTS:
        return told(
            "A renewal on {day} without papers ({name}): taken to have happened with {chance:g} in 100.",
            day=entry.on,
            name=pack.weak_point(str(entry.item)).name,
            chance=100 * pack.defaults.undocumented_renewal,
        )
    if entry.work == "failed":
        return _about_failure(entry, pack)
    if unused:
        name = pack.check(str(entry.item)).name
        return told(
            "The past check \u201c{name}\u201d of {day} is kept on record but moves no number: {why}.",
            name=name,
            day=entry.on,
            why=unused,
        )
    return None


def _about_failure(entry: HistoryEntry, pack: Pack) -> Sentence:
    weak_point = pack.weak_point(str(entry.item))
    several = (
        told(" One of several: which one is not known, the others were not renewed then.")
        if weak_point.copies != 1
        else told("")
    )
    weighs = told("How likely that was weighs on revision, on care and on how long the part lasts.")
    if entry.evidence in DOCUMENTS:
        return told(
            "A failure recorded on {day} ({name}): the part then in the car had failed shortly before and was renewed. "
            "{weighs}{several}",
            day=entry.on,
            name=weak_point.name,
            weighs=weighs,
            several=several,
        )
    return told(
        "A failure told of, on {day} ({name}): the part would have failed shortly before and been renewed. "
        "{weighs}{several} Without papers: taken to have happened with {chance:g} in 100.",
        day=entry.on,
        name=weak_point.name,
        weighs=weighs,
        several=several,
        chance=100 * pack.defaults.undocumented_renewal,
    )


def _traits(case: Case, pack: Pack, identity: EngineIdentity, lanes: LaneSet) -> list[Sentence]:
    """What was made of traits that nobody stated."""
    opened = [trait.name for trait in identity.open_traits]
    shared = shared_unknown(case, pack, identity)
    inside = [name for name in _averaged(pack, identity, lanes) if name not in (*shared, *identity.crowded)]
    found = (
        (opened, OPENED),
        (inside, AVERAGED),
        (shared, SAID_UNKNOWN),
        (identity.crowded, CROWDED),
    )
    return [told(pattern, traits=tuple(names)) for names, pattern in found if names]


def _averaged(pack: Pack, identity: EngineIdentity, lanes: LaneSet) -> list[str]:
    """Traits that decide something about a weak point and are averaged inside it."""
    return sorted({use.trait for c in lanes.candidates for use in uses_of(pack, identity.family, c)})
