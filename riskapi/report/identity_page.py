"""Which engine this is, how that was established, and what of it is not settled."""

from __future__ import annotations

from collections.abc import Iterator

from riskapi.domain.assessment import TraitChances
from riskapi.domain.identity import Person
from riskapi.domain.vin import tail
from riskapi.report import format as fmt
from riskapi.report.edition_texts import tell
from riskapi.report.sections import Block, Bullets, Cell, Chance, Column, Facts, Section, Table, Text
from riskapi.report.texts import say
from riskapi.report.trait_texts import trait_value, trait_word
from riskapi.report.view import View

CANDIDATE_TOLD = 0.005  # chance from which a candidate revision is named
SETTLING_TOLD = 3  # looks that would settle the revision


def identity_section(view: View) -> Section:
    """What is stated and what was worked out, what is open with its chances, and the facts worth asking about."""
    short, long = _vehicle_rows(view), _engine_rows(view)
    blocks: list[Block] = [Facts(_told(short), abreast=2), Facts(_told(long)), *_open(view)]
    if view.assessment.facts:
        blocks.append(Text(say("id_facts"), "subheading"))
        blocks.append(Bullets(tuple(fmt.sentence(fmt.plain(fact)) for fact in view.assessment.facts)))
    return Section("identity", say("h_identity"), tuple(blocks), starts_page=True)


def _told(rows: tuple[tuple[str, str], ...]) -> tuple[tuple[str, str], ...]:
    return tuple((label, text) for label, text in rows if text)


def _open(view: View) -> tuple[Block, ...]:
    """A bar for everything that the engine, its past and its traits may be."""
    columns = (Column(tell("col_open"), 0.6), Column(tell("col_chance"), 0.4))
    rows: list[tuple[Cell, ...]] = [(name, Chance(share, fmt.percent(share))) for name, share in _chances(view)]
    return (Table(columns, tuple(rows), abreast=2),) if rows else ()


def _chances(view: View) -> Iterator[tuple[str, float]]:
    found, care, tune = view.assessment.identification, view.assessment.care, view.assessment.tune
    told = [item for item in found.candidates if item.probability >= CANDIDATE_TOLD]
    if len(told) > 1 and not found.generic:
        yield from ((tell("chance_revision", name=item.name), item.probability) for item in told)
    for name, share in (("careful", care.careful), ("average", care.average), ("neglected", care.neglected)):
        if share > 0.0:
            yield tell("chance_care", value=tell(f"care_{name}")), share
    if tune is not None:
        yield tell("chance_tune"), tune
    for item in view.assessment.traits:
        for value in sorted(item.values, key=lambda value: (-value.probability, value.value)):
            if value.probability >= CANDIDATE_TOLD:
                name = tell("chance_trait", trait=trait_word(item.trait), value=trait_word(value.value))
                yield fmt.capital(name), value.probability


def engine_name(view: View) -> str:
    """'Tarnbeck Lapwing', or that the engine is described by its features."""
    family = view.assessment.identification.family
    if family is None:
        return say("engine_generic")
    known = view.pack.family(family)
    return known.name if known.maker.lower() in known.name.lower() else f"{fmt.capital(known.maker)} {known.name}"


def _engine_rows(view: View) -> tuple[tuple[str, str], ...]:
    found, engine = view.assessment.identification, view.case.vehicle.engine
    told = [item.name for item in found.candidates if item.probability >= CANDIDATE_TOLD]
    settled = told[0] if len(told) == 1 and not found.generic else ""  # several have bars with their chances
    traits = "; ".join(f"{trait_word(name)}: {trait_value(value)}" for name, value in engine.traits.items)
    return (
        (say("id_how"), say("id_generic") if found.generic else fmt.sentence(fmt.plain(found.how))),
        (say("id_candidates"), settled),
        (say("id_settle"), _settling(view)),
        (say("id_traits"), fmt.plain(traits)),
        (say("id_open_traits"), _open_traits(view)),
    )


def _open_traits(view: View) -> str:
    """Every trait that nobody stated and that stands among the roots, with the looks that read it."""
    return "; ".join(_open_trait(view, item) for item in view.assessment.traits)


def _open_trait(view: View, item: TraitChances) -> str:
    looks = fmt.listing(tuple(view.pack.check(name).name for name in item.settled_by))
    trait = trait_word(item.trait)
    return say("id_open_trait_look", trait=trait, looks=looks) if looks else trait


def _settling(view: View) -> str:
    """The looks that tell the candidates apart, best first; '' where the revision is settled."""
    found = view.assessment.identification
    if found.generic or sum(item.probability >= CANDIDATE_TOLD for item in found.candidates) < 2:
        return ""
    checks = [view.pack.check(name) for name in found.settled_by[:SETTLING_TOLD]]
    told = [say("id_settle_check", check=check.name, minutes=fmt.minutes(check.minutes)) for check in checks]
    return "; ".join(told) or say("id_settle_none")


def _vehicle_rows(view: View) -> tuple[tuple[str, str], ...]:
    vehicle, engine = view.case.vehicle, view.case.vehicle.engine
    unstated = say("not_stated")
    return (
        (say("id_engine"), fmt.capital(engine_name(view))),
        (say("id_code"), fmt.plain(engine.code or "", 60)),
        (say("id_reference"), fmt.plain(view.assessment.reference or "", 200)),
        (say("id_as_of"), fmt.day(view.assessment.as_of)),
        (say("id_built"), fmt.day(vehicle.build_date) if vehicle.build_date else unstated),
        (say("id_registered"), fmt.day(vehicle.first_registered) if vehicle.first_registered else unstated),
        (say("id_odometer"), fmt.distance(vehicle.odometer_km)),
        *identity_rows(view),
    )


def identity_rows(view: View) -> tuple[tuple[str, str], ...]:
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
