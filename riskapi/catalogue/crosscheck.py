"""What can only be judged when every file is read: references, cycles, traits, fits."""

from __future__ import annotations

import difflib
from collections.abc import Callable, Iterable, Mapping
from dataclasses import replace

from riskapi.catalogue.engines import FamilyFile
from riskapi.catalogue.ledger import Ledger, Reference, Spot, TraitUse
from riskapi.domain.knowledge import (
    AccessStep,
    Check,
    Family,
    Fit,
    Operation,
    PartRevision,
    Symptom,
    TraitWord,
    WeakPoint,
)

ROOT_NAMES = ("revision", "care", "tune", "history", "past_results")
NETWORK_KINDS = ("weak point", "symptom", "check")
WORDS = "pack.yaml"  # the file of the trait vocabulary
DEFINED_IN = {
    WORDS: ("condition", "stress condition"),
    "sources.yaml": ("source",),
    "symptoms.yaml": ("symptom",),
    "checks.yaml": ("check", "set-up"),
    "operations.yaml": ("operation", "access step", "special tool"),
    "weak_points/": ("weak point",),
    "engines/": ("engine family", "revision"),
}
"""Where the records of a kind stand: a file, or any file of a folder."""


def check_references(ledger: Ledger) -> None:
    """Every id that is used is defined; nothing is said of ids that may stand in a file that cannot be read."""
    untold = {kind for place, kinds in DEFINED_IN.items() if _unread(place, ledger) for kind in kinds}
    for reference in ledger.references:
        known = ledger.defined.get(reference.kind, {})
        wanted = bool(reference.kind) and reference.kind not in untold
        if wanted and reference.id not in known and not _owner_unknown(reference, ledger):
            message = f"there is no {reference.kind} {reference.id!r}."
            ledger.fault(reference.spot, message, nearest(reference.id, known))


def _unread(place: str, ledger: Ledger) -> bool:
    return any(file.startswith(place) for file in ledger.unread)


def _owner_unknown(reference: Reference, ledger: Ledger) -> bool:
    """A part of an unknown weak point: the weak point is at fault, not the part."""
    kind, of, owner = reference.kind.partition(" of ")
    return bool(of) and kind == "part revision" and owner not in ledger.defined.get("weak point", {})


def nearest(identifier: str, known: Iterable[str]) -> str:
    near = difflib.get_close_matches(identifier, list(known), n=1)
    return f"Did you mean {near[0]!r}?" if near else "Define it, or use an id that exists."


def check_names(ledger: Ledger, words: Iterable[TraitWord]) -> None:
    """Weak points, symptoms, checks, roots and traits are nodes of one network: their ids differ."""
    taken = {word.name: "trait" for word in words} | dict.fromkeys(ROOT_NAMES, "root")
    for kind in NETWORK_KINDS:
        for identifier, spot in ledger.defined.get(kind, {}).items():
            if identifier in taken:
                message = f"the id {identifier!r} is already that of a {taken[identifier]}."
                ledger.fault(spot, message, "Weak points, symptoms, checks, roots and traits need different ids.")
            taken.setdefault(identifier, kind)


def check_traits(ledger: Ledger, words: Iterable[TraitWord]) -> bool:
    """Every trait and every value that is used is in the vocabulary; whether that holds."""
    if _unread(WORDS, ledger):
        return False
    before = len(ledger.noted)
    vocabulary = {word.name: word for word in words}
    for use in ledger.trait_uses:
        word = vocabulary.get(use.trait)
        if word is None:
            ledger.fault(use.spot, f"there is no trait {use.trait!r}.", nearest(use.trait, vocabulary))
        elif word.values:
            _check_word(ledger, use, word)
        else:
            _check_number(ledger, use, word)
    return len(ledger.noted) == before


def _check_word(ledger: Ledger, use: TraitUse, word: TraitWord) -> None:
    if use.value not in word.values:
        mend = f"Its values are {', '.join(word.values)}."
        ledger.fault(use.spot, f"the trait {use.trait!r} has no value {use.value!r}.", mend)


def _check_number(ledger: Ledger, use: TraitUse, word: TraitWord) -> None:
    span = f"{word.low:g} to {word.high:g} {word.unit}"
    if isinstance(use.value, str):
        ledger.fault(use.spot, f"the trait {use.trait!r} is a number, not {use.value!r}.", f"Write {span}.")
    elif use.value < word.low or use.value > word.high:
        ledger.fault(use.spot, f"{use.value:g} is outside {span}.", "Correct it, or widen the range in pack.yaml.")


# ---- cycles --------------------------------------------------------------------------------------


def check_cycles(
    ledger: Ledger, steps: Iterable[AccessStep], operations: Iterable[Operation], symptoms: Iterable[Symptom]
) -> None:
    """Access steps, follow-on jobs and run-down arcs never lead back to where they began."""
    under = {step.id: (step.under,) if step.under else () for step in steps}
    follow_on = {operation.id: operation.follow_on for operation in operations}
    runs_down = {symptom.id: tuple(arc.to for arc in symptom.runs_down) for symptom in symptoms}
    _note_cycle(ledger, "access step", under)
    _note_cycle(ledger, "operation", follow_on)
    _note_cycle(ledger, "symptom", runs_down)


def _note_cycle(ledger: Ledger, kind: str, arcs: Mapping[str, tuple[str, ...]]) -> None:
    cycle = find_cycle(arcs)
    spot = ledger.spot_of(kind, cycle[0]) if cycle else None
    if spot is not None:
        ledger.fault(spot, f"{kind}s form a cycle: {' -> '.join(cycle)}.", "Remove one of these arcs.")


def find_cycle(arcs: Mapping[str, tuple[str, ...]]) -> list[str]:
    """The ids along one cycle, first id repeated at the end; empty when there is none."""
    done: set[str] = set()
    for start in arcs:
        trail: list[str] = []
        stack = [(start, iter(arcs[start]))]
        while stack:
            node, heads = stack[-1]
            if len(trail) < len(stack):
                trail.append(node)
            head = next((head for head in heads if head in arcs and head not in done), None)
            if head is None:
                done.add(node)
                stack.pop()
                trail.pop()
            elif head in trail:
                return [*trail[trail.index(head) :], head]
            else:
                stack.append((head, iter(arcs[head])))
    return []


# ---- checks --------------------------------------------------------------------------------------


def check_shared_acts(ledger: Ledger, checks: Iterable[Check]) -> None:
    """A check that is part of another act names the act itself."""
    acts = {check.id: check.part_of for check in checks}
    for check, act in acts.items():
        spot = ledger.spot_of("check", check)
        if act is not None and acts.get(act) is not None and spot is not None:
            ledger.fault(spot, f"{act!r} is itself part of {acts[act]!r}.", f"Name {acts[act]!r} as 'part_of'.")


# ---- engines -------------------------------------------------------------------------------------


def check_family(ledger: Ledger, file: FamilyFile, weak_points: Mapping[str, WeakPoint]) -> None:
    """Fits name the family's own revisions, once each, and weak points those engines can have.

    `weak_points`: those whose conditions can be judged.
    """
    taken: set[tuple[str, str]] = set()
    for fit, spot in zip(file.family.fits, file.fit_spots, strict=True):
        note = _noter(ledger, spot)
        for revision in fit.revisions:
            if (fit.weak_point, revision) in taken:
                note(f"{revision!r} already has a fit of {fit.weak_point!r}.", "Keep one of the two.")
            taken.add((fit.weak_point, revision))
            _check_fit(note, file.family, revision, weak_points.get(fit.weak_point))
    _check_unused(ledger, file)


def _noter(ledger: Ledger, spot: Spot) -> Callable[[str, str], None]:
    return lambda message, mend: ledger.fault(spot, message, mend)


def _check_fit(note: Callable[[str, str], None], family: Family, revision: str, weak_point: WeakPoint | None) -> None:
    own = next((item for item in family.revisions if item.id == revision), None)
    if own is None:
        note(f"{revision!r} is no revision of {family.id!r}.", "Name revisions of this file.")
    elif weak_point is not None and weak_point.applies.holds(own.traits) is False:
        what = f"the weak point {weak_point.id!r} does not apply to {revision!r} by its traits."
        note(what, "Remove the revision from this fit, or correct its traits.")


def check_shared_parts(ledger: Ledger, files: Iterable[FamilyFile]) -> None:
    """A part that two families list under one id is the same part: all it says is the same."""
    known: dict[tuple[str, str], tuple[PartRevision, Spot]] = {}
    for file in files:
        for weak_point, parts in file.parts.items():
            for part in parts:
                spot = file.part_spots[weak_point, part.id]
                first, place = known.setdefault((weak_point, part.id), (part, spot))
                if replace(first, when=part.when) != part:
                    what = f"the part revision {part.id!r} of {weak_point} is another one at {place.place}."
                    ledger.fault(spot, what, "Give this one another id, here and in the fits of this file.")


def _check_unused(ledger: Ledger, file: FamilyFile) -> None:
    used = {(fit.weak_point, part) for fit in file.family.fits for part in _parts(fit)}
    for weak_point, parts in file.parts.items():
        for part in parts:
            spot = file.part_spots[weak_point, part.id]
            if (weak_point, part.id) not in used:
                what = f"no fit uses the part revision {part.id!r}, and nothing else can reach it."
                ledger.fault(spot, what, "Add it to a fit (works or supplies), or remove it.")


def _parts(fit: Fit) -> tuple[str, ...]:
    return (fit.works, *(supply.part for supply in fit.supplies))
