"""What says which revision it is, how it was cared for, whether it is tuned, and which values open traits have."""

from __future__ import annotations

from collections.abc import Mapping, Sequence

import numpy as np

from riskapi.domain.assessment import RootEvidence, TraitChances, TraitValueChance
from riskapi.domain.identify import EngineIdentity, OpenTrait
from riskapi.domain.knowledge import CARES, Pack
from riskapi.domain.posterior import MOST, Posterior
from riskapi.domain.readings import Readings
from riskapi.domain.roots import Root
from riskapi.domain.timeline import Floats

TELLING = 0.05  # decibans below which a finding is not listed
ONLY_ONE = 1e-12  # chance of everything else, below which a root has a single value

Values = Mapping[str, Floats]  # value -> its chance under every root combination (R,)


def care_says(posterior: Posterior, roots: Sequence[Root], readings: Readings) -> tuple[RootEvidence, ...]:
    """Findings that speak for a care of the undocumented years."""
    values = {care: _where([root.care == i for root in roots]) for i, care in enumerate(CARES)}
    return what_says(values, posterior, readings)


def tune_says(posterior: Posterior, roots: Sequence[Root], readings: Readings) -> tuple[RootEvidence, ...]:
    """Findings that speak for or against an undisclosed tune; none where it is no root."""
    tuned = _where([root.tuned for root in roots])
    return what_says({"yes": tuned, "no": 1.0 - tuned}, posterior, readings)


def revision_says(
    identity: EngineIdentity, posterior: Posterior, roots: Sequence[Root], readings: Readings
) -> tuple[RootEvidence, ...]:
    """Findings that speak for one of the revisions."""
    names = [candidate.revision.id if candidate.revision else "" for candidate in identity.candidates]
    values = {name: _where([names[root.candidate] == name for root in roots]) for name in dict.fromkeys(names)}
    return what_says(values, posterior, readings)


def trait_chances(
    pack: Pack, identity: EngineIdentity, posterior: Posterior, roots: Sequence[Root], readings: Readings
) -> tuple[TraitChances, ...]:
    """Every open trait with the chances of its values and what says so, in the order of the vocabulary."""
    return tuple(
        _trait(pack, trait, _value_chances(trait, identity, roots), posterior, readings)
        for trait in identity.open_traits
    )


def _trait(pack: Pack, trait: OpenTrait, values: Values, posterior: Posterior, readings: Readings) -> TraitChances:
    usual = {value: rate for group in trait.classes for value, rate in group}
    chances = tuple(
        TraitValueChance(
            value, usual[value], _total(posterior.prior_root_chance, row), _total(posterior.root_chance, row)
        )
        for value, row in values.items()
    )
    dealt_with = {f.check.id for f in readings.counted} | {name for name, _ in (*readings.not_checked, *readings.void)}
    looks = tuple(c.id for c in pack.checks if c.root == trait.name and c.id not in dealt_with)
    return TraitChances(trait.name, chances, what_says(values, posterior, readings), looks)


def _value_chances(trait: OpenTrait, identity: EngineIdentity, roots: Sequence[Root]) -> Values:
    """P(value | root combination) of an open trait."""
    shares = [dict(candidate.values_of(trait.name, ())) for candidate in identity.candidates]
    return {
        value: np.array([shares[root.candidate].get(value, 0.0) for root in roots])
        for group in trait.classes
        for value, _ in group
    }


def what_says(values: Values, posterior: Posterior, readings: Readings) -> tuple[RootEvidence, ...]:
    """Per telling finding the value whose odds it moves most by itself, strongest finding first."""
    names, rows = list(values), np.array(list(values.values()))
    before = rows @ posterior.prior_root_chance
    if float(before.max()) > 1.0 - ONLY_ONE:
        return ()
    alone = np.clip(_log_odds(posterior.root_alone @ rows.T) - _log_odds(before), -MOST, MOST)  # (findings, values)
    found = []
    for finding, moved in zip(readings.counted, alone, strict=True):
        v = int(np.argmax(np.abs(np.round(moved, 6))))
        if abs(moved[v]) >= TELLING:
            result = finding.check.results[finding.result].id
            found.append(RootEvidence(finding.check.id, result, names[v], float(moved[v])))
    return tuple(sorted(found, key=lambda row: (-round(abs(row.alone), 6), row.check)))


def _log_odds(chances: Floats) -> Floats:
    """10 log10 odds."""
    held = np.clip(chances, 1e-12, 1.0 - 1e-12)
    return np.asarray(10.0 * np.log10(held / (1.0 - held)))


def _where(mine: Sequence[bool]) -> Floats:
    return np.array(mine, dtype=float)


def _total(chances: Floats, row: Floats) -> float:
    return min(max(float(chances @ row), 0.0), 1.0)
