"""Who the engine is, how it was cared for, and everything that was used."""

from __future__ import annotations

from collections.abc import Sequence

from riskapi.domain.assessment import (
    CareChances,
    Identification,
    Identified,
    Inputs,
    WeakPointInputs,
)
from riskapi.domain.costing import Basis
from riskapi.domain.identify import Candidate, EngineIdentity
from riskapi.domain.knowledge import CARES, Pack, Revision
from riskapi.domain.posterior import Posterior
from riskapi.domain.readings import Readings
from riskapi.domain.root_axes import GENERIC
from riskapi.domain.root_evidence import revision_says
from riskapi.domain.roots import Root
from riskapi.domain.sentence import Sentence, told
from riskapi.domain.settling import settling_checks
from riskapi.domain.terms import Terms

TELLING = 0.01  # chance that a revision must have moved by to be worth a word


def care_chances(posterior: Posterior, roots: Sequence[Root]) -> CareChances:
    """Chances of careful / average / neglected given everything."""
    return CareChances(*(_share(posterior, [root.care == care for root in roots]) for care in range(len(CARES))))


def tune_chance(posterior: Posterior, roots: Sequence[Root]) -> float | None:
    """Chance of an undisclosed software tune; None where it is no root."""
    if len({root.tuned for root in roots}) < 2:
        return None
    return _share(posterior, [root.tuned for root in roots])


def _share(posterior: Posterior, mine: Sequence[bool]) -> float:
    return float(posterior.root_chance[list(mine)].sum())


def engine_as_identified(
    pack: Pack, identity: EngineIdentity, posterior: Posterior, roots: Sequence[Root], readings: Readings
) -> Identification:
    """Revisions with their chances given all findings, likeliest first, what says so, and what would settle it."""
    chances = [_share(posterior, [root.candidate == c for root in roots]) for c in range(len(identity.candidates))]
    by_revision: dict[Revision | None, float] = {}
    for candidate, chance in zip(identity.candidates, chances, strict=True):
        by_revision[candidate.revision] = by_revision.get(candidate.revision, 0.0) + chance
    named = [
        Identified(revision.id if revision else None, revision.name if revision else GENERIC, chance)
        for revision, chance in by_revision.items()
    ]
    return Identification(
        generic=identity.family is None,
        family=identity.family.id if identity.family else None,
        how=told("{how}{history}", how=_how(identity, readings), history=_history_tells(identity, posterior, roots)),
        candidates=tuple(sorted(named, key=lambda i: -i.probability)),
        settled_by=settling_checks(pack, identity.candidates, chances, readings),
        says=revision_says(identity, posterior, roots, readings),
    )


def _how(identity: EngineIdentity, readings: Readings) -> str:
    """The clues, and the features that were looked at where the clues left more than one revision."""
    looks = dict.fromkeys(f.check.name for f in readings.counted if f.check.root == "revision")
    if not looks or len({candidate.revision for candidate in identity.candidates}) < 2:
        return identity.how
    return told("{how}; then by features seen ({looks})", how=identity.how, looks=tuple(looks))


def _history_tells(identity: EngineIdentity, posterior: Posterior, roots: Sequence[Root]) -> Sentence:
    """Whether the service history by itself moved a revision."""
    moved: dict[Revision | None, float] = {}
    for chance, root in zip(posterior.prior_root_chance.tolist(), roots, strict=True):
        revision = identity.candidates[root.candidate].revision
        before = root.weight if root.way == 0 else 0.0  # which way past results came about says nothing before them
        moved[revision] = moved.get(revision, 0.0) + chance - before
    telling = max(map(abs, moved.values())) >= TELLING
    return told("; weighed with what the service history tells") if telling else told("")


def inputs_of(basis: Basis, terms: Terms) -> Inputs:
    """Everything a stranger needs to recompute the figures."""
    outlook = basis.outlook
    lanes = outlook.lanes
    rows = tuple(
        WeakPointInputs(
            weak_point=wp.id,
            candidate=_label(candidate),
            copies=max((mixes[w].copies for mixes in lanes.mixes), default=1),
            in_service=basis.prices[w, c].in_service,
            found_faulty=basis.prices[w, c].found,
            planned=basis.prices[w, c].planned,
        )
        for w, wp in enumerate(lanes.weak_points)
        for c, candidate in enumerate(lanes.candidates)
    )
    return Inputs(lanes, tuple(map(float, outlook.doubt)), rows, terms, outlook.discount_rate)


def _label(candidate: Candidate) -> str:
    """'lapwing_1a', with the values of the open traits where it was split by them."""
    values = [f"{name} {' or '.join(word for word, _ in shares)}" for name, shares in candidate.opened]
    return ", ".join([candidate.revision.id if candidate.revision else GENERIC, *values])
