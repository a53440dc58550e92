"""Everything that was assumed because the case is silent, in words, and the known simplifications of the model."""

from __future__ import annotations

from riskapi.domain.assessment import Assumption
from riskapi.domain.case import Case, HistoryEntry
from riskapi.domain.history import DOCUMENTS
from riskapi.domain.identify import EngineIdentity
from riskapi.domain.knowledge import Family, Pack
from riskapi.domain.lanes import LaneSet
from riskapi.domain.open_traits import shared_unknown, uses_of
from riskapi.domain.stress import TOLERANCE, oil_interval, oil_service
from riskapi.domain.terms import Terms


def assumptions_of(
    case: Case, pack: Pack, identity: EngineIdentity, lanes: LaneSet, terms: Terms
) -> tuple[Assumption, ...]:
    """Everything that was assumed because the case is silent, then the model's known simplifications."""
    source = pack.source(pack.defaults.source).citation
    texts = [Assumption(text, source) for text in identity.assumed]
    texts += [Assumption(text, source) for text in _defaults(case, pack, terms)]
    texts += [Assumption(text, source) for text in _history(case, pack, lanes)]
    texts += [Assumption(text, "base rates of the knowledge pack") for text in _traits(case, pack, identity, lanes)]
    texts.append(_oil(pack, identity.family))
    return (*texts, *(Assumption(text, "the model") for text in SIMPLIFICATIONS))


OPENED = (
    "Not stated, so that every figure is the mixture over the values, weighed by how common each is and by the "
    "findings: {}."
)
CROWDED = (
    "Not stated although several things hang on each, and too many to tell all combinations apart: {}. Each weak point "
    "is averaged over the values by itself, which is an approximation; stating them makes it exact."
)
SAID_UNKNOWN = (
    "Said to be unknown although several things hang on it: {}. Each weak point is averaged over the values by itself, "
    "which is an approximation."
)
SIMPLIFICATIONS = (
    (
        "What is faulty is repaired on day 0, everything else runs until it fails and is repaired at once with the "
        "part on sale then; planned work is done when due, overdue planned work on day 0."
    ),
    "Consequential damage is money inside the weak point that causes it: it resets no other part's age.",
    "A car may be for sale because it is ill; this is not in the figures.",
    "All money is at the prices of the assessment date.",
)


def _defaults(case: Case, pack: Pack, terms: Terms) -> list[str]:
    d, market, own = pack.defaults, case.market, case.ownership
    told = [
        (own.years, f"Ownership taken as {d.ownership_years:g} years."),
        (own.annual_distance_km, f"Distance taken as {d.annual_distance_km:,.0f} km a year."),
        (market.labour_rate, f"Labour taken at {d.labour_rate:g} {terms.level.currency} an hour without tax."),
        (market.parts_index, "Parts at the prices of the knowledge pack."),
        (market.tax, f"Tax taken as {100 * d.tax:g} %."),
        (case.vehicle.installation, "Fitting not stated: access hours are the mean of transverse and longitudinal."),
        (case.vehicle.parts_class, "Parts price class taken as mid."),
    ]
    texts = [text for value, text in told if value is None]
    if market.sound_value is None and market.asking_price is None:
        texts.append("No price stated, so repairs are not capped by the value of the car, only by another engine.")
    elif market.sound_value is None:
        texts.append("Value of the car as usually sold not stated: repairs are capped by the asking price less scrap.")
    if market.workshop_rate is not None and market.sound_value is None:
        texts.append("Value of the car as usually sold not stated, so work before the sale is not weighed.")
    if not case.usage.planned:
        texts.append("The buyer's use taken as ordinary: no short trips, towing or tune, oil service in time.")
    if case.vehicle.software_tune == "unknown":
        texts.append(f"Software tune unknown: {100 * d.tune_base_rate:g} of 100 cars are taken to have one.")
    return texts


def _oil(pack: Pack, family: Family | None) -> Assumption:
    """Which oil interval the history is held against, and whose it is."""
    interval, service = oil_interval(pack, family), oil_service(family)
    due = _due(interval.distance_km, interval.age_years)
    late = f"Oil services count as in time up to {100 * (TOLERANCE - 1):.0f} % beyond {due}, careful practice"
    source = pack.source(interval.source).citation
    if family is None or service is None or service.careful is None:
        return Assumption(f"{late} for engines in general.", source)
    makers = _due(service.distance_km, service.age_years)
    return Assumption(f"{late} for the {family.name}; its maker asks for {makers}.", source)


def _due(distance_km: float | None, age_years: float | None) -> str:
    far = [] if distance_km is None else [f"{distance_km:,.0f} km"]
    long = [] if age_years is None else [f"{age_years:g} {'year' if age_years == 1.0 else 'years'}"]
    return " or ".join((*far, *long))


def _history(case: Case, pack: Pack, lanes: LaneSet) -> list[str]:
    unused = dict(lanes.past.unused)
    texts = [_about(entry, pack, unused.get(entry.pointer, "")) for entry in case.history]
    return [text for text in texts if text]


def _about(entry: HistoryEntry, pack: Pack, unused: str) -> str:
    """What was made of an entry of the history, where that needs saying; `unused`: why it moves no number."""
    if entry.work == "renewed" and entry.evidence not in DOCUMENTS:
        return (
            f"A renewal on {entry.on} without papers ({pack.weak_point(str(entry.item)).name}): taken to have "
            f"happened with {100 * pack.defaults.undocumented_renewal:g} in 100."
        )
    if entry.work == "failed":
        return _about_failure(entry, pack)
    if unused:
        name = pack.check(str(entry.item)).name
        return f"The past check \u201c{name}\u201d of {entry.on} is kept on record but moves no number: {unused}."
    return ""


def _about_failure(entry: HistoryEntry, pack: Pack) -> str:
    weak_point = pack.weak_point(str(entry.item))
    several = (
        " One of several: which one is not known, the others were not renewed then." if weak_point.copies != 1 else ""
    )
    weighs = "How likely that was weighs on revision, on care and on how long the part lasts."
    if entry.evidence in DOCUMENTS:
        what = (
            f"A failure recorded on {entry.on} ({weak_point.name}): the part then in the car had failed shortly before"
        )
        return f"{what} and was renewed. {weighs}{several}"
    what = f"A failure told of, on {entry.on} ({weak_point.name}): the part would have failed shortly before"
    chance = 100 * pack.defaults.undocumented_renewal
    return f"{what} and been renewed. {weighs}{several} Without papers: taken to have happened with {chance:g} in 100."


def _traits(case: Case, pack: Pack, identity: EngineIdentity, lanes: LaneSet) -> list[str]:
    """What was made of traits that nobody stated."""
    opened = [trait.name for trait in identity.open_traits]
    shared = shared_unknown(case, pack, identity)
    inside = [name for name in _averaged(pack, identity, lanes) if name not in (*shared, *identity.crowded)]
    told = (
        (opened, OPENED),
        (inside, "Not stated, and therefore averaged over how common each is: {}."),
        (shared, SAID_UNKNOWN),
        (identity.crowded, CROWDED),
    )
    return [text.format(", ".join(names)) for names, text in told if names]


def _averaged(pack: Pack, identity: EngineIdentity, lanes: LaneSet) -> list[str]:
    """Traits that decide something about a weak point and are averaged inside it."""
    return sorted({use.trait for c in lanes.candidates for use in uses_of(pack, identity.family, c)})
