"""What the numbers on a car say about its engine: the VIN where it was read, its model year, and the serial number."""

from __future__ import annotations

from datetime import date
from itertools import combinations

from riskapi.domain.case import Case, Vehicle
from riskapi.domain.knowledge import Family, Revision
from riskapi.domain.sentence import Sentence, told
from riskapi.domain.vin import BODY, CONTROL_UNIT, PAPERS, VinClues, model_year

OUTSIDE_YEAR = 0.01  # judgement: weight of a build date that the model year does not cover, against one that it does


_READ = {
    PAPERS: told("in the papers"),
    BODY: told("on the body"),
    CONTROL_UNIT: told("in the control unit"),
}


def model_year_window(case: Case) -> tuple[date, date] | None:
    """First and last day on which a car of the VIN's model year can have been built.

    49 CFR 565.12 lets a model year be produced over up to 24 months (from memory); taken as its own calendar year and
    the one before it.
    None where the market does not use it, where the places disagree about the VIN, or where the year stays ambiguous.
    """
    vin, vehicle = _binding_vin(case.vehicle), case.vehicle
    year = None if vin is None else model_year(vin, vehicle.first_registered or vehicle.build_date or case.as_of)
    if year is None:
        return None
    return date(year - 1, 1, 1), date(year, 12, 31)


def serial_allows(serial: str | None, revision: Revision) -> bool:
    """Whether the engine's serial number leaves this revision possible."""
    return serial is None or revision.serials is None or revision.serials.holds(serial)


def clue_words(case: Case, family: Family) -> tuple[str, ...]:
    """The clues that bear on the revision, in words."""
    vehicle = case.vehicle
    serials = any(revision.serials is not None for revision in family.revisions)
    clues = (
        (told("engine code"), vehicle.engine.code is not None),
        (told("serial number"), vehicle.serial_number is not None and serials),
        (told("build date"), vehicle.build_date is not None),
        (told("first registration"), vehicle.build_date is None and vehicle.first_registered is not None),
        (told("model year in the VIN"), vehicle.build_date is None and model_year_window(case) is not None),
    )
    return tuple(word for word, given in clues if given)


def identity_facts(case: Case, family: Family | None, revision: Revision | None) -> tuple[str, ...]:
    """What to ask about: numbers that disagree. No character of a VIN is told.

    `revision` is the one the case states, None where it was worked out.
    """
    vehicle = case.vehicle
    return (
        *_disagreements(vehicle),
        *_check_digits(vehicle),
        *_dates(case),
        *_span(case, family),
        *_serial(vehicle, revision),
    )


def _disagreements(vehicle: Vehicle) -> tuple[str, ...]:
    return tuple(
        told(
            "The VIN {place} and the one {other_place} differ; ask.",
            place=_READ[one.place],
            other_place=_READ[other.place],
        )
        for one, other in combinations(vehicle.vins, 2)
        if one.number != other.number
    )


def _check_digits(vehicle: Vehicle) -> tuple[str, ...]:
    if vehicle.vin_market != "us":
        return ()
    places: dict[int, Sentence] = {}
    for vin in vehicle.vins:
        if not vin.check_digit_fits:
            place, known = _READ[vin.place], places.get(vin.number)
            places[vin.number] = place if known is None else told("{one} and {other}", one=known, other=place)
    return tuple(
        told("The check digit of the VIN {place} does not fit the rest: read it again, or ask.", place=place)
        for place in places.values()
    )


def _dates(case: Case) -> tuple[str, ...]:
    """The model year that the VIN gives by itself, against the dates of the case."""
    vin, built, registered = _binding_vin(case.vehicle), case.vehicle.build_date, case.vehicle.first_registered
    if vin is None:
        return ()
    year = model_year(vin)
    if year is None:
        return (told("Position 10 of the VIN is no code of a model year: read it again, or ask."),)
    facts = []
    if built is not None and not year - 1 <= built.year <= year:
        facts.append(
            told(
                "The VIN's model year {year:d} and the build date {built} do not go together; ask.",
                year=year,
                built=built,
            )
        )
    if registered is not None and year > registered.year + 1:
        facts.append(
            told(
                "The VIN's model year {year:d} is later than the first registration {registered}; ask.",
                year=year,
                registered=registered,
            )
        )
    elif year > case.as_of.year + 1:
        facts.append(
            told("The VIN's model year {year:d} is still to come: read positions 7 and 10 again, or ask.", year=year)
        )
    return tuple(facts)


def _span(case: Case, family: Family | None) -> tuple[str, ...]:
    window, vin = model_year_window(case), _binding_vin(case.vehicle)
    if window is None or family is None or vin is None or model_year(vin) != window[1].year:
        return ()
    if any(r.since <= window[1] and window[0] <= (r.until or case.as_of) for r in family.revisions):
        return ()
    return (
        told("No {family} was built for the VIN's model year {year:d}; ask.", family=family.name, year=window[1].year),
    )


def _serial(vehicle: Vehicle, revision: Revision | None) -> tuple[str, ...]:
    if revision is None or serial_allows(vehicle.serial_number, revision):
        return ()
    return (
        told(
            "The engine's serial number is outside those of {revision}: another engine may be fitted; ask.",
            revision=revision.name,
        ),
    )


def _binding_vin(vehicle: Vehicle) -> VinClues | None:
    """The VIN, where its market uses the model year and all places agree about it."""
    numbers = {vin.number for vin in vehicle.vins}
    return vehicle.vins[0] if vehicle.vin_market == "us" and len(numbers) == 1 else None
