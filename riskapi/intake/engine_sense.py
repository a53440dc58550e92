"""Does the engine of a case make sense against the knowledge pack?"""

from __future__ import annotations

from collections.abc import Iterator
from typing import Any

from riskapi.domain.knowledge import Family, Pack, Revision, Traits, TraitValue, TraitWord
from riskapi.errors import Fault
from riskapi.intake.pointers import Path, pointer
from riskapi.intake.words import choose, listed, shown

_AT: Path = ("vehicle", "engine")
_LEAST = ("fuel", "cylinders")
UNKNOWN = "unknown"  # said of a trait that cannot be found out


def engine_faults(engine: dict[str, Any], stated: set[str], pack: Pack) -> Iterator[Fault]:
    """Faults of vehicle.engine. `engine` holds what is well formed, `stated` every key that was written."""
    family = find_family(engine, pack)
    yield from _trait_faults(engine.get("traits", {}), pack)
    if family is not None:
        yield from _within_family(engine, family)
    elif "family" in engine:
        known = [item.id for item in pack.families]
        mend = choose(engine["family"], known) + " An engine that is not known can be described by its traits."
        yield _fault("family", f"The engine family {shown(engine['family'])} is not in the knowledge pack.", mend)
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


def _fault(key: str, message: str, mend: str) -> Fault:
    return Fault(pointer((*_AT, key)), message, mend)


def _within_family(engine: dict[str, Any], family: Family) -> Iterator[Fault]:
    revisions = {item.id: item for item in family.revisions}
    codes = {code for item in family.revisions for code in item.codes}
    revision, code = engine.get("revision"), engine.get("code")
    if revision is not None and revision not in revisions:
        message = f"{family.name} has no revision {shown(revision)}."
        yield _fault("revision", message, choose(revision, revisions))
    if code is not None and code not in codes:
        mend = choose(code, codes) + " Leave it out when the code cannot be read."
        yield _fault("code", f"No revision of {family.name} has the code {shown(code)}.", mend)
    elif code is not None and revision in revisions and code not in revisions[revision].codes:
        message = f"The revision {shown(revision)} does not have the code {shown(code)}."
        yield _fault("code", message, f"Its codes are {listed(revisions[revision].codes)}; keep what is certain.")
    yield from _contradictions(engine, family)


def _contradictions(engine: dict[str, Any], family: Family) -> Iterator[Fault]:
    revisions = _revisions(engine, family)
    for name, value in stated_traits(engine).items():
        known: set[TraitValue | None] = {item.traits.get(name) for item in revisions}
        if None not in known and value not in known:
            message = f"No {family.name} engine that fits this case has {name} {shown(value)}."
            words = listed(sorted(str(item) for item in known))
            yield Fault(pointer((*_AT, "traits", name)), message, f"It has {words}: mend the trait or the family.")


def _without_family(engine: dict[str, Any], stated: set[str], pack: Pack) -> Iterator[Fault]:
    for key in ("revision", "code"):
        if key in engine:
            yield _fault(key, f"The {key} is stated without its engine family.", _family_of(key, engine[key], pack))
    traits = engine.get("traits", {})
    missing = [name for name in _LEAST if name not in traits]
    for name in _LEAST:
        if traits.get(name) == UNKNOWN:
            message = f"Without an engine family {name} has to be known."
            yield Fault(pointer((*_AT, "traits", name)), message, f"State {name}, or name the engine family.")
    if missing and not {"revision", "code"} & stated:
        mend = 'Add "family", or at least "traits": {"fuel": "petrol", "cylinders": 4}.'
        message = "The engine is described neither by its family nor by at least the traits fuel and cylinders."
        yield Fault(pointer(_AT), message, mend)


def _family_of(key: str, word: str, pack: Pack) -> str:
    families = [
        family.id
        for family in pack.families
        if any(word == item.id if key == "revision" else word in item.codes for item in family.revisions)
    ]
    if families:
        return f'Add "family": {listed(families)}.'
    return 'Add "family"; an engine that is not in the knowledge pack is described by "traits".'


def _trait_faults(traits: dict[str, TraitValue], pack: Pack) -> Iterator[Fault]:
    vocabulary = {word.name: word for word in pack.traits}
    for name, value in traits.items():
        place = pointer((*_AT, "traits", name))
        word = vocabulary.get(name)
        if word is None:
            yield Fault(place, f"The trait {shown(name)} is not known.", choose(name, vocabulary))
        elif value == UNKNOWN:
            continue
        elif word.values and value not in word.values:
            yield Fault(place, f"{name} cannot be {shown(value)}.", choose(value, word.values))
        elif not word.values:
            yield from _number_faults(place, word, value)


def _number_faults(place: str, word: TraitWord, value: TraitValue) -> Iterator[Fault]:
    span = f"{word.low:g} to {word.high:g}"
    if isinstance(value, str):
        yield Fault(place, f"{word.name} is a number, not {shown(value)}.", f"Write a number from {span}.")
    elif not word.low <= value <= word.high:
        yield Fault(place, f"{word.name} {shown(value)} is outside {span}.", "Check the number.")
    elif word.unit == "count" and value != int(value):
        yield Fault(place, f"{word.name} {shown(value)} is not a whole number.", "Count again.")
