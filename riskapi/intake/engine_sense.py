"""Does the engine of a case make sense against the knowledge pack?"""

from __future__ import annotations

from collections.abc import Iterator
from typing import Any

from riskapi.domain.knowledge import Family, Pack, Revision, Traits, TraitValue, TraitWord
from riskapi.domain.sentence import Sentence, at_fault, in_a_row, told
from riskapi.errors import Fault
from riskapi.intake.pointers import Path, pointer
from riskapi.intake.words import choose, listed, shown

_AT: Path = ("vehicle", "engine")
_LEAST = ("fuel", "cylinders")
UNKNOWN = "unknown"  # said of a trait that cannot be found out
_WITHOUT = {
    "revision": told("The revision is stated without its engine family."),
    "code": told("The code is stated without its engine family."),
}


def engine_faults(engine: dict[str, Any], stated: set[str], pack: Pack) -> Iterator[Fault]:
    """Faults of vehicle.engine. `engine` holds what is well formed, `stated` every key that was written."""
    family = find_family(engine, pack)
    yield from _trait_faults(engine.get("traits", {}), pack)
    if family is not None:
        yield from _within_family(engine, family)
    elif "family" in engine:
        known = [item.id for item in pack.families]
        mend = in_a_row(
            choose(engine["family"], known), told("An engine that is not known can be described by its traits.")
        )
        message = told("The engine family {family} is not in the knowledge pack.", family=shown(engine["family"]))
        yield _fault("family", message, mend)
    elif "family" not in stated:
        yield from _without_family(engine, stated, pack)


def find_family(engine: dict[str, Any], pack: Pack) -> Family | None:
    """The family that the engine names, if the pack has it."""
    return next((item for item in pack.families if item.id == engine.get("family")), None)


def candidates(engine: dict[str, Any], installation: str | None, pack: Pack) -> list[Traits]:
    """The traits of every revision the engine can be, with what is stated laid over; one entry without a family."""
    own = stated_traits(engine)
    if installation is not None:
        own.setdefault("installation", installation)
    stated = Traits(tuple(sorted(own.items())))
    family = find_family(engine, pack)
    if family is None:
        return [stated]
    return [revision.traits.merged(stated) for revision in _revisions(engine, family)]


def stated_traits(engine: dict[str, Any]) -> dict[str, TraitValue]:
    """The traits with a value; one that is said to be unknown has none."""
    return {name: value for name, value in engine.get("traits", {}).items() if value != UNKNOWN}


def _revisions(engine: dict[str, Any], family: Family) -> list[Revision]:
    named = [item for item in family.revisions if item.id == engine.get("revision")]
    coded = [item for item in family.revisions if engine.get("code") in item.codes]
    return named or coded or list(family.revisions)


def _fault(key: str, message: Sentence, mend: Sentence) -> Fault:
    return at_fault(pointer((*_AT, key)), message, mend)


def _within_family(engine: dict[str, Any], family: Family) -> Iterator[Fault]:
    revisions = {item.id: item for item in family.revisions}
    codes = {code for item in family.revisions for code in item.codes}
    revision, code = engine.get("revision"), engine.get("code")
    if revision is not None and revision not in revisions:
        message = told("{family} has no revision {revision}.", family=family.name, revision=shown(revision))
        yield _fault("revision", message, choose(revision, revisions))
    if code is not None and code not in codes:
        mend = in_a_row(choose(code, codes), told("Leave it out when the code cannot be read."))
        message = told("No revision of {family} has the code {code}.", family=family.name, code=shown(code))
        yield _fault("code", message, mend)
    elif code is not None and revision in revisions and code not in revisions[revision].codes:
        message = told(
            "The revision {revision} does not have the code {code}.", revision=shown(revision), code=shown(code)
        )
        its = listed(revisions[revision].codes)
        yield _fault("code", message, told("Its codes are {codes}; keep what is certain.", codes=its))
    yield from _contradictions(engine, family)


def _contradictions(engine: dict[str, Any], family: Family) -> Iterator[Fault]:
    revisions = _revisions(engine, family)
    for name, value in stated_traits(engine).items():
        known: set[TraitValue | None] = {item.traits.get(name) for item in revisions}
        if None not in known and value not in known:
            message = told(
                "No {family} engine that fits this case has {trait} {value}.",
                family=family.name, trait=name, value=shown(value),
            )  # fmt: skip
            mend = told("It has {values}: mend the trait or the family.", values=listed(sorted(map(str, known))))
            yield at_fault(pointer((*_AT, "traits", name)), message, mend)


def _without_family(engine: dict[str, Any], stated: set[str], pack: Pack) -> Iterator[Fault]:
    for key, message in _WITHOUT.items():
        if key in engine:
            yield _fault(key, message, _family_of(key, engine[key], pack))
    traits = engine.get("traits", {})
    missing = [name for name in _LEAST if name not in traits]
    for name in _LEAST:
        if traits.get(name) == UNKNOWN:
            message = told("Without an engine family {trait} has to be known.", trait=name)
            mend = told("State {trait}, or name the engine family.", trait=name)
            yield at_fault(pointer((*_AT, "traits", name)), message, mend)
    if missing and not _WITHOUT.keys() & stated:
        mend = told('Add "family", or at least "traits": {{"fuel": "petrol", "cylinders": 4}}.')
        message = told("The engine is described neither by its family nor by at least the traits fuel and cylinders.")
        yield at_fault(pointer(_AT), message, mend)


def _family_of(key: str, word: str, pack: Pack) -> Sentence:
    families = [
        family.id
        for family in pack.families
        if any(word == item.id if key == "revision" else word in item.codes for item in family.revisions)
    ]
    if families:
        return told('Add "family": {families}.', families=listed(families))
    return told('Add "family"; an engine that is not in the knowledge pack is described by "traits".')


def _trait_faults(traits: dict[str, TraitValue], pack: Pack) -> Iterator[Fault]:
    vocabulary = {word.name: word for word in pack.traits}
    for name, value in traits.items():
        place = pointer((*_AT, "traits", name))
        word = vocabulary.get(name)
        if word is None:
            yield at_fault(place, told("The trait {trait} is not known.", trait=shown(name)), choose(name, vocabulary))
        elif value == UNKNOWN:
            continue
        elif word.values and value not in word.values:
            message = told("{trait} cannot be {value}.", trait=name, value=shown(value))
            yield at_fault(place, message, choose(value, word.values))
        elif not word.values:
            yield from _number_faults(place, word, value)


def _number_faults(place: str, word: TraitWord, value: TraitValue) -> Iterator[Fault]:
    trait, written = word.name, shown(value)
    if isinstance(value, str):
        message = told("{trait} is a number, not {value}.", trait=trait, value=written)
        mend = told("Write a number from {low:g} to {high:g}.", low=word.low, high=word.high)
        yield at_fault(place, message, mend)
    elif not word.low <= value <= word.high:
        span = told("{low:g} to {high:g}", low=word.low, high=word.high)
        message = told("{trait} {value} is outside {span}.", trait=trait, value=written, span=span)
        yield at_fault(place, message, told("Check the number."))
    elif word.unit == "count" and value != int(value):
        message = told("{trait} {value} is not a whole number.", trait=trait, value=written)
        yield at_fault(place, message, told("Count again."))
