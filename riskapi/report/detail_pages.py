"""The pages behind the first: identity, weak points, cost by year, and what the findings changed."""

from __future__ import annotations

from riskapi.domain.assessment import Checked, TraitChances, WeakPointResult, YearCost
from riskapi.domain.identity import Person
from riskapi.domain.vin import tail
from riskapi.report import format as fmt
from riskapi.report import words
from riskapi.report.sections import Block, Bullets, Cell, Chance, Column, Facts, Item, Section, Table, Text, YearChart
from riskapi.report.texts import say
from riskapi.report.trait_texts import trait_value, trait_word
from riskapi.report.verdicts import in_few_words, measured_words
from riskapi.report.view import View

IN_WORDS = 6  # weak points told in sentences
NAMES_PER_FINDING = 4
CANDIDATE_TOLD = 0.005  # chance from which a candidate revision is named
SETTLING_TOLD = 3  # looks that would settle the revision


# ---- identity --------------------------------------------------------------------------------------------------


def identity_section(view: View) -> Section:
    """Which engine this is, how that was established, and the facts worth asking about."""
    rows = tuple((label, text) for label, text in (*_engine_rows(view), *_vehicle_rows(view)) if text)
    blocks: list[Block] = [Facts(rows)]
    if view.assessment.facts:
        blocks.append(Text(say("id_facts"), "subheading"))
        blocks.append(Bullets(tuple(fmt.sentence(fmt.plain(fact)) for fact in view.assessment.facts)))
    return Section("identity", say("h_identity"), tuple(blocks), starts_page=True)


def engine_name(view: View) -> str:
    """'Tarnbeck Lapwing', or that the engine is described by its features."""
    family = view.assessment.identification.family
    if family is None:
        return say("engine_generic")
    known = view.pack.family(family)
    return known.name if known.maker.lower() in known.name.lower() else f"{fmt.capital(known.maker)} {known.name}"


def _engine_rows(view: View) -> tuple[tuple[str, str], ...]:
    found, engine = view.assessment.identification, view.case.vehicle.engine
    candidates = ", ".join(
        item.name
        if item.probability > 0.995
        else say("id_candidate", name=item.name, chance=fmt.percent(item.probability))
        for item in found.candidates[:6]
        if item.probability >= CANDIDATE_TOLD
    )
    traits = ", ".join(f"{trait_word(name)}: {trait_value(value)}" for name, value in engine.traits.items)
    how = fmt.sentence(fmt.plain(found.how))
    if found.generic:
        how = f"{say('id_generic')} {how}".strip()
    return (
        (say("id_engine"), fmt.capital(engine_name(view))),
        (say("id_how"), how),
        (say("id_candidates"), "" if found.generic else candidates),
        (say("id_settle"), _settling(view)),
        (say("id_code"), fmt.plain(engine.code or "", 60)),
        (say("id_traits"), fmt.plain(traits)),
        (say("id_open_traits"), _open_traits(view)),
    )


def _open_traits(view: View) -> str:
    """'timing cover: cast 72 %, polymer 28 %' of every trait that nobody stated and that stands among the roots, with
    the looks that read it."""
    return "; ".join(_open_trait(view, item) for item in view.assessment.traits)


def _open_trait(view: View, item: TraitChances) -> str:
    values = sorted(item.values, key=lambda value: (-value.probability, value.value))
    chances = ", ".join(
        f"{trait_word(value.value)} {fmt.percent(value.probability)}"
        for value in values
        if value.probability >= CANDIDATE_TOLD
    )
    looks = fmt.listing(tuple(view.pack.check(name).name for name in item.settled_by))
    told = f"{trait_word(item.trait)}: {chances}"
    return say("id_open_trait_look", told=told, looks=looks) if looks else told


def _settling(view: View) -> str:
    """The looks that tell the candidates apart, best first; '' where the revision is settled."""
    found = view.assessment.identification
    if found.generic or sum(item.probability >= CANDIDATE_TOLD for item in found.candidates) < 2:
        return ""
    checks = [view.pack.check(name) for name in found.settled_by[:SETTLING_TOLD]]
    told = [say("id_settle_check", check=check.name, minutes=fmt.minutes(check.minutes)) for check in checks]
    return "; ".join(told) or say("id_settle_none")


def _vehicle_rows(view: View) -> tuple[tuple[str, str], ...]:
    vehicle, care, tune = view.case.vehicle, view.assessment.care, view.assessment.tune
    unstated = say("not_stated")
    oil = say(
        "id_care_words",
        careful=fmt.percent(care.careful),
        average=fmt.percent(care.average),
        neglected=fmt.percent(care.neglected),
    )
    return (
        (say("id_reference"), fmt.plain(view.assessment.reference or "", 200)),
        (say("id_as_of"), fmt.day(view.assessment.as_of)),
        (say("id_built"), fmt.day(vehicle.build_date) if vehicle.build_date else unstated),
        (say("id_registered"), fmt.day(vehicle.first_registered) if vehicle.first_registered else unstated),
        (say("id_odometer"), fmt.distance(vehicle.odometer_km)),
        *_identity_rows(view),
        (say("id_care"), oil),
        (say("id_tune"), "" if tune is None else fmt.percent(tune)),
    )


def _identity_rows(view: View) -> tuple[tuple[str, str], ...]:
    """Who and which car, as far as the identity is at hand; of a VIN no more than its last four characters."""
    known = view.identity
    if known.erased:
        return ((say("id_vin"), say("id_erased")), (say("id_commitment"), known.commitment or ""))
    vin = say("id_vin_tail", tail=tail(fmt.plain(known.any_vin))) if known.any_vin else say("not_stated")
    return (
        (say("id_vin"), vin),
        (say("id_plate"), fmt.plain(known.plate or "", 20)),
        (say("id_client"), _person(known.client)),
        (say("id_seller"), _person(known.seller)),
        (say("id_inspector"), _person(known.inspector)),
        (say("id_commitment"), known.commitment or ""),
    )


def _person(person: Person | None) -> str:
    told = () if person is None else (person.name, person.address)
    return ", ".join(fmt.plain(each, 200) for each in told if each)


# ---- weak points -----------------------------------------------------------------------------------------------


def weak_points_section(view: View) -> Section:
    """Every weak point of this engine, by expected cost, and the heaviest ones in sentences."""
    years = fmt.years(view.years)
    items = view.assessment.weak_points
    columns = (
        Column(say("col_weak_point"), 0.29),
        Column(say("col_today"), 0.185),
        Column(say("col_period", years=years), 0.185),
        Column(say("col_cost"), 0.13, "right"),
        Column(say("col_findings"), 0.21),
    )
    blocks: list[Block] = [
        Text(say("weak_points_intro", years=years, count=fmt.number(len(items)))),
        Table(columns, tuple(_weak_point_row(view, item) for item in items)),
        Text(say("h_in_words"), "subheading"),
    ]
    blocks += [
        Item(item.name, words.weak_point_sentences(item, view.pack, view.currency, view.years))
        for item in _worth_words(view)
    ]
    told = _worth_words(view)
    others = in_few_words(tuple(item for item in items if item not in told))
    if others:
        blocks += [Text(say("others_in_words"), "subheading"), Bullets(others)]
    return Section("weak_points", say("h_weak_points"), tuple(blocks))


def _weak_point_row(view: View, item: WeakPointResult) -> tuple[Cell, ...]:
    today, period = words.not_sound(item.state), item.failure_probability
    return (
        item.name,
        Chance(today, fmt.percent(today)),
        Chance(period, fmt.percent(period)),
        view.money(item.expected_cost),
        words.findings_words(item),
    )


def _worth_words(view: View) -> tuple[WeakPointResult, ...]:
    """The first few by cost, and whatever makes the advice a matter of safety."""
    hazards = view.assessment.decision.hazards
    return tuple(
        item
        for place, item in enumerate(view.assessment.weak_points)
        if (place < IN_WORDS and item.expected_cost > 0.0) or item.id in hazards
    )


# ---- cost by year ----------------------------------------------------------------------------------------------


def years_section(view: View) -> Section:
    """The cumulative cost of surprise repairs as a picture, and the same in words."""
    points = view.assessment.cost.by_year
    if not points:
        return Section("years", say("h_years"), (Text(say("years_none")),))
    chart = YearChart(points, view.currency, tuple(_year_words(view, point) for point in points))
    blocks: list[Block] = [Text(say("years_intro")), chart]
    saving = view.assessment.cost.shared_access_saving
    if saving >= 1.0:
        blocks.append(Text(say("shared", saving=view.money(saving))))
    return Section("years", say("h_years"), tuple(blocks))


def _year_words(view: View, point: YearCost) -> str:
    return say(
        "years_alt",
        year=fmt.years(point.year),
        mean=view.money(point.mean),
        median=view.money(point.p50),
        high=view.money(point.p90),
    )


# ---- findings --------------------------------------------------------------------------------------------------


def findings_section(view: View) -> Section:
    """Each finding that counted, with the weak points it speaks for and against; the quiet ones in one line."""
    checked = view.assessment.coverage.checked
    if not checked:
        return Section("findings", say("h_findings"), (Text(say("findings_none")),))
    told = tuple((item, _meanings(view, item)) for item in checked)
    columns = (Column(say("col_finding"), 0.44), Column(say("col_meaning"), 0.56))
    rows = tuple((_finding_words(view, item), meaning) for item, meaning in told if meaning)
    quiet = _quiet(view, tuple(item for item, meaning in told if not meaning))
    blocks: list[Block] = [Text(say("findings_intro")), Table(columns, rows)] if rows else []
    if quiet:
        blocks.append(Text(say("findings_quiet", checks=", ".join(quiet))))
    return Section("findings", say("h_findings"), tuple(blocks))


def _quiet(view: View, items: tuple[Checked, ...]) -> tuple[str, ...]:
    """Names of checks without weight; a result read off another act is covered by that act."""
    names = (view.pack.check(item.check).name for item in items if view.pack.check(item.check).part_of is None)
    return tuple(dict.fromkeys(names))


def _finding_words(view: View, item: Checked) -> str:
    result = words.result_name(view.pack, item.check, item.result)
    if item.reading and not _told_by_its_act(view, item, result):
        result = say("reading", result=result, reading=measured_words(fmt.plain(item.reading, 120), item))
    origin = f", {say(f'by_{item.observed_by}')}" if item.observed_by in {"seller", "papers"} else ""
    note = view.note(item.check)
    quoted = f" {say('quoted', text=note)}" if note else ""
    return f"{words.check_name(view.pack, item.check)}: {result}{origin}{quoted}"


def _told_by_its_act(view: View, item: Checked, result: str) -> bool:
    """Whether this is one of several results of one act, and the unremarkable one: the act shows the reading."""
    check = view.pack.check(item.check)
    return check.part_of is not None and result == check.results[0].name


def _meanings(view: View, item: Checked) -> str:
    """'Strongly for: chain tensioner. A little against: ...', strongest first."""
    said = words.result_name(view.pack, item.check, item.result)
    groups: dict[str, dict[str, None]] = {}
    weights = [
        (entry.alone, point.name)
        for point in view.assessment.weak_points
        for entry in point.evidence
        if entry.check == item.check
        and abs(entry.alone) >= words.NO_WEIGHT
        and words.result_name(view.pack, entry.check, entry.result) == said
    ]
    for alone, name in sorted(weights, key=lambda pair: (-abs(pair[0]), pair[1])):
        groups.setdefault(words.short_weight_words(alone), {})[name] = None
    return " ".join(_meaning(how, list(names)) for how, names in groups.items())


def _meaning(how: str, names: list[str]) -> str:
    shown = ", ".join(names[:NAMES_PER_FINDING])
    rest = len(names) - NAMES_PER_FINDING
    if rest > 0:
        shown = f"{shown} {say('finding_others', count=fmt.number(rest))}"
    return f"{say('finding_says', words=fmt.capital(how), names=shown)}."
