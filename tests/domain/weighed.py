"""The tiny pack's case carried as far as the basis of all cost figures."""

from __future__ import annotations

from dataclasses import dataclass
from functools import lru_cache

from riskapi.domain.case import Case
from riskapi.domain.costing import Basis
from riskapi.domain.identify import EngineIdentity, identify
from riskapi.domain.knowledge import Pack
from riskapi.domain.lanes import lane_set
from riskapi.domain.means import Means, expected
from riskapi.domain.open_traits import with_open_traits
from riskapi.domain.outlook import look_ahead
from riskapi.domain.posterior import group_roots, infer
from riskapi.domain.pricing import price_table
from riskapi.domain.readings import Readings, read_findings
from riskapi.domain.terms import Terms, terms_of
from tests.simulator import tiny, tiny_cases


@dataclass(frozen=True)
class Weighed:
    """Everything up to the means."""

    case: Case
    pack: Pack
    identity: EngineIdentity
    readings: Readings
    terms: Terms
    basis: Basis
    means: Means


def weigh(case: Case, pack: Pack, nodes: int = 8) -> Weighed:
    """The first half of the pipeline."""
    readings, terms = read_findings(case, pack), terms_of(case, pack)
    identity = with_open_traits(case, pack, identify(case, pack), readings.counted)
    lanes = lane_set(case, pack, identity, terms.annual, terms.years)
    outlook = look_ahead(lanes, terms.horizons, pack.defaults.discount_rate, nodes)
    posterior = infer(lanes, group_roots(pack, lanes, readings.counted), readings.counted, outlook.table.masses)
    basis = Basis(outlook, posterior, price_table(pack, terms.level, lanes))
    return Weighed(case, pack, identity, readings, terms, basis, expected(basis))


@lru_cache(maxsize=1)
def full() -> Weighed:
    """The case with history, hearsay and findings that point both ways."""
    return weigh(tiny_cases.full_case(), tiny.pack())


@lru_cache(maxsize=1)
def plain() -> Weighed:
    """The case of which only age and distance are known."""
    return weigh(tiny_cases.plain_case(), tiny.pack())
